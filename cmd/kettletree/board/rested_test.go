package board

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// What takes no time is found again at once, what takes a moment leaves the processor to the pages for a while, and what takes seconds
// rests in proportion.
func TestRested(t *testing.T) {
	for took, rests := range map[time.Duration]time.Duration{
		0:                      0,
		5 * time.Millisecond:   150 * time.Millisecond,
		100 * time.Millisecond: 3 * time.Second,
		500 * time.Millisecond: 3 * time.Second,
		time.Second:            4 * time.Second,
		10 * time.Second:       40 * time.Second,
	} {
		assert.Equal(t, rests, rested(took), took.String())
	}
}

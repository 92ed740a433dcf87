package tongue

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// A time beside another has its day only where that is another one.
func TestMomentAfter(t *testing.T) {
	at := time.Date(2026, 11, 25, 22, 30, 0, 0, time.UTC)
	assert.Equal(t, "23:50", Voice{}.MomentAfter(at, at.Add(80*time.Minute)))
	assert.Equal(t, "Thu 26 Nov 00:30", Voice{}.MomentAfter(at, at.Add(2*time.Hour)))
}

// Pages keep the name of the code, its sections, and a number with its unit on one line.
func TestUnbroken(t *testing.T) {
	assert.Equal(t, `US FDA <span class="whole">Food Code 2022</span>, <span class="whole">3-501.14(A)</span>: 5&nbsp;°C`,
		string(Unbroken("US FDA Food Code 2022, 3-501.14(A): 5 °C")))
	assert.Equal(t, "300&nbsp;g of salt, 5.2&nbsp;mL, 40 gallinas, from 4 a 5, 7&nbsp;más, about 15&nbsp;min", string(Unbroken("300 g of salt, 5.2 mL, 40 gallinas, from 4 a 5, 7 más, about 15 min")))
	assert.Equal(t, "鸡蛋 40&nbsp;个，约 15&nbsp;分钟", string(Unbroken("鸡蛋 40 个，约 15 分钟")))
}

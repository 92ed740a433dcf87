package board

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who can wait longer than who asked first is not told of the other's limit.
func TestOthersLimit(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newCache[string](3)
		made := 0
		produce := func(ctx context.Context) (string, error) {
			made++
			select {
			case <-time.After(3 * time.Second):
				return "a picture", nil
			case <-ctx.Done():
				return "", context.Cause(ctx)
			}
		}
		short, leave := context.WithTimeout(t.Context(), 2*time.Second)
		defer leave()
		first := make(chan error, 1)
		go func() {
			_, err := s.get(short, "map", produce)
			first <- err
		}()
		time.Sleep(time.Second) // no one waits for it: the clock is the test's own
		got, err := s.get(t.Context(), "map", produce)
		require.NoError(t, err)
		assert.Equal(t, "a picture", got)
		assert.Equal(t, 2, made)
		require.ErrorIs(t, <-first, context.DeadlineExceeded)
	})
}

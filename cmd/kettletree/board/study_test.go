package board

import (
	"context"
	"errors"
	"net/url"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A question that takes long is worked out beside the page, which shows how far it is, and then what was found; when the log book
// has grown since, what was found stays until somebody asks again. One that is quick to find is asked again by itself.
func TestStudy(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		life, end := context.WithCancel(t.Context())
		b := &Board{studies: newCache[*study](keptStudies), long: longQueue(), life: life}
		at := time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC)
		last := int64(0)
		ask := func(key string, again bool, takes time.Duration, answer any, err error) (*studied, bool, error) {
			a := &asked{Query: url.Values{}, Now: at, board: b, page: specialsPage, Device: "a device", Last: last, state: &state{key: key}, again: again}
			s, failed := a.study(t.Context(), b.long, "", func(ctx context.Context, say func(string)) (any, error) {
				say("half of it")
				select {
				case <-time.After(takes):
					return answer, err
				case <-ctx.Done():
					return nil, context.Cause(ctx)
				}
			})
			return s, a.passing, failed
		}

		s, passing, err := ask("1", false, time.Minute, "first", nil)
		require.NoError(t, err)
		assert.Equal(t, &studied{Working: true, Said: "half of it"}, s)
		assert.True(t, passing, "the page is not kept")

		time.Sleep(time.Minute)
		s, passing, err = ask("1", false, 0, "never asked", nil)
		require.NoError(t, err)
		assert.Equal(t, &studied{Found: "first", AsOf: "Tue 24 Nov 14:05"}, s)
		assert.False(t, passing)

		s, passing, _ = ask("2", false, 0, "never asked", nil)
		assert.Equal(t, &studied{Found: "first", AsOf: "Tue 24 Nov 14:05", Old: true}, s)
		assert.True(t, passing)

		at = at.Add(time.Hour)
		s, _, _ = ask("2", true, time.Second, "second", nil)
		assert.Equal(t, &studied{Found: "second", AsOf: "Tue 24 Nov 15:05"}, s, "it was there soon enough")
		s, passing, _ = ask("3", false, time.Second, "third", nil)
		assert.Equal(t, &studied{Found: "second", AsOf: "Tue 24 Nov 15:05", Old: true, Working: true}, s, "it rests, and what was found is shown at once")
		assert.True(t, passing, "the page asks again")
		time.Sleep(rest * time.Second)
		began := time.Now()
		s, _, _ = ask("3", false, time.Second, "third", nil)
		assert.Equal(t, "second", s.Found)
		assert.True(t, s.Working, "what is quick to find is asked again by itself")
		assert.Equal(t, glance, time.Since(began), "and nobody waits for it")
		time.Sleep(time.Second)
		s, passing, _ = ask("3", false, 0, "never asked", nil)
		assert.Equal(t, "third", s.Found)
		assert.False(t, passing)

		// Who has written something is shown what follows from it, or waits for that.
		last = 17
		b.wrotes.note("a device", last)
		s, _, _ = ask("4", false, time.Second, "fourth", nil)
		assert.Equal(t, &studied{Found: "fourth", AsOf: "Tue 24 Nov 15:05"}, s)

		_, _, err = ask("5", true, time.Second, nil, errors.New("no plan can exist"))
		require.EqualError(t, err, "no plan can exist")
		_, _, err = ask("6", true, time.Hour, "too late", nil)
		require.EqualError(t, err, "no plan can exist", "what was found last stands while the next is worked out")
		time.Sleep(mostStudied)
		_, _, err = ask("6", false, 0, "", nil)
		refused, ok := errors.AsType[*Refusal](err)
		require.True(t, ok, "%v", err)
		assert.Contains(t, refused.Msg, "no answer within 10 min")
		end()
		synctest.Wait()
	})
}

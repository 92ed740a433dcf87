package menu_test

// A plan that is kept, asked about while its days go by.

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/lawtest"
	"kettletree/menu"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// A plan that is kept is what any command answers by: when it is kept, to the last portion and cent; and when a day of it has gone by as
// planned, and nobody wrote anything down, what is left of it is served as it was told.
func TestAKeptPlanIsWhatIsAnswered(t *testing.T) {
	lawtest.Few(t, 25)
	folder, n := t.TempDir(), 0
	rapid.Check(t, func(t *rapid.T) {
		if rapid.IntRange(0, 3).Draw(t, "planned") > 0 {
			return // a plan takes long: one kitchen in four is planned
		}
		n++
		text, _ := weektest.AnyKitchen(t)
		file := filepath.Join(folder, fmt.Sprint(n), "kitchen.yaml")
		require.NoError(t, os.Mkdir(filepath.Dir(file), 0o700))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		begins := weektest.Monday
		o := menu.Options{Kitchen: menu.File(file), Plan: menu.File(plan.Path(file)), LogBook: logbook.Path(file), From: weektest.Monday, Days: 3, Now: begins}
		book, err := logbook.Open(t.Context(), o.LogBook)
		require.NoError(t, err)
		defer func() { _ = book.Close() }()
		k := weektest.Read(t, text)
		for i, it := range k.Graph.Items { // all is counted
			if it.Role != graph.Sold {
				_, err = book.Append(t.Context(), logbook.Entry{Kind: logbook.Counted, At: begins, Written: begins, Text: "x", Gives: []logbook.Amount{{Item: it.Name,
					Base: float64(1000 * rapid.IntRange(0, 9).Draw(t, fmt.Sprint("count ", i))), Kind: it.Unit.Kind, Typed: "x"}}})
				require.NoError(t, err)
			}
		}
		for step, card := range k.Steps { // and the days before are cleared away
			for back := 1; back <= 2; back++ {
				day := begins.AddDate(0, 0, -back)
				if card.Batches[day.Weekday()] == 0 {
					continue
				}
				e, err := logbook.Parse(k, logbook.Skipped, fmt.Sprintf("%s of %s", k.Graph.Steps[step].Name, day.Format(time.DateOnly)))
				require.NoError(t, err)
				e.At, e.Written = begins, begins
				settled, err := book.Settle(t.Context(), k, menu.AsPlanned(k, nil), e)
				require.NoError(t, err, text)
				_, err = book.Append(t.Context(), settled...)
				require.NoError(t, err)
			}
		}
		o.Afresh = true
		p, err := plan.Make(t.Context(), openWith(t, o), plan.Options{})
		if _, clash := errors.AsType[*plan.Clash](err); clash {
			return
		}
		require.NoError(t, err)
		save := func(name string, text []byte) error { return os.WriteFile(name, text, 0o600) }
		require.NoError(t, p.Kept().Keep(o.Plan.Name, begins, save))

		// When it is kept.
		o.Afresh = false
		w := openWith(t, o)
		played, err := w.Play(t.Context())
		require.NoError(t, err)
		told, books := p.AsKept()
		require.Equal(t, told.Served, played.Outcome.Served, text)
		require.InDelta(t, books.Contribution, played.Books.Contribution, 1e-6*(1+p.Sales+p.Bought), text)

		// When a day has gone by, and nobody wrote down anything of it.
		o.From, o.Days = weektest.Monday.AddDate(0, 0, 1), 2
		o.Now = k.DayBegins(o.From) // of a service that goes on, the rest is served by what is there then
		later := openWith(t, o)
		then, err := later.Play(t.Context())
		require.NoError(t, err)
		if !strings.Contains(text, "from yesterday") { // what a perpetual stock is begun again with may be ordered otherwise a day ahead
			assert.Equal(t, after(w, told.Served, o.From), after(later, then.Outcome.Served, o.From), "asked on %s\n%s", o.From.Format(time.DateOnly), text)
		}

		// When what is left of a day that is under way is planned again. What came on Monday is counted: nobody wrote it down, so it would
		// be what the new plan has use for.
		there := make([]float64, len(k.Graph.Items))
		for _, l := range later.Case.Schedule.OnHand {
			there[l.Item] += l.Amount
		}
		for i, it := range k.Graph.Items {
			if it.Role != graph.Sold {
				_, err = book.Append(t.Context(), logbook.Entry{Kind: logbook.Counted, At: o.Now, Written: o.Now, Text: "x",
					Gives: []logbook.Amount{{Item: it.Name, Base: there[i], Kind: it.Unit.Kind, Typed: "x"}}})
				require.NoError(t, err)
			}
		}
		o.Now = o.Now.Add(time.Duration(rapid.IntRange(1, 1439-3*60).Draw(t, "minute")) * time.Minute)
		o.Afresh = true
		again, err := plan.Make(t.Context(), openWith(t, o), plan.Options{})
		if _, clash := errors.AsType[*plan.Clash](err); clash {
			return
		}
		require.NoError(t, err)
		require.NoError(t, again.Kept().Keep(o.Plan.Name, o.Now, save))
		o.Afresh = false
		is, err := openWith(t, o).Play(t.Context())
		require.NoError(t, err)
		told, books = again.AsKept()
		require.Equal(t, told.Served, is.Outcome.Served, "planned again at %s\n%s", o.Now.Format(logbook.Minutes), text)
		if !strings.Contains(text, "from yesterday") { // as above: the starter is bought or not
			begun, labour := len(is.Case.Schedule.Pots) > 0, is.Books.Labour
			earns, is := books.Contribution, is.Books.Contribution
			if begun { // what counts as begun by now, as work without a clock does from midnight on, is paid for
				earns, is = earns+books.Labour, is+labour
			}
			require.InDelta(t, earns, is, 1e-6*(1+again.Sales+again.Bought), "planned again at %s\n%s", o.Now.Format(logbook.Minutes), text)
		}
	})
}

// A special that the plan offers and a cook writes down as offered is offered as it was written down, not twice.
func TestASpecialOfThePlanIsNotOfferedTwice(t *testing.T) {
	folder := t.TempDir()
	o := menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: []byte(smokehouse)}, From: tuesday, Days: 1, Now: tuesday,
		LogBook: filepath.Join(folder, "kitchen.logbook"), Plan: menu.Source{Name: "kitchen.plan",
			Text: []byte("days: {2026-11-24: {kept: 2026-11-23 20:00, specials: {lunch: {bun pudding: 8}}}}")}}
	book, err := logbook.Open(t.Context(), o.LogBook)
	require.NoError(t, err)
	defer func() { _ = book.Close() }()
	asked := func() float64 { return openWith(t, o).Case.Schedule.Wants[2].Forecast[0] }
	write := func(kind logbook.Kind, text string) {
		e, err := logbook.Parse(weektest.Read(t, smokehouse), kind, text)
		require.NoError(t, err)
		e.At, e.Written = tuesday, tuesday
		_, err = book.Append(t.Context(), e)
		require.NoError(t, err)
	}
	write(logbook.Struck, "ham roll at lunch")
	assert.Equal(t, 8.0, asked(), "by the plan")
	write(logbook.Offered, "5 bun pudding at lunch")
	assert.Equal(t, 5.0, asked(), "as it was written down")
	write(logbook.Struck, "bun pudding at lunch")
	assert.Zero(t, asked())
}

func openWith(t require.TestingT, o menu.Options) *week.Week {
	w, faults, err := menu.Open(context.Background(), o)
	require.NoError(t, err)
	require.NotNil(t, w, "%v", faults)
	return w
}

// after are the portions of each dish at the services from a day on, up to Thursday.
func after(w *week.Week, served []float64, from time.Time) map[string]float64 {
	out := map[string]float64{}
	for slot, sit := range w.Sittings {
		date := w.Date(sit.Day)
		if sit.Service < 0 || date.Before(from) || !date.Before(weektest.Monday.AddDate(0, 0, 3)) {
			continue
		}
		for d, dish := range w.Dishes {
			out[fmt.Sprintf("%s at %s", dish.Name, w.SittingName(slot))] = served[slot*len(w.Dishes)+d]
		}
	}
	return out
}

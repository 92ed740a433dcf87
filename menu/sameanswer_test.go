package menu_test

// One present: whoever is asked at a moment says the same, whatever was written down by then.

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/shop"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// anyLogBook writes what happened in a kitchen up to a moment: what a cook may type, whether or not it fits what was planned.
// What the log book refuses is left out.
func anyLogBook(t *rapid.T, k *kitchen.Kitchen, path string, moment time.Time) (written []string) {
	book, err := logbook.Open(t.Context(), path)
	require.NoError(t, err)
	defer func() { require.NoError(t, book.Close()) }()
	var items, steps, dishes []string
	for _, it := range k.Graph.Items {
		if it.Role != graph.Sold {
			items = append(items, it.Name)
		}
	}
	for s := range k.Steps {
		steps = append(steps, k.Graph.Steps[s].Name)
	}
	for _, d := range k.Dishes {
		dishes = append(dishes, d.Name)
	}
	var minutes []int
	since := weektest.Monday.AddDate(0, 0, -1)
	for range rapid.IntRange(0, 12).Draw(t, "entries") {
		minutes = append(minutes, rapid.IntRange(0, int(moment.Sub(since).Minutes())).Draw(t, "at"))
	}
	slices.Sort(minutes)
	for _, at := range minutes {
		pick := func(from []string) string { return rapid.SampledFrom(from).Draw(t, "of") }
		amount := rapid.IntRange(0, 40).Draw(t, "amount")
		var text string
		switch kind := rapid.SampledFrom(logbook.Kinds).Draw(t, "kind"); kind {
		case logbook.Counted, logbook.Binned, logbook.Received, logbook.PutIn, logbook.Out:
			text = fmt.Sprintf("%s %d kg %s", kind, amount, pick(items))
		case logbook.Lit, logbook.Done, logbook.Cooked, logbook.Skipped:
			text = fmt.Sprintf("%s %s", kind, pick(steps))
		case logbook.Lost:
			text = fmt.Sprintf("lost %d%% of %s", max(1, amount), pick(steps))
		case logbook.Sold:
			text = fmt.Sprintf("sold %d %s", max(1, amount), pick(dishes))
		case logbook.Struck:
			text = "struck " + pick(dishes)
		case logbook.NotCome:
			text = "did not come " + pick(items)
		default:
			continue
		}
		kind, rest, ok := logbook.KindOf(text)
		require.True(t, ok, text)
		e, err := logbook.Parse(k, kind, rest)
		if err != nil {
			continue
		}
		e.At = since.Add(time.Duration(at) * time.Minute)
		e.Written = e.At
		settled, err := book.Settle(t.Context(), k, menu.AsPlanned(k, nil), e)
		if err == nil {
			_, err = book.Append(t.Context(), settled...)
		}
		if err == nil {
			written = append(written, e.At.Format(logbook.Minutes)+" "+text)
		}
	}
	return written
}

// sameAnswers asks everyone, and compares.
type sameAnswers struct {
	*rapid.T
	w    *week.Week
	says string // the kitchen, the entries and the moment
	rows []clock.Row
}

func TestSameAnswer(t *testing.T) {
	lawtest.Few(t, 25)
	folder, n := t.TempDir(), 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		text, _ := weektest.AnyKitchen(t)
		k, faults := kitchen.Read("kitchen.yaml", []byte(text))
		require.NotNil(t, k, "%v\n%s", faults, text)
		day, minute := rapid.IntRange(0, 4).Draw(t, "day"), rapid.OneOf(rapid.IntRange(0, 1439), rapid.SampledFrom([]int{0, 15, 45, 90, 690, 1439})).Draw(t, "minute")
		moment := weektest.Monday.AddDate(0, 0, day).Add(time.Duration(minute) * time.Minute)
		path := fmt.Sprintf("%s/%d.logbook", folder, n)
		written := anyLogBook(t, k, path, moment)
		o := menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: []byte(text)}, LogBook: path, Days: rapid.IntRange(1, 3).Draw(t, "days"), Now: moment}
		w, faults, err := menu.Open(t.Context(), o)
		require.NoError(t, err)
		require.NotNil(t, w, "%v", faults)
		if !logbook.Exists(path) {
			return
		}
		a := &sameAnswers{T: t, w: w, says: fmt.Sprintf("%s\n%s\nasked at %s", text, strings.Join(written, "\n"), moment.Format(logbook.Minutes))}
		table, err := clock.Of(t.Context(), w, nil)
		require.NoError(t, err)
		a.rows = table.Rows
		for _, r := range a.rows {
			for _, list := range [][]clock.Part{r.In, r.Out} {
				for n := range list {
					list[n].Amount = weektest.InOwnUnit(t, w.Kitchen, list[n].Item, list[n].Amount, list[n].Unit)
				}
			}
		}
		a.held(o)
		a.portions()
		a.batches()
		a.labels()
		a.bought()
	})
}

// same compares amounts by name.
func (a *sameAnswers) same(one, other map[string]float64, what string) {
	a.Helper()
	for name := range one {
		assert.InDelta(a, one[name], other[name], 1e-6, "%s of %s\n%s", name, what, a.says)
	}
	for name := range other {
		assert.InDelta(a, one[name], other[name], 1e-6, "%s of %s\n%s", name, what, a.says)
	}
}

// held is what the walk goes on from, and what on-hand lists for counting; but for what nobody keeps book of.
func (a *sameAnswers) held(o menu.Options) {
	on, _, err := menu.OnHand(a.Context(), o)
	require.NoError(a, err)
	walk, listed, comes, out := map[string]float64{}, map[string]float64{}, map[string]float64{}, map[string]float64{}
	for _, l := range a.w.Case.Schedule.OnHand {
		walk[a.w.Graph.Items[l.Item].Name] += a.w.Quantity(l.Item, l.Amount).Amount
	}
	for _, x := range on.Items {
		if listed[x.Item] = x.Amount; x.NoBook {
			delete(walk, x.Item)
			delete(listed, x.Item)
		}
	}
	a.same(walk, listed, "what the walk goes on from, and on hand")
	for _, p := range on.Pots {
		for _, x := range p.Out {
			comes[x.Item] += x.Amount
		}
	}
	for _, r := range a.rows {
		for _, x := range r.Out {
			if r.Day != "" && r.Entry == 0 && r.Do == clock.TakeOut {
				out[x.Item] += x.Amount
			}
		}
	}
	a.same(comes, out, "what is in pots, and what the timetable takes out")
}

// portions are those of a what-if and of the timetable; tonight goes short where they do.
func (a *sameAnswers) portions() {
	what, err := ask.WhatIf(a.Context(), a.w, nil)
	require.NoError(a, err)
	asked, served := map[string]int{}, map[string]int{}
	for _, d := range what.Dishes {
		if d.Before > 0 {
			asked[d.Date+" "+d.Service+" "+d.Name] = d.Before
		}
	}
	for _, r := range a.rows {
		for _, x := range r.Out {
			if r.Do == clock.Serve {
				at, err := time.Parse("2006-01-02T15:04", r.At)
				require.NoError(a, err)
				served[a.w.DayAt(at).Format(time.DateOnly)+" "+r.Step+" "+x.Item] = int(x.Amount)
			}
		}
	}
	assert.Equal(a, asked, served, "portions of a what-if, and of the timetable\n%s", a.says)
	for slot, sit := range a.w.Sittings {
		if sit.Day > 0 || sit.Service < 0 || a.w.Case.Schedule.Slots[slot].Closed {
			continue
		}
		tonight, err := plan.ForTonight(a.Context(), a.w, a.w.Services[sit.Service].Name)
		require.NoError(a, err, a.says)
		// What tonight sells it plans again; whether all of the forecast is there is not for it to say.
		short := false
		for _, x := range tonight.Sell {
			n := asked[tonight.Date+" "+tonight.Service+" "+x.Dish]
			short = short || !x.Special && n < x.Forecast
		}
		assert.Equal(a, short, tonight.Scarce, "%s runs short, of a what-if and tonight\n%s", tonight.Service, a.says)
	}
}

// batches are those of the walk, of the timetable and under way.
func (a *sameAnswers) batches() {
	o := a.w.By(week.Fair).Player().Play(a.w.Case, nil)
	walk, table := map[string]float64{}, map[string]float64{}
	for r, b := range a.w.Case.Schedule.Batches {
		if ran := o.Ran[r]; b.Day < a.w.Days && ran.Batches > 0 && ran.Start < a.w.Days*1440 {
			walk[a.w.Graph.Steps[b.Step].Name] += ran.Batches
		}
	}
	for _, r := range a.rows {
		if s, err := a.w.FindStep(r.Step); err == nil && r.Day == "" && (r.Do == clock.Start || r.Do == clock.Make) && a.w.Graph.Steps[s].Mode == graph.OnDays {
			table[r.Step] += r.Batches
		}
	}
	a.same(walk, table, "batches of the walk and of the timetable")
	under, out := map[string]float64{}, map[string]float64{}
	for _, p := range a.w.Case.Schedule.Pots {
		for _, g := range p.Gives {
			under[a.w.Graph.Items[g.Item].Name] += a.w.Quantity(g.Item, g.Amount*(1-p.Lost)).Amount
		}
	}
	for _, r := range a.rows {
		for _, x := range r.Out {
			if r.Day != "" && r.Entry == 0 && r.Do == clock.TakeOut {
				out[x.Item] += x.Amount
			}
		}
	}
	a.same(under, out, "what comes of batches under way, and what the timetable takes out")
}

// labels are for what the timetable says was made, or is.
func (a *sameAnswers) labels() {
	days := make([]int, a.w.Days)
	for d := range days {
		days[d] = d
	}
	labels, err := clock.LabelsOn(a.Context(), a.w, days, tongue.Voice{})
	require.NoError(a, err)
	timed := map[string]bool{} // items that come at set times only
	for s, st := range a.w.Graph.Steps[:len(a.w.Steps)] {
		for _, g := range st.Gives {
			timed[a.w.Graph.Items[g.Item].Name] = st.Mode == graph.OnDays && (a.w.Steps[s].Starts != flow.Untimed || st.Length() == 0)
		}
	}
	done, due, labelled, blank := map[string]float64{}, map[string]float64{}, map[string]float64{}, map[string]float64{}
	for _, l := range labels.Labels {
		switch {
		case l.Lot != "":
			labelled[l.Item] += l.Quantity
			assert.LessOrEqual(a, l.DayOne, l.Made)
		case timed[l.Item]:
			blank[l.Item] += l.Quantity
		}
	}
	for _, r := range a.rows {
		for _, x := range r.Out {
			switch {
			case r.Do == clock.Serve || x.Amount <= 0:
			case r.Entry > 0:
				done[x.Item] += x.Amount
			case timed[x.Item] && r.Minute() < max(a.w.Days*1440, a.w.Now+1) && !(r.Day != "" && r.Do != clock.TakeOut):
				due[x.Item] += x.Amount
			}
		}
	}
	for _, h := range a.w.Happened { // what counts as planned has a label to fill in
		for _, m := range h.Out {
			if name := a.w.Graph.Items[m.Item].Name; h.Entry == 0 && timed[name] && !h.At.Before(a.w.From) {
				due[name] += a.w.Quantity(m.Item, m.Amount).Amount
			}
		}
	}
	a.same(done, labelled, "what the timetable says was made, and its labels")
	a.same(due, blank, "what the timetable says comes, and its labels")
}

// bought is enough for all that the timetable says goes in.
func (a *sameAnswers) bought() {
	list, err := shop.ToBuy(a.Context(), a.w, shop.BuyOptions{All: true})
	require.NoError(a, err)
	have, needs := map[string]float64{}, map[string]float64{}
	for _, l := range a.w.Case.Schedule.OnHand {
		have[a.w.Graph.Items[l.Item].Name] += a.w.Quantity(l.Item, l.Amount).Amount
	}
	for _, trip := range list.Trips {
		for _, s := range trip.Suppliers {
			for _, x := range s.Items {
				i, err := a.w.FindItemOf(x.Item, "bought item", graph.Bought)
				require.NoError(a, err)
				unit, err := measure.UnitNamed(x.Unit) // "each" for parts of a dozen
				require.NoError(a, err)
				have[x.Item] += x.Bought * unit.Factor / a.w.Graph.Items[i].Unit.Factor
			}
		}
	}
	for _, r := range a.rows {
		for _, x := range r.In {
			// What is free, as water is, is on no list.
			if i, err := a.w.FindItemOf(x.Item, "bought item", graph.Bought); err == nil && a.w.Terms.Price[i] > 0 && r.Entry == 0 && (r.Day == "" || r.Do == clock.PutIn) {
				needs[x.Item] += x.Amount
			}
		}
	}
	for item, amount := range needs {
		assert.LessOrEqual(a, amount, have[item]+1e-6, "%s goes in, and is on hand or bought\n%s", item, a.says)
	}
}

package logbook

// What is learned of yields, counted by hand; laws that hold whatever was cooked; and the change of the file.

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

var allYields = About{Step: -1, Output: -1}

// cookedDaily numbers cooked entries and lays them a day apart.
func cookedDaily(t testing.TB, k *kitchen.Kitchen, texts ...string) (list []Entry) {
	for day, text := range texts {
		e := entry(t, k, at(day, 9), Cooked, text)
		e.ID = int64(day + 1)
		list = append(list, e)
	}
	return list
}

// learnedOf is one yield out of the answer.
func learnedOf(t testing.TB, y *Yields, step, output string) Learned {
	t.Helper()
	for _, s := range y.Steps {
		for _, o := range s.Outputs {
			if s.Step == step && o.Output == output {
				return o
			}
		}
	}
	require.Fail(t, "no such yield", "%s/%s", step, output)
	return Learned{}
}

func TestYieldsByHand(t *testing.T) {
	k := someKitchen(t)
	y := Learn(k, cookedDaily(t, k,
		"braise: 6 kg pork shoulder, 6 L water -> 3.5 kg pulled shoulder, 4.4 L shoulder broth", // 3.5
		"braise x2: 12 kg pork shoulder, 12 L water -> 7.4 kg pulled shoulder",                  // 3.7, of two batches
		"braise: 7.5 kg pork shoulder, 6 L water -> 4.5 kg pulled shoulder",                     // 1.25 batches: 3.6
		"braise x2 -> 7.6 kg pulled shoulder",                                                   // 3.8, input unweighed
		"braise x3",                                                                             // nothing measured
		"braise: 0 kg pork shoulder, 6 L water -> 1 kg shoulder broth, 0 kg pulled shoulder",    // no main input
	), allYields)
	require.Len(t, y.Steps, 1)
	s := y.Steps[0]
	assert.Equal(t, []any{"braise", "pork shoulder", 6.0, "kg", 5},
		[]any{s.Step, s.Of, s.Amount, s.Unit, s.Batches})
	got := learnedOf(t, y, "braise", "pulled shoulder")
	assert.Equal(t, 4, got.Batches)
	assert.Equal(t, 3, got.Weighed)
	assert.InDelta(t, 3.65, *got.Mean, 1e-12)                       // (3.5 + 3.7 + 3.6 + 3.8)/4
	assert.InDelta(t, math.Sqrt(0.05/3), *got.Spread, 1e-12)        // (.15² + .05² + .05² + .15²)/3
	assert.InDelta(t, 3.65/3.6-1, *got.Off, 1e-12)                  // the file has 3.6
	assert.InDelta(t, 0.08, *got.Slope, 1e-12)                      // (-1.5·-.15 + -.5·.05 + .5·-.05 + 1.5·.15)/5 = .4/5
	assert.InDelta(t, math.Sqrt(0.018/2/5), *got.SlopeError, 1e-12) // left: .05 - .08²·5 = .018
	assert.Equal(t, "none", got.Trend)                              // .08 is within two times .0424
	assert.InDelta(t, 3.8, *got.Last, 1e-12)
	assert.Nil(t, got.Limits)
	broth := learnedOf(t, y, "braise", "shoulder broth")
	assert.Equal(t, 1, broth.Batches)
	assert.InDelta(t, 4.4, *broth.Mean, 1e-12)
	assert.Nil(t, broth.Spread)
	assert.Empty(t, broth.Trend)
	assert.Zero(t, learnedOf(t, y, "braise", "braise fat").Batches)
	assert.Equal(t, []Unused{{`"braise" says nothing of its main input, "pork shoulder"`, 1, 6}}, y.Unused)
	assert.Equal(t, "2026-11-28 09:00:00", y.AsOf)
}

// A batch that came out bit by bit teaches what was weighed of it, as if it had been written down all at once.
func TestYieldsOfLives(t *testing.T) {
	k := henKitchen(t)
	entries := settled(t, k, typed(t, k, `
		0/22 lit night pot: 5 each hen
		1/01 out 2.4 kg hen meat
		1/02 put in 5 kg bones
		1/07 out 12 L stock
		1/08 out 10 L stock of night pot of tue
		1/22 lit night pot of wed: 4 each hen
		2/01 out 1.9 kg hen meat of night pot of wed
		2/07 done night pot of wed
		2/22 lit night pot of thu
		3/01 lost 20% of night pot of thu
		3/02 out 1 kg hen meat of night pot of thu
		3/07 done night pot of thu
		3/22 lit night pot of fri
		4/01 out 2.1 kg hen meat of night pot of fri`))
	y := Learn(k, entries, allYields)
	meat, stock := learnedOf(t, y, "night pot", "hen meat"), learnedOf(t, y, "night pot", "stock")
	assert.Equal(t, 2, y.Steps[0].Batches, "one lost some, and one is under way")
	assert.Equal(t, []int{2, 2}, []int{meat.Batches, meat.Weighed})
	assert.InDelta(t, (2.4*4/5+1.9)/2, *meat.Mean, 1e-12)
	assert.Equal(t, 1, stock.Batches, "the second batch's was by the card")
	assert.InDelta(t, 22*4./5, *stock.Mean, 1e-12)

	j := newLogBook(t)
	for i := range entries {
		entries[i].ID = 0
	}
	_, err := j.Append(t.Context(), entries...)
	require.NoError(t, err)
	_, err = j.Undo(t.Context(), 2, at(5, 0)) // the first batch's meat
	require.NoError(t, err)
	kept, err := j.Yields(t.Context(), k, allYields)
	require.NoError(t, err)
	assert.InDelta(t, 1.9, *learnedOf(t, kept, "night pot", "hen meat").Mean, 1e-12)
}

// USDA Agriculture Handbook 102 (1975), item 238, as quoted at second hand: of beef rib, lean and fat are 82 % of the raw
// weight (78 to 86), bones 18.
func TestPublishedYields(t *testing.T) {
	k := readKitchen(t, `kitchen: Shop
bought: {beef rib: {price: 9/kg}}
steps:
  bone out ribs:
    takes:  [5 kg beef rib]
    gives: ["4100 g rib meat, published 78-86%", 0.9 kg rib bones]
dishes: {roast: {price: 20, takes: [200 g rib meat, 100 g rib bones], sells: 3}}
`)
	y := Learn(k, typed(t, k, `0/07 cooked bone out ribs: 10 kg beef rib -> 8.5 kg rib meat, 1.4 kg rib bones`),
		About{Step: -1, Output: -1}).Steps[0].Outputs
	assert.InDelta(t, 5000*.78, y[0].Published.Low, 1e-9)
	assert.InDelta(t, 5000*.86, y[0].Published.High, 1e-9)
	assert.InDelta(t, 4250, *y[0].Mean, 1e-9)
	assert.Nil(t, y[1].Published)
}

func TestYieldsOfAStepThatIsGone(t *testing.T) {
	k := someKitchen(t)
	list := cookedDaily(t, k, "braise x1 -> 3.5 kg pulled shoulder", "braise x1 -> 3.5 kg pulled shoulder")
	list[0].Step = "smoke"
	y := Learn(k, list, allYields)
	assert.Equal(t, []Unused{{`nothing in the kitchen is called "smoke" now`, 1, 1}}, y.Unused)
	assert.Equal(t, 1, y.Steps[0].Batches)
}

func TestTrend(t *testing.T) {
	k := someKitchen(t)
	for _, c := range []struct {
		name   string
		yields []float64
		trend  string
	}{
		{"two tell nothing", []float64{3, 3.1}, ""},
		{"a line without strays", []float64{3, 3.1, 3.2}, "up"},
		{"all alike", []float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1}, "none"},
		{"down", []float64{3.6, 3.55, 3.52, 3.43, 3.41, 3.34}, "down"},
		{"up and down", []float64{3.6, 3.4, 3.6, 3.4, 3.6, 3.5}, "none"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var texts []string
			for _, v := range c.yields {
				texts = append(texts, fmt.Sprintf("braise x1 -> %g kg pulled shoulder", v))
			}
			got := learnedOf(t, Learn(k, cookedDaily(t, k, texts...), allYields), "braise", "pulled shoulder")
			assert.Equal(t, c.trend, got.Trend)
		})
	}
}

func TestABatchOutOfLine(t *testing.T) {
	k := someKitchen(t)
	usual := "braise: 6 kg pork shoulder, 6 L water -> 3.5 kg pulled shoulder, 4.5 L shoulder broth"
	texts := slices.Repeat([]string{usual, strings.Replace(usual, "3.5", "3.6", 1)}, 5)
	texts[6] = "braise: 6 kg pork shoulder, 9 L water, 0.2 kg hen -> 2.4 kg pulled shoulder, 6.3 L shoulder broth"
	y := learnedOf(t, Learn(k, cookedDaily(t, k, texts...), allYields), "braise", "pulled shoulder")
	require.Len(t, y.Flagged, 1)
	assert.Equal(t, 1, y.OutOfLine)
	f := y.Flagged[0]
	assert.Equal(t, []any{int64(7), Below, "2026-11-30 09:00:00"}, []any{f.Entry, f.Side, f.At})
	assert.Equal(t, []Differ{{"water", 1.5, 1}}, f.Inputs)
	assert.Equal(t, []string{"hen"}, f.Beside)
	require.Len(t, f.Outputs, 1)
	assert.Equal(t, "shoulder broth", f.Outputs[0].Item)
	assert.InDelta(t, 1.4, f.Outputs[0].Share, 1e-12)
	assert.InDelta(t, 1, f.Outputs[0].Usual, 1e-12)
}

func TestYieldsSince(t *testing.T) {
	k := someKitchen(t)
	list := cookedDaily(t, k, "braise x1 -> 3.4 kg pulled shoulder", "braise x1 -> 3.6 kg pulled shoulder")
	y := learnedOf(t, Learn(k, list, About{Since: at(1, 0), Step: -1, Output: -1}), "braise", "pulled shoulder")
	assert.Equal(t, 1, y.Batches)
	assert.InDelta(t, 3.6, *y.Mean, 1e-12)
}

// someBatches draws cooked entries; figures are in hundredths, and so are their inputs.
func someBatches(t *rapid.T, k *kitchen.Kitchen, least int) (list []Entry) {
	for i := range rapid.IntRange(least, 14).Draw(t, "batches") {
		in := rapid.IntRange(100, 2000).Draw(t, "in")
		out := rapid.IntRange(30, 60).Draw(t, "share") * in / 100
		text := fmt.Sprintf("braise: %d g pork shoulder, %d mL water -> %d g pulled shoulder, 0 L shoulder broth, 0 g braise fat", in*10, in*10, out*10)
		if rapid.Bool().Draw(t, "unweighed") {
			text = fmt.Sprintf("braise x1 -> %d g pulled shoulder", 10*rapid.IntRange(200, 400).Draw(t, "out"))
		}
		e, err := Parse(k, Cooked, text)
		require.NoError(t, err)
		e.ID, e.At = int64(i+1), at(i, rapid.IntRange(0, 23).Draw(t, "hour"))
		list = append(list, e)
	}
	return list
}

func TestYieldsScaleWithWhatCameOut(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(t *rapid.T) {
		list := someBatches(t, k, 1)
		by := rapid.Float64Range(0.1, 3).Draw(t, "by")
		was := Learn(k, list, allYields).Steps[0].Outputs[0]
		for i := range list {
			list[i].Gives = slices.Clone(list[i].Gives)
			list[i].Gives[0].Base *= by
		}
		is := Learn(k, list, allYields).Steps[0].Outputs[0]
		assert.InEpsilon(t, *was.Mean*by, *is.Mean, 1e-9)
		if was.Spread != nil {
			assert.InDelta(t, *was.Spread*by, *is.Spread, 1e-9)
		}
		// A larger batch of the same gives the same.
		for i := range list {
			list[i].Batches *= by
			list[i].Takes = slices.Clone(list[i].Takes)
			for n := range list[i].Takes {
				list[i].Takes[n].Base *= by
			}
		}
		assert.InEpsilon(t, *was.Mean, *Learn(k, list, allYields).Steps[0].Outputs[0].Mean, 1e-9)
	})
}

func TestYieldsGoByWhenItHappened(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(t *rapid.T) {
		list := someBatches(t, k, 1)
		was := Learn(k, list, allYields).Steps[0].Outputs[0]
		list = rapid.Permutation(list).Draw(t, "written")
		for i := range list {
			list[i].ID = int64(i + 1)
		}
		is := Learn(k, list, allYields).Steps[0].Outputs[0]
		assert.Equal(t, *was.Mean, *is.Mean)
		assert.Equal(t, was.Slope, is.Slope)
		assert.Equal(t, was.Limits, is.Limits)
	})
}

// The log book learns, goes on from what it has read, and forgets what is undone.
func TestLogBookYields(t *testing.T) {
	lawtest.Few(t, 25)
	k := someKitchen(t)
	ctx := t.Context()
	var j *Book
	renew := func() { j = newLogBook(t) }
	checks := 0
	rapid.Check(t, func(t *rapid.T) {
		if checks++; checks%10 == 1 { // long enough to go on in, short enough to be read again at each check
			renew()
		}
		before, err := j.Yields(ctx, k, allYields)
		require.NoError(t, err)
		kept, err := j.Append(ctx, someBatches(t, k, 1)...)
		require.NoError(t, err)
		with, err := j.Yields(ctx, k, allYields)
		require.NoError(t, err)
		all, err := j.Entries(ctx)
		require.NoError(t, err)
		fresh := Learn(k, all, allYields)
		fresh.LogBook = with.LogBook
		assert.Equal(t, fresh, with, "goes on as if it began anew")
		var undone []int64
		for _, e := range kept {
			back, err := j.Undo(ctx, e.ID, at(20, 0))
			require.NoError(t, err)
			undone = append(undone, back.ID)
		}
		after, err := j.Yields(ctx, k, allYields)
		require.NoError(t, err)
		assert.Equal(t, before, after, "undo takes away exactly what the entries added")
		_, err = j.Undo(ctx, undone[0], at(20, 0))
		require.NoError(t, err)
	})
}

func TestProposalEqualsWhatIsPrinted(t *testing.T) {
	lawtest.Few(t, 25)
	k := someKitchen(t)
	src := []byte(braiseShop)
	rapid.Check(t, func(t *rapid.T) {
		y := Learn(k, someBatches(t, k, LeastBatches), allYields)
		p, text, err := Propose(k, src, y)
		require.NoError(t, err)
		was := y.Steps[0].Outputs[0]
		if text == nil {
			assert.Empty(t, p.Diff)
			return
		}
		after, faults := kitchen.Read("kitchen.yaml", text)
		require.NoError(t, faults.Err())
		out := after.Graph.Steps[0].Gives[0]
		assert.Equal(t, measure.FormatNumber(*was.Mean), measure.FormatNumber(out.Amount/1000))
		assert.Equal(t, kitchen.FormatSpread(*was.Spread), kitchen.FormatSpread(out.Spread/1000))
		figures := "3.6 kg"
		now := measure.FormatNumber(*was.Mean) + " kg pulled shoulder"
		if *was.Spread > 0 {
			now += " ± " + kitchen.FormatSpread(*was.Spread) + " kg"
		}
		assert.Equal(t, strings.Replace(braiseShop, figures+" pulled shoulder", now, 1), string(text), "nothing else")
		// Proposed again, nothing is left to change.
		again, none, err := Propose(after, text, Learn(after, nil, allYields))
		assert.Nil(t, again)
		assert.Nil(t, none)
		assert.Error(t, err)
	})
}

func TestProposalNeedsBatches(t *testing.T) {
	k := someKitchen(t)
	cooked := []string{"braise x1 -> 3.4 kg pulled shoulder"}
	y := Learn(k, cookedDaily(t, k, slices.Repeat(cooked, 4)...), About{Step: 0, Output: 0})
	_, _, err := Propose(k, []byte(braiseShop), y)
	assert.EqualError(t, err,
		"there are too few batches; pulled shoulder of braise: 4 batches were measured, 5 are needed")
	y = Learn(k, cookedDaily(t, k, slices.Repeat(cooked, 5)...), allYields)
	_, _, err = Propose(k, []byte(braiseShop+"# more\n"), y)
	assert.EqualError(t, err, "kitchen.yaml was changed in the meantime")
}

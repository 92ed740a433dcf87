package taste

// What to vary to find out.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Trial is a proposal of what to vary in the next batches.
type Trial struct {
	Things  []Varied `json:"things"`
	Batches [][]int  `json:"batches"` // in the order in which they are cooked: by thing -1 for the lower level, 1 for the higher
}

// Varied is a thing at two levels.
type Varied struct {
	Thing string  `json:"thing" yaml:"thing"`
	Unit  string  `json:"unit" yaml:"unit"`
	Lower float64 `json:"lower" yaml:"lower"`
	Upper float64 `json:"upper" yaml:"upper"`
	Less  string  `json:"less" yaml:"less"` // the lower level as a cook measures it: "4.4 kg", "50 min"; "" of what was never noted and has no aim: less than usual
	More  string  `json:"more" yaml:"more"`
}

// unread tells whether the levels have no figures, for nobody knows yet what is usual.
func (v *Varied) unread() bool { return v.Lower == 0 && v.Upper == 0 }

// VaryError says that a trial can't vary what was asked for.
type VaryError struct{ Msg, Hint string }

func (e *VaryError) Error() string { return e.Msg }

// factorsKnown are the things that the cook sets and that are known of any batch, whether there are enough of them or not.
func factorsKnown(batches []logbook.Tasting, handling map[string]string) (list []factor) {
	for b := range batches {
		for _, f := range batches[b].Facts {
			if f.Word == "" && (f.Unit == ofTheCard || f.Unit == "h") && !strings.HasSuffix(f.Name, " out") {
				list = known(list, f.Name, f.Unit, f.Value)
			}
		}
		for _, t := range batches[b].Tastes {
			if unit, is := handling[t.Name]; is && t.Value != nil {
				list = known(list, t.Name, unit, *t.Value)
			}
		}
	}
	return list
}

// notOf leaves out the amounts of lines that were filled otherwise than with the first choice last time: to propose more or less marrow bones is no use
// to who puts in knuckle bones.
func notOf(list []factor, batches []logbook.Tasting) []factor {
	last := map[string]string{}
	for b := range batches {
		for _, f := range batches[b].Facts {
			if name, is := strings.CutSuffix(f.Name, logbook.WentIn); is && f.Word != "" {
				last[name] = f.Word
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(list), func(f factor) bool {
		return f.unit == ofTheCard && last[f.name] != "" && last[f.name] != f.name
	})
}

// factorsUnknown are those of which no batch tells anything yet: a trial is about what the cook will do, and needs no past. What goes in stands
// on the card, and what is noted may have an aim.
func factorsUnknown(k *kitchen.Kitchen, step int, measures []kitchen.Measure, list []factor) (more []factor) {
	add := func(f factor) {
		if named := func(o factor) bool { return o.name == f.name }; !slices.ContainsFunc(list, named) && !slices.ContainsFunc(more, named) {
			more = append(more, f)
		}
	}
	if step >= 0 {
		for _, line := range k.Graph.Steps[step].Takes {
			add(factor{name: k.Graph.Items[line.Choices[0].Item].Name, unit: ofTheCard, values: []float64{1}, sets: true})
		}
	}
	for i := range measures {
		m := &measures[i]
		if !m.Handling || m.Sort == kitchen.InWords {
			continue
		}
		f := factor{name: m.Name, unit: m.Unit, sets: true}
		if m.Aim != nil {
			f.values = []float64{m.Aim.Low, m.Aim.High}
		}
		add(f)
	}
	return more
}

// varied is how far apart the values of a thing are, as a share of the middle one.
func (f *factor) varied() float64 {
	return (slices.Max(f.values) - slices.Min(f.values)) / max(median(f.values), 1e-9)
}

func known(list []factor, name, unit string, value float64) []factor {
	at := slices.IndexFunc(list, func(f factor) bool { return f.name == name })
	if at < 0 {
		at, list = len(list), append(list, factor{name: name, unit: unit, sets: true})
	}
	list[at].values = append(list[at].values, value)
	return list
}

// levelSaid is a level as a cook measures it: of what goes in, the amount of one batch.
func levelSaid(k *kitchen.Kitchen, step int, v Varied, level float64) string {
	if v.Unit == ofTheCard && step >= 0 {
		for l, line := range k.Graph.Steps[step].Takes {
			if c := line.Choices[0]; k.Graph.Items[c.Item].Name == v.Thing {
				return k.QuantityIn(step, l, c.Item, c.Amount*level).OnScale().String()
			}
		}
	}
	switch v.Unit {
	case "h":
		return measure.FormatDuration(5 * int(math.Round(level*60/5)))
	case "min", "times", "":
		return strings.TrimSpace(measure.FormatNumber(math.Round(level)) + " " + v.Unit)
	}
	return strings.TrimSpace(measure.FormatNumber(math.Round(level*100)/100) + " " + v.Unit)
}

// inPlaceOf is the first choice of a line of a card in whose place something goes; "" where there is none.
func inPlaceOf(k *kitchen.Kitchen, step int, name string) string {
	if step < 0 {
		return ""
	}
	for _, line := range k.Graph.Steps[step].Takes {
		for _, c := range line.Choices[1:] {
			if strings.EqualFold(k.Graph.Items[c.Item].Name, name) {
				return k.Graph.Items[line.Choices[0].Item].Name
			}
		}
	}
	return ""
}

// leastApart is how far apart the levels of a trial are at least, as a share of the middle: what differs less is lost among all else.
// Common practice, no source.
const leastApart = 0.2

// trial lays out a trial of what is asked for, or of the two things that go with a measure most, and as long as nothing can be
// said of that, of those that varied most. What is unknown is varied only where it is asked for.
func (a *Answer) trial(k *kitchen.Kitchen, step int, things, unknown []factor, vary []string) (*Trial, error) {
	any := slices.Concat(things, unknown)
	things = slices.DeleteFunc(slices.Clone(things), func(f factor) bool { return !slices.Contains(a.CanVary, f.name) })
	var chosen []factor
	pick := func(name string) bool {
		at := slices.IndexFunc(any, func(f factor) bool { return strings.EqualFold(f.name, name) })
		if at < 0 || slices.ContainsFunc(chosen, func(f factor) bool { return f.name == any[at].name }) {
			return false
		}
		chosen = append(chosen, any[at])
		return true
	}
	for _, name := range vary {
		if !pick(name) {
			if first := inPlaceOf(k, step, name); first != "" {
				return nil, &VaryError{fmt.Sprintf("%q only takes the place of %q on the card", name, first), fmt.Sprintf("vary %s, and take one of the two in all eight batches", first)}
			}
			var names []string
			for _, f := range any {
				names = append(names, f.name)
			}
			if len(names) == 0 {
				return nil, &VaryError{fmt.Sprintf("nothing is known of %q yet", name), "measure a batch first, and log what goes into it and when"}
			}
			return nil, &VaryError{fmt.Sprintf("%q is not something that the cook sets, or stands there twice", name), "these are: " + strings.Join(names, ", ")}
		}
	}
	if len(vary) == 1 || len(vary) > MostVaried {
		return nil, &VaryError{fmt.Sprintf("a trial varies two to %d things", MostVaried), "name them one by one: --vary A --vary B"}
	}
	if len(vary) == 0 {
		var all []Goes
		for _, m := range a.Measures {
			all = append(all, m.Goes...)
		}
		slices.SortStableFunc(all, func(x, y Goes) int { return cmp.Compare(x.Chance, y.Chance) })
		for _, g := range all {
			if g.Sets && len(chosen) < 2 && slices.Contains(a.CanVary, g.Thing) {
				pick(g.Thing)
			}
		}
		for _, f := range slices.SortedStableFunc(slices.Values(things), func(x, y factor) int { return cmp.Compare(y.varied(), x.varied()) }) {
			if len(chosen) < 2 {
				pick(f.name)
			}
		}
	}
	if len(chosen) < 2 {
		return nil, nil
	}
	t := &Trial{}
	for _, f := range chosen {
		if len(f.values) == 0 {
			t.Things = append(t.Things, Varied{Thing: f.name, Unit: f.unit})
			continue
		}
		sorted := slices.Sorted(slices.Values(f.values))
		v := Varied{Thing: f.name, Unit: f.unit, Lower: stat.Quantile(0.1, stat.Empirical, sorted, nil), Upper: stat.Quantile(0.9, stat.Empirical, sorted, nil)}
		if mid := median(f.values); v.Upper-v.Lower < leastApart*mid {
			v.Lower, v.Upper = mid*(1-leastApart/2), mid*(1+leastApart/2)
		}
		if v.Unit == "times" && math.Round(v.Upper)-math.Round(v.Lower) < 2 { // what is counted differs by two at least
			mid := math.Round((v.Lower + v.Upper) / 2)
			v.Lower, v.Upper = max(0, mid-1), mid+1
		}
		if v.Lower >= v.Upper { // it never was anything else, and half of nothing is nothing
			if len(vary) > 0 {
				return nil, &VaryError{fmt.Sprintf("%q was the same in every batch, and a share of nothing is nothing", f.name), "vary it once by hand, or name something else"}
			}
			return nil, nil
		}
		v.Less, v.More = levelSaid(k, step, v, v.Lower), levelSaid(k, step, v, v.Upper)
		t.Things = append(t.Things, v)
	}
	design, err := Design(len(t.Things))
	if err != nil {
		return nil, err
	}
	for _, run := range spread(a.Of, design) {
		t.Batches = append(t.Batches, design[run])
	}
	return t, nil
}

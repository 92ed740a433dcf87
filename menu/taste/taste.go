package taste

// How the batches of a step, or an item from time to time, came out.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/stat"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Answer is what was measured of a step's batches, or of an item.
type Answer struct {
	LogBook  string     `json:"log_book"` // its file
	Of       string     `json:"of"`       // the step or item
	AsOf     string     `json:"as_of"`    // 2006-01-02 15:04:05
	Batches  int        `json:"batches"`  // of which something was measured; of an item, how often
	Last     string     `json:"last"`     // the day of the last one, 2006-01-02; "" where there is none
	Right    []Righting `json:"right"`    // what puts the last one right
	Measures []Measured `json:"measures"` // in the order of the kitchen file
	Enough   int        `json:"enough"`   // how many batches it takes to say what goes with what
	Held     int        `json:"held"`     // how many things were held against measures
	Trial    *Trial     `json:"trial"`    // what to vary to find out; null where nothing that the cook sets is known
	Notes    []Note     `json:"notes"`    // as they were written, the latest first, at most ten

	asked bool
}

// Measured is a measure over the batches.
type Measured struct {
	Name     string          `json:"name"`
	Unit     string          `json:"unit"` // "" of a scale
	Top      float64         `json:"top"`  // of a scale; 0 of what is read off an instrument
	Aim      *kitchen.Range  `json:"aim"`  // null where the file gives none
	Handling bool            `json:"handling"`
	Batches  int             `json:"batches"`
	Mean     *float64        `json:"mean"`
	Spread   *float64        `json:"spread"` // sample standard deviation; null of fewer than two
	Last     *float64        `json:"last"`
	Outside  int             `json:"outside"` // batches outside the aim
	Limits   *logbook.Limits `json:"limits"`  // within the scale; null of fewer than five batches, or where all are alike
	Points   []Point         `json:"points"`  // in the order of time
	Goes     []Goes          `json:"goes"`    // what was held against it, the least likely chance first

	of *kitchen.Measure
}

// Asked tells whether it was said what the trial is to vary.
func (a *Answer) Asked() bool { return a.asked }

// Point is a batch as it was measured.
type Point struct {
	Entry   int64    `json:"entry"`
	Day     string   `json:"day"` // 2006-01-02
	Value   float64  `json:"value"`
	Side    string   `json:"side"`    // "above", "below" or "jump" where it is out of line, see [logbook.Limits.Side]
	Unusual []string `json:"unusual"` // of one out of line: what was not as usual with it
}

// Note is what was written about a batch.
type Note struct {
	Day  string `json:"day"` // 2006-01-02
	Text string `json:"text"`
}

// Righting is what puts a measure right.
type Righting struct {
	Measure string   `json:"measure"`
	Reads   float64  `json:"reads"`
	Unit    string   `json:"unit"`
	Aim     float64  `json:"aim"`    // that is worked to: the middle of the aim
	Of      string   `json:"of"`     // the item
	Amount  float64  `json:"amount"` // of it, litres or kilos
	In      string   `json:"in"`     // "L" or "kg"
	Weighed bool     `json:"weighed"`
	Do      string   `json:"do"`      // "water", "steam" or "salt"
	Much    float64  `json:"much"`    // litres or kilos; of salt grams
	Minutes *float64 `json:"minutes"` // of steam; null where nothing says how fast it goes off
	Then    float64  `json:"then"`    // how much there is afterwards
}

// Trial is a proposal of what to vary in the next batches.
type Trial struct {
	Things  []Varied `json:"things"`
	Batches [][]int  `json:"batches"` // in the order in which they are cooked: by thing -1 for the lower level, 1 for the higher
}

// Varied is a thing at two levels.
type Varied struct {
	Thing string  `json:"thing"`
	Unit  string  `json:"unit"`
	Lower float64 `json:"lower"`
	Upper float64 `json:"upper"`
	Less  string  `json:"less"` // the lower level as a cook measures it: "4.4 kg", "50 min"
	More  string  `json:"more"`
}

// Subject is what is asked about: a step of the kitchen, or an item where Step is negative.
type Subject struct{ Step, Item int }

// mostNotes is how many notes are shown.
const mostNotes = 10

// VaryError says that a trial can't vary what was asked for.
type VaryError struct{ Msg, Hint string }

func (e *VaryError) Error() string { return e.Msg }

// Of tells how a subject came out up to a moment. vary are the things that a trial is to vary; of none, those that go with a measure most
// are proposed.
func Of(ctx context.Context, k *kitchen.Kitchen, book *logbook.Book, of Subject, asOf time.Time, vary []string) (*Answer, error) {
	batches, err := book.Tastings(ctx, k, of.Step, of.Item, asOf)
	if err != nil {
		return nil, err
	}
	measures, name := k.Measures[max(of.Item, 0)], ""
	if of.Step >= 0 {
		measures, name = k.Steps[of.Step].Measures, k.Graph.Steps[of.Step].Name
	} else {
		name = k.Graph.Items[of.Item].Name
	}
	a := &Answer{Of: name, AsOf: asOf.Format(time.DateTime), Batches: len(batches), Enough: Enough, asked: len(vary) > 0, Right: []Righting{}, Measures: []Measured{}, Notes: []Note{}}
	if a.Batches > 0 {
		a.Last = batches[a.Batches-1].When().Format(time.DateOnly)
	}
	// What was measured, batch by batch, and what goes with it.
	handling := map[string]string{}
	for _, m := range measures {
		if m.Handling {
			handling[m.Name] = m.Unit
		}
	}
	things := factorsOf(batches, handling)
	for i := range measures {
		m := &measures[i]
		if m.Sort == kitchen.InWords {
			continue
		}
		measured, values := overBatches(m, batches)
		if !m.Handling {
			if measured.Goes = goesWith(things, values); measured.Goes == nil {
				measured.Goes = []Goes{}
			}
			a.Held += len(measured.Goes)
		}
		a.Measures = append(a.Measures, measured)
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
	}
	bound(a.Measures)
	// What was written, what puts the last one right, and what to vary.
	for i := len(batches) - 1; i >= 0 && len(a.Notes) < mostNotes; i-- {
		for _, text := range batches[i].Notes {
			a.Notes = append(a.Notes, Note{batches[i].When().Format(time.DateOnly), text})
		}
	}
	if a.Batches > 0 {
		a.Right = righted(k, of, measures, &batches[a.Batches-1])
	}
	a.Trial, err = a.trial(k, of.Step, factorsKnown(batches, handling), vary)
	return a, err
}

// overBatches is a measure over the batches, and its values by batch, not a number where it was not measured.
func overBatches(m *kitchen.Measure, batches []logbook.Tasting) (Measured, []float64) {
	a := Measured{Name: m.Name, Unit: m.Unit, Aim: m.Aim, Handling: m.Handling, Points: []Point{}, Goes: []Goes{}, of: m}
	if m.Sort == kitchen.Judged {
		a.Top = m.High
	}
	byBatch, values, at := make([]float64, len(batches)), []float64{}, []int{}
	for b := range batches {
		byBatch[b] = math.NaN()
		for _, t := range batches[b].Tastes {
			if t.Name != m.Name || t.Value == nil {
				continue
			}
			byBatch[b] = *t.Value
			values, at = append(values, *t.Value), append(at, b)
			a.Points = append(a.Points, Point{Entry: batches[b].Entry, Day: batches[b].When().Format(time.DateOnly), Value: *t.Value, Unusual: []string{}})
			if m.Aim != nil && (*t.Value < m.Aim.Low || *t.Value > m.Aim.High) {
				a.Outside++
			}
		}
	}
	if a.Batches = len(values); a.Batches == 0 {
		return a, byBatch
	}
	a.Mean, a.Last = new(stat.Mean(values, nil)), new(values[a.Batches-1])
	if a.Batches > 1 {
		a.Spread = new(stat.StdDev(values, nil))
	}
	if a.Batches < logbook.LeastBatches {
		return a, byBatch
	}
	l := logbook.LimitsOf(values)
	if l.Range == 0 { // all alike
		return a, byBatch
	}
	if m.Sort == kitchen.Judged { // nothing is judged off the scale
		l.Lower, l.Upper = max(l.Lower, m.Low), min(l.Upper, m.High)
	}
	a.Limits = &l
	for i := range a.Points {
		if a.Points[i].Side = l.Side(values, i); a.Points[i].Side != "" {
			a.Points[i].Unusual = unusual(batches, at[i])
		}
	}
	return a, byBatch
}

// A figure is not as usual when it lies farther from the median of all batches than three of their usual distances (the median absolute
// deviation, times 1.4826 of a normal draw) and than a twentieth of it; a word, when fewer than a third of the batches have it. Common
// practice, no source.
const (
	farOff   = 3 * 1.4826
	leastOff = 0.05
	fewWords = 1.0 / 3
)

// unusual says what was not as usual with a batch.
func unusual(batches []logbook.Tasting, of int) []string {
	list := []string{}
	for _, f := range batches[of].Facts {
		var values []float64
		same, said := 0, 0
		for b := range batches {
			for _, o := range batches[b].Facts {
				if o.Name != f.Name {
					continue
				}
				if values = append(values, o.Value); o.Word != "" {
					if said++; o.Word == f.Word {
						same++
					}
				}
			}
		}
		if f.Word != "" {
			if float64(same) < fewWords*float64(said) {
				list = append(list, f.String())
			}
			continue
		}
		if len(values) < logbook.LeastBatches {
			continue
		}
		usual := median(values)
		off := make([]float64, len(values))
		for i, v := range values {
			off[i] = math.Abs(v - usual)
		}
		if d := math.Abs(f.Value - usual); d > farOff*median(off) && d > leastOff*math.Abs(usual) {
			list = append(list, f.Said(usual))
		}
	}
	return list
}

// median is the middle one of some values, or the mean of the middle two.
func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// righted is what puts the last batch right: of each measure of what is dissolved that is outside its aim.
func righted(k *kitchen.Kitchen, of Subject, measures []kitchen.Measure, last *logbook.Tasting) []Righting {
	list := []Righting{}
	item, amount, weighed := of.Item, 0.0, false
	if of.Step >= 0 {
		st := &k.Graph.Steps[of.Step]
		out := st.Gives[0]
		for _, o := range st.Gives { // what is liquid is what is measured
			if k.Graph.Items[o.Item].Unit.Kind == measure.Volume {
				out = o
				break
			}
		}
		item, amount = out.Item, out.Amount*last.Batches
		if gave, ok := last.Gave[item]; ok {
			amount, weighed = gave, true
		}
	}
	it := &k.Graph.Items[max(item, 0)]
	for i := range measures {
		m := &measures[i]
		salt := m.Salt()
		if salt == 0 && !m.Sugar() || m.Aim == nil || amount <= 0 || it.Unit.Kind != measure.Volume { // nobody thins what is no liquid
			continue
		}
		for _, t := range last.Tastes {
			if t.Name != m.Name || t.Value == nil || *t.Value >= m.Aim.Low && *t.Value <= m.Aim.High {
				continue
			}
			r := Righting{Measure: m.Name, Reads: *t.Value, Unit: m.Unit, Aim: (m.Aim.Low + m.Aim.High) / 2, Of: it.Name, Amount: amount / 1000, In: "L", Weighed: weighed}
			switch {
			case r.Reads > r.Aim:
				r.Do, r.Much = "water", kitchenRound(Thin(r.Amount, r.Reads, r.Aim))
				r.Then = r.Amount + r.Much
			case salt > 0 && salt*r.Aim < 1: // salt is added; a refractometer that reads too little wants less water
				r.Do, r.Much, r.Then = "salt", gramsRound(1000*Add(r.Amount, salt*r.Reads, salt*r.Aim)), r.Amount
			case m.Sugar() && r.Reads > 0:
				r.Do, r.Much = "steam", kitchenRound(Reduce(r.Amount, r.Reads, r.Aim))
				if r.Then = r.Amount - r.Much; of.Step >= 0 {
					if rate := k.Graph.Steps[of.Step].BoilsOff / 1000; rate > 0 {
						r.Minutes = new(60 * r.Much / rate)
					}
				}
			}
			if r.Much > 0 {
				list = append(list, r)
			}
		}
	}
	return list
}

// gramsRound rounds grams down to what a scale shows: 5 g below a kilo, else 10 g.
func gramsRound(g float64) float64 {
	if g < 1000 {
		return 5 * math.Floor(g/5)
	}
	return 10 * math.Floor(g/10)
}

// factorsKnown are the things that the cook sets and that are known of any batch, whether there are enough of them or not.
func factorsKnown(batches []logbook.Tasting, handling map[string]string) (list []factor) {
	for b := range batches {
		for _, f := range batches[b].Facts {
			if f.Word == "" && (f.Unit == "of the card" || f.Unit == "h") && !strings.HasSuffix(f.Name, " out") {
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
	if v.Unit == "of the card" && step >= 0 {
		for _, line := range k.Graph.Steps[step].Takes {
			if c := line.Choices[0]; k.Graph.Items[c.Item].Name == v.Thing {
				return k.QuantityOn(step, c.Item, c.Amount*level).OnScale().String()
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

// leastApart is how far apart the levels of a trial are at least, as a share of the middle: what differs less is lost among all else.
// Common practice, no source.
const leastApart = 0.2

// trial lays out a trial of what is asked for, or of the two things that go with a measure most, and as long as nothing can be
// said of that, of those that varied most.
func (a *Answer) trial(k *kitchen.Kitchen, step int, things []factor, vary []string) (*Trial, error) {
	var chosen []factor
	pick := func(name string) bool {
		at := slices.IndexFunc(things, func(f factor) bool { return strings.EqualFold(f.name, name) })
		if at < 0 || slices.ContainsFunc(chosen, func(f factor) bool { return f.name == things[at].name }) {
			return false
		}
		chosen = append(chosen, things[at])
		return true
	}
	for _, name := range vary {
		if !pick(name) {
			var names []string
			for _, f := range things {
				names = append(names, f.name)
			}
			if len(names) == 0 {
				return nil, &VaryError{fmt.Sprintf("nothing is known of %q yet", name), "measure a batch first, and log what goes into it and when"}
			}
			return nil, &VaryError{fmt.Sprintf("%q is not something that was varied or noted, or stands there twice", name), "these are: " + strings.Join(names, ", ")}
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
			if g.Sets && len(chosen) < 2 {
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
		sorted := slices.Sorted(slices.Values(f.values))
		v := Varied{Thing: f.name, Unit: f.unit, Lower: stat.Quantile(0.1, stat.Empirical, sorted, nil), Upper: stat.Quantile(0.9, stat.Empirical, sorted, nil)}
		if mid := median(f.values); v.Upper-v.Lower < leastApart*mid {
			v.Lower, v.Upper = mid*(1-leastApart/2), mid*(1+leastApart/2)
		}
		if v.Unit == "times" && math.Round(v.Upper)-math.Round(v.Lower) < 2 { // what is counted differs by two at least
			mid := math.Round((v.Lower + v.Upper) / 2)
			v.Lower, v.Upper = max(0, mid-1), mid+1
		}
		v.Less, v.More = levelSaid(k, step, v, v.Lower), levelSaid(k, step, v, v.Upper)
		t.Things = append(t.Things, v)
	}
	design, err := Design(len(t.Things))
	if err != nil {
		return nil, err
	}
	for _, run := range Shuffled(a.Of) {
		t.Batches = append(t.Batches, design[run])
	}
	return t, nil
}

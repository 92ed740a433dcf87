package logbook

// Yields as they are learned: what the batches of each step really gave.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/stat"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// LeastBatches is the fewest measured batches from which limits are drawn, or a figure of the kitchen file is changed.
// Common practice, no source.
const LeastBatches = 5

// Yields is what the entries that stand say of each step's yields.
type Yields struct {
	LogBook string       `json:"log_book"` // its file
	AsOf    string       `json:"as_of"`    // the latest batch that counts, 2006-01-02 15:04:05; "" when there is none
	Since   string       `json:"since"`    // only batches from this day on, 2006-01-02; "" for all
	Steps   []StepYields `json:"steps"`    // in the order of the kitchen file; of those that were cooked, or asked about
	Unused  []Unused     `json:"unused"`
}

// StepYields is what was learned of a step. What comes out is counted for one batch of the kitchen file: the amount
// that was measured, divided by how many times the main input's amount went in. The main input is the first that the
// step can't do without. Where it was not weighed, the number of batches that was said stands in for it.
type StepYields struct {
	Step    string    `json:"step"`
	Of      string    `json:"of"`     // the main input
	Amount  float64   `json:"amount"` // of it in one batch of the kitchen file
	Unit    string    `json:"unit"`
	Batches int       `json:"batches"` // that count, whatever was measured of them
	Outputs []Learned `json:"outputs"`
}

// Learned is a yield by the batches of which it was measured. Figures are in Unit, for one batch.
type Learned struct {
	Output     string      `json:"output"`
	Unit       string      `json:"unit"`
	File       float64     `json:"file"`        // the file's figure
	FileSpread float64     `json:"file_spread"` // what stands behind "±"; 0 for nothing
	Published  *Published  `json:"published"`   // null where the file has none
	Batches    int         `json:"batches"`     // measured: each counts once, be it large or small
	Weighed    int         `json:"weighed"`     // of them, those whose main input was weighed too
	Mean       *float64    `json:"mean"`        // null when none was measured
	Spread     *float64    `json:"spread"`      // sample standard deviation; null of fewer than two batches
	Off        *float64    `json:"off"`         // mean over File, less 1
	Slope      *float64    `json:"slope"`       // least-squares change from batch to batch; null of fewer than three
	SlopeError *float64    `json:"slope_error"` // its standard error
	Trend      string      `json:"trend"`       // "up" or "down" when slope is beyond two of its errors, else "none"; "" of fewer than three
	Last       *float64    `json:"last"`        // the last batch
	LastAt     string      `json:"last_at"`     // 2006-01-02 15:04:05
	Limits     *Limits     `json:"limits"`      // null of fewer than [LeastBatches]
	OutOfLine  int         `json:"out_of_line"` // how many batches
	Flagged    []OutOfLine `json:"flagged"`     // the latest of them, at most [MostFlagged]

	Points []Point `json:"-"` // all measured batches, in the order of time

	step, place int // of the kitchen's graph, and of the step's outputs
}

// Published is what a published table gives, by the file's note.
type Published struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Point is what a batch gave.
type Point struct {
	Entry int64
	At    time.Time
	Value float64
	Side  string // see [Limits.Side]
}

// OutOfLine is a batch out of line, and what else was not as usual with it.
type OutOfLine struct {
	Entry   int64    `json:"entry"`
	At      string   `json:"at"` // 2006-01-02 15:04:05
	Value   float64  `json:"value"`
	Side    string   `json:"side"`    // "above" or "below" the limits, or a "jump" from the batch before
	Inputs  []Differ `json:"inputs"`  // that were not as usual
	Beside  []string `json:"beside"`  // that the recipe does not have
	Outputs []Differ `json:"outputs"` // all others that were measured
}

// Differ is an amount of a batch beside what is usual, the median of all batches. Both are shares of the recipe's
// amount: for as much as there was of the main input, and for the main input itself and the number of batches that was
// said.
type Differ struct {
	Item  string  `json:"item"`
	Share float64 `json:"share"`
	Usual float64 `json:"usual"`
}

// Unused are entries of which no yield could be learned.
type Unused struct {
	Why     string `json:"why"`     // what keeps them from telling a yield
	Entries int    `json:"entries"` // how many
	Latest  int64  `json:"latest"`  // the latest of them
}

// MostFlagged is how many batches out of line are said one by one.
const MostFlagged = 10

// differs is by how much of the usual an input must be off to be named. Common practice, no source.
const differs = 0.05

// About says which yields are asked for.
type About struct {
	Since        time.Time // batches from then on
	Step, Output int       // of the kitchen; negative for all
}

// Yields tells what the log book says of a kitchen's yields. Asked again about the same kitchen, only what was written
// since is read.
func (j *Book) Yields(ctx context.Context, k *kitchen.Kitchen, about About) (*Yields, error) {
	j.turn.Lock()
	defer j.turn.Unlock()
	l := j.learned
	if l == nil || l.k != k {
		l = newLearning(k)
	}
	j.learned = nil // should it fail half way
	var gone map[int64]int64
	err := j.ask(ctx, func(r *register) error {
		gone = r.fates()
		ids := r.pick(func(n *noted) bool { return n.kind.OfBatch() && n.kind != Skipped })
		after, _ := slices.BinarySearch(ids, l.last+1)
		return j.each(ctx, ids[after:], func(e *kept) error {
			l.add(&e.Entry)
			return nil
		})
	})
	if err != nil {
		return nil, err
	}
	j.learned = l
	a := l.answer(gone, about)
	a.LogBook = j.file
	return a, nil
}

// batch is a cooked entry as far as yields go. Amounts that nobody measured are not a number.
type batch struct {
	id, at  int64 // at in seconds since 1970
	step    int   // of the graph; negative of an entry of which nothing is learned
	why     string
	weighed bool
	uses    []float64 // by line of the step, see [Differ]
	gives   []float64 // by output: base units for one batch of the kitchen file
	beside  []string
}

// learning is what was read of a log book, whether it stands or not: that may change with every entry.
type learning struct {
	k       *kitchen.Kitchen
	last    int64
	stepAt  map[string]int
	itemAt  map[string]int
	batches []batch
	parts   []Entry // of batches that came out bit by bit
}

func newLearning(k *kitchen.Kitchen) *learning {
	l := &learning{k: k, stepAt: map[string]int{}, itemAt: map[string]int{}}
	for s := range k.Steps {
		l.stepAt[k.Graph.Steps[s].Name] = s
	}
	for i, it := range k.Graph.Items {
		if it.Role != graph.Sold {
			l.itemAt[it.Name] = i
		}
	}
	return l
}

// add takes in an entry about a batch.
func (l *learning) add(e *Entry) {
	l.last = max(l.last, e.ID)
	if e.Kind != Cooked {
		l.parts = append(l.parts, *e)
		return
	}
	l.batches = append(l.batches, l.batch(e))
}

// batch is what a batch gave, all at once.
func (l *learning) batch(e *Entry) batch {
	b := batch{id: e.ID, at: e.At.Unix(), step: -1}
	if step, ok := l.stepAt[e.Step]; !ok {
		b.why = gone(l.k, e.Step)
	} else if b.why = l.measure(&b, &l.k.Graph.Steps[step], e); b.why == "" {
		b.step = step
	}
	return b
}

// lives are the batches that came out bit by bit and are out, put together from the entries about each that stand. Of one that was lost,
// in whole or part, nothing is learned.
func (l *learning) lives(gone map[int64]int64) (list []batch) {
	type key struct {
		step   string
		begins time.Time
	}
	at := map[key]int{}
	var lives []Entry
	var lost, done []bool
	for i := range l.parts {
		e := &l.parts[i]
		if _, is := gone[e.ID]; is {
			continue
		}
		k := key{e.Step, e.On(l.k)}
		n, known := at[k]
		if !known {
			n = len(lives)
			at[k], lives, lost, done = n, append(lives, Entry{Kind: Cooked, Step: e.Step}), append(lost, false), append(done, false)
		}
		life := &lives[n]
		if life.Batches += e.Batches; !e.At.Before(life.At) {
			life.ID, life.At = e.ID, e.At
		}
		life.Takes, life.Gives = append(life.Takes, e.Takes...), append(life.Gives, e.Gives...)
		lost[n], done[n] = lost[n] || e.Kind == Lost, done[n] || e.Kind == Done
	}
	for n := range lives {
		if life := &lives[n]; !lost[n] && life.Batches > 0 && (done[n] || l.allOut(life)) {
			list = append(list, l.batch(life))
		}
	}
	return list
}

// allOut tells whether something is known of all that a batch gives.
func (l *learning) allOut(life *Entry) bool {
	step, ok := l.stepAt[life.Step]
	return ok && !slices.ContainsFunc(l.k.Graph.Steps[step].Gives, func(o graph.Output) bool { return !names(life.Gives, l.k.Graph.Items[o.Item].Name) })
}

// measure fills in what was measured; why tells what keeps it from that.
func (l *learning) measure(b *batch, st *graph.Step, e *Entry) (why string) {
	figures := make([]float64, len(st.Takes)+len(st.Gives))
	b.uses, b.gives = figures[:len(st.Takes)], figures[len(st.Takes):]
	typed := make([]bool, len(st.Takes))
	for _, a := range e.Takes {
		line, share := lineOf(l.k, l.itemAt, st, a)
		switch {
		case line < 0:
			b.beside = append(b.beside, a.Item)
		case math.IsNaN(share):
			return fmt.Sprintf("%q was counted in %s, and nothing leads to how it is counted now", a.Item, measures[a.Kind])
		default:
			b.uses[line] += share
			typed[line] = typed[line] || a.Typed != ""
		}
	}
	scale, by := e.Batches, st.MainLine()
	if by >= 0 {
		if scale = b.uses[by]; scale <= 0 {
			return fmt.Sprintf("%q says nothing of its main input, %q", st.Name,
				l.k.Graph.Items[st.Takes[by].Choices[0].Item].Name)
		}
	}
	b.weighed = by >= 0 && typed[by]
	for line := range b.uses {
		switch {
		case !typed[line]:
			b.uses[line] = math.NaN()
		case line == by:
			b.uses[line] /= e.Batches
		default:
			b.uses[line] /= scale
		}
	}
	for o := range b.gives {
		b.gives[o] = math.NaN()
	}
	for _, a := range e.Gives {
		if a.Typed == "" || a.Base == 0 { // what nobody kept is no yield
			continue
		}
		item, known := l.itemAt[a.Item]
		o := slices.IndexFunc(st.Gives, func(o graph.Output) bool { return known && o.Item == item })
		if o < 0 {
			continue // nothing in the file to set it against
		}
		it := &l.k.Graph.Items[item]
		base, ok := it.Bridge().Convert(a.Base, a.Kind, it.Unit.Kind)
		if !ok {
			return fmt.Sprintf("%q was counted in %s, and nothing leads to how it is counted now", a.Item, measures[a.Kind])
		}
		if math.IsNaN(b.gives[o]) {
			b.gives[o] = 0
		}
		b.gives[o] += base / scale
	}
	return ""
}

// lineOf finds the line of a step that an amount fills, and what share of the recipe's amount it is: not a number when
// it can't be told, no line when the recipe has none. itemAt are the items by name.
func lineOf(k *kitchen.Kitchen, itemAt map[string]int, st *graph.Step, a Amount) (line int, share float64) {
	item, ok := itemAt[a.Item]
	if !ok {
		return -1, 0
	}
	for n, line := range st.Takes {
		for _, c := range line.Choices {
			if c.Item != item {
				continue
			}
			it := &k.Graph.Items[item]
			base, ok := it.Bridge().Convert(a.Base, a.Kind, it.Unit.Kind)
			if !ok {
				return n, math.NaN()
			}
			return n, base / c.Amount
		}
	}
	return -1, 0
}

// answer sums up the batches that stand.
func (l *learning) answer(gone map[int64]int64, about About) *Yields {
	a := &Yields{Steps: []StepYields{}, Unused: []Unused{}}
	if !about.Since.IsZero() {
		a.Since = about.Since.Format(time.DateOnly)
	}
	of := make([][]*batch, len(l.k.Steps))
	unused := map[string]int{}
	all := slices.Concat(l.batches, l.lives(gone))
	for i := range all {
		b := &all[i]
		if _, is := gone[b.id]; is || !about.Since.IsZero() && b.at < about.Since.Unix() {
			continue
		}
		if b.step >= 0 {
			of[b.step] = append(of[b.step], b)
			continue
		}
		at, known := unused[b.why]
		if !known {
			at = len(a.Unused)
			unused[b.why], a.Unused = at, append(a.Unused, Unused{Why: b.why})
		}
		a.Unused[at].Entries++
		a.Unused[at].Latest = b.id
	}
	slices.SortFunc(a.Unused, func(x, y Unused) int { return strings.Compare(x.Why, y.Why) })
	var asOf int64
	for step, batches := range of {
		if about.Step >= 0 && about.Step != step || about.Step < 0 && len(batches) == 0 {
			continue
		}
		slices.SortFunc(batches, func(x, y *batch) int { return cmp.Or(cmp.Compare(x.at, y.at), cmp.Compare(x.id, y.id)) })
		if n := len(batches); n > 0 {
			asOf = max(asOf, batches[n-1].at)
			a.AsOf = time.Unix(asOf, 0).UTC().Format(seconds)
		}
		a.Steps = append(a.Steps, l.step(step, batches, about.Output))
	}
	return a
}

// step sums up a step's batches, which are in the order of time.
func (l *learning) step(step int, batches []*batch, only int) StepYields {
	k, st := l.k, &l.k.Graph.Steps[step]
	s := StepYields{Step: st.Name, Batches: len(batches), Outputs: []Learned{}}
	if by := st.MainLine(); by >= 0 {
		c := st.Takes[by].Choices[0]
		q := k.Quantity(c.Item, c.Amount)
		s.Of, s.Amount, s.Unit = k.Graph.Items[c.Item].Name, q.Amount, q.Unit.Name
	}
	u := &usual{k: k, st: st, batches: batches}
	for o := range st.Gives {
		if only < 0 || only == o {
			s.Outputs = append(s.Outputs, l.output(step, o, batches, u))
		}
	}
	return s
}

// output sums up one of a step's yields.
func (l *learning) output(step, o int, batches []*batch, u *usual) Learned {
	out := l.k.Graph.Steps[step].Gives[o]
	unit := l.k.Graph.Items[out.Item].Unit
	y := Learned{Output: l.k.Graph.Items[out.Item].Name, Unit: unit.Name, File: out.Amount / unit.Factor,
		FileSpread: out.Spread / unit.Factor, Flagged: []OutOfLine{}, step: step, place: o}
	if t := l.k.Steps[step].Tables; t != nil && t[o].High > 0 {
		y.Published = &Published{t[o].Low / unit.Factor, t[o].High / unit.Factor}
	}
	values, measured := make([]float64, 0, len(batches)), make([]*batch, 0, len(batches))
	y.Points = make([]Point, 0, len(batches))
	for _, b := range batches {
		if math.IsNaN(b.gives[o]) {
			continue
		}
		v := b.gives[o] / unit.Factor
		values, measured = append(values, v), append(measured, b)
		y.Points = append(y.Points, Point{Entry: b.id, At: time.Unix(b.at, 0).UTC(), Value: v})
		if b.weighed {
			y.Weighed++
		}
	}
	y.sum(values)
	if y.Limits == nil {
		return y
	}
	for at := range y.Points {
		if y.Points[at].Side = y.Limits.Side(values, at); y.Points[at].Side != "" {
			y.OutOfLine++
		}
	}
	for at := len(measured) - 1; at >= 0 && len(y.Flagged) < min(y.OutOfLine, MostFlagged); at-- {
		if y.Points[at].Side != "" {
			y.Flagged = append(y.Flagged, u.told(measured[at], o, y.Points[at]))
		}
	}
	slices.Reverse(y.Flagged)
	return y
}

// sum fills in what follows from the values alone.
func (y *Learned) sum(values []float64) {
	n := len(values)
	if y.Batches = n; n == 0 {
		return
	}
	last := &y.Points[n-1]
	y.Last, y.LastAt = new(last.Value), last.At.Format(seconds)
	mean := stat.Mean(values, nil)
	y.Mean, y.Off = &mean, new(mean/y.File-1)
	if n >= 2 {
		y.Spread = new(stat.StdDev(values, nil))
	}
	if n >= 3 {
		slope, stray := slopeOf(values)
		y.Slope, y.SlopeError, y.Trend = &slope, &stray, "none"
		// The second condition holds back what the rounding of sums makes of batches that are all alike.
		if math.Abs(slope) > 2*stray && math.Abs(slope)*float64(n) > slack*math.Abs(mean) {
			if y.Trend = "up"; slope < 0 {
				y.Trend = "down"
			}
		}
	}
	if n >= LeastBatches {
		y.Limits = new(LimitsOf(values))
	}
}

// slopeOf is the least-squares slope of values over their places, and its standard error: the root of the mean square
// of the residuals, of n-2 degrees of freedom, over the sum of squares of the places about their mean.
func slopeOf(values []float64) (slope, stray float64) {
	n := float64(len(values))
	places := make([]float64, len(values))
	for i := range places {
		places[i] = float64(i)
	}
	from, slope := stat.LinearRegression(places, values, nil, false)
	left := 0.0
	for i, v := range values {
		r := v - from - slope*places[i]
		left += r * r
	}
	return slope, math.Sqrt(left / (n - 2) / (n * (n*n - 1) / 12))
}

// usual is what is usual of a step's amounts. It is found out when it is first asked for.
type usual struct {
	k       *kitchen.Kitchen
	st      *graph.Step
	batches []*batch

	uses, gives []float64 // by line and output; nil before
}

// told tells of a batch out of line what else was not as usual.
func (u *usual) told(b *batch, of int, p Point) OutOfLine {
	if u.uses == nil {
		u.uses = u.medians(len(u.st.Takes), func(b *batch) []float64 { return b.uses })
		u.gives = u.medians(len(u.st.Gives), func(b *batch) []float64 { return b.gives })
	}
	t := OutOfLine{Entry: p.Entry, At: p.At.Format(seconds), Value: p.Value, Side: p.Side, Inputs: []Differ{},
		Beside: append([]string{}, b.beside...), Outputs: []Differ{}}
	for line, share := range b.uses {
		if math.Abs(share-u.uses[line]) > differs*u.uses[line] { // false where it was not measured
			item := u.st.Takes[line].Choices[0].Item
			t.Inputs = append(t.Inputs, Differ{u.k.Graph.Items[item].Name, share, u.uses[line]})
		}
	}
	for o, base := range b.gives {
		if out := u.st.Gives[o]; o != of && !math.IsNaN(base) {
			name := u.k.Graph.Items[out.Item].Name
			t.Outputs = append(t.Outputs, Differ{name, base / out.Amount, u.gives[o] / out.Amount})
		}
	}
	return t
}

// medians are the medians of the figures of all batches, by place; of an even number of batches the lower of the two.
func (u *usual) medians(places int, figures func(*batch) []float64) []float64 {
	list := make([]float64, places)
	for at := range places {
		var known []float64
		for _, b := range u.batches {
			if v := figures(b)[at]; !math.IsNaN(v) {
				known = append(known, v)
			}
		}
		slices.Sort(known)
		if list[at] = math.NaN(); len(known) > 0 {
			list[at] = known[(len(known)-1)/2]
		}
	}
	return list
}

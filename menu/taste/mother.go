package taste

// A stock that is carried from batch to batch: how old it is, what is in it of all that ever went in, how it drifts, and what it takes to
// begin it again.

import (
	"context"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Mother is a stock that each batch takes from the one before.
type Mother struct {
	Item      string        `json:"item"`
	Unit      string        `json:"unit"`      // of amounts of it
	Since     string        `json:"since"`     // 2006-01-02, the first batch in the log book, or the last that took nothing of the one before; "" where there is none
	Batches   int           `json:"batches"`   // in the log book, from that on
	Again     bool          `json:"again"`     // it was begun again then: there are batches before
	Left      int           `json:"left"`      // of what was begun again: batches until it is within a twentieth of what it was
	Age       *float64      `json:"age"`       // days, the mean of all that is in the pot; null where there is no batch. What was there before the first counts from it
	First     *float64      `json:"first"`     // the share of the pot that was there before the first batch of the log book or came with it
	Exchanged float64       `json:"exchanged"` // the share that is new in each batch: the mean of the last ten that took of the one before, else by the card
	Parts     []MotherPart  `json:"parts"`     // of what stays in, in the order of the card; what fills it up and boils off again is not among them
	Cooked    []MotherMeat  `json:"cooked"`    // what was cooked in it and taken out again, in the order of the card
	Drifts    []MotherDrift `json:"drifts"`    // of salt and sugar
	Restart   Restart       `json:"restart"`
}

// MotherPart is how much of a thing went in over the stock's life, and how much of that is still in the pot: each batch leaves the share of
// the pot that is not carried on.
type MotherPart struct {
	Item  string  `json:"item"`
	Unit  string  `json:"unit"`
	In    float64 `json:"in"`    // over its life
	There float64 `json:"there"` // of that
	Share float64 `json:"share"` // There of In
	Week  float64 `json:"week"`  // the share of There that went in in the last seven days
}

// MotherMeat is how much of a thing was cooked in the stock over its life: the raw meat, and what has a time to come out. What it left in the pot nobody
// weighs.
type MotherMeat struct {
	Item string  `json:"item"`
	Unit string  `json:"unit"`
	In   float64 `json:"in"`   // over its life
	Week float64 `json:"week"` // of that, in the last seven days
}

// MotherDrift is how salt or sugar moves by day.
type MotherDrift struct {
	Measure string   `json:"measure"`
	Unit    string   `json:"unit"`
	Batches int      `json:"batches"`
	ByDay   float64  `json:"by_day"` // slope of the straight line through them (least squares)
	Chance  float64  `json:"chance"` // how likely chance alone makes it rise or fall as much, by rank
	Now     float64  `json:"now"`    // the last
	Days    *float64 `json:"days"`   // until it leaves its aim, at this pace; null where it does not, or is outside already

	of *kitchen.Measure
}

// Kind is the measure as the kitchen file has it.
func (d *MotherDrift) Kind() *kitchen.Measure { return d.of }

// Said is a value of the measure as it is said.
func (d *MotherDrift) Said(v float64) string { return d.of.Value(v) }

// Plain tells whether it drifts more than chance would.
func (d *MotherDrift) Plain() bool { return d.Chance <= plainChance && d.Batches >= leastDrift }

// leastDrift is how many batches it takes to speak of a drift: with fewer, no order is rare enough.
const leastDrift = 6

// Restart is what it takes to begin the stock again, and how long that takes.
type Restart struct {
	Takes   []RestartLine `json:"takes"`    // to make the whole pot at once, of what otherwise makes only the new part of it
	Makes   float64       `json:"makes"`    // of the stock
	Hours   float64       `json:"hours"`    // until the first of it is out
	ToTaste bool          `json:"to_taste"` // the pot is only topped up: what seasons it is by the card of one batch, and too little for a whole pot
	Waits   []string      `json:"waits"`    // dishes that wait for it
	Batches int           `json:"batches"`  // until it is within a twentieth of what it was, by the exchanged share
	Days    int           `json:"days"`     // as many batches by the card's week
}

// RestartLine is an amount of something.
type RestartLine struct {
	Item   string  `json:"item"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
}

// asBefore is how much of the difference between a new stock and the old is left when it tastes as before: a twentieth, which few can
// taste. Common practice, no source.
const asBefore = 0.05

// leastFresh is the share of a batch that must be new for its card to tell how much the whole pot holds: below it, what is lost with the meat and the
// skimming counts for more. Common practice, no source.
const leastFresh = 0.05

// carried is the line of a step that takes what the step itself gives, and the output; ok is false where there is none.
func carried(k *kitchen.Kitchen, step int) (line int, out graph.Output, ok bool) {
	st := &k.Graph.Steps[step]
	for n, l := range st.Takes {
		for _, o := range st.Gives {
			if o.Item == l.Choices[0].Item {
				return n, o, true
			}
		}
	}
	return 0, graph.Output{}, false
}

// pot is a batch by the log book: how much of the old pot went in, how much came out, and what went in beside it, by line of the card.
type pot struct {
	at    time.Time
	seed  float64
	made  float64
	takes []float64 // in base units of each line's first choice
}

// exchanged is the share of a batch that is new.
func (p *pot) exchanged() float64 {
	if p.made <= 0 {
		return 1
	}
	return 1 - min(1, p.seed/p.made)
}

// lifeOf plays the batches one after another: whatever is in the pot stays in the share that is carried on, and what is new goes on top.
// The first counts as all new, whatever it was seeded from: nothing is known of what came before.
func lifeOf(pots []pot) (age, first float64, in, there, week, late []float64) {
	lines := len(pots[0].takes)
	in, there, week, late = make([]float64, lines), make([]float64, lines), make([]float64, lines), make([]float64, lines)
	last := pots[len(pots)-1].at
	for n, p := range pots {
		keeps := 0.0
		if n > 0 {
			keeps = 1 - p.exchanged()
			age = keeps * (age + p.at.Sub(pots[n-1].at).Hours()/24)
			first *= keeps
			// What is carried on is the share of the pot before that went in as seed: less of it where some was used up.
			if before := pots[n-1].made; before > 0 {
				keeps = min(1, p.seed/before)
			}
		} else {
			first = 1
		}
		for l, amount := range p.takes {
			in[l] += amount
			there[l] = there[l]*keeps + amount
			week[l] *= keeps
			if last.Sub(p.at) < 7*24*time.Hour {
				week[l], late[l] = week[l]+amount, late[l]+amount
			}
		}
	}
	return age, first, in, there, week, late
}

// motherOf tells of the stock that a step carries from batch to batch; nil where it carries none.
func motherOf(ctx context.Context, k *kitchen.Kitchen, book *logbook.Book, step int, measures []kitchen.Measure, batches []logbook.Tasting, asOf time.Time) (*Mother, error) {
	line, out, ok := carried(k, step)
	if !ok {
		return nil, nil
	}
	st := &k.Graph.Steps[step]
	item := &k.Graph.Items[out.Item]
	m := &Mother{Item: item.Name, Unit: item.Unit.Name, Parts: []MotherPart{}, Cooked: []MotherMeat{}, Drifts: []MotherDrift{}}
	made, err := book.Made(ctx, k, step, asOf)
	if err != nil {
		return nil, err
	}
	pots := make([]pot, 0, len(made))
	for _, b := range made {
		p := pot{at: b.Begins, seed: b.Takes[line], made: b.Gives[out.Item], takes: slices.Clone(b.Takes)}
		p.takes[line] = 0
		pots = append(pots, p)
	}
	// By the card, or by the last batches.
	byCard := pot{seed: st.Takes[line].Choices[0].Amount, made: out.Amount}
	m.Exchanged = byCard.exchanged()
	carries := slices.DeleteFunc(slices.Clone(pots), func(p pot) bool { return p.seed <= 0 }) // what begins a pot exchanges nothing
	if late := carries[max(0, len(carries)-10):]; len(late) > 0 {
		m.Exchanged = 0
		for i := range late {
			m.Exchanged += late[i].exchanged() / float64(len(late))
		}
	}
	for n := len(pots) - 1; n > 0 && !m.Again; n-- {
		if m.Again = pots[n].seed <= 0; m.Again {
			pots = pots[n:]
		}
	}
	if m.Batches = len(pots); m.Batches > 0 {
		m.Since = pots[0].at.Format(time.DateOnly)
		batches = slices.DeleteFunc(slices.Clone(batches), func(b logbook.Tasting) bool { return b.When().Before(pots[0].at) })
		age, first, in, there, week, lately := lifeOf(pots)
		age += asOf.Sub(pots[len(pots)-1].at).Hours() / 24
		m.Age, m.First = &age, &first
		filler, _ := fillerOf(k, step, line)
		for l, t := range st.Takes {
			if l == line || l == filler || in[l] == 0 {
				continue
			}
			c := t.Choices[0]
			name, all := k.Graph.Items[c.Item].Name, k.QuantityIn(step, l, c.Item, in[l]).Handy()
			if k.Raw[c.Item] || t.OutAt > 0 {
				m.Cooked = append(m.Cooked, MotherMeat{name, all.Unit.Name, all.Amount, lately[l] / all.Unit.Factor})
				continue
			}
			part := MotherPart{Item: name, Unit: all.Unit.Name, In: all.Amount, There: there[l] / all.Unit.Factor, Share: there[l] / in[l]}
			if there[l] > 0 {
				part.Week = week[l] / there[l]
			}
			m.Parts = append(m.Parts, part)
		}
	}
	for i := range measures {
		if d := driftOf(&measures[i], batches); d != nil {
			m.Drifts = append(m.Drifts, *d)
		}
	}
	m.Restart = restartOf(k, step, line, out, m.Exchanged)
	if m.Again {
		m.Left = max(0, m.Restart.Batches-(m.Batches-1))
	}
	return m, nil
}

// driftOf is how a measure of what is dissolved moves by day; nil where it was measured of fewer than three batches.
func driftOf(m *kitchen.Measure, batches []logbook.Tasting) *MotherDrift {
	if m.Salt() == 0 && !m.Sugar() {
		return nil
	}
	var days, values []float64
	for i := range batches {
		if v := readOf(&batches[i], m.Name); v != nil {
			days, values = append(days, batches[i].When().Sub(batches[0].When()).Hours()/24), append(values, *v)
		}
	}
	if len(values) < 3 || days[len(days)-1] == days[0] {
		return nil
	}
	_, slope := stat.LinearRegression(days, values, nil, false)
	d := &MotherDrift{Measure: m.Name, Unit: m.Unit, Batches: len(values), ByDay: slope, Chance: Chance(days, values), Now: values[len(values)-1], of: m}
	if m.Aim == nil || !d.Plain() || d.Now < m.Aim.Low || d.Now > m.Aim.High {
		return d
	}
	edge := m.Aim.High
	if slope < 0 {
		edge = m.Aim.Low
	}
	d.Days = new((edge - d.Now) / slope)
	return d
}

// restartOf is what it takes to begin again: the pot as it stands in the usual run of days, made without the seed. Each batch brings some of what
// is dissolved and leaves the share that is not carried on, so that of what a batch brings, the pot holds as much as brings it from nothing to
// the whole: what goes in for it is taken that often. The cheapest of the liquids, water as a rule, fills the pot up to where it stands before it
// boils down. What is raw, is taken out again or has a most goes in once: the meat, and the strong thing that is built up batch by batch. Of
// a pot that is only topped up for what boils off, all is carried on, and the card does not say how much the pot has come to hold: what
// seasons it stands there once, and is to be tasted.
func restartOf(k *kitchen.Kitchen, step, line int, out graph.Output, exchanged float64) Restart {
	st := &k.Graph.Steps[step]
	r := Restart{Takes: []RestartLine{}, Makes: k.Quantity(out.Item, out.Amount).Amount, Hours: float64(out.OutAt) / 60, Waits: []string{}}
	seed := st.Takes[line].Choices[0].Amount
	times := 1.0
	if fresh := out.Amount - seed; fresh > leastFresh*out.Amount {
		times = out.Amount / fresh
	} else {
		r.ToTaste = true
	}
	amounts := make([]float64, len(st.Takes))
	filler, liquids := fillerOf(k, step, line)
	others := 0.0
	for l, t := range st.Takes {
		c := t.Choices[0]
		if amounts[l] = times * c.Amount; k.Raw[c.Item] || t.OutAt > 0 || t.AtMost > 0 {
			amounts[l] = c.Amount
		}
		if l != line && l != filler && k.Graph.Items[c.Item].Unit.Kind == measure.Volume && t.OutAt == 0 {
			others += amounts[l]
		}
	}
	if filler >= 0 && k.Graph.Items[out.Item].Unit.Kind == measure.Volume {
		amounts[filler] = max(st.Takes[filler].Choices[0].Amount, seed+liquids-others)
	}
	for l, t := range st.Takes {
		if l == line {
			continue
		}
		c := t.Choices[0]
		q := k.QuantityIn(step, l, c.Item, amounts[l]).OnScale().Handy()
		r.Takes = append(r.Takes, RestartLine{k.Graph.Items[c.Item].Name, q.Amount, q.Unit.Name})
	}
	if exchanged >= 1 {
		r.Batches = 1
	} else if exchanged > 0 {
		r.Batches = int(math.Ceil(math.Log(asBefore)/math.Log(1-exchanged) - 1e-9))
	}
	week := 0.0
	for _, n := range k.Steps[step].Batches {
		week += min(1, n)
	}
	if week > 0 {
		r.Days = int(math.Ceil(7 * float64(r.Batches) / week))
	}
	r.Waits = waits(k, step)
	return r
}

// fillerOf is the line of what fills a pot up, the cheapest of the liquids that are bought, -1 where there is none; and how much goes in of all liquids
// of the card beside what is carried on.
func fillerOf(k *kitchen.Kitchen, step, line int) (filler int, liquids float64) {
	filler = -1
	takes := k.Graph.Steps[step].Takes
	for l, t := range takes {
		c := t.Choices[0]
		it := &k.Graph.Items[c.Item]
		if l == line || it.Unit.Kind != measure.Volume || t.OutAt > 0 {
			continue
		}
		liquids += c.Amount
		if it.Role == graph.Bought && (filler < 0 || k.Terms.Price[c.Item] < k.Terms.Price[takes[filler].Choices[0].Item]) {
			filler = l
		}
	}
	return filler, liquids
}

// waits are the dishes that can't be made without what a step gives: a line with another choice, or that is optional, waits for nobody.
func waits(k *kitchen.Kitchen, step int) []string {
	list := []string{}
	gone := map[int]bool{}
	for _, o := range k.Graph.Steps[step].Gives {
		gone[o.Item] = true
	}
	for again := true; again; {
		again = false
		for s := range k.Graph.Steps {
			st := &k.Graph.Steps[s]
			stuck := slices.ContainsFunc(st.Takes, func(l graph.Line) bool {
				return !l.Optional && !slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return !gone[c.Item] })
			})
			if !stuck {
				continue
			}
			for _, o := range st.Gives {
				if !gone[o.Item] && !slices.ContainsFunc(k.Graph.Steps, func(other graph.Step) bool {
					return other.Name != st.Name && slices.ContainsFunc(other.Gives, func(p graph.Output) bool { return p.Item == o.Item })
				}) {
					gone[o.Item], again = true, true
				}
			}
		}
	}
	for _, d := range k.Dishes {
		if !d.Special && gone[d.Item] {
			list = append(list, d.Name)
		}
	}
	return list
}

package logbook

// Entries about a batch as a cook writes them: lit, put in, out, done, cooked, skipped; and what of them is by the card.

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

var (
	batchEnds = regexp.MustCompile(` +x ?[0-9]|:| *->| +gives | +of `)
	partEnds  = regexp.MustCompile(` *,| +lot | +(?:of|into|from) `)
	partMarks = regexp.MustCompile(` *,| +(?:of|into|from) `)
	times     = regexp.MustCompile(`^x ?([0-9.]+)`)
	gives     = regexp.MustCompile(`^(?:->|gives )`)
	dayWord   = regexp.MustCompile(`^[^ :,]+`)
)

// cooked reads STEP [xBATCHES] [of DAY] [: AMOUNT [lot MARK], ...] [-> AMOUNT [lot MARK], ...].
func (r *reader) cooked() error {
	step, err := r.batch()
	if err != nil {
		return err
	}
	r.e.Batches = cmp.Or(r.e.Batches, 1)
	if r.next(":") && !gives.MatchString(r.rest()) {
		if r.e.Takes, err = r.amounts(amountEnds, markEnds, onceALot); err != nil {
			return err
		}
	}
	if m := gives.FindString(r.rest()); m != "" {
		r.past(len(m))
		if r.e.Gives, err = r.amounts(amountEnds, markEnds, once); err != nil {
			return err
		}
	}
	st := r.k.Graph.Steps[step]
	r.e.Takes = takenByCard(r.k, st, r.e.Batches, r.e.Takes, byFirst, func(graph.Line) bool { return true })
	r.e.Gives = givenByCard(r.k, st, r.e.Batches, r.e.Gives)
	return r.balance()
}

// lit reads STEP [xBATCHES] [of DAY] [: AMOUNT [lot MARK], ...]. Batches stay 0 where they were not written.
func (r *reader) lit() error {
	step, err := r.batch()
	if err != nil {
		return err
	}
	if err := r.hasBatches(step); err != nil {
		return err
	}
	if r.next(":") {
		r.e.Takes, err = r.amounts(amountEnds, markEnds, onceALot)
	}
	return err
}

// batch reads STEP [xBATCHES] [of DAY].
func (r *reader) batch() (step int, err error) {
	step, rest, err := r.k.StepNamed(r.rest(), batchEnds)
	if err := r.moved(rest, err); err != nil {
		return 0, err
	}
	r.e.Step = r.k.Graph.Steps[step].Name
	if m := times.FindStringSubmatch(r.rest()); m != nil {
		n, err := strconv.ParseFloat(m[1], 64)
		if err != nil || n <= 0 || n > mostBatches {
			return 0, r.fault(r.at, len(m[0]), "write it as x1, x2 or x0.5", "%q is not a number of batches", m[0])
		}
		r.e.Batches = n
		r.past(len(m[0]))
	}
	return step, r.ofDay()
}

// mostBatches bounds what is cooked at once.
const mostBatches = 10_000

// ofDay reads "of DAY", or nothing.
func (r *reader) ofDay() error {
	if !r.next("of ") {
		return nil
	}
	day := dayWord.FindString(r.rest())
	if !kitchen.IsDay(day) {
		return r.fault(r.at, max(len(day), min(1, len(r.rest()))), "write tue, or a date as 2026-11-24", "%q is not a day", day)
	}
	r.e.Day = day
	r.past(len(day))
	return nil
}

// hasBatches refuses a step that is made as it is ordered, or needed.
func (r *reader) hasBatches(step int) error {
	switch st := r.k.Graph.Steps[step]; {
	case st.Mode != graph.ToOrder:
		return nil
	case st.AsNeeded():
		return r.fault(0, len(r.text), "once it is made, write: cooked "+r.e.Step, "%q is made as it is needed, so no batch of it is due", r.e.Step)
	}
	return r.fault(0, len(r.text), "strike a dish, or bin what is made", "%q is made to order and has no batches", r.e.Step)
}

// ofBatch reads STEP [of DAY].
func (r *reader) ofBatch() error {
	step, rest, err := r.k.StepNamed(r.rest(), batchEnds)
	if err := r.moved(rest, err); err != nil {
		return err
	}
	r.e.Step = r.k.Graph.Steps[step].Name
	if err := r.hasBatches(step); err != nil {
		return err
	}
	return r.ofDay()
}

// putIn and out read AMOUNT [lot MARK], ... [of STEP [of DAY]], and into or from for the first of. Step stays "" where none was written.
func (r *reader) putIn() (err error) {
	if r.e.Takes, err = r.amounts(partEnds, partMarks, onceALot); err != nil || !r.next("of ") && !r.next("into ") {
		return err
	}
	return r.ofBatch()
}

func (r *reader) out() (err error) {
	if r.e.Gives, err = r.amounts(partEnds, partMarks, once); err != nil || !r.next("of ") && !r.next("from ") {
		return err
	}
	return r.ofBatch()
}

// once and onceALot tell whether an amount repeats one before it: an item stands once in a list, or once for each lot.
func once(a, before Amount) bool     { return a.Item == before.Item }
func onceALot(a, before Amount) bool { return a.Item == before.Item && a.Mark == before.Mark }

// amounts reads AMOUNT [lot MARK], AMOUNT [lot MARK], ... An amount of nothing says that there was none.
func (r *reader) amounts(ends, marks *regexp.Regexp, repeats func(a, before Amount) bool) (list []Amount, err error) {
	for {
		from := r.at
		a, err := r.amountOrNone(ends)
		if err != nil {
			return nil, err
		}
		if a.Mark, err = r.lot(marks); err != nil {
			return nil, err
		}
		if slices.ContainsFunc(list, func(before Amount) bool { return repeats(a, before) }) {
			return nil, r.fault(from, len(trimmed(r.text[from:r.at])), "add the two amounts", "%q appears twice", a.Item)
		}
		if list = append(list, a); !r.next(",") {
			return list, nil
		}
	}
}

// takenByCard adds to what was written what fills each line of which no choice was written, of the lines that count.
func takenByCard(k *kitchen.Kitchen, st graph.Step, batches float64, written []Amount, by fills, counts func(graph.Line) bool) []Amount {
	list := slices.Clip(written)
	for l, line := range st.Takes {
		said := slices.ContainsFunc(line.Choices, func(c graph.Choice) bool { return names(written, k.Graph.Items[c.Item].Name) })
		if !counts(line) || said {
			continue
		}
		for _, p := range by(l, line, batches) {
			list = add(list, byCard(k, p.item, p.base), len(written))
		}
	}
	return list
}

// givenByCard adds to what was written the outputs of which nothing was written.
func givenByCard(k *kitchen.Kitchen, st graph.Step, batches float64, written []Amount) []Amount {
	list := slices.Clip(written)
	for _, out := range st.Gives {
		if !names(written, k.Graph.Items[out.Item].Name) {
			list = add(list, byCard(k, out.Item, out.Amount*batches), len(written))
		}
	}
	return list
}

// byCard is an amount that nobody measured.
func byCard(k *kitchen.Kitchen, item int, base float64) Amount {
	it := k.Graph.Items[item]
	return Amount{Item: it.Name, Base: base, Kind: it.Unit.Kind}
}

// names tells whether a list has an item.
func names(list []Amount, item string) bool {
	return slices.ContainsFunc(list, func(a Amount) bool { return a.Item == item })
}

// add adds an amount to a list in which every item stands once, from some place on.
func add(list []Amount, a Amount, from int) []Amount {
	for i := from; i < len(list); i++ {
		if list[i].Item == a.Item {
			list[i].Base += a.Base
			return list
		}
	}
	return append(list, a)
}

// balance refuses more weight out than in. It judges only when the weight of all that went in is known.
func (r *reader) balance() error {
	const slack = 1e-6 // far below what a scale shows
	in, out, card := 0.0, 0.0, 0.0
	for _, a := range r.e.Takes {
		grams, ok := r.grams(a)
		if !ok {
			return nil
		}
		in += grams
	}
	for _, a := range r.e.Gives {
		grams, _ := r.grams(a)
		if out += grams; a.Typed == "" {
			card += grams
		}
	}
	kilos := func(grams float64) string { return measure.FormatNumber(grams/1000) + " kg" }
	switch {
	case out <= in*(1+slack):
		return nil
	case out-card <= in*(1+slack):
		return r.fault(0, len(r.text), "weigh the rest that came out too, or write how much of a batch it was: x0.5",
			"%s came out, with %s of it by the card, but only %s went in", kilos(out), kilos(card), kilos(in))
	}
	return r.fault(0, len(r.text), "log everything that went in, water too; or weigh again",
		"%s came out, but only %s went in", kilos(out-card), kilos(in))
}

func (r *reader) grams(a Amount) (float64, bool) {
	i, _, err := r.k.ItemNamed(a.Item, nil)
	if err != nil {
		return 0, false
	}
	return r.k.Graph.Items[i].Grams(a.Base)
}

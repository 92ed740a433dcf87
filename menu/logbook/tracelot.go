package logbook

// The lineage of a lot as an answer.

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// LotTrace tells where the lots of a mark, or of an entry, went and what they came from.
//
// A lot goes by its mark or, without one, by the number of the entry that brought it; so do the lots of one batch,
// which their items tell apart. Only what is received or cooked becomes a lot of its own, nothing that is merely moved.
type LotTrace struct {
	LogBook string       `json:"log_book"` // its file
	Asked   string       `json:"asked"`    // the mark or number
	AsOf    string       `json:"as_of"`    // when the latest entry happened, 2006-01-02 15:04:05
	Where   string       `json:"where"`    // the kitchen
	Lots    []TracedLot  `json:"lots"`     // that were asked about, then what they came from, then what came of them
	Sales   []TracedSale `json:"sales"`    // that they reached
	Moves   []TracedMove `json:"moves"`    // backwards, then forwards, each in the order in which they happened
	Notes   []string     `json:"notes"`

	From, Into []*LotLine `json:"-"` // the same as trees, as far as they are drawn
	Cut        bool       `json:"-"` // they go on
}

// TracedLot is a lot with its balance. How is "contains" when the lot was named, or lay alone, on the whole way; "may
// contain" when it lay together with others.
type TracedLot struct {
	Lot    string  `json:"lot"`   // its mark or, without one, the number of its entry
	Entry  int64   `json:"entry"` // that brought it
	Item   string  `json:"item"`
	Side   string  `json:"side"`                       // "asked", "from" of what it came from, or "into" of what came of it
	How    string  `json:"how"`                        // "contains" or "may contain"; "" of what was asked about
	At     string  `json:"at"`                         // 2006-01-02 15:04:05
	Who    string  `json:"who"`                        // who supplied it; "" of what was cooked
	DayOne *string `json:"day_one"`                    // 2006-01-02, from which the code's date mark counts; null where it binds none
	From   string  `json:"day_one_of,omitempty"`       // the ingredient that brought an earlier day 1
	Guess  bool    `json:"day_one_presumed,omitempty"` // it was counted, or made of what was: the earlier day 1 is the oldest that the kitchen file lets it carry
	UseBy  *string `json:"use_by"`                     // 2006-01-02, the last day by the kitchen file or the code's date mark; null when neither says
	Unit   string  `json:"unit"`
	In     float64 `json:"in"` // all that came; the sum of the five that follow
	Cooked float64 `json:"cooked"`
	Sold   float64 `json:"sold"`
	Binned float64 `json:"binned"`
	Off    float64 `json:"counted_off"` // less at a count than the book had
	Left   float64 `json:"left"`
}

// TracedSale is a sale that the lots reached.
type TracedSale struct {
	Entry    int64  `json:"entry"`
	At       string `json:"at"` // 2006-01-02 15:04:05
	Dish     string `json:"dish"`
	Portions int    `json:"portions"`
	Service  string `json:"service"`
	How      string `json:"how"` // as of a lot
}

// TracedMove is a movement. Amounts are those by the book: the lot named first, then first in, first out.
type TracedMove struct {
	Direction string  `json:"direction"` // "from" or "into"
	How       string  `json:"how"`       // as of a lot
	FromLot   string  `json:"from_lot"`  // "" of what was received or found, and of what was taken beyond the book
	ToLot     string  `json:"to_lot"`    // of what a step took, the number of its entry; "" of what left
	Item      string  `json:"item"`
	Amount    float64 `json:"amount"`
	Unit      string  `json:"unit"`
	At        string  `json:"at"` // 2006-01-02 15:04:05
	Entry     int64   `json:"entry"`
	Kind      Kind    `json:"kind"`    // of the entry
	WentTo    string  `json:"went_to"` // the step or dish, "bin", "count" or "on hand"
	Service   string  `json:"service"`
	Portions  int     `json:"portions"`
	Who       string  `json:"who"`      // the supplier
	Where     string  `json:"where"`    // the kitchen
	Document  string  `json:"document"` // the file from which it was taken over
	Text      string  `json:"text"`     // as it was written down
}

// LotLine is a line of a tree: a lot, or an entry that took from it.
type LotLine struct {
	Name   string
	Amount string
	How    string
	Again  bool // its lines stand above
	Lines  []*LotLine
}

// Bounds of what is drawn as a tree: what goes beyond is for a sheet.
const (
	deepest  = 8
	mostDraw = 120
	near     = 16 // so far apart, at most, stand movements that are one line
)

// TraceLot traces the lots of a mark or, where there is none such, of the entry of a number, up to a moment. An
// [*EntryError] says that there is none.
func (j *Book) TraceLot(ctx context.Context, k *kitchen.Kitchen, name string, asOf time.Time) (*LotTrace, error) {
	j.turn.Lock()
	defer j.turn.Unlock()
	asked, entry, notes, err := j.asked(ctx, k, name)
	if err != nil {
		return nil, j.fault(err)
	}
	var g *Lineage
	w, err := j.reeled(ctx, k, asOf, func(r *reel) { g = trace(r, asked...) })
	if err != nil {
		return nil, err
	}
	t := &answerOf{k: k, days: k.DayOnes(), g: g, entry: entry, logBook: j,
		a: &LotTrace{LogBook: j.file, Asked: name, AsOf: w.p.stock.AsOf.Format(seconds), Where: k.Name, Notes: notes}}
	if err := t.read(ctx); err != nil {
		return nil, j.fault(err)
	}
	return t.told(), nil
}

// reeled lets something go through all movements up to a moment: again where what is kept of them was changed meanwhile, or is torn. The
// turn must be held.
func (j *Book) reeled(ctx context.Context, k *kitchen.Kitchen, asOf time.Time, through func(*reel)) (*warm, error) {
	for tries := 0; ; tries++ {
		w, err := j.playedUpTo(ctx, &j.warm, k, asOf)
		if err != nil {
			return nil, err
		}
		parts, ok, err := j.moves(ctx, w)
		if isBusy(err) || ctx.Err() != nil {
			return nil, j.fault(err)
		}
		ok = ok && err == nil // what can't be read is only a copy
		r := &reel{parts: parts, tail: w.p.moves, items: shelfItems(len(k.Graph.Items), len(k.Steps))}
		if ok {
			through(r)
		}
		if ok && r.torn == nil {
			return w, nil
		}
		j.warm = nil
		if tries > 1 {
			return nil, &FileError{File: j.file, Msg: "the log book keeps changing",
				Hint: "try again when the other programs writing it have finished"}
		}
		if r.torn != nil || tries > 0 {
			j.forget(ctx)
		}
	}
}

// forget throws away what was played, also where the file can't be written.
func (j *Book) forget(ctx context.Context) {
	j.warm = nil
	_, err := j.db.ExecContext(ctx, "DELETE FROM played; DELETE FROM playing")
	j.distrust = err != nil
}

// answerOf words a lineage.
type answerOf struct {
	k         *kitchen.Kitchen
	days      *kitchen.DayOnes
	g         *Lineage
	logBook   *Book
	entry     int64 // that was asked about; 0 where marks were
	entries   map[int64]*Entry
	documents map[int64]string
	a         *LotTrace
	drawn     map[any]bool
	lines     int
}

// read reads the entries that are concerned.
func (t *answerOf) read(ctx context.Context) error {
	t.entries, t.documents = map[int64]*Entry{}, map[int64]string{}
	ids := map[int64]bool{t.entry: true}
	for l := range t.g.Lots {
		ids[l.Entry] = true
	}
	for _, side := range [][]linked{t.g.From, t.g.Into} {
		for _, m := range side {
			ids[m.Entry] = true
			if m.From != 0 {
				ids[m.From] = true
			}
		}
	}
	sorted := make([]int64, 0, len(ids))
	delete(ids, 0)
	for id := range ids {
		sorted = append(sorted, id)
	}
	slices.Sort(sorted)
	return t.logBook.each(ctx, sorted, func(e *kept) error {
		t.entries[e.ID] = &e.Entry
		if e.source != nil {
			t.documents[e.ID] = e.source.name
		}
		return nil
	})
}

// code names a lot: its mark, or the number of its entry.
func (t *answerOf) code(l lotOf) string {
	if e := t.entries[l.Entry]; e != nil {
		for _, a := range e.Gives {
			if mark := cmp.Or(a.Mark, e.Mark); a.Item == t.item(l.Item) && mark != "" && !e.Kind.OfPortions() {
				return mark
			}
		}
	}
	return strconv.FormatInt(l.Entry, 10)
}

// item names an item, or what is in the pots of a step.
func (t *answerOf) item(i int) string {
	if items := len(t.k.Graph.Items); t.inPot(i) {
		var steps []string
		for _, st := range t.k.Graph.Steps[:len(t.k.Steps)] {
			steps = append(steps, st.Name)
		}
		return potName(steps, i-items)
	}
	return t.k.Graph.Items[i].Name
}

// inPot tells whether an item of a movement stands for what is in pots.
func (t *answerOf) inPot(item int) bool { return item >= len(t.k.Graph.Items) }

// amount is in the unit in which the kitchen file counts the item.
func (t *answerOf) amount(item int, base float64) float64 {
	return base / t.k.Graph.Items[item].Unit.Factor
}

// told is the whole answer.
func (t *answerOf) told() *LotTrace {
	a := t.a
	a.Lots, a.Sales, a.Moves = []TracedLot{}, []TracedSale{}, []TracedMove{}
	lots := t.g.sorted()
	for _, side := range []string{"asked", "from", "into"} {
		for _, l := range lots {
			if line := t.g.Lots[l]; line.side() == side && !t.inPot(l.Item) {
				a.Lots = append(a.Lots, t.lot(l, line))
			}
		}
	}
	beyond, book := false, false
	for n, links := range [][]linked{t.g.From, t.g.Into} {
		for _, m := range links {
			if t.inPot(m.Item) {
				continue // it has no amount: the lots that went in and came out tell of it
			}
			a.Moves = append(a.Moves, t.move([]string{"from", "into"}[n], m))
			beyond, book = beyond || m.Sort == Beyond, book || m.Sure == May
		}
	}
	for _, m := range t.g.Into {
		if e := t.entries[m.Entry]; m.Kind.OfPortions() && m.Sort != Came {
			if last := len(a.Sales) - 1; last >= 0 && a.Sales[last].Entry == e.ID {
				if m.Sure == Is {
					a.Sales[last].How = Is.String()
				}
				continue
			}
			a.Sales = append(a.Sales, TracedSale{e.ID, e.At.Format(seconds), e.Dish, e.Portions, e.Service, m.Sure.String()})
		}
	}
	if book {
		a.Notes = append(a.Notes, "\"May contain\": the lot was on hand with others, and nobody logged which of them was taken. "+
			"Amounts are first in, first out, which does not prove that a lot was used up.")
	}
	if beyond {
		a.Notes = append(a.Notes, "More was taken than the log book had; nobody logged what that was.")
	}
	if slices.ContainsFunc(a.Lots, func(l TracedLot) bool { return l.Side == "asked" }) || t.entry != 0 {
		a.From, a.Into = t.tree(true), t.tree(false)
	}
	return a
}

func (l *lotLine) side() string {
	switch {
	case l.Asked > Unlinked:
		return "asked"
	case l.Before > Unlinked:
		return "from"
	}
	return "into"
}

func (t *answerOf) lot(l lotOf, line *lotLine) TracedLot {
	e := t.entries[l.Entry]
	amount := func(base float64) float64 { return t.amount(l.Item, base) }
	var dates LotHeld
	if t.k.Graph.Items[l.Item].Role == graph.Made {
		(&Present{k: t.k}).date(&dates, t.days, Lot{Item: l.Item, Made: midnight(e.At), Since: line.Moved.Since})
	}
	return TracedLot{DayOne: dates.DayOne, From: dates.From, Guess: dates.Guess, UseBy: dates.UseBy, Lot: t.code(l), Entry: l.Entry, Item: t.item(l.Item), Side: line.side(),
		How: max(line.Before, line.After).String(), At: e.At.Format(seconds), Who: e.Supplier,
		Unit: t.k.Graph.Items[l.Item].Unit.Name, In: amount(line.Came), Cooked: amount(line.Cooked), Sold: amount(line.Sold),
		Binned: amount(line.Binned), Off: amount(line.Off), Left: amount(line.Lay)}
}

func (t *answerOf) move(direction string, m linked) TracedMove {
	e := t.entries[m.Entry]
	v := TracedMove{Direction: direction, How: m.Sure.String(), Item: t.item(m.Item), Amount: t.amount(m.Item, m.Amount),
		Unit: t.k.Graph.Items[m.Item].Unit.Name, At: e.At.Format(seconds), Entry: e.ID, Kind: e.Kind, Service: e.Service,
		Portions: e.Portions, Who: e.Supplier, Where: t.k.Name, Document: t.documents[e.ID], Text: e.Text}
	batch := strconv.FormatInt(e.ID, 10)
	if m.From != 0 {
		v.FromLot = t.code(lotOf{m.From, m.Item})
	}
	if m.Sort == Came {
		l := lotOf{m.Entry, m.Item}
		if v.WentTo, v.ToLot = "on hand", t.code(l); e.Kind.OfBatch() || e.Kind.OfPortions() {
			v.FromLot = batch
		}
		if line := t.g.Lots[l]; line != nil && line.Asked > Unlinked {
			v.How = ""
		}
		return v
	}
	switch v.WentTo = "count"; e.Kind {
	case Lit, PutIn, Done, Cooked:
		v.WentTo, v.ToLot = e.Step, batch
	case Sold, Gave, Dropped:
		v.WentTo = e.Dish
	case Binned:
		v.WentTo = "bin"
	}
	return v
}

// tree draws what was asked about with what it came from, or with what came of it.
func (t *answerOf) tree(back bool) (roots []*LotLine) {
	t.drawn, t.lines = map[any]bool{}, 0
	next := map[any][]*branch{} // by lot or entry: what stands below it
	add := func(of any, b *branch) {
		list := next[of]
		for _, before := range list[max(0, len(list)-near):] {
			if before.of == b.of && before.item == b.item {
				before.amount += b.amount
				before.sure = max(before.sure, b.sure)
				return
			}
		}
		if len(list) <= mostDraw {
			next[of] = append(list, b)
		}
	}
	if back {
		for _, m := range t.g.From {
			if l := (lotOf{m.From, m.Item}); m.From != 0 && t.g.Lots[l] != nil && t.g.Lots[l].Before > Unlinked {
				add(m.Entry, &branch{l, m.Item, m.Amount, m.Sure})
			}
		}
		for _, l := range t.g.sorted() {
			if line := t.g.Lots[l]; line.fed != 0 {
				add(line.fed, &branch{l, l.Item, 0, line.Before})
			}
		}
	} else {
		for _, m := range t.g.Into {
			if m.Sort == Came {
				if l := (lotOf{m.Entry, m.Item}); t.g.Lots[l].After > Unlinked {
					add(m.Entry, &branch{l, m.Item, m.Amount, m.Sure})
				}
				continue
			}
			amount := 0.0
			if m.Lot.Entry == m.From {
				amount = m.Amount
			}
			add(m.Lot, &branch{m.Entry, m.Item, amount, m.Sure})
		}
	}
	for _, l := range t.g.sorted() {
		if t.g.Lots[l].Asked > Unlinked {
			roots = append(roots, t.draw(next, &branch{l, l.Item, t.g.Lots[l].Came, Unlinked}, back, 0))
		}
	}
	if len(roots) == 0 {
		roots = append(roots, t.draw(next, &branch{t.entry, -1, 0, Unlinked}, back, 0))
	}
	return roots
}

// branch is a lot or an entry below another in a tree.
type branch struct {
	of     any // lotOf, or int64 of an entry
	item   int
	amount float64
	sure   Sure
}

// draw draws a branch and all below it.
func (t *answerOf) draw(next map[any][]*branch, b *branch, back bool, depth int) *LotLine {
	t.lines++
	line := &LotLine{How: b.sure.String()}
	if b.amount > 0 && (b.item < 0 || !t.inPot(b.item)) {
		line.Amount = t.k.Quantity(b.item, b.amount).String()
	}
	below := next[b.of]
	switch of := b.of.(type) {
	case lotOf:
		line.Name = t.item(of.Item) + " " + t.code(of)
		e := t.entries[of.Entry]
		if t.inPot(of.Item) {
			line.Name = t.item(of.Item)
		} else if day := measure.FormatDayOfYear(e.At); e.Supplier != "" {
			line.Name += " (from " + e.Supplier + ", " + day + ")"
		} else {
			line.Name += " (" + strings.TrimSpace(string(e.Kind)+" "+cmp.Or(e.Step, e.Dish)) + ", " + day + ")"
		}
		if back {
			below = next[of.Entry]
		}
	case int64:
		e := t.entries[of]
		line.Name = fmt.Sprintf("%d: %s %s", of, e.Kind, cmp.Or(e.Step, e.Dish))
		switch e.Kind {
		case Sold, Gave, Dropped:
			line.Name = fmt.Sprintf("%d: %s %d %s", of, e.Kind, e.Portions, e.Dish)
			if e.Service != "" {
				line.Name += " at " + e.Service
			}
		case Binned, Counted:
			line.Name = fmt.Sprintf("%d: %s", of, e.Kind)
		}
		line.Name += ", " + measure.FormatDayOfYear(e.At) + e.At.Format(" 15:04")
	}
	if len(below) == 0 {
		return line
	}
	if t.drawn[b.of] {
		line.Again = true
		return line
	}
	t.drawn[b.of] = true
	for _, n := range below {
		if depth+1 >= deepest || t.lines >= mostDraw {
			t.a.Cut = true
			break
		}
		line.Lines = append(line.Lines, t.draw(next, n, back, depth+1))
	}
	return line
}

package board

// At the counter: what is on offer is tapped in, with the money in hand, and what to buy stands above it. What stands in the fields is in
// the address, so a page can be left and come back to; what was played for it is kept, so a change of price is answered at once.

import (
	"cmp"
	"context"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"
	"sync"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/counter"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// mostOffers bounds what is looked at on one page.
const mostOffers = 12

// keptCounters is for how many counters what was played is kept.
const keptCounters = 6

// The parameter offer is what "buy --offer" takes. A form sends priceN and thereN of what is offered already, item, ask and there of one thing
// more, and drop for one that is taken away; they are put among the offers. With later nothing is answered yet; with deep more is.
var counterPage = &page{Path: "/offers", Name: "At the counter", File: "counter", FromNow: true, Studies: true, Answer: atCounter, Takes: counterTakes()}

func counterTakes() []string {
	list := []string{"offer", "spend", "carry", "item", "ask", "there", "drop", "later", "deep"}
	for n := range mostOffers {
		list = append(list, fmt.Sprintf("price%d", n), fmt.Sprintf("there%d", n))
	}
	return list
}

// counterAnswer is what the page shows.
type counterAnswer struct {
	*studied
	Spend, Carry string
	Wrong        string // with the money or the weight
	Rows         []offerRow
	Next         offerRow // to be added
	Items        []string // that are not on offer yet
	Asks         bool     // there is something to answer

	Answer *counter.Answer // nil while it is worked out
	Cards  *offCards       // nil where everything is made by its card
	Taste  []string
	Swaps  []swapSaid
	Behind []behind      // what lies behind the answer, where it was looked at
	Goods  []string      // to buy, with amounts
	Off    []counter.Off // what goes short by it
	OffToo []counter.Off // what does as the week stands, too
	Curve  template.HTML
	Others []string // batches to cook otherwise
	Cut    []string // how much is made of batches that lack something
	Weigh  []string // what pieces weigh that were not named
	Freely string   // what would bring more off the cards
	Beyond string   // what the answer brings beyond other batches with nothing bought; "" where those bring nothing
	Alone  string   // what other batches bring with nothing bought; "" for nothing
}

// offerRow is a thing on offer as it stands in its fields.
type offerRow struct {
	At                 int
	Item, Price, There string
	Unit               string
	Wrong              string
	Of                 *counter.Offered // nil where there is no answer
}

// offCards is what is off its card: what brings allergens, and the rest.
type offCards struct{ Loud, Quiet []ask.Departure }

// swapSaid is a swap in words, what it brings in first.
type swapSaid struct {
	Alarm, Text string
	Taste       []string
	Departs     []ask.Departure
}

// behind is a heading with sentences.
type behind struct {
	Head  string
	Lines []string
}

// Pieces are the pieces to take, as they are said.
func (r offerRow) Pieces() string {
	var list []string
	for _, w := range r.Of.Pieces {
		list = append(list, measure.FormatNumber(w))
	}
	return strings.Join(list, " + ")
}

func atCounter(ctx context.Context, a *asked) (any, error) {
	p := &counterAnswer{studied: &studied{}, Spend: a.Query.Get("spend"), Carry: a.Query.Get("carry")}
	later, deep := a.Query.Has("later"), a.Query.Has("deep")
	p.rows(a)
	o := p.options(a)
	for n := range a.Kitchen.Bought {
		name := a.Kitchen.Graph.Items[n].Name
		if !a.Kitchen.Free(n) && !slices.ContainsFunc(p.Rows, func(r offerRow) bool { return r.Item == name }) {
			p.Items = append(p.Items, name)
		}
	}
	slices.Sort(p.Items)
	p.Asks = !later && len(o.Offers) > 0 && o.Spend > 0 && p.Wrong == ""
	if !p.Asks {
		return p, nil
	}
	var err error
	if o.Learned, err = a.learned(ctx); err != nil {
		return nil, err
	}

	things, amounts := counterKeys(a.Opened.key, o)
	first := "at once " + a.questionKey()
	if deep {
		a.Query.Set("deep", "yes") // it is part of the question
	}

	// Other batches are looked for beside the pages, once for all prices. Until they are there the answer is by those that stand.
	a.hurried = true
	batches, err := a.study(ctx, a.board.long, "batches "+amounts, func(ctx context.Context, say func(string)) (any, error) {
		o := o
		o.Trying = func(done float64) { say(fmt.Sprintf("%.0f%% of other batches looked for", 100*done)) }
		return true, a.byOther(ctx, things, amounts, o, nil)
	})
	a.hurried = false
	if err != nil {
		return nil, err
	}
	if batches.Found == nil {
		if p.studied, err = a.atOnce(ctx, first, things, o); err != nil {
			return nil, err
		}
		p.Working, p.Said = true, batches.Said
		a.passing, a.shows = true, a.shows+batches.Said
	} else {
		p.studied, err = a.study(ctx, a.board.slow, a.questionKey(), func(ctx context.Context, say func(string)) (found any, err error) {
			o := o
			o.Trying = func(done float64) { say(fmt.Sprintf("%.0f%% of the sets tried", 100*done)) }
			err = a.byOther(ctx, things, amounts, o, func(s *counter.Search) error {
				answer, err := s.Answer(ctx)
				if err == nil && deep && ctx.Err() == nil {
					say("what is behind it")
					err = s.Deepen(ctx, answer)
				}
				found = answer
				return err
			})
			return found, err
		})
		if err != nil {
			return nil, err
		}
		if p.Found == nil { // what was found at once stays for as long
			p.Found, p.AsOf = a.foundBefore(first)
		}
	}
	p.Answer, _ = p.Found.(*counter.Answer)
	p.tell(a)
	return p, nil
}

// atOnce studies what to buy with the batches as they stand.
func (a *asked) atOnce(ctx context.Context, of, things string, o counter.Options) (*studied, error) {
	week := a.Week
	return a.study(ctx, a.board.slow, of, func(ctx context.Context, say func(string)) (any, error) {
		o.Trying = func(done float64) { say(fmt.Sprintf("%.0f%% of the sets tried", 100*done)) }
		w, err := a.board.counters.get(ctx, things, func(context.Context) (*waiting, error) { return &waiting{}, nil })
		if err != nil {
			return nil, err
		}
		w.mu.Lock()
		defer w.mu.Unlock()
		if err := w.before(week, o); err != nil {
			return nil, err
		}
		ctx, stop := context.WithTimeout(ctx, a.board.slow.limit*5/6) // what was found by then is better than none
		defer stop()
		return w.search.Answer(ctx)
	})
}

// byOther asks something of a search that knows of other batches; it looks for them unless that was done, and begins with what is found with those that
// stand: that is searched for once.
func (a *asked) byOther(ctx context.Context, things, amounts string, o counter.Options, ask func(*counter.Search) error) error {
	w, err := a.board.counters.get(ctx, amounts, func(context.Context) (*waiting, error) { return &waiting{}, nil })
	if err != nil {
		return err
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.search == nil {
		stand, err := a.board.counters.get(ctx, things, func(context.Context) (*waiting, error) { return &waiting{}, nil })
		if err != nil {
			return err
		}
		stand.mu.Lock()
		if err = stand.before(a.Week, o); err == nil {
			w.search, err = stand.search.Twin(ctx)
		}
		stand.mu.Unlock()
		if err != nil {
			return err
		}
	}
	if err = w.before(a.Week, o); err == nil {
		err = w.search.Plan(ctx)
	}
	if err == nil && ctx.Err() == nil && ask != nil {
		err = ask(w.search)
	}
	return cmp.Or(err, context.Cause(ctx))
}

// waiting is a search that stands before a counter, and may be asked again.
type waiting struct {
	mu     sync.Mutex
	search *counter.Search
}

// before has the search stand before a counter; the lock is held.
func (w *waiting) before(week *week.Week, o counter.Options) (err error) {
	if w.search == nil {
		w.search, err = counter.New(week, o)
	} else {
		err = w.search.At(o)
	}
	if err != nil {
		return &Refusal{Msg: err.Error()}
	}
	return nil
}

// counterKeys stand for what is on offer, and for that with how much there is of it and what there is to spend: all but the prices.
func counterKeys(state string, o counter.Options) (things, amounts string) {
	var t, m strings.Builder
	for _, x := range o.Offers {
		fmt.Fprintf(&t, " %d", x.Item)
		fmt.Fprintf(&m, " %g %g %v", x.Limit, x.Pack, x.Pieces)
	}
	things = state + t.String()
	return things, things + fmt.Sprintf("; %g %g%s", o.Spend, o.Carry, m.String())
}

// goods are so much of a thing, as it is said: "14 stewing hens".
func (a *asked) goods(l *counter.Offered) string {
	if i, err := a.Kitchen.FindItem(l.Item); err == nil && a.voice.English() {
		return a.Kitchen.Counted(i, l.Buy*a.Kitchen.Graph.Items[i].Unit.Factor)
	}
	return a.Of(l.Buy, l.Unit, l.Item)
}

// rows reads what is on offer, and puts it into the address.
func (p *counterAnswer) rows(a *asked) {
	drop := a.Query.Get("drop")
	add := func(r offerRow) {
		r.At = len(p.Rows)
		p.Rows = append(p.Rows, r.in(a.Kitchen))
	}
	for n, text := range a.Query["offer"] {
		if n >= mostOffers || drop == strconv.Itoa(n) {
			continue
		}
		r := offerOf(text)
		if k := fmt.Sprintf("price%d", n); a.Query.Has(k) {
			r.Price = strings.TrimSpace(a.Query.Get(k))
		}
		if k := fmt.Sprintf("there%d", n); a.Query.Has(k) {
			r.There = strings.TrimSpace(a.Query.Get(k))
		}
		add(r)
	}
	next := offerRow{Item: a.Query.Get("item"), Price: strings.TrimSpace(a.Query.Get("ask")), There: strings.TrimSpace(a.Query.Get("there"))}
	switch {
	case next.Item != "" && next.Price != "" && len(p.Rows) < mostOffers:
		add(next)
	default:
		p.Next = next
		p.Next.Wrong = next.lacks()
	}
	for _, k := range counterTakes() {
		if k != "spend" && k != "carry" {
			a.Query.Del(k)
		}
	}
	for _, r := range p.Rows {
		a.Query.Add("offer", r.text())
	}
}

// lacks asks for what keeps something from being put among the offers: without it, it would be passed over in silence.
func (r offerRow) lacks() string {
	switch {
	case r.Item == "" && r.Price == "" && r.There == "":
		return ""
	case r.Item == "":
		return "what is it?"
	case r.Price == "":
		return "what does it cost?"
	}
	return fmt.Sprintf("%d things are all that is looked at here: take one away first", mostOffers)
}

// offerOf takes an offer apart as it was typed.
func offerOf(text string) (r offerRow) {
	var terms string
	r.Item, terms, _ = strings.Cut(text, "=")
	r.Price, r.There, _ = strings.Cut(terms, ",")
	r.Item, r.Price, r.There = strings.TrimSpace(r.Item), strings.TrimSpace(r.Price), strings.TrimSpace(r.There)
	return r
}

// in is an offer by the name that a kitchen has for the item. A price for the item's own unit stands without it; for another it keeps it.
func (r offerRow) in(k *kitchen.Kitchen) offerRow {
	if i, err := k.FindItem(r.Item); err == nil {
		r.Item, r.Unit = k.Graph.Items[i].Name, k.Graph.Items[i].Unit.Name
		r.Price = strings.TrimSpace(strings.TrimSuffix(r.Price, "/"+r.Unit))
	}
	return r
}

// comma is a number with a point for the comma of a number pad; one that can be read in two ways stays as it was typed, and is refused.
func comma(typed string) string {
	if text, _, err := pointed(typed); err == nil {
		return text
	}
	return typed
}

// text is an offer as it is asked about: a price without a unit is for that of the item, an amount without one too.
func (r offerRow) text() string {
	price := comma(r.Price)
	if price != "" && !strings.ContainsAny(price, "/%") && !strings.Contains(price, " for ") {
		price += "/" + r.Unit
	}
	text := r.Item + "=" + price
	if there := r.There; there != "" {
		if !strings.ContainsFunc(there, func(c rune) bool { return c >= 'A' }) {
			there += " " + r.Unit
		}
		text += ", " + there
	}
	return text
}

// options reads the offers and the money; what is wrong is said beside its field.
func (p *counterAnswer) options(a *asked) (o counter.Options) {
	for n := range p.Rows {
		r := &p.Rows[n]
		offer, err := counter.ReadOffer(a.Week, r.text())
		for i := 0; i < len(o.Offers) && err == nil; i++ {
			err = counter.Twice(a.Week, o.Offers[i], offer)
		}
		if err != nil {
			if r.Wrong = err.Error(); r.Price == "" {
				r.Wrong = "what does it cost?"
			}
			continue
		}
		o.Offers = append(o.Offers, offer)
	}
	if p.Spend != "" {
		money, rest, err := measure.Number(comma(p.Spend))
		if o.Spend = money; err != nil || strings.TrimSpace(rest) != "" || money <= 0 {
			p.Wrong = "the money in hand is a number above 0"
		}
	}
	if p.Carry != "" {
		text := comma(p.Carry)
		if !strings.ContainsFunc(text, func(c rune) bool { return c >= 'A' }) {
			text += " kg"
		}
		q, err := measure.Parse(text)
		if o.Carry = q.Base(); err != nil || q.Unit.Kind != measure.Weight || o.Carry <= 0 {
			p.Wrong = "what the car carries is a weight, such as 120 kg"
		}
	}
	return o
}

// tell puts the answer beside what is on offer.
func (p *counterAnswer) tell(a *asked) {
	if p.Answer == nil {
		return
	}
	for n := range p.Answer.Lines {
		l := &p.Answer.Lines[n]
		if l.Buy > 0 {
			p.Goods = append(p.Goods, a.goods(l))
		}
		for k := range p.Rows {
			if p.Rows[k].Item == l.Item && p.Rows[k].Wrong == "" {
				p.Rows[k].Of = l
			}
		}
	}
	for _, x := range p.Answer.Off {
		if x.Short > x.Usual {
			p.Off = append(p.Off, x)
		} else {
			p.OffToo = append(p.OffToo, x)
		}
	}
	if all := p.Answer.Departs; len(all) > 0 {
		p.Cards = &offCards{}
		for _, d := range all {
			if d.Alarms() {
				p.Cards.Loud = append(p.Cards.Loud, d)
			} else {
				p.Cards.Quiet = append(p.Cards.Quiet, d)
			}
		}
	}
	p.Taste = a.teller().Expected(p.Answer.Taste)
	m := show.MoneyOf(p.Answer.Money)
	for n := range p.Answer.Swaps {
		w := &p.Answer.Swaps[n]
		p.Swaps = append(p.Swaps, swapSaid{show.SwapAlarm(w), show.SwapText(w, m), a.teller().Expected(w.Taste), w.Departs})
	}
	p.Others, p.Cut, p.Freely = show.CounterBatches(p.Answer), show.CounterCut(p.Answer), show.CounterFreely(p.Answer)
	if show.CounterBeyond(p.Answer) {
		p.Beyond = m.Name(p.Answer.Brings - p.Answer.Alone())
	}
	p.Weigh, p.Alone = show.CounterAsks(p.Answer), show.CounterAlone(p.Answer)
	if f := p.Answer.Freely; f != nil {
		p.Swaps = slices.Insert(p.Swaps, 0, swapSaid{"", show.FreelyHead, nil, f.Departs})
	}
	if p.Answer.Deeper {
		for n := range p.Answer.Wholes {
			w := &p.Answer.Wholes[n]
			b := behind{show.WholeHead(w), show.WholeText(w, m)}
			for k := range w.Parts {
				b.Lines = append(b.Lines, show.PartText(&w.Parts[k], m))
			}
			p.Behind = append(p.Behind, b)
		}
		p.Behind = append(p.Behind, behind{show.RiskHead, show.CounterRisk(p.Answer)}, behind{show.DoubtHead, show.CounterDoubts(p.Answer)})
		p.Behind = slices.DeleteFunc(p.Behind, func(b behind) bool { return len(b.Lines) == 0 })
	}
	p.Curve = template.HTML(show.CounterCurve(p.Answer)) // drawn here, names escaped
}

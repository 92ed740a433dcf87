package shop

// A banquet: what it asks for beyond the standing week, exploded through by-products into further batches, purchases,
// and what is left over of what comes with them.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// Need is what a banquet asks for: portions of a dish, or an amount of an item.
type Need struct {
	item   int
	amount float64 // portions, or base units
}

// ReadNeed reads "red pozole=200" or "kettle stock=60 L". The error says what would be right.
func ReadNeed(w *week.Week, text string) (n Need, err error) {
	fail := func(err error) (Need, error) { return Need{}, fmt.Errorf("--need %q: %w", text, err) }
	name, much, ok := strings.Cut(text, "=")
	name, much = strings.TrimSpace(name), strings.TrimSpace(much)
	if !ok || name == "" || much == "" {
		e := w.Example()
		return fail(fmt.Errorf("of what, and how much? write it as \"%s=200\" or \"%s\"", e.Dish, e.Much))
	}
	if n.item, err = w.FindItem(name); err != nil {
		return fail(err)
	}
	if w.Graph.Items[n.item].Role == graph.Sold {
		portions, err := strconv.Atoi(much)
		if err != nil || portions < 1 || portions > mostPortions {
			return fail(fmt.Errorf("%q is not a number of portions: write a whole number from 1 to %d", much, mostPortions))
		}
		n.amount = float64(portions)
		return n, nil
	}
	if n.amount, err = w.Amount(n.item, much); err != nil {
		return fail(err)
	}
	if n.amount <= 0 {
		return fail(fmt.Errorf("%q is nothing: write how much is needed", much))
	}
	return n, nil
}

// mostPortions bounds a banquet.
const mostPortions = 100_000

// Banquet is what a banquet takes beyond the standing week, and leaves.
type Banquet struct {
	Date     string     `json:"date"` // 2006-01-02
	Service  string     `json:"service"`
	Needs    []Wanted   `json:"needs"`
	Second   []Second   `json:"second_choices,omitempty"` // that it takes though the first could be had
	Cook     []Further  `json:"cook"`                     // batches beyond those of the week
	Buy      []plan.Buy `json:"buy"`                      // beyond what the week buys; below zero where that is bought later or not at all
	Surplus  []Spare    `json:"surplus"`                  // what more is left and binned than without the banquet
	Bought   float64    `json:"bought"`                   // cost of all that, with what is too little to list
	Labour   float64    `json:"labour"`                   // labour and fuel of what more is cooked
	Disposal float64    `json:"disposal"`                 // of what more is binned
	Cash     float64    `json:"cash"`                     // bought + labour + disposal
	Credit   float64    `json:"credit"`                   // of the surplus
	Net      float64    `json:"net"`                      // Cash - Credit
}

// Wanted is a dish or an item of a banquet, at the cost that the standing week has.
type Wanted struct {
	Name     string  `json:"name"` // a dish or an item
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`      // "portion" for a dish
	UnitCost float64 `json:"unit_cost"` // of a dish, its plate cost
	Cost     float64 `json:"cost"`
}

// Second is a written second choice that a banquet takes at its service, for that costs less.
type Second struct {
	In       string  `json:"in"` // the dish, or what is made to order for it
	Item     string  `json:"item"`
	For      string  `json:"for"`      // the first choice
	Share    float64 `json:"share"`    // of all that is served of it then, 0 to 1
	Portions int     `json:"portions"` // that is, of a dish; else 0
	Of       int     `json:"of"`       // portions of it at the service
	Saves    float64 `json:"saves"`    // cash, with other changes that go with it
	Batches  int     `json:"batches"`  // further batches that it saves
}

// Further is batches of a step beyond those of the week.
type Further struct {
	Date     string  `json:"date"` // 2006-01-02
	Step     string  `json:"step"`
	Batches  int     `json:"batches"`
	Standing float64 `json:"standing"` // batches without the banquet
	Starts   string  `json:"starts"`   // 15:04; "" for before the first service
	Vessel   string  `json:"vessel"`   // "" for none
}

// Spare is what more there is of an item in the end than without the banquet.
type Spare struct {
	Item   string  `json:"item"`
	Unit   string  `json:"unit"`
	Left   float64 `json:"left"`   // on hand when the period ends
	Binned float64 `json:"binned"` // no longer kept by then, unless it is sold before
	Worth  float64 `json:"worth"`  // what one unit counts: the lower of its worth and its cost
	Credit float64 `json:"credit"` // for as much of Left as the days behind can use
}

// feast is a banquet worked out.
type feast struct {
	with   *shopping
	answer *Banquet
	notes  []string
}

// feast works a banquet out at the first of its services that it can be had at.
func (b *buyer) feast(ctx context.Context, o BuyOptions) (*feast, error) {
	slots := o.At
	if slots == nil {
		for k, sit := range b.Sittings {
			if sit.Service >= 0 {
				slots = append(slots, k)
			}
		}
	}
	err := errors.New("the kitchen has no services in the period: a banquet needs one")
	for _, slot := range slots {
		c := newCatering(ctx, b, o.Need, slot)
		c.trying = o.Trying
		if err = c.cook(); context.Cause(ctx) != nil {
			return nil, context.Cause(ctx)
		} else if err != nil {
			c.walks = 0
			way, ok := c.few(cooked{}, false)
			if !ok {
				continue
			}
			c.more, c.order = way.more, way.order
		}
		c.cheaper()
		var f *feast
		if f, err = c.feast(); err == nil {
			return f, nil
		}
	}
	if len(slots) > 1 {
		err = fmt.Errorf("none of the services from %s to %s will do: at the last, %w", b.SittingName(slots[0]),
			b.SittingName(slots[len(slots)-1]), err)
	}
	return nil, err
}

// lacks tells of the first thing that is not served in full when the banquet is played.
func (c *catering) lacks(o *flow.Outcome) error {
	wants := c.asking.Schedule.Wants
	for at, served := range o.Served {
		slot, want := at/len(wants), at%len(wants)
		due := c.due(slot, want)
		if due-served <= plan.Crumb*(1+due) {
			continue
		}
		x, size := wants[want], 1.0
		if x.Size != nil {
			size = x.Size[slot]
		}
		return fmt.Errorf("%s at %s: of %s at %s the walk serves %s", c.what(), c.SittingName(c.slot), c.Counted(x.Item, due*size),
			c.SittingName(slot), c.Quantity(x.Item, served*size))
	}
	return nil
}

// feast tells what the banquet takes, once it has been played as it is said.
func (c *catering) feast() (*feast, error) {
	cooked := flow.Case{Flow: c.base.Flow, Schedule: c.cooking()}
	without, with := c.shop(c.base), c.shop(cooked)
	for _, o := range []*flow.Outcome{with.o, c.player.Play(cooked, nil)} { // in packs, and by what is needed
		if err := c.lacks(o); err != nil {
			return nil, err
		}
	}
	costing, err := c.Case.Flow.Cost(without.o)
	if err != nil {
		return nil, err
	}
	worth, err := c.Worth()
	if err != nil {
		return nil, err
	}
	sit := c.Sittings[c.slot]
	a := &Banquet{Date: c.Date(sit.Day).Format(time.DateOnly), Service: c.Services[sit.Service].Name, Needs: []Wanted{},
		Second: c.seconds(), Cook: c.further(), Buy: c.furtherBuy(without, with), Surplus: []Spare{}}
	for _, n := range c.need {
		it := c.g.Items[n.item]
		x := Wanted{Name: it.Name, Quantity: n.amount, Unit: "portion", UnitCost: costing.Unit[n.item]}
		if it.Role != graph.Sold {
			x.Quantity, x.Unit, x.UnitCost = rounded(n.amount/it.Unit.Factor), it.Unit.Name, x.UnitCost*it.Unit.Factor
		}
		x.Cost = x.Quantity * x.UnitCost
		a.Needs = append(a.Needs, x)
	}
	for _, x := range with.errands {
		a.Bought += c.cost(x)
	}
	for _, x := range without.errands {
		a.Bought -= c.cost(x)
	}
	had, has := worth.Books(c.base, without.o), worth.Books(cooked, with.o)
	a.Labour, a.Disposal, a.Credit = has.Labour-had.Labour, has.Disposal-had.Disposal, has.Stock-had.Stock
	for i, it := range c.g.Items {
		if it.Role == graph.Sold {
			continue
		}
		left, binned := with.o.Left[i]-without.o.Left[i], with.o.Binned[i]-without.o.Binned[i]
		if it.Role == graph.Bought && c.Free(i) {
			continue
		}
		if least := speck * (with.o.Made[i] + with.o.Delivered(i)); math.Abs(left) > least || math.Abs(binned) > least {
			x := Spare{Item: it.Name, Unit: it.Unit.Name, Left: rounded(left / it.Unit.Factor),
				Binned: rounded(binned / it.Unit.Factor),
				Worth:  worth.Unit(cooked.Flow, i) * it.Unit.Factor,
				Credit: worth.Left(cooked.Flow, i, with.o) - worth.Left(cooked.Flow, i, without.o)}
			a.Surplus = append(a.Surplus, x)
		}
	}
	a.Cash = a.Bought + a.Labour + a.Disposal
	a.Net = a.Cash - a.Credit
	notes := c.notes(without, with)
	if c.ctx.Err() != nil {
		notes = append(notes, "the search was stopped: there may be a cheaper way to cook it")
	}
	return &feast{with: with, answer: a, notes: notes}, nil
}

// further lists the further batches, by day, then in the order of the file.
func (c *catering) further() []Further {
	list := []Further{}
	keys := slices.Clone(c.order)
	slices.SortFunc(keys, func(x, y batch) int { return cmp.Or(cmp.Compare(x.day, y.day), cmp.Compare(x.step, y.step)) })
	for _, k := range keys {
		if c.more[k] == 0 {
			continue
		}
		x := Further{Date: c.Date(k.day).Format(time.DateOnly), Step: c.g.Steps[k.step].Name, Batches: c.more[k],
			Standing: c.standing(k)}
		if at := c.Steps[k.step].Starts; at != flow.Untimed {
			x.Starts = measure.FormatClock(at)
		}
		if v := c.Steps[k.step].Vessel; v >= 0 {
			x.Vessel = c.Vessels[v].Name
		}
		list = append(list, x)
	}
	return list
}

// furtherBuy lists what more, or less, is bought of each item on each day, where it is worth a word.
func (b *buyer) furtherBuy(without, with *shopping) []plan.Buy {
	list := []plan.Buy{}
	for d := range b.Days {
		for i, card := range b.Kitchen.Bought {
			var take float64
			var packs int
			for _, x := range with.errands {
				if x.day == d && x.item == i {
					take, packs = take+x.take, packs+x.packs
				}
			}
			for _, x := range without.errands {
				if x.day == d && x.item == i {
					take, packs = take-x.take, packs-x.packs
				}
			}
			if all := with.o.Delivered(i) + without.o.Delivered(i); math.Abs(take) <= speck*all {
				continue
			}
			u := b.unit(i, take)
			list = append(list, plan.Buy{Date: b.Date(d).Format(time.DateOnly), From: card.From, Item: b.g.Items[i].Name,
				Quantity: rounded(take / u.Factor),
				Unit:     u.Name, Packs: packs, Cost: take * b.Terms.Price[i]})
		}
	}
	return list
}

// notes say what else to know before the banquet is promised.
func (c *catering) notes(without, with *shopping) (notes []string) {
	seconds := c.seconds()
	for _, sw := range ask.Swaps(c.buyer.Week, without.o, with.o) {
		if slices.ContainsFunc(seconds, func(s Second) bool { return s.In == sw.In && s.Item == sw.Item && s.For == sw.For }) {
			continue // that stands in front
		}
		text := fmt.Sprintf("%s takes %s in place of %s", sw.In, sw.Item, sw.For)
		if sw.Tastes != "" {
			text += ": " + sw.Tastes
		}
		if len(sw.Allergens) > 0 {
			text += ", which brings " + strings.Join(sw.Allergens, ", ")
		}
		if len(sw.May) > 0 {
			text += ", which may contain " + strings.Join(sw.May, ", ")
		}
		if len(sw.Unstated) > 0 {
			text += "; allergens UNKNOWN of " + strings.Join(sw.Unstated, ", ")
		}
		notes = append(notes, text)
	}
	breaks := ask.SharesOf(c.buyer.Week, with.c).Newly(ask.SharesOf(c.buyer.Week, without.c))
	notes = append(notes, breaks.Sentences()...)
	var unstated []string
	for i, it := range c.g.Items {
		if it.Role == graph.Made && math.IsNaN(c.Terms.Worth[i]) && with.o.Left[i]-without.o.Left[i] > speck*with.o.Made[i] {
			unstated = append(unstated, it.Name)
		}
	}
	if unstated != nil {
		notes = append(notes, "the file states no worth for "+strings.Join(unstated, ", ")+": what is left over counts at cost")
	}
	added := false
	var unbounded []string
	for _, k := range c.order {
		if c.more[k] == 0 {
			continue
		}
		added = true
		if name := c.g.Steps[k.step].Name; math.IsInf(c.Most(k.step, k.day), 1) && !slices.Contains(unbounded, name) {
			unbounded = append(unbounded, name)
		}
	}
	if len(unbounded) > 0 {
		notes = append(notes, "no vessel with a capacity is given for "+strings.Join(unbounded, ", ")+
			": check that there are hands and room")
	}
	if added {
		notes = append(notes, "larger lots cool more slowly: keep to the times and temperatures of your local code")
	}
	return notes
}

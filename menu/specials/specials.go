package specials

// The specials: what the standing week would bin or leave, and which dishes use it up.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Offers is the answer to "what could use up what is left over?". Quantities are in the unit that the item is written in;
// money is unrounded, in the kitchen's currency.
type Offers struct {
	From      string     `json:"from"` // 2006-01-02
	Days      int        `json:"days"`
	Rule      string     `json:"rule"`        // who goes short: "fair", "first" or "best"
	FoodCost  float64    `json:"food_cost"`   // share of the price that plate cost should be, 0 to 1
	Binned    float64    `json:"binned_cost"` // of what is binned in the period
	Spoils    float64    `json:"spoils_cost"` // of what is left, and would be binned in the days after
	Surplus   []Surplus  `json:"surplus"`
	Proposals []Proposal `json:"proposals"`       // of another dish each: those that save something from the bin first, then by contribution
	Notes     []string   `json:"notes,omitempty"` // what to know about the proposals
	Money     string     `json:"money,omitempty"`
}

// Proposal is a dish to offer.
type Proposal struct {
	Dish        string     `json:"dish"`
	By          week.Basis `json:"by,omitempty"`       // what a special is expected to sell goes by: "sells" of the file, "seen" in the log book, or "assumed"
	Special     bool       `json:"special"`            // false for a dish of the menu, at services at which it is not on sale
	Reason      string     `json:"reason"`             // what it uses up, and what it takes, in words
	Price       float64    `json:"price"`              // as the file has it
	Unpriced    bool       `json:"unpriced,omitempty"` // the file has none: the price stands in
	PlateCost   float64    `json:"plate_cost"`         // what is used up being counted at its full cost
	TargetPrice float64    `json:"target_price"`       // plate_cost / food_cost
	Offer       Offer      `json:"offer"`
	More        *Offer     `json:"more,omitempty"`               // what would bring more, but takes from the menu
	Allergens   []string   `json:"allergens"`                    // of all that the dish may be made of, as the file states them
	May         []string   `json:"may_contain"`                  // what it may contain
	Unstated    []string   `json:"allergens_unstated,omitempty"` // bought items behind it of which the file states nothing

	mainly []string // items of the surplus that are worth telling
}

// Offer is how many portions are offered and when, beside the standing menu, and what comes of it when all are sold.
// Contribution is what the week earns beyond the standing one: what is binned anyway costs nothing, and what would be
// left counts at the lower of worth and cost, as far as the days after can use it.
type Offer struct {
	Portions     int       `json:"portions"`
	Contribution float64   `json:"contribution"` // beyond the standing week's
	Services     []Serving `json:"services"`
	Uses         []Use     `json:"uses"`   // of the surplus
	Takes        []Taken   `json:"takes"`  // what the menu sells less, as the offer takes what it needs
	Guests       []Taken   `json:"guests"` // what the menu sells less, as its guests order this

	Breaks []string `json:"breaks"` // bounds on strong lines that it breaks, or breaks further, in words
}

// saves tells whether something worth telling would be binned without the offer.
func (p *Proposal) saves() bool {
	return slices.ContainsFunc(p.Offer.Uses, func(u Use) bool {
		return u.Binned != nil && slices.Contains(p.mainly, u.Item)
	})
}

// Serving is the portions of one service.
type Serving struct {
	Date     string `json:"date"` // 2006-01-02
	Service  string `json:"service"`
	Portions int    `json:"portions"`
}

// Use is what of a lot is used up.
type Use struct {
	Item   string  `json:"item"`
	Unit   string  `json:"unit"`
	Amount float64 `json:"amount"`
	Left   bool    `json:"left"`   // it would be left when the period ends
	Binned *string `json:"binned"` // 2006-01-02, when it would be binned; null when it would be used later, or kept
	Cost   float64 `json:"cost"`

	came int // as of Surplus
}

// Taken is what a dish of the menu sells less.
type Taken struct {
	Dish     string `json:"dish"`
	Date     string `json:"date"` // 2006-01-02
	Service  string `json:"service"`
	Portions int    `json:"portions"`
}

// mostProposals is how many are said.
const mostProposals = 5

// worthTaking is by which part an offer that takes from the menu must bring more than one that does not, to be told.
const worthTaking = 0.02

// saved is the part of the plates' cost from which on what is saved from the bin is said, though a plate takes little
// of it.
const saved = 0.05

// mostTried bounds the work: dishes, times the days on which they are tried, times those that are played for each. At least a week
// is looked at.
const mostTried = 26_000

// mostDays is how many days are looked at with so many dishes.
func mostDays(dishes int) int { return max(7, int(math.Sqrt(mostTried/float64(max(dishes, 1))))) }

// Specials finds what a week bins or leaves, and the dishes that would use it up: the file's specials, and dishes of
// the menu at services at which they are not on sale. Each is judged by playing the week with it through the walk,
// alone, at many amounts; what takes portions from the days after the period is never proposed. without lists dishes,
// by place in the kitchen, that are not to be proposed. progress, when given, is called now and then with the part of
// the work that is done. It stops with ctx.
func Specials(ctx context.Context, w *week.Week, without []int, progress func(done float64)) (*Offers, error) {
	rule, asked := w.Rule, w.Days
	w = w.Shorter(mostDays(len(w.Kitchen.Dishes)))
	w, err := w.Directed(ctx)
	if err != nil {
		return nil, err
	}
	s, err := newScout(ctx, w)
	if err != nil {
		return nil, err
	}
	a := &Offers{From: w.From.Format(time.DateOnly), Days: w.Days, Rule: rule.String(),
		FoodCost: w.FoodCost, Surplus: append([]Surplus{}, s.surplus...), Proposals: []Proposal{}, Money: w.Money}
	found := make([]*Proposal, len(w.Kitchen.Dishes))
	if slices.ContainsFunc(s.surplus, func(x Surplus) bool { return x.usable > 0 }) {
		workers := min(runtime.GOMAXPROCS(0), len(found))
		var group sync.WaitGroup
		for first := range workers {
			group.Go(func() {
				own := s.alone()
				for d := first; d < len(found) && ctx.Err() == nil; d += workers {
					if !slices.Contains(without, d) {
						found[d] = own.propose(ctx, d)
					}
					if progress != nil && first == 0 {
						progress(float64(d) / float64(len(found)))
					}
				}
			})
		}
		group.Wait()
	}
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	for _, p := range found {
		if p != nil {
			a.Proposals = append(a.Proposals, *p)
		}
	}
	slices.SortStableFunc(a.Proposals, func(x, y Proposal) int {
		switch saves := x.saves(); {
		case saves == y.saves():
			return cmp.Compare(y.Offer.Contribution, x.Offer.Contribution)
		case saves:
			return -1
		}
		return 1
	})
	for _, x := range s.surplus {
		if !x.Left {
			a.Binned += x.Cost
		} else if x.Binned != nil {
			a.Spoils += x.Cost
		}
	}
	a.Notes = s.notes(a.Proposals)
	if a.Days < asked {
		a.Notes = append(a.Notes, fmt.Sprintf("these are the first %d days of %d: the others take too long, ask about them with --from", a.Days, asked))
	}
	a.Proposals = a.Proposals[:min(len(a.Proposals), mostProposals)]
	return a, nil
}

// propose is the proposal of a dish; nil when it uses nothing up, or earns nothing by it.
func (s *scout) propose(ctx context.Context, dish int) *Proposal {
	s.tried = map[string]trial{}
	quiet, gentle := s.gather(ctx, dish, true)
	bold, found := s.gather(ctx, dish, false)
	if !found {
		return nil
	}
	d := s.week.Kitchen.Dishes[dish]
	stated := s.week.Stated(d.Item)
	p := &Proposal{Dish: d.Name, Special: d.Special, Price: d.Price, Unpriced: d.Unpriced, PlateCost: s.costing.Unit[d.Item],
		Allergens: stated.Has, May: stated.May, Unstated: stated.Unknown}
	p.TargetPrice = p.PlateCost / s.week.FoodCost
	if d.Special {
		p.By = s.week.Expected(dish, slices.IndexFunc(s.week.Sittings, func(x week.Sitting) bool { return x.Service >= 0 })).By
	}
	told := quiet
	takes := len(bold.takes) > 0
	if !gentle && !takes {
		return nil // another dish sells more by it, through rounding: nothing that a kitchen can count on
	}
	if !gentle {
		told = bold
	} else if takes && bold.money > quiet.money*(1+worthTaking)+cent {
		p.More = new(s.offer(bold))
	}
	p.Offer = s.offer(told)
	for _, i := range s.mainly(dish, p.Offer.Portions, make([]float64, len(told.used)), told.used) {
		p.mainly = append(p.mainly, s.week.Graph.Items[i].Name)
	}
	enough := saved * p.PlateCost * float64(p.Offer.Portions)
	for _, u := range p.Offer.Uses {
		if u.Binned != nil && u.Cost >= enough && !slices.Contains(p.mainly, u.Item) {
			p.mainly = append(p.mainly, u.Item)
		}
	}
	p.Reason = reason(s.week, p)
	return p
}

// offer tells a trial.
func (s *scout) offer(t trial) Offer {
	c := s.week.Case.With(t.shocks()...)
	o := Offer{Contribution: t.money, Services: []Serving{}, Uses: s.uses(t.dish, c), Takes: append([]Taken{}, t.takes...), Guests: append([]Taken{}, t.guests...),
		Breaks: []string{}}
	breaks := ask.SharesOf(s.week, c).Newly(s.shares)
	o.Breaks = append(o.Breaks, breaks.Sentences()...)
	for _, slot := range t.slots() {
		sit := s.week.Sittings[slot]
		o.Portions += t.portions[slot]
		o.Services = append(o.Services, Serving{Date: s.week.Date(sit.Day).Format(time.DateOnly),
			Service: s.week.Services[sit.Service].Name, Portions: t.portions[slot]})
	}
	return o
}

// reason puts what an offer mainly uses up, and what it takes, into words.
func reason(w *week.Week, p *Proposal) string {
	o, lastDay := p.Offer, w.DayName(w.Days-1)
	uses := slices.DeleteFunc(slices.Clone(o.Uses), func(u Use) bool {
		return len(p.mainly) > 0 && !slices.Contains(p.mainly, u.Item)
	})
	var items []string
	ends := map[string][]string{}   // by item: how much of it would end how
	wouldSpoil := map[string]bool{} // by item: the last of them is left, and binned
	for k := 0; k < len(uses); {
		u, sum := uses[k], 0.0
		alike := func(v Use) bool {
			return v.Item == u.Item && v.Left == u.Left && orLater(v.Binned) == orLater(u.Binned)
		}
		for ; k < len(uses) && alike(uses[k]); k++ {
			sum += uses[k].Amount
		}
		how, first := quantity(sum, u.Unit), ends[u.Item] == nil
		if at, err := w.FindItem(u.Item); first && err == nil {
			how = w.Counted(at, sum*w.Graph.Items[at].Unit.Factor)
		}
		switch {
		case u.Left && u.Binned == nil:
			how += " that would be left over on " + lastDay
		case u.Left && !wouldSpoil[u.Item]:
			how += " that would be left over on " + lastDay + " and binned on " + said(*u.Binned)
			wouldSpoil[u.Item] = true
		case first:
			how += " that would be binned on " + said(*u.Binned) + " at midnight"
		default:
			how += " on " + said(*u.Binned)
		}
		ends[u.Item] = append(ends[u.Item], how)
		if first {
			items = append(items, u.Item)
		}
	}
	for k, item := range items {
		items[k] = strings.Join(ends[item], ", ")
	}
	text := "uses " + strings.Join(items, "; ")
	if len(o.Guests) > 0 {
		var dishes []string
		guests := map[string]int{}
		for _, t := range o.Guests {
			if guests[t.Dish] == 0 {
				dishes = append(dishes, t.Dish)
			}
			guests[t.Dish] += t.Portions
		}
		for k, dish := range dishes {
			dishes[k] = fmt.Sprintf("%d %s", guests[dish], dish)
		}
		text += "; takes guests from the menu: " + strings.Join(dishes, ", ")
	}
	if len(o.Takes) == 0 {
		if len(o.Guests) > 0 {
			return text
		}
		return text + "; costs the menu nothing"
	}
	var takes []string
	for _, t := range o.Takes {
		takes = append(takes, fmt.Sprintf("%d %s on %s at %s", t.Portions, t.Dish, said(t.Date), t.Service))
	}
	return text + "; costs the menu " + strings.Join(takes, ", ")
}

// quantity is "4.2 kg" as a scale shows it, or "12" of what is counted.
func quantity(amount float64, unit string) string {
	if u, err := measure.UnitNamed(unit); err == nil && u.Kind != measure.Count {
		return measure.Quantity{Amount: amount, Unit: u}.Handy().OnScale().String()
	}
	if unit == measure.Each.Name {
		return measure.FormatPieces(amount)
	}
	return measure.FormatNumber(amount) + " " + unit
}

// said is a date as [week.Week.DayName] says it.
func said(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		panic("mistake: a date of our own that is none: " + date)
	}
	return measure.FormatDay(t)
}

// notes say what to know about the proposals, of which some may not be told, and name the surplus that none uses.
func (s *scout) notes(all []Proposal) (notes []string) {
	users := map[string]int{} // by item that any uses, if only a little: how many that are said use it mainly
	for k, p := range all {
		seen := map[string]bool{}
		for _, u := range p.Offer.Uses {
			if users[u.Item] += 0; k < mostProposals && !seen[u.Item] && slices.Contains(p.mainly, u.Item) {
				users[u.Item]++
			}
			seen[u.Item] = true
		}
	}
	var idle, shared []string
	sums, costs := map[string]float64{}, map[string]float64{}
	for _, x := range s.surplus {
		if x.Binned == nil || x.usable == 0 {
			continue
		}
		n, used := users[x.Item]
		if sums[x.Item] == 0 {
			switch {
			case !used:
				idle = append(idle, x.Item)
			case n > 1:
				shared = append(shared, x.Item)
			}
		}
		sums[x.Item] += x.Amount
		costs[x.Item] += x.Cost
	}
	slices.SortStableFunc(idle, func(a, b string) int { return cmp.Compare(costs[b], costs[a]) })
	for k, item := range idle {
		at := slices.IndexFunc(s.surplus, func(x Surplus) bool { return x.Item == item })
		how, u := quantity(sums[item], s.surplus[at].Unit), s.surplus[at].Unit
		if u == measure.Each.Name { // a bare number behind a name could be anything
			how += " " + u
		}
		idle[k] = fmt.Sprintf("%s (%s)", item, how)
	}
	specials := slices.ContainsFunc(s.week.Kitchen.Dishes, func(d kitchen.Dish) bool { return d.Special })
	switch {
	case len(idle) > 0 && !specials:
		notes = append(notes, `the kitchen file has no specials: write some under "specials" that use up `+measure.FormatList(idle))
	case len(idle) > 0:
		notes = append(notes, "nothing here uses up "+measure.FormatList(idle)+": a special written for it could")
	}
	if len(shared) > 0 {
		notes = append(notes, fmt.Sprintf("each proposal is worked out alone; several use up %s, and would share it",
			measure.FormatList(shared)))
	}
	if len(all) > mostProposals {
		notes = append(notes, fmt.Sprintf("%d more follow; leave a dish out with --without to see the next",
			len(all)-mostProposals))
	}
	bases := map[week.Basis]bool{}
	for _, p := range all[:min(len(all), mostProposals)] {
		bases[p.By] = true
	}
	if bases[week.Assumed] {
		notes = append(notes, fmt.Sprintf(`where nobody has logged how a special sells, %s of its "at most" is assumed: log what is offered and sold, or write "sells"`,
			kitchen.FormatPercent(week.AssumedShare)))
	}
	if bases[week.BySeen] {
		notes = append(notes, `a special is counted with the share of what was offered that has sold, by the log book`)
	}
	if bases[""] {
		notes = append(notes, "what is offered of the menu at other services is counted as sold on top of the forecast")
	}
	return notes
}

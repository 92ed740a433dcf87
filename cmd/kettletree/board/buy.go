package board

// Buy: the shopping list of a day in the hand of whoever stands before the scale, as what is still to fetch and what is in the basket.
// What the scale says and what is asked are put beside what was wanted, and what moves by it is said at once; what was taken is written
// down, a line or all. What stands in the fields is what is written: no button has a text of its own.

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strings"
	"time"
	"unicode"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/logbook"
	"kettletree/menu/shop"
	"kettletree/menu/week"
)

// The parameter got has what the scale says, as "pork shoulder=18.46 lb"; what is asked is a price shock. A form sends line,
// amount and ask of one line, with set, and buy puts them among the others. The parameter check asks for the list of one supplier, or of
// all, on which each line can be put right before all are written down at once.
var buyPage = &page{Path: "/buy", Name: "Buy", File: "buy", Shocks: true, Answer: buy,
	Takes: []string{"on", "scale", "got", "line", "set", "amount", "ask", "check", "invoice", "bill", "sum"}}

// buyAnswer is what the page shows.
type buyAnswer struct {
	Date      string   // 2006-01-02; "" when nothing is to be bought
	Days      []string // on which something is to be bought
	Ahead     []string // those that are offered: from today on, and the chosen one
	Early     bool     // it is still to come: what is written down of it was bought before its day
	Scale     string   // in which weights are shown; "" for as the file has them
	Scales    []string
	Suppliers []stall
	Wanted    int
	Came      int
	Total     string     // of what is to fetch
	Baskets   []*basket  // by supplier, in the order of money
	Paid      string     // for what is in them
	Check     []*buyLine // all that has not come of a supplier, or of all
	Checked   string     // that supplier; "" for all
	After     *Follows   // nil when nothing is changed
	Dearer    []ask.CostChange
	AsWell    []asWell
	Notes     []string
}

// stall is what is to be bought of one supplier.
type stall struct {
	ID          string
	Name, Total string     // with by when to order
	Lines       []*buyLine // in the order of money
	Trifles     []*buyLine // of the dry store
	Advice      string     // what to do when the order is too small; "" when it is not
}

// buyLine is an item on the list.
type buyLine struct {
	shop.Purchase
	At       int    // among all lines
	Amount   string // to be bought, or what the scale says, in In
	In       string // unit, the smaller one of small amounts: 20 mL
	Per      string // unit of prices
	Price    string // for one Per
	Cost     string
	Typed    [2]string // what the scale says and what is asked, as they were typed; "" for nothing
	Weighed  bool      // Amount is what the scale says
	Asked    bool      // Price is what is asked
	Listed   string    // what is wanted, in In
	Usual    string    // its price as it is known, for one Per
	From     string    // supplier
	Next     string    // the item behind it, "" for none
	Open     bool
	Form     *filled   // what was typed and can't be asked about; nil for nothing
	Instead  []instead // what takes its place, and where
	Received string    // what has come of it; "" for nothing
	Paid     string    // for what has come

	paid  int64
	lacks float64 // what is wanted beyond what the scale says, in base units; all that is wanted where it says nothing or enough
}

// asWell is what is bought beyond the list, in place of what can't be had.
type asWell struct{ Item, Amount string }

// Key tells a line from the others of its day: of what is ordered with another than the usual supplier there may be two.
func (l *buyLine) Key() string {
	if l.Other {
		return l.Item + " from " + l.From
	}
	return l.Item
}

// TakeInCold is what is said of an item that must come in cold, for histamine forms in it when it warms, or of all such items where none is
// chosen; "" for none.
func (v *view) TakeInCold(item string) string {
	var named []string
	for i, it := range v.Kitchen.Graph.Items {
		if v.Kitchen.Warms(i) && (item == "" || item == it.Name) {
			named = append(named, v.Called(it.Name))
		}
	}
	if named == nil {
		return ""
	}
	at, section := v.Kitchen.Code.TakenIn()
	return show.TakeInCold(v.voice, named, at, section)
}

// scales are the units that a scale may show.
var scales = []string{"kg", "lb"}

func buy(ctx context.Context, a *asked) (any, error) {
	c := &buyAnswer{Scale: a.Query.Get("scale"), Scales: scales}
	if c.Scale != "" && !slices.Contains(scales, c.Scale) {
		return nil, &Refusal{Msg: fmt.Sprintf("no scale shows %q", c.Scale), Hint: "choose kg or lb"}
	}
	list, err := shop.ToBuy(ctx, a.Week, shop.BuyOptions{All: true})
	if err != nil {
		return nil, &Refusal{Msg: err.Error()}
	}
	c.Notes = list.Notes
	a.foldBill()
	trip, err := c.choose(ctx, a, list.Trips)
	if err != nil || trip == nil {
		return c, err
	}
	wrong := a.fold(trip, c.Scale)
	shocks, err := c.list(ctx, a, trip, wrong)
	if err != nil {
		return nil, err
	}
	others, err := a.Shocks()
	if err != nil {
		return nil, err
	}
	if shocks = append(shocks, others...); len(shocks) == 0 {
		return c, nil
	}
	if c.After, err = a.Follow(ctx, shocks); err != nil {
		return nil, err
	}
	m := show.MoneyOf(a.Kitchen.Money)
	for _, x := range c.After.Costs {
		if m.Units(x.Before) != m.Units(x.After) {
			c.Dearer = append(c.Dearer, x)
		}
	}
	for _, x := range c.After.Items {
		if x.Bought && x.MadeAfter > x.MadeBefore*(1+noticedMore) {
			c.AsWell = append(c.AsWell, asWell{x.Name, show.Amount(x.MadeAfter-x.MadeBefore, x.Unit)})
		}
	}
	return c, nil
}

// noticedMore is the share from which on it is said that more is bought of something.
const noticedMore = 0.01

// choose picks the day: the one that is asked for, or the first from today on. A day on which something came, or did not, stays until it
// is over, be there nothing left on its list; and so does one that is asked for.
func (c *buyAnswer) choose(ctx context.Context, a *asked, trips []shop.Trip) (*shop.Trip, error) {
	today := a.Now.Format(time.DateOnly)
	on := a.Query.Get("on")
	begun, err := a.delivered(ctx)
	if err != nil {
		return nil, err
	}
	for _, day := range append(slices.Sorted(maps.Keys(begun)), on) {
		if a.ahead(day) && !slices.ContainsFunc(trips, func(t shop.Trip) bool { return t.Date == day }) {
			trips = append(slices.Clone(trips), shop.Trip{Date: day})
		}
	}
	slices.SortStableFunc(trips, func(x, y shop.Trip) int { return cmp.Compare(x.Date, y.Date) })
	var found *shop.Trip
	for i := range trips {
		t := &trips[i]
		c.Days = append(c.Days, t.Date)
		if on == t.Date || on == "" && found == nil && t.Date >= today {
			found = t
		}
	}
	if found != nil {
		c.Ahead = slices.DeleteFunc(slices.Clone(c.Days), func(d string) bool { return d < today && d != found.Date })
	}
	switch {
	case found != nil:
		c.Date, c.Early = found.Date, found.Date > today
	case on != "":
		return nil, &Refusal{Msg: fmt.Sprintf("nothing to buy on %q", on), Hint: "choose one of the days on the Buy page"}
	}
	return found, nil
}

// ahead tells whether a date is one of the days asked about, from today on.
func (a *asked) ahead(date string) bool {
	day, err := time.Parse(time.DateOnly, date)
	return err == nil && date >= a.Now.Format(time.DateOnly) && !day.Before(a.Week.From) && day.Before(a.Week.From.AddDate(0, 0, a.Week.Days))
}

// delivered are the days of which it was written that something that is bought for them came, or did not.
func (a *asked) delivered(ctx context.Context) (days map[string]bool, err error) {
	lines, err := a.entries(ctx, mostCame)
	days = map[string]bool{}
	for i := range lines {
		if l := &lines[i]; (l.Kind == logbook.Received || l.Kind == logbook.NotCome) && l.Gone == 0 {
			days[a.boughtFor(l)] = true
		}
	}
	return days, err
}

// boughtFor is the day whose list a delivery is of: its own, or where it came on a day on which nobody brings it, the next on which it was
// to come.
func (a *asked) boughtFor(l *logbook.Line) string {
	date := l.At[:len(time.DateOnly)]
	day, err := time.Parse(time.DateOnly, date)
	if err != nil || len(l.Gives) == 0 {
		return date
	}
	i, err := a.Kitchen.FindItem(l.Gives[0].Item)
	if err != nil || i >= len(a.Kitchen.Bought) || len(a.Kitchen.Sources[i]) > 0 { // somebody else may have brought it
		return date
	}
	from := int(day.Sub(a.Week.From).Hours() / 24)
	for d := from; d < from+7; d++ {
		if a.Kitchen.Bought[i].Arrives[a.Week.Date(d).Weekday()] && a.Week.WorksOn(a.Week.Date(d)) {
			return a.Week.Date(d).Format(time.DateOnly)
		}
	}
	return date
}

// fold puts the line that a form set among the other changes. What is wrong with it is said beside its fields.
func (a *asked) fold(t *shop.Trip, scale string) (wrong *filled) {
	typed := url.Values{"form": {"buy"}, "item": {a.Query.Get("line")}, "amount": {a.Query.Get("amount")}, "ask": {a.Query.Get("ask")}}
	set := a.Query.Has("set")
	for _, once := range []string{"set", "amount", "ask"} {
		a.Query.Del(once)
	}
	if !set {
		return nil
	}
	name := a.Query.Get("line")
	for _, s := range t.Suppliers {
		for _, x := range s.Items {
			if x.Item == name {
				if faults := a.setLine(a.line(x, scale), typed); len(faults) > 0 {
					wrong = &filled{Values: typed, Faults: faults}
				}
			}
		}
	}
	return wrong
}

// setLine puts what was typed of a line among the changes that are asked about; what is empty takes the change away.
func (a *asked) setLine(l *buyLine, typed url.Values) (faults []fault) {
	for _, f := range []struct{ field, param, listed, unit string }{{"amount", "got", l.Listed, " " + l.In}, {"ask", "price", l.Usual, "/" + l.Per}} {
		text, choices, err := pointed(typed.Get(f.field))
		if text != "" && !strings.ContainsFunc(text, unicode.IsLetter) && !strings.Contains(text, "%") { // no unit is typed with it
			text += f.unit
		}
		change := l.Item + "=" + text
		if err == nil && text != "" {
			if f.param == "price" {
				_, err = a.Week.Shock(f.param, change)
			} else {
				_, err = a.amountOf(l.Item, text)
			}
		}
		if err != nil {
			wrong := fault{Field: f.field, Msg: shockFault(err), Choices: choices}
			switch typed := strings.TrimSpace(typed.Get(f.field)); {
			case f.param == "price":
				wrong.Msg, wrong.Hint = priceFault(typed, err)
			case notNumber.MatchString(wrong.Msg):
				wrong.Msg, wrong.Hint = fmt.Sprintf("%q is not a number", typed), numberHint
			}
			faults = append(faults, wrong)
			continue
		}
		a.Query[f.param] = slices.DeleteFunc(a.Query[f.param], func(v string) bool { return strings.HasPrefix(v, l.Item+"=") })
		if text != "" && text != f.listed+f.unit {
			a.Query.Add(f.param, change)
		}
	}
	return faults
}

// amountOf reads an amount of an item, in base units.
func (a *asked) amountOf(item, text string) (float64, error) {
	i, err := a.Kitchen.FindItem(item)
	if err != nil {
		return 0, err
	}
	return a.Kitchen.Amount(i, text)
}

// line is a purchase as it stands on the list, weights in what the scale shows.
func (a *asked) line(x shop.Purchase, scale string) *buyLine {
	m := show.MoneyOf(a.Kitchen.Money)
	from, _ := measure.UnitNamed(x.Unit) // the list has units of the kitchen file
	per := from
	if scale != "" && from.Kind == measure.Weight {
		per, _ = measure.UnitNamed(scale)
	}
	bought := measure.Quantity{Amount: x.Bought * from.Factor / per.Factor, Unit: per}
	if typed := bought.Typed(); typed.Unit.Factor < per.Factor {
		bought = typed
	}
	l := &buyLine{Purchase: x, In: bought.Unit.Name, Amount: measure.FormatNumber(bought.Amount), Per: per.Name,
		Price: plainMoney(show.UnitPrice(m, x.Price*per.Factor/from.Factor)), paid: m.Units(x.Cost)}
	l.Listed, l.Usual = l.Amount, l.Price
	return l
}

// plainMoney is money as it is typed: without commas between thousands.
func plainMoney(text string) string { return strings.ReplaceAll(text, ",", "") }

// list puts the list together with what the scale says and what is asked, and gives the changes that this makes to the week.
func (c *buyAnswer) list(ctx context.Context, a *asked, t *shop.Trip, wrong *filled) (shocks []week.Shock, err error) {
	m := show.MoneyOf(a.Kitchen.Money)
	came, err := a.came(ctx, c)
	if err != nil {
		return nil, err
	}
	total, spent, listed := int64(0), 0.0, map[string]bool{}
	check := a.Query.Get("check")
	slices.SortStableFunc(t.Suppliers, func(x, y shop.Supplier) int { return moreFirst(x.Total, y.Total) })
	for _, sup := range t.Suppliers {
		slices.SortStableFunc(sup.Items, func(x, y shop.Purchase) int { return moreFirst(x.Cost, y.Cost) })
		s, sum := stall{ID: fmt.Sprintf("from-%d", len(c.Suppliers)), Name: sup.Name}, int64(0)
		for _, x := range sup.Items {
			l := a.line(x, c.Scale)
			l.At, l.From = c.Wanted, sup.Name
			l.Open = a.Query.Get("line") == l.Key()
			for _, f := range []*filled{a.Form, wrong} {
				if f != nil && f.Was("form") == "buy" && cmp.Or(f.Was("missed"), f.Was("item")) == x.Item {
					l.Form = f
				}
			}
			got := came[x.Item]
			if a.Week.Now == 0 { // else the list goes by the log book, and what stands on it is still to come
				l.Received, l.Paid = show.List(got.amounts), m.Show(got.paid)
			}
			if !x.Other { // an order that was decided once is not tried at other amounts
				short, err := a.weigh(l, t.Date)
				if err != nil {
					return nil, err
				}
				shocks = append(shocks, short...)
				l.Instead = a.instead(x.Item, l.lacks)
			}
			l.Cost = m.ShowUnits(l.paid)
			c.Wanted++
			listed[x.Item] = true
			if l.Received != "" {
				c.Came++
				spent += got.paid
				c.put(l, got.paid)
				continue
			}
			if !c.Early && (check == "all" || check == s.ID) {
				c.Check = append(c.Check, l)
			}
			sum += l.paid
			s.Lines = append(s.Lines, l)
		}
		if len(s.Lines) == 0 {
			continue
		}
		if check == s.ID && sup.Name != "" {
			c.Checked = sup.Name
		}
		total += sum
		s.Total = m.NameUnits(sum) + show.OrderTerms(&sup, m, sum)
		s.Advice = show.LeastOrder(&sup, m)
		c.Suppliers = append(c.Suppliers, s)
	}
	if a.Week.Now > 0 {
		spent = c.fill(a, came, listed)
	}
	c.bills(a)
	c.Total, c.Paid = m.NameUnits(total), m.Name(spent)
	c.Check = c.Check[:min(len(c.Check), mostEntries)]
	for i, l := range c.Check {
		l.At = i // among the fields of one form
	}
	var before *buyLine
	for n := range c.Suppliers {
		s := &c.Suppliers[n]
		s.fold(a, total)
		for _, l := range slices.Concat(s.Lines, s.Trifles) {
			if before != nil {
				before.Next = l.Key()
			}
			before = l
		}
	}
	return shocks, nil
}

// fill puts what came into the basket, by name, where the log book has taken it off the list already. What it was paid for, and what was
// paid for a part of what is still listed, is spent.
func (c *buyAnswer) fill(a *asked, came map[string]arrived, listed map[string]bool) (spent float64) {
	m := show.MoneyOf(a.Kitchen.Money)
	for _, name := range slices.Sorted(maps.Keys(came)) {
		i, err := a.Kitchen.FindItem(name)
		if err != nil {
			continue
		}
		from, price := "", 0.0
		switch sources := a.Kitchen.Sources[i]; { // of those who sell something elsewhere, the first stands for all
		case i < len(a.Kitchen.Bought):
			from, price = a.Kitchen.Bought[i].From, a.Week.Terms.Price[i]
		case len(sources) > 0:
			from, price = sources[0].From, sources[0].Price
		default: // it is not bought any more
			continue
		}
		spent += came[name].paid
		if listed[name] {
			continue
		}
		unit, got := a.Kitchen.Graph.Items[i].Unit, came[name]
		l := a.line(shop.Purchase{Item: name, Unit: unit.Name, Price: price * unit.Factor, Other: i >= len(a.Kitchen.Bought)}, c.Scale)
		l.At, l.From = c.Wanted, from
		l.Open = a.Query.Get("line") == l.Key()
		l.Received, l.Paid = show.List(got.amounts), m.Show(got.paid)
		if a.Form != nil && a.Form.Was("form") == "buy" && a.Form.Was("item") == name {
			l.Form = a.Form
		}
		c.put(l, got.paid)
		c.Came, c.Wanted = c.Came+1, c.Wanted+1
	}
	return spent
}

// weigh takes up what the scale says of a line and what is asked, and gives what comes short by it.
func (a *asked) weigh(l *buyLine, date string) (short []week.Shock, err error) {
	m := show.MoneyOf(a.Kitchen.Money)
	from, _ := measure.UnitNamed(l.Unit)
	in, _ := measure.UnitNamed(l.In)
	per, _ := measure.UnitNamed(l.Per)
	got, price := l.Bought*from.Factor, l.Purchase.Price/from.Factor
	l.lacks = l.Needed * from.Factor
	if text, ok := changeOf(a.Query["price"], l.Item); ok {
		l.Typed[1] = strings.TrimSuffix(text, "/"+l.Per)
		i, err := a.Kitchen.FindItem(l.Item)
		if err != nil {
			return nil, err
		}
		if asked, err := a.Kitchen.Price(i, text); err == nil { // else the change itself is refused
			price, l.Asked = asked, true
			l.Price = plainMoney(show.UnitPrice(m, price*per.Factor))
		}
	}
	if text, ok := changeOf(a.Query["got"], l.Item); ok {
		l.Typed[0] = strings.TrimSuffix(text, " "+l.In)
		if got, err = a.amountOf(l.Item, text); err != nil {
			return nil, &Refusal{Msg: err.Error(), Hint: "open the page without this amount"}
		}
		l.Amount, l.Weighed = measure.FormatNumber(got/in.Factor), true
		if missing := l.Needed*from.Factor - got; missing > 0 {
			l.lacks = missing
			s, err := a.Week.Shock("short", fmt.Sprintf("%s@%s=%s %s", l.Item, date, measure.FormatNumber(missing/from.Factor), l.Unit))
			if err != nil {
				return nil, &Refusal{Msg: err.Error(), Hint: "open the page without this amount"}
			}
			short = []week.Shock{s}
		}
	}
	l.paid = m.Units(got * price)
	return short, nil
}

// changeOf is what a parameter such as got=lard=2 kg says of an item.
func changeOf(list []string, item string) (text string, ok bool) {
	for _, v := range list {
		if text, ok = strings.CutPrefix(v, item+"="); ok {
			return text, true
		}
	}
	return "", false
}

// mostCame bounds how many entries are looked through for what came.
const mostCame = 300

// arrived is what has come of an item, as it was typed, and what was paid for it.
type arrived struct {
	amounts []string
	paid    float64
}

// came is what was received of each item, by the log book, for the day of the list.
func (a *asked) came(ctx context.Context, c *buyAnswer) (map[string]arrived, error) {
	lines, err := a.entries(ctx, mostCame)
	if err != nil {
		return nil, err
	}
	came := map[string]arrived{}
	for i := range lines {
		l := &lines[i]
		if l.Kind != logbook.Received || l.Gone != 0 || a.boughtFor(l) != c.Date {
			continue
		}
		for _, p := range l.Gives {
			got := came[p.Item]
			got.amounts = append(got.amounts, p.Typed)
			if l.Paid != nil {
				got.paid += *l.Paid
			}
			came[p.Item] = got
		}
	}
	return came, nil
}

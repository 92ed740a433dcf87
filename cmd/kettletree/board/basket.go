package board

// What is in the basket, supplier by supplier, held against the invoice; what came short of an order; and what is taken in place of
// something that can't be had.

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// basket is what came of one supplier.
type basket struct {
	ID, From string
	Paid     string // with the currency
	Lines    []*buyLine
	Typed    string // the invoice's total
	Differs  string // by how much the invoice is above or below what is written down; "" where no invoice was typed
	More     bool   // it is above
	Same     bool
	Wrong    *fault

	paid float64
}

// put puts a line into the basket of its supplier.
func (c *buyAnswer) put(l *buyLine, paid float64) {
	at := slices.IndexFunc(c.Baskets, func(b *basket) bool { return b.From == l.From })
	if at < 0 {
		at = len(c.Baskets)
		c.Baskets = append(c.Baskets, &basket{ID: fmt.Sprintf("basket-%d", at), From: l.From})
	}
	b := c.Baskets[at]
	b.Lines, b.paid = append(b.Lines, l), b.paid+paid
}

// bills holds what came against the invoices: "invoice" has each as it was typed, "butcher=305.10".
func (c *buyAnswer) bills(a *asked) {
	m := show.MoneyOf(a.Kitchen.Money)
	for _, b := range c.Baskets {
		b.Paid = m.Name(b.paid)
		text, ok := changeOf(a.Query["invoice"], b.From)
		if !ok {
			continue
		}
		b.Typed = text
		sum, choices, err := pointed(text)
		total, bad := strconv.ParseFloat(strings.TrimSpace(sum), 64)
		if err != nil || bad != nil || !(total >= 0) || total > 1e9 {
			b.Wrong = &fault{Field: "sum", Msg: fmt.Sprintf("%q is not a sum of money", text), Hint: "write it as 12.50", Choices: choices}
			continue
		}
		by := m.Units(total) - m.Units(b.paid)
		b.Same, b.More = by == 0, by > 0
		b.Differs = m.NameUnits(max(by, -by))
	}
	slices.SortStableFunc(c.Baskets, func(x, y *basket) int { return moreFirst(x.paid, y.paid) })
}

// foldBill puts the invoice that a form has typed among the others.
func (a *asked) foldBill() {
	if from := a.Query.Get("bill"); a.Query.Has("bill") {
		a.Query["invoice"] = slices.DeleteFunc(a.Query["invoice"], func(v string) bool { return strings.HasPrefix(v, from+"=") })
		if sum := strings.TrimSpace(a.Query.Get("sum")); sum != "" {
			a.Query.Add("invoice", from+"="+sum)
		}
	}
	for _, once := range []string{"bill", "sum"} {
		a.Query.Del(once)
	}
	if len(a.Query["invoice"]) == 0 {
		a.Query.Del("invoice")
	}
}

// SumField is the field for the invoice of a supplier.
func (v *view) SumField(b *basket) *field {
	return &field{ID: "sum-" + b.ID, Name: "sum", Label: v.T("Invoice total, %[1]s", v.Kitchen.Money), Hear: v.Called(b.From), Mode: "decimal", Value: b.Typed, Wrong: b.Wrong}
}

// trifle is the part of what a list costs below which a line of it is a trifle; lasting is from how many days on something keeps as
// what lies in a dry store does. Common practice, no source.
const (
	trifle  = 0.01
	lasting = 30
)

// fold parts the trifles of the dry store from what is bought by weight and price: they are bought by the bag, when the bag is empty.
func (s *stall) fold(a *asked, total int64) {
	var lines, trifles []*buyLine
	for _, l := range s.Lines {
		i, err := a.Kitchen.FindItem(l.Item)
		keeps := err == nil && (a.Week.Terms.Keeps[i] == 0 || a.Week.Terms.Keeps[i] >= lasting)
		if keeps && float64(l.paid) < trifle*float64(total) && !l.Open && l.Form == nil && !l.Weighed && !l.Asked {
			trifles = append(trifles, l)
			continue
		}
		lines = append(lines, l)
	}
	if len(trifles) > 1 {
		s.Lines, s.Trifles = lines, trifles
	}
}

// Count is how many lines it has.
func (s *stall) Count() int { return len(s.Lines) + len(s.Trifles) }

// TriflesOf counts the trifles of a supplier and names the first of them.
func (v *view) TriflesOf(s *stall) string {
	names := make([]string, 0, len(s.Trifles))
	for _, l := range s.Trifles {
		names = append(names, l.Item)
	}
	return v.Many(len(names), "1 trifle for the dry store: %[2]s", "%[1]s trifles for the dry store: %[2]s", v.firstOf(names))
}

// firstOf names the first of many, or all of a few.
func (v *view) firstOf(names []string) string {
	if len(names) > 3 {
		return v.T("%[1]s and %[2]s more", v.List(names[:1])+", "+v.List(names[1:2]), len(names)-2)
	}
	return v.List(names)
}

// instead is something that takes the place of what can't be had.
type instead struct {
	Name       string
	Amount     string   // what of it tastes like what lacks
	In         []string // where it is taken
	Stated     kitchen.Stated
	Brings     bool   // allergens that the other has not, may bring some, or nobody stated them
	Buys       bool   // it is bought
	Much, Unit string // how much of it by the card, for what lacks
	Price      string // for one Unit
	From       string // supplier
}

// instead are the substitutes for an item, where each is taken, and how much of it by the card stands for what is lacking.
func (a *asked) instead(item string, lacks float64) (list []instead) {
	g, m := a.Kitchen.Graph, show.MoneyOf(a.Kitchen.Money)
	i, err := a.Kitchen.FindItem(item)
	if err != nil {
		return nil
	}
	for _, st := range g.Steps {
		for _, line := range st.Takes {
			if line.Choices[0].Item != i {
				continue
			}
			for n, other := range line.Choices[1:] {
				x := instead{Name: g.Items[other.Item].Name, Amount: a.Kitchen.StandsFor(line, n+1, lacks), In: []string{st.Name},
					Stated: a.Kitchen.Stated(other.Item).Beyond(a.Kitchen.Stated(i))}
				x.Brings = !x.Stated.None()
				if at := slices.IndexFunc(list, func(o instead) bool { return o.Name == x.Name }); at >= 0 { // one line for all that take it
					list[at].In = append(list[at].In, st.Name)
					continue
				}
				if x.Buys = other.Item < len(a.Kitchen.Bought); x.Buys && line.Choices[0].Amount > 0 {
					q := a.Kitchen.Quantity(other.Item, lacks*other.Amount/line.Choices[0].Amount)
					unit := g.Items[other.Item].Unit
					x.Unit, x.Much = unit.Name, measure.FormatNumber(roundedUp(q.Base()/unit.Factor, unit))
					x.Price = plainMoney(show.UnitPrice(m, a.Week.Terms.Price[other.Item]*unit.Factor))
					x.From = a.Kitchen.Bought[other.Item].From
				}
				list = append(list, x)
			}
		}
	}
	return list
}

// roundedUp is an amount that is to be bought as a scale shows it: whole pieces of what is counted, else three digits.
func roundedUp(amount float64, unit measure.Unit) float64 {
	if amount <= 0 {
		return 0
	}
	step := 1.0
	if unit.Kind != measure.Count {
		step = math.Pow(10, math.Floor(math.Log10(amount))-2)
	}
	return math.Ceil(amount/step-1e-9) * step
}

// InsteadField is a field of the form that takes something in place of a line of the list.
func (v *view) InsteadField(l *buyLine, x instead, name, label, planned string) *field {
	f := &field{ID: name + "-" + slug(x.Name) + "-for-" + slug(l.Item), Name: name, Label: label, Hear: v.Called(x.Name), Mode: "decimal", Else: planned, Shown: planned}
	if form := l.Form; form != nil && form.Was("missed") == l.Item && form.Was("item") == x.Name {
		f.Value, f.Wrong = form.Was(name), form.Wrong(name, 0)
	}
	return f
}

// missed are the entries that say what did not come of what a form was about: what another thing was taken for, or what an order came
// short by, where all has come that comes.
func (r *fieldReader) missed(form url.Values) (texts []string) {
	if of := form.Get("missed"); of != "" {
		if name, _ := meant(of, itemNames(r.k, graph.Bought)); name != "" {
			texts = append(texts, string(logbook.NotCome)+" "+name)
		}
	}
	if form.Get("short") == "" || r.kind != logbook.Received || len(r.faults) > 0 {
		return texts
	}
	if rest := r.rest(0); rest != "" {
		texts = append(texts, string(logbook.NotCome)+" "+rest)
	}
	return texts
}

// rest is what a row's order came short by, such as "5.5 kg trotters"; "" for nothing, and where none of it came.
func (r *fieldReader) rest(at int) string {
	unit, item := r.said("unit", at), r.said("item", at)
	i, err := r.k.FindItem(item)
	if err != nil {
		return ""
	}
	text := func(n string) string {
		if strings.ContainsFunc(n, unicode.IsLetter) {
			return n
		}
		return n + " " + unit
	}
	came, _, err := pointed(r.said("amount", at))
	if err != nil {
		return ""
	}
	listed := r.form["amount"+behindElse]
	if at >= len(listed) {
		return ""
	}
	wanted, err1 := r.k.Amount(i, text(strings.TrimSpace(listed[at])))
	base, err2 := r.k.Amount(i, text(came))
	if rest := wanted - base; err1 == nil && err2 == nil && base > 0 && rest > wanted*1e-6 {
		return plainQuantity(r.k, i, rest) + " " + item
	}
	return ""
}

// rests are what is still missing of what a form of today's list says has come: the log book has it that no more comes today.
func rests(k *kitchen.Kitchen, form url.Values) (list []string) {
	r := &fieldReader{k: k, kind: logbook.Kind(form.Get("kind")), form: form}
	if r.kind != logbook.Received || form.Get("form") != "buy" || form.Get("short") != "" || form.Get("missed") != "" {
		return nil
	}
	for at := range form["amount"] {
		if rest := r.rest(at); rest != "" {
			list = append(list, rest)
		}
	}
	return list
}

// plainQuantity is an amount of an item as it is typed.
func plainQuantity(k *kitchen.Kitchen, item int, base float64) string {
	unit := k.Graph.Items[item].Unit
	return plainNumber(base/unit.Factor) + " " + unit.Name
}

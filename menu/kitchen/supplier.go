package kitchen

// Who sells: suppliers with their days, deadlines and least orders, and where else an item can be had.

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Supplier is somebody who sells to the kitchen.
type Supplier struct {
	Name     string
	Delivers Days      // every day when the file does not say
	OrderBy  *Deadline // nil when the file does not say
	Least    float64   // money that an order must come to; 0 for none
	Pos      Pos
}

// Deadline is by when a delivery must be ordered: a time of the day so many days before it comes.
type Deadline struct {
	Minute, DaysBefore int
}

// Before is the minute by which what comes on a day must be ordered, both counted from the same midnight.
func (d Deadline) Before(day int) (minute int) { return (day-d.DaysBefore)*1440 + d.Minute }

// Source is where an item can be had beside its usual supplier, or, of what steps give, at all.
type Source struct {
	From    string  // the supplier
	Price   float64 // for one base unit of the item
	Pack    float64 // the smallest amount sold, in base units; 0 when not given
	Within  int     // minutes from the order until it is there; 0 where it comes as deliveries do
	Arrives Days
	Pos     Pos
}

var supplierKeys = []key{
	{"delivers", daysForm, may, "The days on which it delivers; every day when not written. What comes from it and has no days of its own goes by them."},
	{"order by", &form{shape: text, what: `a time such as "18:00 the day before"`, pattern: deadlinePattern}, may,
		`By when to order what comes on a day: "18:00 the day before", "05:00 the same day", "12:00 2 days before".`},
	{"least order", plainSum, may, "The money that one order must come to."},
	wasKey,
}

var sourceKeys = []key{
	{"price", priceForm, must, "What it costs there."},
	{"pack", &form{shape: text, what: "a quantity such as 10 kg", pattern: anyQuantity}, may, "The smallest amount that is sold there."},
	{"within", &form{shape: text, what: "a time such as 30 min", pattern: measure.DurationPattern}, may,
		"How long it takes to fetch, on any of its days. When not written, it comes as a delivery, at the beginning of a day."},
	{"arrives", daysForm, may, "The days on which it can be had there; those of the supplier when not written."},
}

// alsoFromKey stands on all that can be bought.
var alsoFromKey = key{"also from", eachNamed("suppliers such as corner shop: {price: 11/kg, within: 30 min}", sourceKeys), may,
	"Where else it can be had, and at what price, when it falls short."}

// sourceKey stands on what steps give.
var sourceKey = key{alsoFromKey.name, alsoFromKey.takes, may, "Where it can be bought in, and at what price, when it falls short. From nobody when not written."}

const deadlinePattern = "(?:" + measure.ClockPattern + ") +(?:the same day|the day before|[1-9] days before)"

var wholeDeadline = regexp.MustCompile("^(" + measure.ClockPattern + ") +(?:(the same day)|(the day before)|([1-9]) days before)$")

// parseDeadline reads "18:00 the day before".
func parseDeadline(s string) (Deadline, error) {
	m := wholeDeadline.FindStringSubmatch(s)
	if m == nil {
		return Deadline{}, &measure.Error{Msg: fmt.Sprintf("%q is not a deadline", s),
			Hint: `write it as "18:00 the day before", "05:00 the same day" or "12:00 2 days before"`, Len: len(s)}
	}
	minute, err := measure.ParseClock(m[1])
	if err != nil {
		return Deadline{}, err
	}
	d := Deadline{Minute: minute}
	switch {
	case m[3] != "":
		d.DaysBefore = 1
	case m[4] != "":
		d.DaysBefore, _ = strconv.Atoi(m[4])
	}
	return d, nil
}

func (r *reader) suppliers(n *yaml.Node) {
	for key, body := range r.pairs(n) {
		s := Supplier{Name: key.Value, Pos: r.span(key).Pos, Delivers: scalarOr(r, body, "delivers", parseDays, EveryDay)}
		if !s.Delivers.meets(r.k.Works) {
			r.fault(r.span(r.value(body, "delivers")), "nobody-works", `add a day on which somebody works, or the day to "works"`,
				"%q delivers on %s, when nobody works to take it in", s.Name, s.Delivers)
		}
		if d, ok := scalar(r, body, "order by", parseDeadline); ok {
			s.OrderBy = &d
		}
		s.Least, _ = scalar(r, body, "least order", money)
		r.was(NamedSupplier, s.Name, body)
		r.k.Suppliers = append(r.k.Suppliers, s)
	}
}

// SupplierNamed is what the file says of a supplier; nil when it says nothing.
func (k *Kitchen) SupplierNamed(name string) *Supplier {
	for n := range k.Suppliers {
		if k.Suppliers[n].Name == name {
			return &k.Suppliers[n]
		}
	}
	return nil
}

// SourceText says where an item can be had: "corner shop, within 30 min, 11/kg".
func (k *Kitchen) SourceText(item int, s Source) string {
	text, unit := s.From, k.Graph.Items[item].Unit
	if s.Within > 0 {
		text += ", within " + measure.FormatDuration(s.Within)
	}
	if s.Arrives != EveryDay {
		text += ", " + s.Arrives.String()
	}
	if who := k.SupplierNamed(s.From); s.Within == 0 && who != nil && who.OrderBy != nil {
		text += ", ordered by " + who.OrderBy.String()
	}
	return text + ", " + strings.TrimSuffix(strconv.FormatFloat(s.Price*unit.Factor, 'f', 2, 64), ".00") + "/" + unit.Name
}

// String is as it is written: "18:00 the day before".
func (d Deadline) String() string {
	at := measure.FormatClock(d.Minute)
	switch d.DaysBefore {
	case 0:
		return at + " the same day"
	case 1:
		return at + " the day before"
	}
	return fmt.Sprintf("%s %d days before", at, d.DaysBefore)
}

// delivers are the days of a supplier; every day of one that the file says nothing of.
func (r *reader) delivers(name string) Days {
	if s := r.k.SupplierNamed(name); s != nil {
		return s.Delivers
	}
	return EveryDay
}

// alsoFrom reads where else an item can be had.
func (r *reader) alsoFrom(i int, body *yaml.Node, usual string) {
	for key, source := range r.pairs(r.value(body, "also from")) {
		s := Source{From: key.Value, Pos: r.span(key).Pos, Arrives: scalarOr(r, source, "arrives", parseDays, r.delivers(key.Value))}
		if s.From == usual {
			r.fault(r.span(key), "same-supplier", `name another, or put what differs behind the item's own "price" and "arrives"`,
				"%q is the usual supplier of %q", s.From, r.items[i].Name)
		}
		if written(source, "arrives") && !s.Arrives.meets(r.k.Works) {
			r.fault(r.span(key), "nobody-works", `add a day on which somebody works, or the day to "works"`,
				"%q of %q arrives on %s, when nobody works to take it in", r.items[i].Name, s.From, s.Arrives)
		}
		s.Within, _ = scalar(r, source, "within", measure.ParseDuration)
		if p, ok := scalar(r, source, "price", parsePrice); ok {
			if per, ok := r.base(i, p.per, r.span(r.value(source, "price"))); ok {
				s.Price = p.money / per
			}
		}
		if pack, ok := scalar(r, source, "pack", measure.Parse); ok {
			at := r.value(source, "pack")
			if pack.Amount == 0 {
				r.fault(r.span(at), "bad-pack", "write the smallest amount sold, or remove the key", "pack %q is zero", at.Value)
			}
			s.Pack = r.wholePack(i, pack, r.span(at))
		}
		r.k.Sources[i] = append(r.k.Sources[i], s)
	}
}

// checkSuppliers refuses to buy in what only grows from itself, and warns of suppliers that nothing comes from.
func (r *reader) checkSuppliers(g *graph.Graph) {
	for s, st := range g.Steps {
		for l, line := range st.Takes {
			first := line.Choices[0].Item
			if !line.Carried || g.Items[first].Role != graph.Made || len(r.k.Sources[first]) == 0 {
				continue
			}
			at := r.k.Sources[first][0].Pos
			r.fault(r.at(at.Line, at.Col, len([]rune(r.k.Sources[first][0].From))), "perpetual-bought", "remove it: name something bought to start it with again, after \"or\"",
				"%q can't be bought: it grows from what was left of it", g.Items[first].Name).
				note(r.k.StepPos[s].Takes[l], "%q takes it from yesterday", st.Name)
		}
	}
	for _, s := range r.k.Suppliers {
		sells := false
		for _, b := range r.k.Bought {
			sells = sells || b.From == s.Name
		}
		for _, list := range r.k.Sources {
			for _, o := range list {
				sells = sells || o.From == s.Name
			}
		}
		if !sells {
			r.warn(r.at(s.Pos.Line, s.Pos.Col, len([]rune(s.Name))), "unused-supplier", `name it behind "from" or "also from", or remove it`,
				"nothing comes from %q", s.Name)
		}
	}
}

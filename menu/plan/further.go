package plan

// What is decided beyond a plan, one thing at a time: a further batch, or an order with another than the usual supplier. It is kept
// beside the plan's own batches and orders, so that the plan itself stays what it was.

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// KeptFurther are batches of a step beyond those that are planned for a day, and when they are to be lit.
type KeptFurther struct {
	Step    string
	Batches float64
	Starts  int // minutes after midnight
}

// String is as it stands in the file: "1 night kettle at 06:00". ReadFurther reads it.
func (f KeptFurther) String() string {
	return fmt.Sprintf("%s %s at %02d:%02d", plainly(f.Batches), f.Step, f.Starts/60, f.Starts%60)
}

// ReadFurther reads what [KeptFurther.String] writes.
func ReadFurther(text string) (f KeptFurther, err error) {
	const want = `write it as "1 night kettle at 06:00"`
	n, rest, _ := strings.Cut(text, " ")
	at := strings.LastIndex(rest, " at ")
	f.Batches, err = strconv.ParseFloat(n, 64)
	f.Batches = grained(f.Batches)
	if err != nil || !(f.Batches > 0 && f.Batches <= mostKept) || at < 1 {
		return f, fmt.Errorf("%q is no further batch: %s", text, want)
	}
	starts, err := time.Parse("15:04", rest[at+len(" at "):])
	if err != nil {
		return f, fmt.Errorf("%q is no further batch: %s", text, want)
	}
	f.Step, f.Starts = rest[:at], starts.Hour()*60+starts.Minute()
	return f, nil
}

// KeptElsewhere is an order with one of those from whom the kitchen file says that something can be had, too.
type KeptElsewhere struct {
	KeptOrder
	From string
}

// String is as it stands in the file: "20 L kettle stock from stock house", with the supplier in quotes where its name could be taken for
// the end of the item's. ReadElsewhere reads it.
func (e KeptElsewhere) String() string {
	from := e.From
	if strings.Contains(" "+from, " from ") || strings.HasPrefix(from, `"`) {
		from = strconv.Quote(from)
	}
	return fmt.Sprintf("%s %s %s from %s", plainly(e.Quantity), e.Unit, e.Item, from)
}

// ReadElsewhere reads what [KeptElsewhere.String] writes.
func ReadElsewhere(text string) (e KeptElsewhere, err error) {
	n, rest, _ := strings.Cut(text, " ")
	unit, rest, _ := strings.Cut(rest, " ")
	at := strings.LastIndex(rest, " from ")
	quoted := strings.LastIndex(rest, ` from "`)
	from := ""
	if quoted > 0 {
		if name, err := strconv.Unquote(rest[quoted+len(" from "):]); err == nil {
			at, from = quoted, name
		}
	}
	e.Quantity, err = strconv.ParseFloat(n, 64)
	e.Quantity = grained(e.Quantity)
	if _, bad := measure.UnitNamed(unit); err != nil || bad != nil || !(e.Quantity > 0 && e.Quantity <= mostKept) || at < 1 {
		return e, fmt.Errorf(`%q is no order: write it as "20 L kettle stock from stock house"`, text)
	}
	e.Unit, e.Item, e.From = unit, rest[:at], cmp.Or(from, rest[at+len(" from "):])
	return e, nil
}

// Decide adds what is decided about days to what is kept in a file, at a moment. What is there already, the same batch at the same time
// or the same order, is not added again; where all of it is, nothing is written, so that [Drop]
// takes back what was decided last.
func Decide(file, kitchen, rule string, days []KeptDay, at time.Time, save func(name string, text []byte) error) error {
	was, err := ReadFile(file)
	if err != nil {
		return err
	}
	if was == nil {
		was = &Kept{Kitchen: kitchen, Rule: rule}
	}
	more, news := &Kept{Kitchen: was.Kitchen, Rule: was.Rule}, false
	for _, d := range days {
		day := KeptDay{Date: d.Date}
		if n := slices.IndexFunc(was.Days, func(o KeptDay) bool { return o.Date.Equal(d.Date) }); n >= 0 {
			day = was.Days[n]
		}
		day.Further, day.Elsewhere = slices.Clone(day.Further), slices.Clone(day.Elsewhere)
		for _, f := range d.Further {
			if slices.Contains(day.Further, f) {
				continue
			}
			news = true
			day.Further = slices.DeleteFunc(day.Further, func(o KeptFurther) bool { return o.Step == f.Step && o.Starts == f.Starts })
			day.Further = append(day.Further, f)
		}
		for _, e := range d.Elsewhere {
			if slices.Contains(day.Elsewhere, e) {
				continue
			}
			news = true
			day.Elsewhere = slices.DeleteFunc(day.Elsewhere, func(o KeptElsewhere) bool { return o.Item == e.Item && o.From == e.From })
			day.Elsewhere = append(day.Elsewhere, e)
		}
		more.Days = append(more.Days, day)
	}
	if !news {
		return nil
	}
	return more.Keep(file, at, save)
}

// further lights the further batches of a day.
func (l *laying) further(of *KeptDay, day int) {
	for _, f := range of.Further {
		step := slices.IndexFunc(l.Graph.Steps[:len(l.Steps)], func(st graph.Step) bool { return st.Name == f.Step })
		switch {
		case step < 0:
			l.misfit(day, "there is no step %q any more, so its further batch is left out", f.Step)
		case l.Graph.Steps[step].Mode != graph.OnDays:
			l.misfit(day, "%q is not made on set days any more, so its further batch is left out", f.Step)
		default:
			l.s.Batches = append(l.s.Batches, flow.Batch{Step: step, Day: day, Start: f.Starts, Size: f.Batches})
		}
	}
}

// elsewhere lets come what is ordered with others than the usual suppliers.
func (l *laying) elsewhere(of *KeptDay, day int) {
	for _, e := range of.Elsewhere {
		item := slices.IndexFunc(l.Graph.Items, func(it graph.Item) bool { return it.Name == e.Item })
		if item < 0 {
			l.misfit(day, "there is no %q any more, so the order with %s is left out", e.Item, e.From)
			continue
		}
		source := -1
		for n, s := range l.Sources[item] {
			if s.From == e.From {
				source = n
			}
		}
		unit, err := measure.UnitNamed(e.Unit)
		it := l.Graph.Items[item]
		amount, ok := it.Bridge().Convert(measure.Quantity{Amount: e.Quantity, Unit: unit}.Base(), unit.Kind, it.Unit.Kind)
		if source < 0 || err != nil || !ok {
			l.misfit(day, "%s can't be had from %s any more, so the order is left out", e.Item, e.From)
			continue
		}
		l.s.Deliveries = append(l.s.Deliveries, flow.Delivery{Item: item, Day: day, Amount: amount, Ordered: amount, Price: l.Sources[item][source].Price,
			Source: source + 1})
	}
}

// Arrived is what is kept when some items have come of those that were ordered elsewhere for a day.
func (k *Kept) Arrived(date time.Time, came []string) *Kept {
	out := *k
	out.Days = slices.Clone(k.Days)
	for n := range out.Days {
		if out.Days[n].Date.Equal(date) {
			out.Days[n].Elsewhere = slices.DeleteFunc(slices.Clone(out.Days[n].Elsewhere), func(e KeptElsewhere) bool { return slices.Contains(came, e.Item) })
		}
	}
	return &out
}

// list reads a list of texts.
func (r *keptReader) list(n *yaml.Node, read func(text string) error) {
	if n.Kind != yaml.SequenceNode {
		r.fault(n, "here is a list, a line each behind a dash")
		return
	}
	for _, v := range n.Content {
		if err := read(v.Value); err != nil {
			r.fault(v, "%s", err)
		}
	}
}

// texts is a list for the file.
func texts[T fmt.Stringer](list []T) *yaml.Node {
	n := &yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq"}
	for _, x := range list {
		n.Content = append(n.Content, scalar(x.String()))
	}
	return n
}

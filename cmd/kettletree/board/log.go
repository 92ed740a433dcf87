package board

// Log: what happens is written down, by fields or on one line; the latest entries, each with what it did, can be taken back
// or put right.

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

var logPage = &page{Path: "/log", Name: "Log", File: "log", Takes: []string{"kind", "step", "day", "item", "lot", "corrects", "last"}, Answer: theLog}

// logAnswer is what the page shows.
type logAnswer struct {
	Kinds    []logbook.Kind
	Kind     logbook.Kind // whose fields are shown; "" for the line alone
	Form     string       // how an entry is written on a line
	Corrects *logbook.Line
	OnLine   bool // what is corrected is put right on a line: its fields can't say all of it
	Fill     *filling
	was      *filled // what stands in the fields of what is corrected
	Lines    []logLine
	More     int  // how many to ask for, to see more; 0 when these are all
	Readings bool // temperatures stand among them
}

// often are the kinds of entries that are written down many times a day, large and first.
var often = []logbook.Kind{logbook.Received, logbook.Lit, logbook.Out, logbook.Done, logbook.Cooked, logbook.Sold, logbook.Counted, logbook.Binned,
	logbook.Temperature, logbook.Measured}

// Often and Others are the kinds to choose from; Seldom tells whether one is among the others.
func (l *logAnswer) Often() []logbook.Kind { return often }
func (l *logAnswer) Others() []logbook.Kind {
	return slices.DeleteFunc(slices.Clone(l.Kinds), func(k logbook.Kind) bool { return slices.Contains(often, k) })
}
func (l *logAnswer) Seldom(k logbook.Kind) bool { return k != "" && !slices.Contains(often, k) }

// fills is what the page's form is filled in with.
func (l *logAnswer) fills() *filled { return l.was }

// filling is what the fields of a kind choose from.
type filling struct {
	Items, Dishes, Suppliers []named
	Item, Lot                string // chosen before
	Units, Depths            []string
	Services                 []string
	Service                  string // the one that goes on, or ended last
	Served, ServedOn         string // where that was on a day before: when it ended, and the day; "" on the same day
	Deliveries               []delivery
	Lots                     []heldLot
	Days                     []fact // of the next seven
	Batches                  []dueBatch
	Steps                    []named
	Step, Day                string      // chosen before
	Which                    []string    // steps that a typed name may mean
	Unknown                  string      // a typed name that is none of a step
	Planned                  string      // how many batches, of the chosen step
	In, Out                  []portioned // of the chosen step
	Due                      []portioned // what is to go into batches under way, or to come out
	Likely                   []string    // items
	Scale                    string      // of a temperature: F or C
}

// named is something with what else it is called.
type named struct{ Name, Also string }

func namedAll(all []called) (list []named) {
	for _, c := range all {
		list = append(list, named{c[0], strings.Join(c[1:], ", ")})
	}
	return list
}

// portioned is what goes into a batch or comes out of it, and how much by the card.
type portioned struct {
	Item, Amount, Unit string
	Step, Date         string // of the batch, where it is one under way
	At                 int
}

// dueBatch is a batch that is due, under way or overdue: its step, the day on which it was to begin, and its size.
type dueBatch struct {
	Step, Day, Date string
	Size            float64
}

type logLine struct {
	logbook.Line
	When   string // "14:05", or with its day
	Beside string // what of it is by the card, or the limit beside what was read
}

// units that a scale or a jug shows.
var logUnits = []string{"kg", "g", "lb", "oz", "L", "mL", "qt", "each"}

const (
	usualLines = 20
	mostLines  = 500
)

func theLog(ctx context.Context, a *asked) (any, error) {
	l := &logAnswer{Kinds: logbook.Kinds, Kind: logbook.Kind(a.Query.Get("kind"))}
	if l.Kind != "" && !slices.Contains(l.Kinds, l.Kind) {
		return nil, &Refusal{Msg: fmt.Sprintf("%q can't be written down", l.Kind), Hint: "choose one of those on the Log page"}
	}
	if l.Kind == logbook.Measured { // it has a page of its own
		l.Kind = ""
	}
	n := usualLines
	if text := a.Query.Get("last"); text != "" {
		var err error
		if n, err = strconv.Atoi(text); err != nil || n < 1 || n > mostLines {
			return nil, &Refusal{Msg: fmt.Sprintf("%q is not a number of entries", text), Hint: fmt.Sprintf("write one from 1 to %d", mostLines)}
		}
	}
	asks := n + 1
	corrects := int64(0)
	if text := a.Query.Get("corrects"); text != "" {
		var err error
		if corrects, err = entryNumber(text); err != nil {
			return nil, err
		}
		asks = max(asks, int(min(a.Last-corrects+1, mostLines)))
	}
	lines, err := a.entries(ctx, asks)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(lines, func(x, y logbook.Line) int { return int(y.Entry - x.Entry) })
	for i := range lines {
		if lines[i].Entry == corrects && lines[i].Kind != logbook.Undone {
			l.Corrects = &lines[i]
		}
	}
	if corrects > a.Last {
		return nil, &Refusal{Msg: fmt.Sprintf("there is no entry %d", corrects), Hint: "the Log page lists them"}
	}
	if corrects > 0 && l.Corrects == nil {
		return nil, &Refusal{Msg: fmt.Sprintf("entry %d is too old to correct here", corrects),
			Hint: fmt.Sprintf(`write it down again, and undo the old one with "undo %d"`, corrects)}
	}
	if l.Corrects != nil {
		l.Kind = l.Corrects.Kind
		if len(a.Form.Values) == 0 {
			was, ok := fromEntry(a.Kitchen, l.Corrects)
			if l.OnLine = !ok; ok {
				l.was, a.Form = was, was
			}
		} else {
			l.OnLine = !a.Form.Values.Has("kind")
		}
	}
	if l.Kind != "" {
		l.Form = string(l.Kind) + " " + logbook.Form(a.Kitchen, l.Kind)
		if l.Fill, err = a.fill(ctx, l.Kind); err != nil {
			return nil, err
		}
	}
	if len(lines) > n {
		lines = lines[:n]
		if n < mostLines {
			l.More = min(n*4, mostLines)
		}
	}
	today := a.Now.Format(time.DateOnly)
	for _, line := range lines {
		when := line.At[11:16]
		if line.At[:10] != today {
			date, _ := time.Parse(time.DateOnly, line.At[:10]) // the log book writes no other
			when = measure.FormatDay(date) + " " + when
		}
		l.Lines = append(l.Lines, logLine{line, when, show.ByTheCard(line)})
		l.Readings = l.Readings || line.Kind == logbook.Temperature
	}
	return l, nil
}

// fill is what the fields of a kind choose from.
func (a *asked) fill(ctx context.Context, kind logbook.Kind) (f *filling, err error) {
	k := a.Kitchen
	f = &filling{Item: a.Query.Get("item"), Lot: a.Query.Get("lot"), Day: a.Query.Get("day"), Units: logUnits, Steps: namedAll(stepNames(k))}
	f.Items = namedAll(itemNames(k, graph.Bought))
	if kind != logbook.Received && kind != logbook.NotCome && kind != logbook.Late {
		f.Items = append(f.Items, namedAll(itemNames(k, graph.Made))...)
	}
	for _, b := range k.Bought {
		if from := (named{Name: b.From}); b.From != "" && !slices.Contains(f.Suppliers, from) {
			f.Suppliers = append(f.Suppliers, from)
		}
	}
	f.Dishes = namedAll(dishNames(k))
	if kind == logbook.Sold && a.Form.Was("dish") != "" && a.Form.Was("portions") != "" && a.Query.Has("corrects") { // one entry is one dish
		f.Dishes = []named{{Name: a.Form.Was("dish")}}
	}
	for _, v := range k.Vessels {
		if v.Diameter > 0 {
			f.Depths = append(f.Depths, depthIn+v.Name)
		}
	}
	for _, s := range k.Services {
		f.Services = append(f.Services, s.Name)
	}
	a.justServed(f)
	for d := range 7 {
		day := k.DayAt(a.Now).AddDate(0, 0, d)
		f.Days = append(f.Days, fact{day.Format("Monday"), day.Format(time.DateOnly)})
	}
	if kind == logbook.Received || kind == logbook.NotCome || kind == logbook.Late {
		if f.Deliveries, err = a.deliveries(ctx); err != nil {
			return nil, err
		}
	}
	if ofLots(kind) {
		if f.Lots, err = a.lots(ctx); err != nil {
			return nil, err
		}
	}
	if kind == logbook.Temperature {
		if f.Scale, err = a.thermometer(ctx); err != nil {
			return nil, err
		}
	}
	a.due(f, kind)
	if kind == logbook.Counted || kind == logbook.Binned || kind == logbook.Temperature {
		for _, lot := range a.Week.Case.Schedule.OnHand {
			name := k.Graph.Items[lot.Item].Name
			if k.Graph.Items[lot.Item].Role == graph.Made && lot.Amount > 0 && !slices.Contains(f.Likely, name) && len(f.Likely) < mostLikely {
				f.Likely = append(f.Likely, name)
			}
		}
	}
	return f, f.recipe(k, kind, strings.TrimSpace(a.Query.Get("step")))
}

// mostLikely bounds what is offered to be tapped: it should be seen at a glance.
const mostLikely = 12

// due finds the batches that are likely to be written about: what nobody wrote down comes first, then what is under way, then what is
// planned from yesterday to tomorrow.
func (a *asked) due(f *filling, kind logbook.Kind) {
	k, w, today := a.Kitchen, a.Week, a.today()
	batch := func(step int, day time.Time, size float64) {
		b := dueBatch{k.Graph.Steps[step].Name, measure.FormatDay(day), day.Format(time.DateOnly), size}
		if at := slices.IndexFunc(f.Batches, func(o dueBatch) bool { return o.Step == b.Step && o.Date == b.Date }); at >= 0 {
			f.Batches[at].Size += size
			return
		}
		f.Batches = append(f.Batches, b)
	}
	portion := func(item int, base float64, step int, day time.Time) {
		if q := k.QuantityOn(step, item, base).Typed(); base > 0 {
			f.Due = append(f.Due, portioned{k.Graph.Items[item].Name, measure.FormatNumber(q.Amount), q.Unit.Name,
				k.Graph.Steps[step].Name, day.Format(time.DateOnly), len(f.Due)})
		}
	}
	for _, h := range w.Happened {
		if !h.Overdue {
			continue
		}
		batch(h.Step, h.Day, 0)
		if h.What != string(kind) {
			continue
		}
		for _, m := range slices.Concat(h.In, h.Out) { // of what goes in or comes out, one of them is empty
			portion(m.Item, m.Amount, h.Step, h.Day)
		}
	}
	for _, pot := range w.Case.Schedule.Pots {
		if kind == logbook.Lit {
			continue // it is
		}
		batch(pot.Step, w.Date(pot.Day), pot.Batches)
		lines := pot.Gives
		if kind == logbook.PutIn {
			lines = pot.Takes
		}
		for _, l := range lines {
			portion(l.Item, l.Amount, pot.Step, w.Date(pot.Day))
		}
	}
	for _, b := range w.Case.Schedule.Batches {
		if b.Day >= today-1 && b.Day <= today+1 && b.Day < w.Days && b.Size > 0 && k.Graph.Steps[b.Step].Mode == graph.OnDays {
			batch(b.Step, w.Date(b.Day), b.Size)
		}
	}
}

// recipe takes up a step that was chosen: how many batches of it are planned, what goes into them, and what comes out.
func (f *filling) recipe(k *kitchen.Kitchen, kind logbook.Kind, typed string) error {
	if typed == "" {
		return nil
	}
	name, choices := meant(typed, stepNames(k))
	if name == "" {
		f.Which, f.Unknown = choices, typed
		return nil
	}
	s, err := k.FindStep(name)
	if err != nil {
		return &Refusal{Msg: err.Error(), Hint: "choose a step from the list"}
	}
	st, size := k.Graph.Steps[s], 1.0
	f.Step = st.Name
	for _, b := range f.Batches {
		if b.Step == f.Step && (f.Day == "" || f.Day == b.Date) && b.Size > 0 {
			size = b.Size
			f.Planned = plainNumber(size)
			break
		}
	}
	if f.Planned == "" && kind == logbook.Cooked {
		f.Planned = "1"
	}
	part := func(line, item int, base float64) portioned {
		q := k.QuantityIn(s, line, item, base*size).Typed()
		return portioned{Item: k.Graph.Items[item].Name, Amount: measure.FormatNumber(q.Amount), Unit: q.Unit.Name}
	}
	for i, l := range st.Takes {
		p := part(i, l.Choices[0].Item, l.Choices[0].Amount)
		p.At = i
		f.In = append(f.In, p)
	}
	for i, o := range st.Gives {
		p := part(kitchen.AnyLine, o.Item, o.Amount)
		p.At = i
		f.Out = append(f.Out, p)
	}
	return nil
}

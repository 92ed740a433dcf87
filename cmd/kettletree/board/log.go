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

var logPage = &page{Path: "/log", Name: "Log", File: "log", Takes: []string{"kind", "step", "item", "corrects", "last"}, Answer: theLog}

// logAnswer is what the page shows.
type logAnswer struct {
	Kinds    []logbook.Kind
	Kind     logbook.Kind // whose fields are shown; "" for the line alone
	Form     string       // how an entry is written on a line
	Corrects *logbook.Line
	Fill     *filling
	Lines    []logLine
	More     int  // how many to ask for, to see more; 0 when these are all
	Readings bool // temperatures stand among them
}

// filling is what the fields of a kind choose from.
type filling struct {
	Items, Dishes, Suppliers []string
	Item                     string // chosen before
	Units, Depths            []string
	Services                 []string
	Service                  string // the one that goes on, or ended last
	Days                     []fact // of the next seven
	Batches                  []lostBatch
	Steps, Soon              []string // all; those of these days
	Step                     string
	In, Out                  []portioned
	Fahrenheit               bool
}

// portioned is what goes into a batch or comes out of it.
type portioned struct{ Item, Amount, Unit string }

// lostBatch is a step with the day on which it began.
type lostBatch struct{ Step, Day, Date string }

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
	if l.Kind != "" {
		if !slices.Contains(l.Kinds, l.Kind) {
			return nil, &Refusal{Msg: fmt.Sprintf("%q can't be written down", l.Kind), Hint: "choose one of those on the Log page"}
		}
		l.Form = string(l.Kind) + " " + logbook.Form(a.Kitchen, l.Kind)
		var err error
		if l.Fill, err = a.fill(l.Kind); err != nil {
			return nil, err
		}
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
	lines, err := a.board.entries(ctx, a.Kitchen, asks)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(lines, func(x, y logbook.Line) int { return int(y.Entry - x.Entry) })
	for i := range lines {
		if lines[i].Entry == corrects && lines[i].Kind != logbook.Undone {
			l.Corrects = &lines[i]
		}
	}
	if corrects > 0 && l.Corrects == nil {
		return nil, &Refusal{Msg: fmt.Sprintf("entry %d is too old to correct here", corrects),
			Hint: fmt.Sprintf(`write it down again, and undo the old one with "undo %d"`, corrects)}
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
func (a *asked) fill(kind logbook.Kind) (*filling, error) {
	k, w := a.Kitchen, a.Week
	f := &filling{Item: a.Query.Get("item"), Units: logUnits, Fahrenheit: k.Code.Scale == "F"}
	for _, it := range k.Graph.Items {
		if it.Role == graph.Bought || it.Role == graph.Made && kind != logbook.Received {
			f.Items = append(f.Items, it.Name)
		}
	}
	for _, b := range k.Bought {
		if b.From != "" && !slices.Contains(f.Suppliers, b.From) {
			f.Suppliers = append(f.Suppliers, b.From)
		}
	}
	for _, d := range k.Dishes {
		f.Dishes = append(f.Dishes, d.Name)
	}
	for _, v := range k.Vessels {
		if v.Diameter > 0 {
			f.Depths = append(f.Depths, depthIn+v.Name)
		}
	}
	for _, s := range k.Services {
		f.Services = append(f.Services, s.Name)
	}
	f.Service = k.Services[k.ServiceNow(a.Now)].Name
	for d := range 7 {
		day := k.DayAt(a.Now).AddDate(0, 0, d)
		f.Days = append(f.Days, fact{day.Format("Monday"), day.Format(time.DateOnly)})
	}
	today := a.today()
	batch := func(step int, day time.Time) {
		name := k.Graph.Steps[step].Name
		if !slices.Contains(f.Soon, name) {
			f.Soon = append(f.Soon, name)
		}
		if b := (lostBatch{name, measure.FormatDay(day), day.Format(time.DateOnly)}); !slices.Contains(f.Batches, b) {
			f.Batches = append(f.Batches, b)
		}
	}
	for _, h := range w.Happened { // what nobody wrote down comes first
		if h.Overdue {
			batch(h.Step, h.Day)
		}
	}
	for _, pot := range w.Case.Schedule.Pots {
		batch(pot.Step, w.Date(pot.Day))
	}
	for _, b := range w.Case.Schedule.Batches {
		if b.Day >= today-1 && b.Day <= today+1 && b.Day < w.Days && b.Size > 0 && k.Graph.Steps[b.Step].Mode == graph.OnDays {
			batch(b.Step, w.Date(b.Day))
		}
	}
	for s := range k.Steps {
		f.Steps = append(f.Steps, k.Graph.Steps[s].Name)
	}
	return f, f.recipe(k, strings.TrimSpace(a.Query.Get("step")))
}

// recipe takes up a step that was chosen: what goes into one batch of it, and what comes out.
func (f *filling) recipe(k *kitchen.Kitchen, name string) error {
	if name == "" {
		return nil
	}
	s, err := k.FindStep(name)
	if err != nil {
		return &Refusal{Msg: err.Error(), Hint: "choose a step from the list"}
	}
	st := k.Graph.Steps[s]
	f.Step = st.Name
	part := func(item int, base float64) portioned {
		q := k.Quantity(item, base)
		return portioned{k.Graph.Items[item].Name, q.String(), q.Unit.Name}
	}
	for _, l := range st.Takes {
		f.In = append(f.In, part(l.Choices[0].Item, l.Choices[0].Amount))
	}
	for _, o := range st.Gives {
		f.Out = append(f.Out, part(o.Item, o.Amount))
	}
	return nil
}

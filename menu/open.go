package menu

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// Source is a text that is read: a file, or what was read already.
type Source struct {
	Name string // as faults name it; "" for no source
	Text []byte // nil to read the file of that name
}

// File is a source that is read when it is opened.
func File(name string) Source { return Source{Name: name} }

// read is the text, as far as a reader takes it: that of a file that is too large is cut, and its reader says so.
func (s Source) read() ([]byte, error) {
	if s.Text != nil {
		return s.Text, nil
	}
	f, err := os.Open(s.Name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // what was read is read
	return io.ReadAll(io.LimitReader(f, kitchen.MostBytes+1))
}

// Options say what is opened. The zero value of each but Kitchen and Now is what most questions want.
type Options struct {
	Kitchen Source
	Read    *kitchen.Kitchen // the kitchen, where it was read already: Kitchen then only names it
	OnHand  Source           // a list of what is on hand when the first day begins; none goes by the log book
	Plan    Source           // the plan that is kept, laid over the standing week; where there is no such file, none is
	LogBook string           // the log book's file; "" for none. Where there is no such file, there is no log book
	Book    *logbook.Book    // the log book, where it is open already and knows the kitchen: LogBook then only names it
	Rule    week.Rule        // who goes short; nil for week.Fair
	From    time.Time        // first day, at midnight UTC; zero for Monday of this week, or the kitchen's day where there is a log book
	Days    int              // 0 for 7
	Now     time.Time        // by the kitchen's clock, held as if it were UTC

	// Card says which cards are kept to, from now on.
	Card week.Card

	// Today asks about the kitchen's day, where no day is named, log book or not.
	Today bool

	// FromNow asks about what can still be done: where the first day is the kitchen's, or none is named, the week goes on from now, log
	// book or not. Without one, all is taken to have gone as planned until then; a list of what is on hand is of now, or of the morning
	// of the day that is named.
	FromNow bool

	// Usual asks for the standing week, as if no day differed from it and no plan was kept.
	Usual bool

	// Afresh lays the plan only over what it had planned before the first minute that is asked about: what comes then is to be
	// planned again.
	Afresh bool
}

// Frame sets the first day, the number of days and the rule from words, as a command line or an address has them: "from",
// "days" and "rule"; "" says nothing. The error is of type [*OptionError].
func (o *Options) Frame(said func(name string) string) (err error) {
	if from := said("from"); from != "" {
		if o.From, err = time.Parse(time.DateOnly, from); err != nil {
			return &OptionError{fmt.Sprintf("the first day %q is not a date", from), "write it as 2026-11-23"}
		}
		if !kitchen.InReach(o.From) {
			return &OptionError{fmt.Sprintf("the first day %q is out of reach", from), "write a date from 2000-01-01 to 2099-12-31"}
		}
	}
	if days := said("days"); days != "" {
		if o.Days, err = strconv.Atoi(days); err == nil && o.Days > week.MostDays {
			return tooManyDays(o.Days)
		}
		if err != nil || o.Days < 1 {
			return &OptionError{fmt.Sprintf("%q is not a number of days", days),
				fmt.Sprintf("write a whole number from 1 to %d", week.MostDays)}
		}
	}
	if rule := said("rule"); rule != "" {
		o.Rule, err = RuleNamed(rule)
	}
	return err
}

func tooManyDays(n int) error {
	return &OptionError{fmt.Sprintf("at most %d days can be asked about, not %d", week.MostDays, n),
		fmt.Sprintf("write a whole number from 1 to %d", week.MostDays)}
}

// OptionError says that options do not go together, or one can't be.
type OptionError struct{ Msg, Hint string }

func (e *OptionError) Error() string { return e.Msg }

// Rules are all rules for what is scarce; the first is the usual one.
var Rules = []week.Rule{week.Fair, week.First, plan.Best}

// RuleNamed is the rule with a name.
func RuleNamed(name string) (week.Rule, error) {
	var names []string
	for _, r := range Rules {
		if r.String() == name {
			return r, nil
		}
		names = append(names, r.String())
	}
	return nil, &OptionError{fmt.Sprintf("there is no rule %q", name), "write one of: " + strings.Join(names, ", ")}
}

// Open opens a kitchen over days. The diagnostics are all that was found in the kitchen file, in what is on hand and in the
// vessels, warnings too; the week is nil, without an error, when any of them is an error. An error is of type [*OptionError] when
// the options can't be met, [*logbook.FileError] when the log book can't be read, [*plan.FileError] when the plan can't.
func Open(ctx context.Context, o Options) (*week.Week, kitchen.Diagnostics, error) {
	k := &opening{Options: o}
	if k.kitchen = o.Read; k.kitchen == nil {
		src, err := o.Kitchen.read()
		if err != nil {
			return nil, nil, err
		}
		if k.kitchen, k.faults = kitchen.Read(o.Kitchen.Name, src); k.kitchen == nil {
			return nil, k.faults, nil
		}
	}
	if o.Usual {
		k.kitchen = k.kitchen.Usual()
	}
	w, err := k.open(ctx)
	if err != nil || k.faults.Err() != nil {
		w = nil
	}
	return w, k.faults, err
}

// OnHand is what is on hand by the log book when the week goes on that the options open. It is nil, without an error, when
// something that was found is an error.
func OnHand(ctx context.Context, o Options) (*logbook.OnHand, kitchen.Diagnostics, error) {
	k := &opening{Options: o}
	src, err := o.Kitchen.read()
	if err != nil {
		return nil, nil, err
	}
	if k.kitchen, k.faults = kitchen.Read(o.Kitchen.Name, src); k.kitchen == nil {
		return nil, k.faults, nil
	}
	w, err := k.open(ctx)
	if err != nil || k.faults.Err() != nil {
		return nil, k.faults, err
	}
	if k.stands == nil {
		k.stands = logbook.Unlogged(k.kitchen, o.Now)
	}
	a, err := k.stands.OnHand(w)
	return a, k.faults, err
}

// opening is a kitchen that is being opened.
type opening struct {
	Options
	kitchen *kitchen.Kitchen
	faults  kitchen.Diagnostics
	notes   []string
	stands  *logbook.Present // what the log book says at the moment; nil without one
}

func (o *opening) open(ctx context.Context) (w *week.Week, err error) {
	p, err := o.period()
	if err != nil {
		return nil, err
	}
	kept, err := o.kept()
	if err != nil {
		return nil, err
	}

	// What is on hand: by the list, or by the log book.
	var book *logbook.Book
	var present *logbook.Present
	asOf := p.From // until when what happened is known
	switch {
	case o.OnHand.Name != "":
		src, err := o.OnHand.read()
		if err != nil {
			return nil, err
		}
		var faults kitchen.Diagnostics
		p.OnHand, faults = kitchen.ReadOnHand(o.OnHand.Name, src, o.kitchen, p.From)
		o.faults = append(o.faults, faults...)
	case o.LogBook != "" && (o.Book != nil || logbook.Exists(o.LogBook)):
		if book = o.Book; book == nil {
			if book, err = logbook.Open(ctx, o.LogBook); err != nil {
				return nil, err
			}
			defer func() { _ = book.Close() }()
			book.Know(o.kitchen)
		}
		if present, err = o.present(ctx, book, kept, &p); err != nil {
			return nil, err
		}
		asOf = present.AsOf
	}
	if o.faults.Err() != nil {
		return nil, nil
	}

	// The days: the standing week, and what is kept of a plan laid over it.
	if kept != nil && kept.Rule != "" && o.Rule == nil && !o.Afresh && kept.Covers(p.From, p.Days) {
		if p.Rule, err = RuleNamed(kept.Rule); err != nil {
			return nil, err
		}
	}
	if w, err = week.Over(o.kitchen, p); err != nil {
		return nil, err
	}
	if kept != nil {
		if book != nil {
			came, err := book.CameOn(ctx, o.today(), asOf)
			if err != nil {
				return nil, err
			}
			kept = kept.Arrived(o.today(), came)
		}
		w = o.lay(kept, w, asOf)
		if kept.OnHand != "" && o.OnHand.Name == "" && book == nil && kept.Covers(p.From, p.Days) {
			o.notes = append(o.notes, fmt.Sprintf("the plan was made with %s on hand, which is not given now: --on-hand %s gives it", kept.OnHand, kept.OnHand))
		}
	}

	// What was decided and happened by now.
	if book != nil {
		var made, odd []string
		if w, made, odd, err = decided(ctx, book, w, o.Now); err != nil {
			return nil, err
		}
		if len(made) > 0 {
			o.notes = append(o.notes, "with "+strings.Join(made, "; "))
		}
		o.notes = append(o.notes, odd...)
	}
	if asOf.After(p.From) {
		w.Planned = w.Case.Schedule
	}
	if w.Specials, err = o.specials(ctx, book, kept, p); err != nil {
		return nil, err
	}
	switch now := int(o.Now.Sub(p.From).Minutes()); {
	case present != nil:
		w, o.stands = present.Stores(present.Continue(w)), present
		if w.Cooling, err = book.CoolingLogs(ctx, o.kitchen, o.Now); err != nil {
			return nil, err
		}
	case !o.goesOn(p):
	case o.OnHand.Name != "" && o.From.IsZero():
		w = w.AsCounted(now)
	default:
		w = w.At(now)
	}
	if differing := w.Differing(); differing != "" {
		o.notes = append(o.notes, differing)
	}
	o.notes = append(o.notes, w.DaysOff()...)
	o.faults = append(o.faults, w.Faults()...)
	w.Notes, w.List, w.Presumes = o.notes, filepath.Base(o.OnHand.Name), o.presumed(w, book != nil)
	if o.OnHand.Name == "" {
		w.List = ""
	}
	if w, err = w.ToTheCard(o.Card); err != nil {
		return nil, &OptionError{err.Error(), "name a dish or special of the kitchen file"}
	}
	w.Asked = o.Now
	return w, nil
}

// presumed says what a week without a log book presumes, as far as it decides anything: from what day on it is asked about, and that
// nothing is on hand when it begins. Without a log book a week begins on its Monday, for what Wednesday sells was cooked on the days
// before, and nobody wrote down what became of that.
func (o *opening) presumed(w *week.Week, book bool) (list []string) {
	if book {
		return nil
	}
	if o.goesOn(w.Period) {
		list = append(list, fmt.Sprintf("without a log book, all is taken to have gone as planned until now, %s", measure.FormatMoment(o.Now)))
	} else if today := o.today(); o.From.IsZero() && !o.Today && today.After(w.From) {
		list = append(list, fmt.Sprintf("without a log book the week begins on its Monday, %s: --from %s begins it today", measure.FormatDay(w.From),
			today.Format(time.DateOnly)))
	}
	if o.OnHand.Name != "" {
		return list
	}
	asked, served := w.Case.Schedule.Asked(), w.By(week.Fair).Player().Play(w.Case, nil).Served
	for n := range asked {
		if served[n] < asked[n]-short {
			return append(list, fmt.Sprintf("nothing is taken to be on hand when %s begins: --on-hand FILE says what is, or count it into a log book with kettletree log count",
				measure.FormatDay(w.From)))
		}
	}
	return list
}

// short is how much of a portion may lack without any being short.
const short = 1e-6

// specials is what is known of specials from days that are not asked about: by the log book, and by the plan that is kept.
func (o *opening) specials(ctx context.Context, book *logbook.Book, kept *plan.Kept, p week.Period) ([]week.Seen, error) {
	var planned []logbook.OnBoard
	if kept != nil {
		for _, d := range kept.Days {
			for _, s := range d.Specials {
				planned = append(planned, logbook.OnBoard{Day: d.Date, Service: s.Service, Dish: s.Dish, Portions: s.Portions})
			}
		}
	}
	if book != nil {
		return book.Specials(ctx, o.kitchen, planned, p.From, p.Days, o.Now)
	}
	seen := make([]week.Seen, len(o.kitchen.Dishes))
	for _, b := range planned {
		if apart := b.Day.Sub(p.From).Hours() / 24; apart == -1 || apart == float64(p.Days) {
			if d, err := o.kitchen.FindDish(b.Dish); err == nil {
				seen[d].On = append(seen[d].On, b.Day)
			}
		}
	}
	return seen, nil
}

// period is the frame of the question, but for what is on hand.
func (o *opening) period() (week.Period, error) {
	p := week.Period{From: o.From, Days: o.Days, Rule: o.Rule}
	if p.From.IsZero() {
		if p.From = o.today(); !o.Today && !o.FromNow {
			p.From = p.From.AddDate(0, 0, -(int(p.From.Weekday())+6)%7)
		}
	}
	if p.Days == 0 {
		p.Days = 7
	}
	if p.Days > week.MostDays {
		return p, tooManyDays(p.Days)
	}
	if p.Days < 1 {
		return p, &OptionError{fmt.Sprintf("%d is not a number of days", p.Days),
			fmt.Sprintf("write a whole number from 1 to %d", week.MostDays)}
	}
	return p, nil
}

// goesOn tells whether days go on from now without a log book that says how.
func (o *opening) goesOn(p week.Period) bool {
	return o.FromNow && p.From.Equal(o.today()) && o.Now.After(p.From)
}

// today is the kitchen's day.
func (o *opening) today() time.Time { return o.kitchen.DayAt(o.Now) }

// present takes what is on hand from the log book, and says as of when. A kitchen with a log book is asked about from
// today on, where no day is named; today goes on from now.
func (o *opening) present(ctx context.Context, book *logbook.Book, kept *plan.Kept, p *week.Period) (present *logbook.Present, err error) {
	asOf := o.Now
	switch {
	case !o.From.IsZero() && o.From.Before(o.today()):
		asOf = o.From
	case o.From.After(o.today()):
	default:
		p.From = o.today()
	}
	asPlanned := AsPlanned(o.kitchen, kept)
	planned := func(from time.Time, days int) (*week.Week, error) {
		w, err := asPlanned(from, days)
		if err != nil {
			return nil, err
		}
		w, _, _, err = decided(ctx, book, w, asOf)
		return w, err
	}
	if present, err = book.Present(ctx, o.kitchen, planned, p.From, asOf); err != nil {
		return nil, err
	}
	stock, name := present.Stock, filepath.Base(o.LogBook)
	says := fmt.Sprintf("on hand as of %s, by %s", measure.FormatMoment(stock.AsOf), name)
	if stock.Entries == 0 {
		says = fmt.Sprintf("%s has nothing from before %s: count what is on hand first, such as kettletree log counted %s", name,
			measure.FormatMoment(asOf), o.kitchen.Example().Out)
	}
	var begun []string
	if uncounted := present.Uncounted(); uncounted != "" && stock.Entries > 0 {
		begun = []string{uncounted}
	}
	odd := map[int64]bool{} // an entry can be odd in several ways
	var aside []string      // written under a name whose card is set aside
	for _, is := range stock.Odd {
		card := o.kitchen.Waits(is.Item)
		switch {
		case card != "":
			if says := is.Item + " (" + card + ")"; !slices.Contains(aside, says) {
				aside = append(aside, says)
			}
		case !is.ToTaste:
			odd[is.Entry] = true
		}
	}
	if len(aside) > 0 {
		begun = append(begun, "written down, and not counted until its card is finished: "+measure.FormatList(aside))
	}
	if n := len(odd); n > 0 {
		entries := "1 entry does"
		if n > 1 {
			entries = fmt.Sprintf("%d entries do", n)
		}
		says += "; " + entries + " not add up: kettletree log show says which"
	}
	clocks, err := book.Clocks(ctx, o.Now)
	if err != nil {
		return nil, err
	}
	o.notes = slices.Concat(o.notes, []string{says}, begun, clocks, present.Told())
	on := p.From
	if asOf.After(on) { // past midnight, what does not keep beyond the kitchen's day is past its date
		on = asOf
	}
	p.OnHand, p.Past = o.onHand(stock, p.From, on)
	return present, nil
}

// onHand is what a stock has on hand, and what of it is past its date, which is said in a line by each limit.
func (o *opening) onHand(stock *logbook.Stock, from, on time.Time) ([]flow.Lot, []week.Past) {
	lots, past := stock.OnHand(o.kitchen, from, on)
	items := map[int]bool{}
	var late []string
	for _, l := range past {
		switch name := o.kitchen.Graph.Items[l.Item].Name; {
		case !l.Code:
			items[l.Item] = true
		case !slices.Contains(late, name):
			late = append(late, name)
		}
	}
	switch n := len(items); {
	case n == 1:
		o.notes = append(o.notes, fmt.Sprintf("%s is past its date, so it is not counted: kettletree on-hand shows it, log binned --past bins it",
			o.kitchen.Graph.Items[slices.Collect(maps.Keys(items))[0]].Name))
	case n > 1:
		o.notes = append(o.notes, fmt.Sprintf("%d items are past their dates, so they are not counted: kettletree on-hand shows them, log binned --past bins them", n))
	}
	if len(late) > 0 {
		o.notes = append(o.notes, fmt.Sprintf("PAST THE DATE MARK of the food code, so it is not counted: %s; do not serve it: kettletree on-hand shows it, log binned --past bins it",
			strings.Join(late, ", ")))
	}
	return lots, past
}

// lay lays a plan over a week of which it is known until a moment what happened.
func (o *opening) lay(kept *plan.Kept, w *week.Week, asOf time.Time) *week.Week {
	if asOf.After(w.From) {
		kept = kept.Came(w.From)
	}
	if o.Afresh {
		kept = kept.Until(asOf, func(name string) int {
			step, err := o.kitchen.FindStep(name)
			if err != nil {
				return 0
			}
			return o.kitchen.Steps[step].Starts
		})
	}
	w, told := plan.Lay(kept, w)
	o.notes = append(o.notes, told...)
	return w
}

// kept is the plan that is kept; nil for none.
func (o *opening) kept() (*plan.Kept, error) {
	if o.Plan.Name == "" || o.Usual {
		return nil, nil
	}
	src, err := o.Plan.read()
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return plan.Read(o.Plan.Name, src)
}

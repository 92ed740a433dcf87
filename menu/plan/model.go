package plan

// The model: its columns, and the items and steps that they stand for.

import (
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
)

// kind says how an item is accounted for.
type kind uint8

const (
	bought  kind = iota // as it is needed, at its price: no balance but that of what is on hand at first
	stocked             // by a balance over time
	onOrder             // made when it is needed, never kept: what is made at an event is used at it
)

const (
	// taste tells apart what comes to the same money.
	taste = 1e-5
	// endless stands for a bound that nothing asks for.
	endless = 1e6
)

// model is the program with what its columns and rows stand for.
type model struct {
	*week.Week
	limits
	g     *graph.Graph
	sched *flow.Schedule // with all runs that can be
	asks  []float64      // portions that are asked for, by slot and dish
	base  *flow.Outcome  // of the standing week
	row   []flow.Moment
	begun []int // by place in the row: the day that has begun last
	worth *week.Worth
	pot   [][]solve.Entry    // by item: what is still in a pot at the end, negative
	puts  map[[2]int]float64 // by minute and item: what goes into pots that are under way at first, in its base unit
	kinds []kind
	order []int     // steps made to order, users before makers
	maker []int     // by item: its step made to order; -1
	alls  []bool    // by item: some step takes all there is of it
	urges []bool    // by item: that some is there can make a step work, or keep one from working
	pack  []float64 // by item: what one column of packs brings, in its base unit; 0 when it is bought as it is needed
	most  []int     // by run: batches
	able  []float64 // by item: most that can come in over the period, in its unit

	p     solve.Problem
	hints []solve.Hint
	cost  []float64 // by column: money, without taste
	about []about   // by row

	batch    []int              // by run: column of what is made
	due      []int              // by run: column of the whole batches that are due, which is the same where a batch can't be cut
	shorts   map[int][]shortage // by run: the ways in which its last batch can be cut
	cut      map[int]int        // by run that can be cut: column that is 1 when the last of its batches is
	lit      map[int]int        // by run: column that is 1 when it runs at all
	halves   map[int]int        // by run that is made in halves: column of how many
	filled   map[int]int        // by run: column that is how often it fills its vessel, where that can be more than once
	limited  map[int]bool       // runs that are no more than what they take allows for
	packs    [][]int            // by item: columns by day, -1 where none can come; nil when not in packs
	portions [][]int            // by slot, dish: column; -1
	fills    []fill             // lines whose choices are columns
	offs     [][]off            // by step, line: what it counts off its card
	offCard  []solve.Entry      // what one of a column counts off the cards
	shelf    []shelf            // by item
	left     float64            // most that taste can come to

	stood   *Plan // the standing week with changes that were tried; nil where it does not meet all wishes
	changed bool  // ... it has some

	onward *week.Onward // with the days behind; nil with batches held, where they are not looked at
	own    int          // columns of the plan's own days, without what is left: those behind it are of the days behind
	sunk   float64      // of the constant, what is of its own days
	seeds  []carried    // perpetual stocks that the next batch after the period asks for
}

// about is what a row stands for: an item at a time, or none (-1).
type about struct {
	item   int
	when   string
	pos    kitchen.Pos
	served bool // the item is used at a service then
	wish   bool // somebody wishes it, or a vessel or the calendar sets it: it can be told as it is named
}

// fill is a line at an event whose choices are columns.
type fill struct {
	moment  int
	step    int
	line    int
	runs    int // column: how much work there is
	choices []int
}

// shelf follows an item's balance.
type shelf struct {
	stock   int             // column of what is on hand; -1 before the first event
	stocks  []int           // all such columns
	most    float64         // that can be on hand now
	opening float64         // in its unit
	due     float64         // what comes in any case, in its unit
	fresh   float64         // of the opening, what was made on day 0
	until   []float64       // by day: of the opening, what still keeps after it
	came    [][]solve.Entry // by day: what came in
}

// limits are wishes beyond the kitchen file.
type limits struct {
	fix     []Fix
	without []bool // by dish
	// held leaves batches and orders as the schedule has them: only portions and substitutes are chosen.
	held bool
	// seedless lets a perpetual stock end with the period.
	seedless bool
	// easy leaves out what the file wishes: dishes that are never out, pars. When batches are held, it lets them be smaller.
	easy bool
	// loose leaves out the bounds that follow from others, so that a conflict names what they follow from.
	loose bool
}

// per turns base units of an item into its unit.
func (m *model) per(item int, base float64) float64 { return base / m.g.Items[item].Unit.Factor }

// newModel builds the model for a week.
func newModel(w *week.Week, l limits) (*model, error) {
	kitchen, week := *w.Kitchen, *w // with prices as they are after shocks
	kitchen.Terms = w.Case.Flow.Terms()
	week.Kitchen = &kitchen
	m := &model{Week: &week, limits: l, g: w.Graph, lit: map[int]int{}, halves: map[int]int{}, cut: map[int]int{}, filled: map[int]int{}, limited: map[int]bool{}}
	m.p.Sense = solve.Maximize
	var err error
	if m.worth, err = w.Worth(); err != nil {
		return nil, err
	}
	if m.goOn(); !l.held {
		if m.onward, err = week.Onward(); err != nil {
			return nil, err
		}
	}
	m.pot = make([][]solve.Entry, len(m.g.Items))
	if m.sched = m.Case.Schedule; !l.held {
		m.candidates()
	}
	m.asks = m.sched.Asked()
	m.row = w.Case.Flow.Moments(m.sched)
	day := 0
	for _, mo := range m.row {
		if mo.Kind == flow.DayStarts {
			day = mo.Day
		}
		m.begun = append(m.begun, day)
	}
	m.classify()
	if err = m.cards(); err != nil {
		return nil, err
	}
	m.shortages()
	m.bounds()
	if !l.held {
		m.vessels()
	}
	for k, mo := range m.row {
		m.moment(k, mo)
	}
	m.own, m.sunk = len(m.p.Columns), m.p.Constant
	if m.close(); m.onward != nil {
		m.behind()
	}
	if err = m.wishes(); err != nil {
		return nil, err
	}
	for _, e := range m.offCard {
		m.p.Columns[e.Col].Cost -= e.Value
	}
	for j := range m.p.Columns {
		m.p.Columns[j].Cost += m.cost[j]
	}
	return m, nil
}

// goOn plays the week as it stands, which tells what goes into pots that are under way: that is nobody's choice.
func (m *model) goOn() {
	rec := &flow.Record{Movements: true}
	m.base, m.puts = m.Player().Play(m.Case, rec), map[[2]int]float64{}
	for _, e := range rec.Entries {
		if e.What == flow.Took && e.Pot >= 0 {
			m.puts[[2]int{e.At, e.Item}] += e.Amount
		}
	}
}

// overdue tells whether a run was to begin before the week goes on, and how many batches of it are still to be done. Work without a
// clock belongs to the beginning of its day.
func (m *model) overdue(run flow.Batch) (batches float64, is bool) {
	if run.Day*1440+max(run.Start, 0) >= m.Case.Schedule.From {
		return 0, false
	}
	for _, r := range m.Case.Schedule.Batches {
		if r.Step == run.Step && r.Day == run.Day {
			batches += r.Size
		}
	}
	return max(batches, m.fixed(run).batches), true
}

// candidates makes the schedule of all runs that can be: every step that runs on set days, on every day on which somebody
// can see to it, but for those whose time is past.
func (m *model) candidates() {
	s := *m.Case.Schedule
	s.Batches = nil
	for d := range s.Days {
		for step, card := range m.Steps {
			most, past := m.overdue(flow.Batch{Step: step, Day: d, Start: card.Starts})
			if m.g.Steps[step].Mode == graph.OnDays && m.attended(step, d) && (!past || most > 0) {
				s.Batches = append(s.Batches, flow.Batch{Step: step, Day: d, Start: card.Starts})
			}
		}
	}
	for _, r := range m.Case.Schedule.Batches {
		if r.Day >= s.Days { // they tell what to keep back
			s.Batches = append(s.Batches, r)
		}
	}
	m.sched = &s
}

// attended tells whether somebody works whenever a batch has to be seen to, or it was decided that it is done all the same.
func (m *model) attended(step, day int) bool {
	run := flow.Batch{Step: step, Day: day, Start: m.Steps[step].Starts}
	_, alone := m.Unattended(step, day, run.Start)
	return !alone || m.fixed(run).batches > 0 || slices.ContainsFunc(m.Case.Schedule.Batches, func(r flow.Batch) bool {
		return r.Step == step && r.Day == day && r.Size > 0
	})
}

// What is decided in turn, as groups of a [solve.Hint]: the rest follows from batches, specials, packs and portions.
const (
	lighting = iota
	offering
	packing
	selling
	following
)

// none stands for no item, day or step.
const none = -1

// lights and follows are the hints of columns that say whether a run is, and of those that follow from others.
func lights(run flow.Batch) solve.Hint {
	return solve.Hint{Group: lighting, When: run.Day, What: run.Step}
}

func follows(day, step int) solve.Hint { return solve.Hint{Group: following, When: day, What: step} }

// column adds a column; money is what one of it brings.
func (m *model) column(name string, upper, money float64, hint solve.Hint) int {
	m.cost = append(m.cost, money)
	m.hints = append(m.hints, hint)
	return m.p.AddColumn(solve.Column{Name: name, Upper: upper})
}

// wholeColumn adds a column that is a whole number.
func (m *model) wholeColumn(name string, upper, money float64, hint solve.Hint) int {
	col := m.column(name, upper, money, hint)
	m.p.Columns[col].Integer = true
	return col
}

// yesNo adds a column that is 0 or 1, and no money.
func (m *model) yesNo(name string, hint solve.Hint) int { return m.wholeColumn(name, 1, 0, hint) }

func (m *model) addRow(a about, name string, lower, upper float64, entries []solve.Entry) int {
	m.about = append(m.about, a)
	return m.p.AddRow(name, lower, upper, entries...)
}

// gives is what one batch of a step gives of an output, in the item's unit.
func (m *model) gives(step, output int) float64 {
	return m.per(m.g.Steps[step].Gives[output].Item, m.Case.Flow.Gives(step, output))
}

// given is what a batch of a run gives of an output by its own yield, and how much of that is not lost.
func (m *model) given(run flow.Batch, output int) (all, kept float64) {
	all = m.gives(run.Step, output)
	if run.Yields != nil {
		all *= run.Yields[output]
	}
	return all, all * (1 - run.Lost)
}

// stillGives is what comes of a line of a batch under way, and how much of that is not lost.
func (m *model) stillGives(p flow.Pot, line int) (all, kept float64) {
	g := p.Gives[line]
	all = m.per(g.Item, g.Amount)
	if p.Yields != nil {
		all *= p.Yields[line]
	}
	return all, all * (1 - p.Lost)
}

// late is the first minute at which any of an item comes.
func (m *model) late(item int) int {
	if m.sched.NotBefore == nil {
		return 0
	}
	return m.sched.NotBefore[item]
}

// wasted is what disposal costs of what a batch of a run loses.
func (m *model) wasted(run flow.Batch) (money float64) {
	for n, o := range m.g.Steps[run.Step].Gives {
		all, kept := m.given(run, n)
		money += m.disposal(o.Item) * (all - kept)
	}
	return money
}

// value is what one unit of an item counts when it is left, as far as it counts.
func (m *model) value(item int) float64 {
	return m.worth.Unit(m.Case.Flow, item) * m.g.Items[item].Unit.Factor
}

// disposal is what it costs to have one unit of an item taken away.
func (m *model) disposal(item int) float64 {
	return m.worth.Disposal(m.Case.Flow, item) * m.g.Items[item].Unit.Factor
}

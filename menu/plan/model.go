package plan

// The model: its columns, and the items and steps that they stand for.

import (
	"fmt"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
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
	// taste is the money that a substitute, or going without, must save for each batch or portion before it is taken.
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
	base  *flow.Outcome  // of the standing week
	row   []flow.Moment
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

	batch    []int        // by run: column
	lit      map[int]int  // by run: column that is 1 when it runs at all
	filled   map[int]int  // by run: column that is how often it fills its vessel, where that can be more than once
	limited  map[int]bool // runs that are no more than what they take allows for
	packs    [][]int      // by item: columns by day, -1 where none can come; nil when not in packs
	portions [][]int      // by slot, dish: column; -1
	offers   []int        // columns that are 1 when a special is offered
	fills    []fill       // lines whose choices are columns
	shelf    []shelf      // by item
	left     float64      // most that taste can come to
	seeds    []string     // perpetual stocks that the next batch after the period asks for
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
	// specials are offered too, when batches are held.
	offer bool
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
	m := &model{Week: &week, limits: l, g: w.Graph, lit: map[int]int{}, filled: map[int]int{}, limited: map[int]bool{}}
	m.p.Sense = solve.Maximize
	var err error
	if m.worth, err = w.Worth(); err != nil {
		return nil, err
	}
	m.goOn()
	m.pot = make([][]solve.Entry, len(m.g.Items))
	if m.sched = m.Case.Schedule; !l.held {
		m.candidates()
	}
	m.row = w.Case.Flow.Moments(m.sched)
	m.classify()
	m.bounds()
	if !l.held {
		m.vessels()
	}
	for k, mo := range m.row {
		m.moment(k, mo)
	}
	m.close()
	if err = m.wishes(); err != nil {
		return nil, err
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
	return max(batches, float64(m.fixed(run).batches)), true
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

// classify says how each item is accounted for, and orders the steps made to order.
func (m *model) classify() {
	// Who makes what: the one step that makes an item to order, and the items that a step takes all of.
	items := len(m.g.Items)
	m.kinds, m.maker, m.alls = make([]kind, items), slices.Repeat([]int{-1}, items), make([]bool, items)
	makers := make([]int, items)
	for s, st := range m.g.Steps {
		for n, o := range st.Gives {
			makers[o.Item]++
			if st.Mode == graph.ToOrder && m.gives(s, n) > 0 {
				m.maker[o.Item] = s
			}
		}
		if st.Mode == graph.AllOf {
			m.alls[st.Takes[0].Choices[0].Item] = true
		}
	}

	// What is on hand at first, and until which day each lot of it keeps.
	m.shelf = make([]shelf, items)
	for i := range m.shelf {
		m.shelf[i] = shelf{stock: -1, until: make([]float64, m.Days), came: make([][]solve.Entry, m.Days)}
	}
	for _, l := range m.sched.OnHand {
		sh := &m.shelf[l.Item]
		keeps := m.Terms.Keeps[l.Item]
		if keeps > 0 && l.Made+keeps-1 < 0 {
			m.p.Constant -= m.disposal(l.Item) * m.per(l.Item, l.Amount)
			continue
		}
		sh.opening += m.per(l.Item, l.Amount)
		if l.Made == 0 {
			sh.fresh += m.per(l.Item, l.Amount)
		}
		for d := range m.Days {
			if keeps == 0 || l.Made+keeps-1 > d {
				sh.until[d] += m.per(l.Item, l.Amount)
			}
		}
	}
	for i := range m.shelf {
		m.shelf[i].most = m.shelf[i].opening
	}
	for _, d := range m.sched.Deliveries {
		if m.late(d.Item) < m.Days*1440 {
			m.shelf[d.Item].due += m.per(d.Item, d.Amount)
		}
	}
	for _, p := range m.sched.Pots {
		for line, g := range p.Gives {
			_, kept := m.stillGives(p, line)
			m.shelf[g.Item].due += kept
		}
	}

	// What is bought in packs, and so is a decision of the plan.
	m.packs, m.pack = make([][]int, items), make([]float64, items)
	for i, b := range m.Bought {
		switch {
		case m.held:
		case b.Pack > 0:
			m.pack[i] = b.Pack
		case m.Par[i] > 0: // what it leaves must be bought, not only what is used
			m.pack[i] = m.g.Items[i].Unit.Factor
		}
	}

	// How each item is accounted for: bought as needed, made as it is asked for, or with a balance at each event.
	for i, it := range m.g.Items {
		switch s := m.maker[i]; {
		case it.Role == graph.Bought && m.pack[i] == 0:
			m.kinds[i] = bought
		case s >= 0 && makers[i] == 1 && len(m.g.Steps[s].Gives) == 1 && m.shelf[i].opening+m.shelf[i].due == 0 && !m.alls[i] && m.Par[i] == 0:
			m.kinds[i] = onOrder
		default:
			m.kinds[i] = stocked
		}
	}

	// What asks for more of itself than the dishes do.
	m.urges = make([]bool, items)
	for s, st := range m.g.Steps {
		if st.Mode == graph.AllOf {
			m.urge(s)
		}
	}
	for i, s := range m.maker {
		m.urges[i] = m.urges[i] || s >= 0 && m.kinds[i] == stocked
	}

	// The steps made to order, each before those that it takes from.
	placed := make([]bool, len(m.g.Steps))
	var place func(s int)
	place = func(s int) { // makers first; turned round below
		if placed[s] || m.g.Steps[s].Mode != graph.ToOrder {
			return
		}
		placed[s] = true
		for _, l := range m.g.Steps[s].Takes {
			for _, c := range l.Choices {
				if p := m.maker[c.Item]; p >= 0 {
					place(p)
				}
			}
		}
		if s < len(m.Steps) {
			m.order = append(m.order, s)
		}
	}
	for s := range m.g.Steps {
		place(s)
	}
	slices.Reverse(m.order)
}

// urge marks all that a step takes, and what is made to order for it.
func (m *model) urge(step int) {
	for _, l := range m.g.Steps[step].Takes {
		for _, c := range l.Choices {
			if before := m.urges[c.Item]; !before {
				m.urges[c.Item] = true
				if p := m.maker[c.Item]; p >= 0 {
					m.urge(p)
				}
			}
		}
	}
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

// bounds finds how often each run can be, how much each item can come to, and makes the columns that do not hang on an
// event: batches, packs, portions.
func (m *model) bounds() {
	for _, r := range m.sched.Batches {
		if m.held {
			m.most = append(m.most, int(math.Ceil(r.Size)))
			continue
		}
		most := m.Most(r.Step, r.Day)
		if math.IsInf(most, 1) {
			most = max(m.Usual(r.Step), float64(m.fixed(r).batches))
		}
		if still, past := m.overdue(r); past {
			most = min(most, math.Ceil(still))
		}
		m.most = append(m.most, int(most))
	}

	// A column for the batches of each step on each day.
	for r, run := range m.sched.Batches {
		col := -1
		if run.Day < m.Days {
			name := fmt.Sprintf("%s of %s", m.g.Steps[run.Step].Name, m.DayName(run.Day))
			col = m.wholeColumn(name, float64(m.most[r]), -m.Terms.Cost[run.Step]-m.wasted(run), lights(run))
			if m.held {
				c := &m.p.Columns[col]
				if c.Upper, c.Integer = run.Size, false; !m.easy { // what can be made of it when all dishes go short alike
					c.Lower = m.base.Ran[r].Batches * (1 - whole)
				}
			}
		}
		m.batch = append(m.batch, col)
	}

	// A column for the portions of each dish at each service; of specials, one at most, and only when it is offered.
	for slot, sit := range m.Sittings {
		var cols, offered []int
		for d, dish := range m.Kitchen.Dishes {
			most := m.sched.Wants[d].Forecast[slot]
			if dish.Special && most == 0 && sit.Service >= 0 && (!m.held || m.offer) {
				most = float64(dish.AtMost)
			}
			if m.sched.Slots[slot].Closed || m.without[d] || most == 0 {
				cols = append(cols, -1)
				continue
			}
			name := fmt.Sprintf("%s at %s", dish.Name, m.SittingName(slot))
			hint := solve.Hint{Group: selling, When: sit.Day, What: len(m.Steps) + d}
			col := m.wholeColumn(name, most, dish.Price, hint)
			cols = append(cols, col)
			if dish.Never && !m.held && !m.easy && !dish.Special {
				m.p.Columns[col].Lower = most
			}
			if dish.Special {
				hint.Group = offering
				on := m.yesNo(name+" offered", hint)
				m.offers = append(m.offers, on)
				offered = append(offered, on)
				m.addRow(about{item: none, pos: m.StepPos[len(m.Steps)+d].Pos}, name+" only when offered", math.Inf(-1), 0,
					[]solve.Entry{{Col: col, Value: 1}, {Col: on, Value: -most}})
				if dish.AtLeast > 1 {
					m.addRow(about{item: none, pos: m.StepPos[len(m.Steps)+d].Pos}, name+" at least when offered", 0, math.Inf(1),
						[]solve.Entry{{Col: col, Value: 1}, {Col: on, Value: -float64(dish.AtLeast)}})
				}
			}
		}
		if len(offered) > 1 {
			m.addRow(about{item: none}, "one special at "+m.SittingName(slot), math.Inf(-1), 1, ones(offered))
		}
		m.portions = append(m.portions, cols)
	}

	// A column for the packs of each item on each arrival day.
	needs := m.reach()
	for i, b := range m.Bought {
		if m.pack[i] == 0 {
			continue
		}
		m.packs[i] = slices.Repeat([]int{-1}, m.Days)
		pack := m.per(i, m.pack[i])
		for d := range m.Days {
			if m.late(i)/1440 <= d && (m.sched.Arrives[i] == nil || m.sched.Arrives[i][d]) {
				name := fmt.Sprintf("packs of %s on %s", m.g.Items[i].Name, m.DayName(d))
				most := math.Ceil((needs[i]+m.per(i, m.Par[i]))/pack) + 1
				m.packs[i][d] = m.column(name, most, -m.pack[i]*m.Terms.Price[i], solve.Hint{Group: packing, When: d, What: none})
				m.p.Columns[m.packs[i][d]].Integer = b.Pack > 0
				m.able[i] += most * pack
			}
		}
	}
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

func ones(cols []int) (entries []solve.Entry) {
	for _, c := range cols {
		entries = append(entries, solve.Entry{Col: c, Value: 1})
	}
	return entries
}

// reach finds the most of each item that can come in over the period, and that all its users together can ask for.
func (m *model) reach() (needs []float64) {
	items, steps := len(m.g.Items), len(m.g.Steps)
	runs := make([]float64, steps)
	came := make([]float64, items) // from runs
	for r, run := range m.sched.Batches {
		if run.Day < m.Days {
			runs[run.Step] += float64(m.most[r])
			for n, o := range m.g.Steps[run.Step].Gives {
				_, kept := m.given(run, n)
				came[o.Item] += float64(m.most[r]) * kept
			}
		}
	}
	for _, cols := range m.portions {
		for d, c := range cols {
			if c >= 0 {
				runs[len(m.Steps)+d] += m.p.Columns[c].Upper
			}
		}
	}
	for range 12 { // as deep as a flow of families goes; what lies deeper has the bound of what was found so far
		m.able, needs = make([]float64, items), make([]float64, items)
		for i := range items {
			m.able[i] = m.shelf[i].opening + m.shelf[i].due + came[i]
		}
		for s, st := range m.g.Steps {
			for _, l := range st.Takes {
				for _, c := range l.Choices {
					needs[c.Item] += runs[s] * m.per(c.Item, c.Amount)
				}
			}
			for n, o := range st.Gives {
				if st.Mode != graph.OnDays {
					m.able[o.Item] += runs[s] * m.gives(s, n)
				}
			}
		}
		for s, st := range m.g.Steps {
			switch {
			case st.Mode == graph.AllOf:
				c := st.Takes[0].Choices[0]
				runs[s] = m.able[c.Item] / m.per(c.Item, c.Amount)
			case st.Mode == graph.ToOrder && s < len(m.Steps):
				runs[s] = 0
				for n, o := range st.Gives {
					if gives := m.gives(s, n); gives > 0 {
						runs[s] += needs[o.Item] / gives
					}
				}
			}
		}
	}
	return needs
}

// vessels lets no more into a vessel than it takes.
func (m *model) vessels() {
	var works []week.Stay
	var runs []int
	for r, run := range m.sched.Batches {
		if m.batch[r] >= 0 {
			works, runs = append(works, m.Stay(run.Step, run.Day, run.Start, float64(m.most[r]))), append(runs, r)
		}
	}
	for _, l := range m.Limits(slices.Concat(works, m.Alight(m.sched))) {
		var row []solve.Entry
		left, most := l.Most, 0
		for k, at := range l.Works {
			switch {
			case at >= len(works): // it is there already
				left -= l.Each[k]
			default:
				most += l.Each[k] * m.Fillings(works[at])
				row = append(row, solve.Entry{Col: at, Value: float64(l.Each[k])})
			}
		}
		if most <= left {
			continue
		}
		for k := range row {
			row[k].Col = m.fillings(runs[row[k].Col], works[row[k].Col])
		}
		vessel, moment := m.Vessels[l.Vessel], m.Moment(l.From)
		name := fmt.Sprintf("%s at %s holds one work", vessel.Name, moment)
		if l.To-l.From > 1 {
			name = fmt.Sprintf("%s has %s before %s", vessel.Name, measure.FormatDuration(l.Most), m.Moment(l.To))
		}
		m.addRow(about{item: none, when: moment, pos: vessel.Pos, wish: true}, name, math.Inf(-1), float64(left), row)
	}
}

// fillings is a column that is how often a run fills its vessel.
func (m *model) fillings(r int, st week.Stay) int {
	c, ok := m.filled[r]
	switch fits := m.Fits(st.Step); {
	case ok:
		return c
	case m.Fillings(st) == 1:
		return m.on(r)
	case fits == 1:
		return m.batch[r]
	default:
		run := m.sched.Batches[r]
		c := m.wholeColumn(m.p.Columns[m.batch[r]].Name+" fillings", float64(m.Fillings(st)), 0, lights(run))
		m.addRow(about{item: none, pos: m.StepPos[run.Step].Pos}, m.p.Columns[c].Name, math.Inf(-1), 0,
			[]solve.Entry{{Col: m.batch[r], Value: 1}, {Col: c, Value: -fits}})
		m.filled[r] = c
		return c
	}
}

// on is a column that is 1 when a run is not nothing.
func (m *model) on(r int) int {
	if m.most[r] == 1 && !m.held {
		return m.batch[r]
	}
	if c, ok := m.lit[r]; ok {
		return c
	}
	run := m.sched.Batches[r]
	c := m.yesNo(m.p.Columns[m.batch[r]].Name+" lit", lights(run))
	m.lit[r] = c
	m.addRow(about{item: none, pos: m.StepPos[run.Step].Pos}, m.p.Columns[c].Name, math.Inf(-1), 0,
		[]solve.Entry{{Col: m.batch[r], Value: 1}, {Col: c, Value: -float64(m.most[r])}})
	return c
}

package clock

// Labels for what is made on a day: made, use by, allergens, lot. Day 1 follows what was really taken, lot by lot.

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

// Labels are the labels for what is made on some days.
type Labels struct {
	Kitchen string   `json:"kitchen"`
	Code    string   `json:"code"`   // that the date marks follow
	Days    []string `json:"days"`   // 2006-01-02, that were asked for; none where nothing is made on any
	Labels  []Label  `json:"labels"` // by day, then by the time at which it is there
	Says    []string `json:"notes,omitempty"`
	Caution string   `json:"caution"`

	Cold   kitchen.Degrees `json:"-"` // how cold what lies in oil is kept, and fish in which histamine forms
	Letter string          `json:"-"` // the section on keeping the supplier's letter on parasites; "" where the code has none here
}

// Label is what stands on one lot.
type Label struct {
	Item      string   `json:"item"`
	Lot       string   `json:"lot"`               // its mark or, where none was written down, the number of its entry: trace --lot follows both; "" of what is not written down yet, to be filled in by hand
	Card      bool     `json:"by_card,omitempty"` // it is written down, but nobody measured it: the quantity is by the card
	Quantity  float64  `json:"quantity"`
	Unit      string   `json:"unit"`
	As        string   `json:"-"`                          // how its unit is shown, as the file has it: "lb oz"
	Pieces    float64  `json:"-"`                          // of what is counted: how many a cook speaks of
	Made      string   `json:"made"`                       // 2006-01-02
	At        string   `json:"at"`                         // 15:04; "" when its step has no clock
	ToOrder   bool     `json:"to_order"`                   // made to order, as it is asked for, through the day
	DayOne    string   `json:"day_one"`                    // 2006-01-02, that the days of the code are counted from
	From      string   `json:"day_one_of,omitempty"`       // the ingredient that brought an earlier day 1
	Guess     bool     `json:"day_one_presumed,omitempty"` // that was counted, or made of what was: the earlier day 1 is the oldest that the kitchen file lets it carry
	UseBy     *string  `json:"use_by"`                     // 2006-01-02, to the end of it; null when neither file nor code says
	Because   string   `json:"because"`                    // what sets the last day, with its section
	Froze     string   `json:"frozen_from,omitempty"`      // 2006-01-02, the first of the days on which it lay frozen and which do not count
	Thaws     string   `json:"frozen_to,omitempty"`        // 2006-01-02, the last of them
	Ice       int      `json:"frozen_days,omitempty"`      // how many they are: more than those between, where it was frozen before
	Raw       []string `json:"raw"`                        // the bought items that are raw in it
	Eggs      []string `json:"raw_eggs,omitempty"`         // of those, eggs of which the file does not say that they are pasteurised
	Fish      []string `json:"raw_fish,omitempty"`         // of those, fish that is served raw and for which the file names no supplier's letter on parasites
	Letters   []string `json:"parasite_letters,omitempty"` // of fish that is served raw, what the file says of the supplier's letter
	Histamine []string `json:"histamine,omitempty"`        // of those, fish in which histamine forms when it warms
	Approved  string   `json:"date_approved_by,omitempty"` // who has approved, per kitchen file, that what is carried on begins a new day 1
	InOil     []string `json:"in_oil,omitempty"`           // garlic, herbs and vegetables that lie in oil in it, in which botulism can grow
	Burns     bool     `json:"burns,omitempty"`            // it is a bath of lye or lime, which burn eyes and skin
	Frozen    bool     `json:"frozen"`
	LeftDays  *int     `json:"days_left_when_thawed,omitempty"` // of a frozen lot, the day of thawing counted
	Allergens []string `json:"allergens"`                       // of all that it may be made of, as the file states them
	May       []string `json:"may_contain"`                     // what it may contain
	Unstated  []string `json:"allergens_unstated,omitempty"`    // bought items behind it of which the file states nothing
	Cools     string   `json:"cools_from,omitempty"`            // 15:04 at which cooling begins, where limits on it are due at a time
	Cool      []CoolBy `json:"cool,omitempty"`                  // of what was cooked through and a date mark binds: the limits on cooling
}

// CoolBy is a limit on cooling, and when it is due if the food begins to cool as soon as it is out, or off the heat.
type CoolBy struct {
	From    float64 `json:"from"`
	To      float64 `json:"to"`
	Scale   string  `json:"scale"` // "F" or "C"
	Within  int     `json:"within_minutes"`
	By      *string `json:"by"` // 2006-01-02 15:04; null when the step has no clock
	Section string  `json:"section"`
}

// lotMade is a lot that came of a step.
type lotMade struct {
	item, step, at int
	amount         float64
	mark           string // of what was written down
	card           bool   // nobody measured it
	under          bool   // it is of a batch under way: lit when somebody wrote so
	begun          bool   // it is of such a batch, or has come by now: of tonight, whatever its card says of hours
	since          flow.Since
}

// marks writes labels for the lots of a recorded walk, and for those that came before it.
type marks struct {
	*week.Week
	voice tongue.Voice
	dates *week.Dates
	given []*lotMade
}

// LabelsOn plays the week and writes the labels for what is made on the days given, and after their midnight while they are served, in
// a language.
func LabelsOn(ctx context.Context, w *week.Week, days []int, voice tongue.Voice) (*Labels, error) {
	played, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	m := &marks{Week: w, voice: voice, dates: w.Dates(w.Case.Schedule, played.Record)}
	m.happened()
	m.read(played.Record)
	a := &Labels{Kitchen: w.Name, Code: w.Code.Title, Cold: w.Code.Chilled(), Letter: w.Code.Letters(), Days: []string{}, Labels: []Label{}, Caution: voice.Sentences(voice.Word(kitchen.Caution),
		voice.Say("Allergens are as the kitchen file states them: check them against the packages."))}
	if w.Code.Keeps == 0 {
		a.Says = append(a.Says, voice.Say("no number of days for ready food stands in %[1]s: the last day is the kitchen's own", w.Code.Title))
	} else if w.Code.Ready != "" { // 3-501.17(B)
		a.Says = append(a.Says, voice.Say("packs of ready food that were opened have a day 1 of their own, the day of opening: mark them by hand"))
	}
	for _, d := range days {
		a.Days = append(a.Days, w.Date(d).Format(time.DateOnly))
	}
	past := w.PastDates(played.Schedule, played.Record)
	for _, g := range m.merged() {
		night := (g.begun || m.timed(g)) && slices.Contains(days, w.Today(w.From.Add(time.Duration(g.at)*time.Minute)))
		if night || slices.Contains(days, week.DayAt(g.at)) {
			a.Labels = append(a.Labels, m.label(g))
			for _, x := range past {
				if text := pastDate(voice, w, &x); x.Item == g.item && x.Made == week.DayAt(g.at) && !slices.Contains(a.Says, text) {
					a.Says = append(a.Says, text)
				}
			}
		}
	}
	return a, nil
}

// happened takes what came of batches before the walk, as it was written down or as it was planned.
func (m *marks) happened() {
	for n := range m.Happened {
		h := &m.Happened[n]
		at := int(h.At.Sub(m.Week.From).Minutes())
		for _, out := range h.Out {
			if out.Amount <= 0 {
				continue
			}
			l := &lotMade{item: out.Item, step: h.Step, at: at, amount: out.Amount, mark: out.Mark, card: out.Card, begun: true, since: out.Since}
			if h.Entry > 0 && l.mark == "" {
				l.mark = strconv.FormatInt(h.Entry, 10)
			}
			m.given = append(m.given, l)
		}
	}
}

// MadeDays are the days of the period on which something is made that keeps.
func MadeDays(ctx context.Context, w *week.Week) ([]int, error) {
	all := make([]int, w.Days)
	for d := range all {
		all[d] = d
	}
	a, err := LabelsOn(ctx, w, all, tongue.Voice{})
	if err != nil {
		return nil, err
	}
	var days []int
	for d := range all {
		date := w.Date(d).Format(time.DateOnly)
		if slices.ContainsFunc(a.Labels, func(l Label) bool { return l.Made == date }) {
			days = append(days, d)
		}
	}
	return days, nil
}

// LabelDays is the day whose labels are wanted when none is named: today, or the next on which something is made that keeps. It is no
// day where nothing is.
func LabelDays(ctx context.Context, w *week.Week, today int) ([]int, error) {
	days, err := MadeDays(ctx, w)
	next := max(0, slices.IndexFunc(days, func(day int) bool { return day >= today }))
	return days[min(next, len(days)):min(next+1, len(days))], err
}

// read takes the lots that steps gave from a record.
func (m *marks) read(rec *flow.Record) {
	for k, l := range rec.Lots {
		if l.Origin == flow.Given || l.Pot >= 0 {
			m.given = append(m.given, &lotMade{item: l.Item, step: l.Step, at: l.At, amount: l.Amount, under: l.Pot >= 0, begun: l.Pot >= 0, since: m.dates.Of(k)})
		}
	}
}

// merged are the lots, with what is made to order of an item through a day as one, made when it is first asked for.
func (m *marks) merged() (list []*lotMade) {
	at := map[[2]int]int{}
	for _, l := range m.given {
		if !m.toOrder(l.step) || l.mark != "" {
			list = append(list, l)
			continue
		}
		key := [2]int{l.item, week.DayAt(l.at)}
		n, seen := at[key]
		if !seen {
			at[key] = len(list)
			list = append(list, new(*l))
			continue
		}
		list[n].amount += l.amount
		list[n].since = list[n].since.Or(l.since)
	}
	slices.SortStableFunc(list, func(a, b *lotMade) int { return cmp.Compare(a.at, b.at) })
	return list
}

// toOrder tells whether a step makes what is served at once.
func (m *marks) toOrder(step int) bool {
	st := m.Graph.Steps[step]
	return st.Mode == graph.ToOrder && !st.AsNeeded()
}

// timed tells whether it is known when a lot was made, or will be.
func (m *marks) timed(g *lotMade) bool {
	set := g.under || m.Graph.Steps[g.step].Mode == graph.OnDays && m.Steps[g.step].Starts != flow.Untimed
	return g.mark != "" || set && !m.Steps[g.step].Unsaid.Any()
}

// label writes the label of a lot.
func (m *marks) label(g *lotMade) Label {
	it := m.Graph.Items[g.item]
	day := week.DayAt(g.at)
	l := Label{Item: it.Name, Lot: g.mark, Quantity: g.amount / it.Unit.Factor, Unit: it.Unit.Name, As: it.Unit.ShownAs(), Card: g.mark != "" && g.card,
		Allergens: []string{}, Frozen: m.Frozen[g.item],
		Made: m.Date(day).Format(time.DateOnly), Raw: []string{},
		ToOrder: m.toOrder(g.step) && g.mark == ""}
	if m.Renewed(g.item) {
		l.Approved = m.Approved[g.item]
		if said, ok := m.WordIn(l.Approved, m.voice.Language()); ok {
			l.Approved = said
		}
	}
	if it.Unit == measure.Each {
		l.Pieces = m.Shown(g.item, g.amount, true)
	}
	timed := m.timed(g)
	if timed {
		l.At = measure.FormatClock(g.at - day*1440)
	}
	if !g.since.Known {
		g.since.Day, g.since.Item = day, g.item // a raw lot's own day, where a date mark binds it at all
	}
	l.DayOne = m.Date(g.since.Began()).Format(time.DateOnly)
	if l.Ice = g.since.Ice; l.Ice > 0 && (m.dates.Dated(g.item) || m.dates.Carried(g.item, g.since) > 0) {
		l.Froze, l.Thaws = m.Date(g.since.Froze).Format(time.DateOnly), m.Date(g.since.Thaw).Format(time.DateOnly)
	}
	for _, i := range m.RawIn(g.item) {
		l.Raw = append(l.Raw, m.Graph.Items[i].Name)
	}
	l.Burns = m.Burns(g.item)
	l.Eggs = m.RawEggs(g.item)
	fish, unsaid := m.RawFish(g.item)
	for _, i := range fish {
		if slices.Contains(unsaid, i) {
			l.Fish = append(l.Fish, m.Graph.Items[i].Name)
		} else {
			l.Letters = append(l.Letters, m.Bought[i].Parasites)
		}
	}
	for _, i := range m.RawIn(g.item) {
		if m.Histamine[i] {
			l.Histamine = append(l.Histamine, m.Graph.Items[i].Name)
		}
	}
	if !l.ToOrder {
		for _, i := range m.InOil[g.item] {
			l.InOil = append(l.InOil, m.Graph.Items[i].Name)
		}
	}
	if g.since.Known && g.since.Item != g.item && g.since.Began() < day {
		l.From, l.Guess = m.Graph.Items[g.since.Item].Name, g.since.Presumed
	}
	stated := m.Stated(g.item)
	l.Allergens, l.May, l.Unstated = stated.Has, stated.May, stated.Unknown
	m.lastDay(&l, g)
	if (m.Cooks(g.step) || m.Heat[g.step] == kitchen.Reheats) && !m.toOrder(g.step) && !m.Undated[g.item] {
		m.cool(&l, g, timed)
	}
	return l
}

// cool sets the limits on cooling, from when the lot was off the heat.
func (m *marks) cool(l *Label, g *lotMade, timed bool) {
	code, from := m.Code, g.at-m.OffBefore(g.step, g.item)
	if g.mark == "" && m.Graph.Steps[g.step].Length() == 0 { // else somebody wrote when it was done
		from += atBench(m.Kitchen, g.step, g.item, g.amount)
	}
	moment := func(minute int) string { return readAt(m.Date(0).Add(time.Duration(minute) * time.Minute)) }
	for _, s := range code.Cooling {
		if s.Within == 0 {
			continue
		}
		by := CoolBy{From: s.From, To: s.To, Scale: code.Scale, Within: s.Within, Section: code.Cite(s.Section)}
		if timed {
			by.By, l.Cools = new(moment(from+s.Within)), moment(from)[len("2006-01-02 "):]
		}
		l.Cool = append(l.Cool, by)
	}
}

// lastDay sets until when a lot may be used, by the kitchen's own keeping and by the code, whichever ends first.
func (m *marks) lastDay(l *Label, g *lotMade) {
	code, day, say := m.Code, week.DayAt(g.at), m.voice.Say
	dated := m.dates.Dated(g.item)
	keeps := m.Terms.Keeps[g.item]
	set := func(last int, because string) {
		l.UseBy, l.Because = new(m.Date(last).Format(time.DateOnly)), because
	}
	section := m.voice.Cite(code, code.Dated)
	if (l.From != "" || m.dates.Ever(g.item)) && code.Mixed != "" {
		section = m.voice.Cite(code, code.Mixed)
	}
	codeLast := g.since.Day + code.Keeps - 1
	oilLast, inOil := m.dates.InOil(g.item, day, g.since)
	oil := oilLast - kitchen.InOilDays + 1 // the first day in oil
	inOil = inOil && (!l.ToOrder || oil < day)
	ownLast, ownDays, own := m.dates.ByKitchen(g.item, day, g.since)
	if m.dates.Ever(g.item) && !dated {
		l.Because = say("it carries the day 1 of its oldest part, which is not on record, and the kitchen file names no approval")
		return
	}
	if m.dates.Ever(g.item) {
		l.Because = say("it carries the day 1 of its oldest part, which is not on record (%[1]s), and the kitchen file names no approval", section)
		return
	}
	defer func() {
		if !m.Frozen[g.item] && (dated && codeLast < day || own && ownLast < day || inOil && oilLast < day) {
			l.Because = say("NO DAY IS LEFT: what is in it was past its last day when this was made") + say("; ") + l.Because
		}
	}()
	if m.Frozen[g.item] {
		if dated {
			used := min(code.Keeps, day-g.since.Day+1)
			left := code.Keeps - used
			l.LeftDays = &left
			if code.Frozen != "" {
				l.Because = say("%[1]s of %[2]s are used when it is frozen; frozen time does not count (%[3]s)", strconv.Itoa(used),
					m.voice.Days(code.Keeps), m.voice.Cite(code, code.Frozen))
			} else {
				l.Because = say("%[1]s of %[2]s are used when it is frozen (%[3]s); whether frozen time counts is for your local code to say", strconv.Itoa(used),
					m.voice.Days(code.Keeps), section)
			}
		}
		if days := m.dates.Carried(g.item, g.since); days > 0 {
			used := min(days, day-g.since.Day+1)
			left := days - used
			l.LeftDays = &left
			l.Because = say("%[1]s of %[2]s are used when it is frozen (%[3]s); whether frozen time counts is for your local code to say", strconv.Itoa(used),
				m.voice.Days(days), say("the kitchen's own days for %[1]s", l.From))
		}
		if len(m.InOil[g.item]) > 0 {
			oil = day
			if g.since.Oiled {
				oil = min(day, g.since.Oil)
			}
			if left := max(0, kitchen.InOilDays-(day-oil+1)); l.LeftDays == nil || left < *l.LeftDays {
				l.LeftDays = &left
				if l.Because != "" {
					l.Because += say("; ")
				}
				l.Because += m.oily(oil, day, g)
			}
		}
		if keeps > 0 {
			because := l.Because
			set(day+keeps-1, say("the kitchen keeps it %[1]s, frozen", m.voice.Days(keeps)))
			if because != "" {
				l.Because += say("; ") + because
			}
		}
		return
	}
	switch {
	case inOil && (keeps == 0 || oilLast <= day+keeps-1) && (!dated || oilLast <= codeLast) && (!own || oilLast <= ownLast):
		because := m.oily(oil, day, g)
		if dated {
			because += say("; ") + say("the code's %[1]s end %[2]s (%[3]s)", m.voice.Days(code.Keeps), m.voice.Day(m.Date(codeLast)), section)
		}
		set(oilLast, because)
	case dated && (keeps == 0 || codeLast < day+keeps-1):
		because := say("%[1]s, day 1 being the day made (%[2]s)", m.voice.Days(code.Keeps), section)
		if g.since.Item == g.item && g.since.Day < day {
			because = say("%[1]s, day 1 being the day on which it was off the heat (%[2]s)", m.voice.Days(code.Keeps), section)
		}
		if l.From != "" {
			because = say("%[1]s from the day 1 of %[2]s (%[3]s)", m.voice.Days(code.Keeps), l.From, section)
		}
		set(codeLast, because)
	case own && (keeps == 0 || ownLast < day+keeps-1):
		set(ownLast, say("%[1]s from the day 1 of %[2]s: the kitchen's own days, for the code sets none", m.voice.Days(ownDays), m.Graph.Items[g.since.Item].Name))
	case keeps > 0:
		because := say("the kitchen keeps it %[1]s", m.voice.Days(keeps))
		if keeps == 1 {
			because = say("the kitchen keeps it for the day")
		}
		if dated {
			because += say("; ") + say("the code's %[1]s end %[2]s (%[3]s)", m.voice.Days(code.Keeps), m.voice.Day(m.Date(codeLast)), section)
		}
		if own {
			because += say("; ") + say("the kitchen's %[1]s from the day 1 of %[2]s end %[3]s", m.voice.Days(ownDays), m.Graph.Items[g.since.Item].Name, m.voice.Day(m.Date(ownLast)))
		}
		set(day+keeps-1, because)
	case len(l.Raw) == 0:
		l.Because = say("neither the kitchen file nor the code says how long it keeps")
	}
	if len(l.Raw) > 0 && dated && m.Raw[g.item] {
		l.Because += say("; ") + say("raw food that is served raw, with the advisory, is ready to eat (%[1]s, from memory)", m.voice.Cite(code, code.Ready))
	}
	if len(l.Raw) > 0 && !dated && code.Keeps > 0 {
		raw := say("raw: a date mark is for ready food (%[1]s)", m.voice.Cite(code, code.Dated))
		if l.Because != "" {
			raw += say("; ") + l.Because
		}
		l.Because = raw
	}
}

// oily says since when, and of what, the days in oil count.
func (m *marks) oily(oil, day int, g *lotMade) string {
	days := m.voice.Days(kitchen.InOilDays)
	switch ice := g.since.OilIce; {
	case oil < day && g.since.Oily != g.item && ice > 0:
		return m.voice.Say("in oil or fat %[1]s at most, counted from %[2]s, the day of the %[3]s; %[4]s in the freezer not counted", days, m.voice.Day(m.Date(oil-ice)),
			m.Graph.Items[g.since.Oily].Name, m.voice.Days(ice))
	case oil < day && g.since.Oily != g.item:
		return m.voice.Say("in oil or fat %[1]s at most, counted from %[2]s, the day of the %[3]s", days, m.voice.Day(m.Date(oil)), m.Graph.Items[g.since.Oily].Name)
	}
	return m.voice.Say("in oil or fat %[1]s at most, the day made counted", days)
}

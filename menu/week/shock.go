package week

// Shocks as they are typed: "night kettle@tue=40%".

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// ShockKind names a kind of change, as the option that asks for it is named.
type ShockKind struct {
	Name  string // "lose"
	Takes string // "STEP[@DAY][=SHARE]"
	Means string // one line of help
	// Foreseen tells a change that the week's buying takes into account from a mishap that comes after it.
	Foreseen bool

	parse func(w *Week, subject, day, change string) ([]flow.Shock, error)
}

// ShockKinds are all kinds of change that can be asked about.
var ShockKinds = []ShockKind{
	{"lose", "STEP[@DAY][=SHARE]", "a batch is lost after it has taken its inputs, all or a share of it", false, (*Week).lose},
	{"short", "ITEM[@DAY]=SHARE|AMOUNT|all", "less of a bought item comes: a share of each delivery, an amount in total, or all", false, (*Week).short},
	{"spoil", "ITEM[@DAY]", "all of an item on hand that morning is thrown out (default: the first day)", false, (*Week).spoil},
	{"price", "ITEM=+SHARE|PRICE", "a bought item costs more or less", true, (*Week).reprice},
	{"yield", "STEP[@DAY]/ITEM=+SHARE", "a step gives more or less of an item", false, (*Week).yields},
	{"late", "STEP[@DAY]=TIME", "a step starts, and gives, later: by 2 h, or at 23:30", false, (*Week).delay},
	{"sells", "DISH[@DAY [SERVICE]]=+SHARE|+NUMBER", "more or fewer portions of a dish are ordered", true, (*Week).sells},
	{"strike", "DISH[@DAY [SERVICE]]", "a dish is 86'd: off the menu", true, (*Week).strike},
}

// Shock is one change, read and found to name something in the kitchen.
type Shock struct {
	Kind    string // as in ShockKinds
	Text    string // as it was typed
	Warning string // what its asker should know, such as that it changes nothing
	Written int    // the present, as a minute of day 0, of a loss that stands in the log book: it is known; else 0

	foreseen bool
	Changes  []flow.Shock
}

// String is the shock as it is said: "lose night kettle@tue".
func (s Shock) String() string { return s.Kind + " " + s.Text }

// Ordered is the shock as one that is known when what it touches is ordered.
func (s Shock) Ordered() Shock {
	s.foreseen = true
	return s
}

// Shock reads a change. The error says what is wrong and what would be right.
func (w *Week) Shock(kind, text string) (Shock, error) {
	k := slices.IndexFunc(ShockKinds, func(k ShockKind) bool { return k.Name == kind })
	if k < 0 {
		return Shock{}, fmt.Errorf("there is no change called %q", kind)
	}
	text = norm.NFC.String(text)
	subject, change := text, ""
	if at := strings.LastIndex(text, "="); at >= 0 {
		subject, change = text[:at], strings.TrimSpace(text[at+1:])
	}
	day := ""
	if at := strings.LastIndex(subject, "@"); at >= 0 {
		subject, day = subject[:at], subject[at+1:]
		if d, item, ok := strings.Cut(day, "/"); ok { // night kettle@tue/kettle stock
			subject, day = subject+"/"+item, d
		}
	}
	if strings.TrimSpace(subject) == "" {
		return Shock{}, fmt.Errorf("--%s %q names nothing: write it as %s", kind, text, ShockKinds[k].Takes)
	}
	changes, err := ShockKinds[k].parse(w, strings.TrimSpace(subject), strings.TrimSpace(day), change)
	if err != nil {
		return Shock{}, fmt.Errorf("--%s %q: %w", kind, text, err)
	}
	s := Shock{Kind: kind, Text: w.spelt(text), foreseen: ShockKinds[k].Foreseen, Changes: changes}
	if kind == "spoil" {
		s.Warning = w.nothingToSpoil(changes)
	}
	return s, nil
}

// NamesWeekday tells whether a change names its day by a weekday.
func NamesWeekday(text string) bool {
	_, day, _ := dayIn(text)
	return kitchen.WeekdayNamed(day) >= 0
}

// dayIn cuts a change around the day that it names: "red pozole@", "tue", " lunch". Without one, day is "".
func dayIn(text string) (before, day, behind string) {
	end := len(text)
	if at := strings.LastIndex(text, "="); at >= 0 {
		end = at
	}
	at := strings.LastIndex(text[:end], "@")
	if at < 0 {
		return text, "", ""
	}
	day = text[at+1 : end]
	if stop := strings.IndexAny(day, " /"); stop >= 0 {
		day = day[:stop]
	}
	return text[:at+1], day, text[at+1+len(day):]
}

// Dated is a change that names a weekday as changes that name the dates on which it strikes, nil where it can't be said so: together
// they are the very same.
func (w *Week) Dated(kind, text string) (dated []string) {
	whole, err := w.Shock(kind, text)
	before, named, behind := dayIn(text)
	wd := kitchen.WeekdayNamed(named)
	if err != nil || wd < 0 {
		return nil
	}
	var changes []flow.Shock
	for d := -6; d < w.Days; d++ { // as far back as [Week.Means] looks
		if w.Weekday(d) != wd {
			continue
		}
		one := before + w.Date(d).Format(time.DateOnly) + behind
		if s, err := w.Shock(kind, one); err == nil && len(s.Changes) > 0 && slices.ContainsFunc(whole.Changes, func(c flow.Shock) bool { return reflect.DeepEqual(c, s.Changes[0]) }) {
			dated, changes = append(dated, one), append(changes, s.Changes...)
		}
	}
	if !reflect.DeepEqual(changes, whole.Changes) {
		return nil
	}
	return dated
}

// spelt is a change that names something, with its names as the kitchen file writes them.
func (w *Week) spelt(text string) string {
	end := len(text)
	if at := strings.LastIndex(text, "="); at >= 0 {
		end = at
	}
	name, day, dated := strings.Cut(text[:end], "@")
	if dated {
		day = "@" + day
	}
	of := func(text string) string {
		if name, inside, found := strings.Cut(text, "/"); found {
			return w.Spelt(name) + "/" + w.Spelt(inside)
		}
		return w.Spelt(text)
	}
	if d, inside, found := strings.Cut(day, "/"); found {
		day = d + "/" + w.Spelt(inside)
	}
	return of(name) + day + text[end:]
}

// daysOr is the days that a text names, or every day when it is empty.
func (w *Week) daysOr(text string) ([]int, error) {
	if text == "" {
		return []int{flow.EveryDay}, nil
	}
	return w.DaysNamed(text)
}

// share reads "40%" as 0.4; it must lie from 0% to 100%.
func share(s string) (float64, error) {
	v, rest, err := measure.Number(s)
	if err != nil || rest != "%" || v > 100 {
		return 0, fmt.Errorf("%q is not a share: write it as 40%%, from 0%% to 100%%", s)
	}
	return v / 100, nil
}

// RunDays are the days on which a run shock strikes, each with a run of the step.
func (w *Week) RunDays(step int, text string) ([]int, error) {
	name := w.Graph.Steps[step].Name
	if w.Graph.Steps[step].AsNeeded() {
		return nil, fmt.Errorf("%q is made as it is needed, so none of its batches stands on a day: spoil what it gives, or make an item that it takes short", name)
	}
	if w.Graph.Steps[step].Mode == graph.ToOrder {
		return nil, fmt.Errorf("%q is made to order, so it has no batches to lose: make an item that it takes short, or strike a dish", name)
	}
	if w.Graph.Steps[step].Mode == graph.AllOf {
		return w.daysOr(text)
	}
	var on []string
	for _, pot := range w.Case.Schedule.Pots {
		if pot.Step != step {
			continue
		}
		if w.Means(text, pot.Day) {
			return []int{pot.Day}, nil
		}
		on = append(on, w.DayName(pot.Day))
	}
	for _, h := range w.Happened { // over already, or not begun
		if day := w.DayOf(&h); h.Step == step && (h.What == Lost || h.What == Waits) && w.Means(text, day) {
			return []int{day}, nil
		}
	}
	days, err := w.daysOr(text)
	if err != nil {
		return nil, err
	}
	runs := func(day int) bool {
		return slices.ContainsFunc(w.Case.Schedule.Batches, func(r flow.Batch) bool { return r.Step == step && r.Day == day && r.Size > 0 })
	}
	for d := range w.Days {
		if runs(d) {
			on = append(on, w.DayName(d))
		}
	}
	if len(on) == 0 {
		return nil, fmt.Errorf("%q is not cooked from %s to %s", name, w.DayName(0), w.DayName(w.Days-1))
	}
	if days[0] == flow.EveryDay || slices.ContainsFunc(days, runs) {
		return days, nil
	}
	return nil, fmt.Errorf("%q is not cooked on %s: it is cooked on %s", name, text, strings.Join(on, ", "))
}

func (w *Week) lose(subject, day, change string) (shocks []flow.Shock, err error) {
	step, err := w.FindStep(subject)
	if err != nil {
		return nil, err
	}
	part := 1.0
	if change != "" {
		if part, err = share(change); err != nil {
			return nil, err
		}
	}
	days, err := w.RunDays(step, day)
	for _, d := range days {
		shocks = append(shocks, flow.Lose{Step: step, Day: d, Share: part})
	}
	return shocks, err
}

func (w *Week) short(subject, day, change string) (shocks []flow.Shock, err error) {
	item, err := w.FindItemOf(subject, "bought item", graph.Bought)
	if err != nil {
		return nil, err
	}
	if change == "" {
		return nil, errors.New("how much less? write =30%, =4 kg or =all")
	}
	sh := flow.Scarce{Item: item}
	if change == "all" {
		change = "100%"
	}
	if strings.HasSuffix(change, "%") {
		sh.Share, err = share(change)
	} else {
		sh.Amount, err = w.Amount(item, change)
	}
	if err != nil {
		return nil, err
	}
	days, err := w.daysOr(day)
	for _, d := range days {
		sh.Day = d
		shocks = append(shocks, sh)
	}
	return shocks, err
}

// Means tells whether a text may mean a day, be it of the period or of the week before it.
func (w *Week) Means(text string, day int) bool {
	return text != "" && (text == w.Date(day).Format(time.DateOnly) || day > -7 && kitchen.DayIs(w.Date(day), text))
}

func (w *Week) spoil(subject, day, change string) (shocks []flow.Shock, err error) {
	item, err := w.FindItemOf(subject, "item", graph.Bought, graph.Made)
	if err != nil {
		return nil, err
	}
	if change != "" {
		return nil, errors.New("all that is on hand spoils: leave out what comes after the =")
	}
	days := []int{0}
	if day != "" {
		if days, err = w.DaysNamed(day); err != nil {
			return nil, err
		}
	}
	for _, d := range days {
		shocks = append(shocks, flow.Spoil{Item: item, Day: d})
	}
	return shocks, nil
}

// nothingToSpoil warns of an item of which nothing is there to spoil.
func (w *Week) nothingToSpoil(changes []flow.Shock) string {
	rec := &flow.Record{Movements: true} // the same under any rule: what is there in the morning
	c := w.Case.Ordering(w.Case.Flow.Walk(w.Case.Schedule, w.Rule.Ration(), nil)).With(changes...)
	c.Flow.Walk(c.Schedule, w.Rule.Ration(), rec)
	for _, e := range rec.Entries {
		if e.What == flow.Spoiled {
			return ""
		}
	}
	sp := changes[0].(flow.Spoil)
	name := w.Graph.Items[sp.Item].Name
	return fmt.Sprintf("nothing of %q is on hand on the morning of %s: name a day, as in --spoil %q, or give stock with --on-hand",
		name, w.DayName(sp.Day), name+"@thu")
}

func (w *Week) reprice(subject, day, change string) ([]flow.Shock, error) {
	item, err := w.FindItemOf(subject, "bought item", graph.Bought)
	if err != nil {
		return nil, err
	}
	if day != "" {
		return nil, errors.New("a price holds for the whole period: leave out the day")
	}
	price, err := w.Price(item, change)
	return []flow.Shock{flow.Reprice{Item: item, Price: price}}, err
}

func (w *Week) yields(subject, day, change string) (shocks []flow.Shock, err error) {
	var step, out int
	at := -1
	for {
		next := strings.Index(subject[at+1:], "/")
		if next < 0 {
			break
		}
		at += next + 1
		if step, err = w.FindStep(subject[:at]); err == nil {
			break
		}
	}
	if at < 0 {
		return nil, fmt.Errorf("of which item? write it as \"%s/%s=-10%%\"", w.Example().Step, w.Example().Made)
	}
	if err != nil {
		return nil, err
	}
	gives := w.Graph.Steps[step].Gives
	out, err = kitchen.FindNamed(subject[at+1:], fmt.Sprintf("item that %q gives", w.Graph.Steps[step].Name), len(gives),
		func(o int) (string, bool) { return w.Graph.Items[gives[o].Item].Name, true })
	if err != nil {
		return nil, err
	}
	factor, err := kitchen.SignedShare(change)
	if err != nil {
		return nil, err
	}
	if day != "" && w.Graph.Steps[step].Mode != graph.OnDays {
		return nil, fmt.Errorf("%q has no set days: leave out the day", w.Graph.Steps[step].Name)
	}
	days := []int{flow.EveryDay}
	if day != "" {
		days, err = w.RunDays(step, day)
	}
	for _, d := range days {
		shocks = append(shocks, flow.Yield{Step: step, Output: out, Day: d, Factor: factor})
	}
	return shocks, err
}

func (w *Week) delay(subject, day, change string) (shocks []flow.Shock, err error) {
	step, err := w.FindStep(subject)
	if err != nil {
		return nil, err
	}
	if w.Graph.Steps[step].Mode != graph.OnDays {
		return nil, fmt.Errorf("%q has no set days, so it can't be late", subject)
	}
	if strings.Contains(change, ":") {
		return w.startAt(step, day, change)
	}
	minutes, err := measure.ParseDuration(strings.TrimPrefix(change, "+"))
	if fault, ok := errors.AsType[*measure.Error](err); ok {
		return nil, fmt.Errorf("%s: write by how much, as 45 min or 4 h 30 min, or when it starts, as 23:30", fault.Msg)
	}
	days, err := w.RunDays(step, day)
	for _, d := range days {
		shocks = append(shocks, flow.Delay{Step: step, Day: d, Minutes: minutes})
	}
	return shocks, err
}

// startAt lets the batches of a step start at a time of day. Of what starts in the evening, a time after midnight is that of the
// night. A step without a clock starts on the day itself, at the time, unless what it takes comes later still.
func (w *Week) startAt(step int, day, clock string) (shocks []flow.Shock, err error) {
	at, err := measure.ParseClock(clock)
	if err != nil {
		return nil, err
	}
	days, err := w.RunDays(step, day)
	if err != nil {
		return nil, err
	}
	const night = 12 * 60 // how far into the next day a time without a day may lie
	name := w.Graph.Steps[step].Name
	ran := w.Case.Flow.Walk(w.Case.Schedule, flow.Fair, nil).Ran // when batches start is the same under any rule
	for r, b := range w.Case.Schedule.Batches {
		if b.Step != step || b.Day >= w.Days || b.Size == 0 || days[0] != flow.EveryDay && !slices.Contains(days, b.Day) {
			continue
		}
		starts := ran[r].Start
		if b.Start != flow.Untimed { // one that is overdue is late by its own clock
			starts = b.Day*1440 + b.Start + b.Late
		}
		late := b.Day*1440 + at - starts
		if late < 0 && late+1440 <= night && b.Start != flow.Untimed {
			late += 1440
		}
		if late < 0 || starts+late < ran[r].Start {
			return nil, fmt.Errorf("%s starts on %s: %s is not later", w.OfDay(b.Day, name), w.Moment(ran[r].Start), clock)
		}
		shocks = append(shocks, flow.Delay{Step: step, Day: b.Day, Minutes: late})
	}
	for _, pot := range w.Case.Schedule.Pots {
		if pot.Step == step && slices.Contains(days, pot.Day) && len(shocks) == 0 {
			return nil, fmt.Errorf("%s was lit on %s: say by how much it is late", w.OfDay(pot.Day, name), w.Moment(pot.Start))
		}
	}
	return shocks, nil
}

// SlotsNamed are the services that a text such as "fri", "dinner" or "fri dinner" names; all when it is empty.
func (w *Week) SlotsNamed(text string) (slots []int, err error) {
	day, service, _ := strings.Cut(text, " ")
	want := -1
	for n, s := range w.Services {
		if strings.EqualFold(s.Name, text) {
			day, service = "", s.Name
		}
		if strings.EqualFold(s.Name, service) {
			want = n
		}
	}
	if service != "" && want < 0 {
		_, err := kitchen.FindNamed(service, "service", len(w.Services), func(i int) (string, bool) { return w.Services[i].Name, true })
		return nil, err
	}
	var days []int
	if day != "" {
		if days, err = w.DaysNamed(day); err != nil {
			return nil, err
		}
	}
	for k, sit := range w.Sittings {
		if sit.Service >= 0 && (want < 0 || sit.Service == want) && (days == nil || slices.Contains(days, sit.Day)) {
			slots = append(slots, k)
		}
	}
	if len(slots) == 0 {
		return nil, fmt.Errorf("there is no service on %q from %s to %s", text, w.DayName(0), w.DayName(w.Days-1))
	}
	return slots, nil
}

func (w *Week) sells(subject, when, change string) ([]flow.Shock, error) {
	d, err := w.FindDish(subject)
	if err != nil {
		return nil, err
	}
	sh := flow.Ask{Want: d, Factor: 1}
	if sh.Slots, err = w.SlotsNamed(when); err != nil {
		return nil, err
	}
	if strings.HasSuffix(change, "%") {
		sh.Factor, err = kitchen.SignedShare(change)
		return []flow.Shock{sh}, err
	}
	if change == "" || change[0] != '+' && change[0] != '-' {
		return nil, fmt.Errorf("%q has no sign: write the change as +20%%, -20%%, +8 or -8", change)
	}
	n, ok := kitchen.Digits(change[1:])
	if !ok {
		return nil, fmt.Errorf("%q is not a whole number of portions: write the change as +20%%, -20%%, +8 or -8", change)
	}
	if sh.More = float64(n); change[0] == '-' {
		sh.More = -sh.More
	}
	return []flow.Shock{sh}, nil
}

func (w *Week) strike(subject, when, change string) ([]flow.Shock, error) {
	d, err := w.FindDish(subject)
	if err != nil {
		return nil, err
	}
	if change != "" {
		return nil, errors.New("a dish is struck off altogether: leave out what comes after the =, or use --sells")
	}
	slots, err := w.SlotsNamed(when)
	return []flow.Shock{flow.Ask{Want: d, Slots: slots}}, err
}

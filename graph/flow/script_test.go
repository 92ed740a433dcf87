package flow

// A small language in which tests, and the files of testdata/scenarios, write kitchens and what should come of them. One line,
// one fact; blank lines part cases.
//
//	# title
//	buy hen 9.5 keeps 3 arrives 0 3      a bought item: price, days it keeps, days on which it arrives
//	item stock keeps 4 worth 3           what is known of an item that a step gives
//	batch kettle cost 5 by weight: 10 hen + 2 stock< -> 8 stock @540 + 1 fat
//	                                     a step on set days; < takes from yesterday, ? is optional, "2 hen or 3 duck" has a
//	                                     substitute, ~0.2 gives or takes a share, ~1 is to taste, @540 comes out after so many
//	                                     minutes
//	all render: 1 fat -> 0.7 lard        a step that takes all there is
//	order chile: 1 puree -> 1 chile      a step made to order
//	dish soup 12 rank 1: 2 stock         a portion: price, rank
//	open 0 11:30 17:00                   services of a day; "noon 0" is a day without one
//	want soup 10 4                       forecast by service
//	run kettle 0 x2 at 22:30 late 60 lost 0.5 yield 1 0.9
//	hand stock 5 made -1                 on hand at the beginning
//	deliver hen 0 5 of 8                 a delivery; of what was ordered
//	short hen                            no more can be had than what is delivered
//	spoil stock 1                        found spoiled on the morning of a day
//	burn render 0 0.5                    a share lost of what a step that takes all gives on a day
//	rule first                           who goes short
//	fractions                            portions stay as they fall
//	= served soup: 10 3                  what should come of it; see (*script).answer

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// script is a kitchen in the language above, read.
type script struct {
	t        testing.TB
	title    string
	items    []graph.Item
	steps    []graph.Step
	terms    Terms
	itemAt   map[string]int
	stepAt   map[string]int
	wantAt   map[string]int
	ranks    map[string]int
	sched    Schedule
	rule     Ration
	expected []string
}

var gram, _ = measure.UnitNamed("g")

func (k *script) item(name string) int {
	if i, ok := k.itemAt[name]; ok {
		return i
	}
	k.itemAt[name] = len(k.items)
	k.items = append(k.items, graph.Item{Name: name, Role: graph.Made, Unit: gram})
	k.terms.Price = append(k.terms.Price, 0)
	k.terms.Worth = append(k.terms.Worth, math.NaN())
	k.terms.Keeps = append(k.terms.Keeps, 0)
	k.terms.Pack = append(k.terms.Pack, 0)
	return len(k.items) - 1
}

// runScripts plays every case of a text and checks its expectations.
func runScripts(t *testing.T, text string) {
	for k := range readScripts(t, text) {
		t.Run(strings.ReplaceAll(k.title, " ", "_"), func(t *testing.T) {
			k.t = t
			k.check()
		})
	}
}

func readScripts(t testing.TB, text string) func(yield func(*script) bool) {
	return func(yield func(*script) bool) {
		for block := range strings.SplitSeq(text, "\n\n") {
			if strings.TrimSpace(block) != "" && !yield(readScript(t, block)) {
				return
			}
		}
	}
}

func readScript(t testing.TB, text string) *script {
	k := &script{t: t, itemAt: map[string]int{}, stepAt: map[string]int{}, wantAt: map[string]int{}, ranks: map[string]int{}}
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		verb, rest, _ := strings.Cut(line, " ")
		switch verb {
		case "":
		case "#":
			k.title += rest
		case "=":
			k.expected = append(k.expected, rest)
		default:
			func() {
				defer func() {
					if r := recover(); r != nil {
						t.Fatalf("%s: %v", line, r)
					}
				}()
				k.line(verb, rest)
			}()
		}
	}
	return k
}

func number(s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(err)
	}
	return x
}

func integer(s string) int { return int(number(s)) }

func minutes(s string) int {
	h, m, ok := strings.Cut(s, ":")
	if !ok {
		panic("not a time: " + s)
	}
	return integer(h)*60 + integer(m)
}

var ruleNames = map[string]Rule{"worth": ByWorth, "weight": ByWeight, "final": ByFinalValue, "even": ByEvenMargin, "main": ByMain}

func (k *script) line(verb, rest string) {
	s := &k.sched
	w := strings.Fields(rest)
	words := func(from int, known map[string]func(string)) {
		for i := from; i < len(w); i += 2 {
			known[w[i]](w[i+1])
		}
	}
	switch verb {
	case "buy", "item":
		i, from := k.item(w[0]), 1
		if verb == "buy" {
			k.items[i].Role, k.terms.Price[i] = graph.Bought, number(w[1])
			from = 2
		}
		if at := slices.Index(w, "arrives"); at >= 0 {
			for len(s.Arrives) <= i {
				s.Arrives = append(s.Arrives, nil)
			}
			s.Arrives[i] = make([]bool, 14)
			for _, d := range w[at+1:] {
				s.Arrives[i][integer(d)] = true
			}
			w = w[:at]
		}
		words(from, map[string]func(string){
			"keeps": func(v string) { k.terms.Keeps[i] = integer(v) },
			"worth": func(v string) { k.terms.Worth[i] = number(v) },
			"pack":  func(v string) { k.terms.Pack[i] = number(v) },
		})
	case "batch", "all", "order", "dish":
		k.step(verb, rest)
	case "open", "noon":
		d := integer(w[0])
		s.Days = max(s.Days, d+1)
		for _, at := range w[1:] {
			s.Slots = append(s.Slots, Slot{Day: d, Start: d*1440 + minutes(at), End: d*1440 + minutes(at) + 180})
		}
		if verb == "noon" {
			s.Slots = append(s.Slots, Slot{Day: d, Start: d*1440 + 720, End: d*1440 + 720, Closed: true})
		}
	case "want":
		want := Want{Item: k.itemAt[w[0]], Rank: k.ranks[w[0]]}
		for _, f := range w[1:] {
			want.Forecast = append(want.Forecast, number(f))
		}
		k.wantAt[w[0]] = len(s.Wants)
		s.Wants = append(s.Wants, want)
	case "run":
		step := k.stepAt[w[0]]
		run := Batch{Step: step, Day: integer(w[1]), Start: Untimed, Size: number(strings.TrimPrefix(w[2], "x"))}
		if at := slices.Index(w, "yield"); at >= 0 {
			run.Yields = slices.Repeat([]float64{1}, len(k.steps[step].Gives))
			run.Yields[integer(w[at+1])] = number(w[at+2])
			w = w[:at]
		}
		words(3, map[string]func(string){
			"at":   func(v string) { run.Start = minutes(v) },
			"late": func(v string) { run.Late = integer(v) },
			"lost": func(v string) { run.Lost = number(v) },
		})
		s.Batches = append(s.Batches, run)
	case "hand":
		s.OnHand = append(s.OnHand, Lot{Item: k.item(w[0]), Amount: number(w[1]), Made: integer(w[3])})
	case "deliver":
		s.Deliveries = append(s.Deliveries, Delivery{Item: k.item(w[0]), Day: integer(w[1]), Amount: number(w[2]), Ordered: number(w[4])})
	case "short":
		for len(s.Short) <= k.item(w[0]) {
			s.Short = append(s.Short, false)
		}
		s.Short[k.item(w[0])] = true
	case "spoil":
		s.Spoils = append(s.Spoils, Spoil{Item: k.item(w[0]), Day: integer(w[1])})
	case "burn":
		s.Burnt = append(s.Burnt, Burnt{Step: k.stepAt[w[0]], Day: integer(w[1]), Share: number(w[2])})
	case "rule":
		k.rule = map[string]Ration{"fair": Fair, "first": First}[w[0]]
	case "fractions":
		s.Fractions = true
	default:
		panic("no such fact")
	}
}

func (k *script) step(verb, rest string) {
	head, recipe, _ := strings.Cut(rest, ": ")
	w := strings.Fields(head)
	st := graph.Step{Name: w[0], Mode: map[string]graph.Mode{"all": graph.AllOf, "order": graph.ToOrder, "dish": graph.ToOrder}[verb]}
	cost, rule, from := 0.0, ByWorth, 1
	if verb == "dish" {
		i := k.item(w[0])
		k.items[i].Role, k.terms.Price[i] = graph.Sold, number(w[1])
		st.Gives = []graph.Output{{Item: i, Amount: 1}}
		from = 2
	}
	for i := from; i < len(w); i += 2 {
		switch w[i] {
		case "cost":
			cost = number(w[i+1])
		case "by":
			rule = ruleNames[w[i+1]]
		case "rank":
			k.ranks[w[0]] = integer(w[i+1])
		default:
			panic(w[i])
		}
	}
	takes, gives, _ := strings.Cut(recipe, "-> ")
	for part := range strings.SplitSeq(strings.TrimSpace(takes), " + ") {
		if part == "" {
			continue // a step may take nothing
		}
		var line graph.Line
		for choice := range strings.SplitSeq(part, " or ") {
			amount, name, _ := strings.Cut(strings.TrimSpace(choice), " ")
			if before, share, ok := strings.Cut(name, "~"); ok {
				name, line.Without = before, number(share)
				line.Optional = line.Without == 1
			}
			line.Optional = line.Optional || strings.HasSuffix(name, "?")
			line.Carried = line.Carried || strings.HasSuffix(name, "<")
			line.Choices = append(line.Choices, graph.Choice{Item: k.item(strings.TrimRight(name, "?<")), Amount: number(amount)})
		}
		st.Takes = append(st.Takes, line)
	}
	for part := range strings.SplitSeq(gives, " + ") {
		if g := strings.Fields(part); len(g) > 0 {
			out := graph.Output{Item: k.item(g[1]), Amount: number(g[0])}
			if len(g) > 2 {
				out.OutAt = integer(strings.TrimPrefix(g[2], "@"))
			}
			st.Gives = append(st.Gives, out)
		}
	}
	k.stepAt[w[0]] = len(k.steps)
	k.steps = append(k.steps, st)
	k.terms.Cost, k.terms.Share = append(k.terms.Cost, cost), append(k.terms.Share, rule)
}

// compile is the flow and the case of the script.
func (k *script) compile() Case {
	g, err := graph.New(k.items, k.steps)
	require.NoError(k.t, err)
	f, err := Compile(g, k.terms)
	require.NoError(k.t, err)
	s := k.sched
	for len(s.Arrives) > 0 && len(s.Arrives) < len(k.items) {
		s.Arrives = append(s.Arrives, nil)
	}
	for len(s.Short) > 0 && len(s.Short) < len(k.items) {
		s.Short = append(s.Short, false)
	}
	return Case{f, &s}
}

// cost shares the bills of the script, by the amounts of its walk when it has services.
func (k *script) cost() *Costing {
	c := k.compile()
	var o *Outcome
	if len(k.sched.Slots) > 0 {
		o = c.Flow.Walk(c.Schedule, k.rule, nil)
	}
	costing, err := c.Flow.Cost(o)
	require.NoError(k.t, err)
	return costing
}

func (k *script) check() {
	c := k.compile()
	rec := &Record{Movements: true}
	o := c.Flow.Walk(c.Schedule, k.rule, rec)
	k.judge(c, o, rec)
}

// judge holds what came of a case against what should.
func (k *script) judge(c Case, o *Outcome, rec *Record) {
	require.NotEmpty(k.t, k.expected)
	for _, line := range k.expected {
		question, _, ok := strings.Cut(line, ":")
		require.True(k.t, ok, line)
		require.Equal(k.t, line, question+": "+k.answer(c, o, rec, strings.Fields(question)))
	}
}

// shown prints a number to the micro-unit.
func shown(x float64) string {
	return strconv.FormatFloat(math.Round(x*1e6)/1e6+0, 'f', -1, 64)
}

func moment(at int) string { return fmt.Sprintf("%d/%02d:%02d", at/1440, at%1440/60, at%60) }

// answer says what came of the thing that an expectation asks for.
func (k *script) answer(c Case, o *Outcome, rec *Record, q []string) string {
	switch q[0] {
	case "served":
		var all []string
		for slot := range c.Schedule.Slots {
			all = append(all, shown(o.Served[slot*len(c.Schedule.Wants)+k.wantAt[q[1]]]))
		}
		return strings.Join(all, " ")
	case "made", "left", "binned", "lost", "opening":
		v := map[string][]float64{"made": o.Made, "left": o.Left, "binned": o.Binned, "lost": o.Lost, "opening": o.Opening}[q[0]]
		return shown(v[k.itemAt[q[1]]])
	case "batches":
		return shown(o.Batches[k.stepAt[q[1]]])
	case "used": // step, line, choice
		return shown(o.Used[c.Flow.Choice(k.stepAt[q[1]], integer(q[2]), integer(q[3]))])
	case "bought":
		var all []string
		for _, d := range o.Deliveries {
			if d.Item == k.itemAt[q[1]] {
				text := fmt.Sprintf("%s on %d", shown(d.Amount), d.Day)
				if d.Amount != d.Ordered {
					text = fmt.Sprintf("%s of %s on %d", shown(d.Amount), shown(d.Ordered), d.Day)
				}
				all = append(all, text)
			}
		}
		return strings.Join(all, ", ")
	case "ran": // index of the run
		ran := o.Ran[integer(q[1])]
		text := fmt.Sprintf("%s at %s", shown(ran.Batches), moment(ran.Start))
		if ran.Limit >= 0 {
			text += " for lack of " + k.items[ran.Limit].Name
		}
		return text
	case "lacks": // step, line
		var all []string
		for _, l := range o.Lacks {
			if l.Step == k.stepAt[q[1]] && l.Line == integer(q[2]) {
				all = append(all, fmt.Sprintf("%s at %s", shown(l.Amount), moment(l.At)))
			}
		}
		return strings.Join(all, ", ")
	case "share": // want, slot: where it stopped, before portions were made whole
		for _, st := range rec.Stops {
			if st.Want == k.wantAt[q[1]] && st.Slot == integer(q[2]) {
				return shown(st.Share)
			}
		}
		return "all"
	case "because": // want, slot
		for _, st := range rec.Stops {
			if st.Want == k.wantAt[q[1]] && st.Slot == integer(q[2]) {
				return k.chain(c.Because(o, st))
			}
		}
		return "all served"
	case "entries": // item
		var all []string
		for _, e := range rec.Entries {
			if e.Item == k.itemAt[q[1]] {
				text := moment(e.At) + " " + [...]string{"arrived", "came", "failed", "took", "expired", "spoiled"}[e.What] + " " + shown(e.Amount)
				if e.Substitute {
					text += " instead"
				}
				all = append(all, text)
			}
		}
		return strings.Join(all, ", ")
	}
	return "no such question"
}

// chain tells causes in words.
func (k *script) chain(causes []Cause) string {
	var all []string
	for _, c := range causes {
		item, step := k.items[c.Item].Name, ""
		if c.Step >= 0 {
			if step = k.steps[c.Step].Name; c.Day != EveryDay {
				step += fmt.Sprintf(" of %d", c.Day)
			}
		}
		text := ""
		switch c.Kind {
		case UsedUp:
			text = item + " used up"
		case BatchLost:
			text = fmt.Sprintf("%s lost %s of %s %s", step, shown(c.Amount), shown(c.Of), item)
		case BatchLate:
			text = fmt.Sprintf("%s late with %s until %s", step, item, moment(c.Until))
		case BatchShort:
			text = fmt.Sprintf("%s did %s of %s for lack of %s", step, shown(c.Amount), shown(c.Of), item)
		case YieldShort:
			text = fmt.Sprintf("%s gave %s of %s less %s", step, shown(c.Amount), shown(c.Of), item)
		case DeliveryLess:
			text = fmt.Sprintf("%s of %s %s came on %d", shown(c.Amount), shown(c.Of), item, c.Day)
		case WentOff:
			text = fmt.Sprintf("%s %s spoiled on %d", shown(c.Amount), item, c.Day)
		case NoDelivery:
			text = "no delivery of " + item
		case TooLittle:
			text = "too little " + item + " planned"
		}
		all = append(all, text)
	}
	return strings.Join(all, "; ")
}

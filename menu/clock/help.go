package clock

// What would help where work is too tight: each is tried out on the whole week before it is said.

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// How far help is looked for: for the first conflicts of a timetable, with so many trials for each; a batch begins so many quarters of an
// hour sooner than it must by the sum, and not so many minutes sooner than it is planned.
const (
	mostTight, mostTrials = 3, 12
	quartersMore          = 3
	soonest               = 12 * 60
)

// extra is what a trial has beside what the kitchen has.
type extra struct {
	vessels map[int]int
	burners int
	shared  actOf // an act that twice the people do in half the time
}

// inHalf is how long twice the people take, in steps of five minutes.
func inHalf(minutes int) int { return (minutes + 9) / 10 * 5 }

// remedy is something to try.
type remedy struct {
	kind, says string
	extra      extra
	sooner     []flow.Shock
}

// helpTight says of the first conflicts that are too tight what would do, or that nothing that was tried would.
func (t *table) helpTight(ctx context.Context, from, to int) error {
	if t.trial || t.Timetable.Ready != nil {
		return nil
	}
	before := slices.Clone(t.Conflicts)
	n := 0
	for k := range t.Conflicts {
		c := &t.Conflicts[k]
		if c.Kind != TooTight || len(c.works) == 0 {
			continue
		}
		if n++; n > mostTight {
			if len(c.Helps) > 0 {
				c.Text += t.voice().Say("; this would do: %[1]s", strings.Join(c.Helps, t.voice().Say(", or ")))
			}
			continue
		}
		var kinds, done []string // that were tried; that would do
		for trial, r := range t.remedies(c) {
			if trial == mostTrials {
				break
			}
			if slices.Contains(done, r.kind) {
				continue
			}
			if !slices.Contains(kinds, r.kind) {
				kinds = append(kinds, r.kind)
			}
			does, err := t.would(ctx, &r, c, before, from, to)
			if err != nil {
				return err
			}
			if does {
				done, c.Helps = append(done, r.kind), append(c.Helps, r.says)
			}
		}
		say := t.voice().Say
		switch {
		case len(c.Helps) > 0:
			c.Text += say("; this would do: %[1]s", strings.Join(c.Helps, say(", or ")))
		case len(kinds) > 0:
			c.Text += say("; tried, and would not do: %[1]s", t.list(kinds))
		default:
			c.Text += say("; nothing it takes can be started sooner")
		}
	}
	return nil
}

// remedies are what may help: a batch upstream that begins sooner, nearest first; one more vessel or burner; bench work shared by twice the people.
func (t *table) remedies(c *Conflict) (list []remedy) {
	say := t.voice().Say
	works := t.upstream(c.works)
	for _, i := range works {
		w := &t.night.works[i]
		if w.kind != batch || !w.fixed {
			continue
		}
		for q := range quartersMore + 1 {
			by := (c.Short+14)/15*15 + 15*q
			at := w.at - by
			if _, alone := t.Unattended(w.step, dayOf(at), at-1440*dayOf(at)); by > soonest || at < t.night.schedule.From || alone {
				break
			}
			list = append(list, remedy{kind: say("an earlier start"), says: say("start %[1]s at %[2]s", t.calledAt(i, at), t.Moment(at)),
				sooner: []flow.Shock{flow.Delay{Step: w.step, Day: w.day, Minutes: -by}}})
		}
	}
	if c.arrives || t.given == nil {
		return list
	}
	tried := map[int]bool{}
	for _, i := range works {
		if v := t.Steps[t.night.works[i].step].Vessel; v >= 0 && !tried[v] {
			tried[v] = true
			list = append(list, remedy{kind: say("one more vessel"), says: say("one more %[1]s", t.Vessels[v].Name), extra: extra{vessels: map[int]int{v: 1}}})
		}
	}
	if t.given.stove >= 0 {
		list = append(list, remedy{kind: say("one more burner"), says: say("one more burner"), extra: extra{burners: 1}})
	}
	if t.given.hands < 0 {
		return list
	}
	for _, i := range works {
		w := &t.night.works[i]
		for _, a := range t.Acts(w.step) {
			if a.When != kitchen.AfterOut && a.When != kitchen.AfterEnd && a.When != kitchen.AtBench || a.Minutes(w.batches) < 10 {
				continue
			}
			if _, room := t.RoomAt(t.PlaceOf(w.step, a.When)); room > 0 && room < 2*a.People { // check would refuse it
				continue
			}
			list = append(list, remedy{kind: say("more hands on one job at the bench"),
				says:  say("%[1]s by %[2]s people at once", say("%[1]s (%[2]s)", t.word(a.Name), t.called(i)), fmt.Sprint(2*a.People)),
				extra: extra{shared: actOf{w.step, a.Name}}})
		}
	}
	return list
}

// upstream are works and all that they rest on, nearest first; of what is served nothing.
func (t *table) upstream(works []int) []int {
	list := slices.Clone(works)
	for n := 0; n < len(list); n++ {
		for _, k := range t.night.works[list[n]].from {
			if from := t.night.edges[k].from; from >= 0 && !slices.Contains(list, from) {
				list = append(list, from)
			}
		}
	}
	return list
}

// would plays the week with a remedy: that conflict must be gone, none may come up or get worse, and no dish may sell less.
func (t *table) would(ctx context.Context, r *remedy, c *Conflict, before []Conflict, from, to int) (bool, error) {
	o := tableOf(t.Week, t.asked, t.night) // where everything begins when it did, the same is cooked
	if len(r.sooner) > 0 {
		var err error
		if o, err = newTable(ctx, t.Week, t.asked.With(r.sooner...)); err != nil {
			return false, err
		}
	}
	o.memory, o.trial, o.extra = t.memory, true, r.extra
	o.due = slices.Clone(o.times)
	o.giveWork()
	o.conflicts(from, to)
	served := func(t *table) (sum float64) {
		for _, n := range t.night.outcome.Served {
			sum += n
		}
		return sum
	}
	if served(o) < served(t)-1e-6 {
		return false, nil
	}
	was, is := weights(before), weights(o.Conflicts)
	for about, w := range is {
		if w.conflicts > was[about].conflicts || w.short > was[about].short {
			return false, nil
		}
	}
	return is[c.about()].conflicts < was[c.about()].conflicts, nil
}

// weight is how many conflicts there are about the same, and by how many minutes they are short.
type weight struct{ conflicts, short int }

func weights(conflicts []Conflict) map[string]weight {
	sum := map[string]weight{}
	for k := range conflicts {
		c := &conflicts[k]
		w := sum[c.about()]
		sum[c.about()] = weight{w.conflicts + 1, w.short + c.Short}
	}
	return sum
}

// about is what a conflict is about, at whatever time.
func (c *Conflict) about() string {
	text := c.Kind
	for _, e := range c.Entries {
		text += "\n" + e.Place
	}
	return text
}

package kitchen

// What a kitchen file says of time beside starts: the phases of a step.

import (
	"fmt"
	"regexp"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// someTime stands for "some time" while a file is read.
const someTime = flow.Untimed - 1

// parseStart reads when a step starts: a time, or "some time" as long as nobody says which.
func parseStart(s string) (int, error) {
	if s == someTimeWords {
		return someTime, nil
	}
	return measure.ParseClock(s)
}

// toEnd is the end of a phase that lasts until its step ends, before that is known.
const toEnd = -1

var phaseTime = regexp.MustCompile(`^(?:(.*?) )??(` + measure.DurationPattern + `) *$`)

// parsePhase reads "rolling boil 3 h" or "simmer"; minutes is toEnd for the second.
func parsePhase(s string) (name string, minutes int, err error) {
	m := phaseTime.FindStringSubmatch(s)
	if m == nil {
		return s, toEnd, nil
	}
	at := len(s) - len(strings.TrimLeft(s[len(m[1]):], " "))
	if minutes, err = measure.ParseDuration(m[2]); err != nil {
		return "", 0, shifted(err, at)
	}
	switch {
	case strings.TrimSpace(m[1]) == "":
		return "", 0, &measure.Error{Msg: fmt.Sprintf("phase %q has no name", s),
			Hint: "write what happens before the time: rolling boil 3 h", Len: len(s)}
	case minutes == 0:
		return "", 0, &measure.Error{Msg: fmt.Sprintf("phase %q takes no time", s),
			Hint: "write how long it takes, or leave it out", Len: len(s)}
	}
	return strings.TrimSpace(m[1]), minutes, nil
}

// phases reads the phases of a step; nil when one of them can't be read.
func (r *reader) phases(n *yaml.Node) (list []Phase) {
	if n == nil {
		return nil
	}
	sound, from := true, 0
	for at, c := range n.Content {
		if r.unfit[c] {
			sound = false
			continue
		}
		name, minutes, err := parsePhase(c.Value)
		switch {
		case err != nil:
			r.misread(c, "bad-phases", err)
			sound = false
		case minutes == toEnd && at < len(n.Content)-1:
			r.fault(r.span(c), "bad-phases",
				"write how long it takes, such as "+name+" 45 min; only the last one lasts until the step ends",
				"phase %q does not say how long it takes", name)
			sound = false
		case minutes == toEnd:
			list = append(list, Phase{name, from, toEnd})
		default:
			list = append(list, Phase{name, from, from + minutes})
			from += minutes
		}
	}
	if !sound {
		return nil
	}
	return list
}

const offHeatKey = "off heat"

// checkOffHeat holds when a step leaves the heat against how long it takes.
func (r *reader) checkOffHeat(rec *recipe, st graph.Step, sc *StepCard) {
	n := r.value(rec.body, offHeatKey)
	if n == nil || sc.OffHeat == 0 {
		return
	}
	if length := st.Length(); sc.OffHeat > length {
		r.fault(r.span(n), "off-heat-after-end", `write when the last of it is out behind what it gives, such as ", out at 14 h", or remove the key`,
			"%q leaves the heat at %s, but the last of it is out at %s", rec.name, measure.FormatDuration(sc.OffHeat), measure.FormatDuration(length))
	}
	if r.k.Heat[r.stepAt[rec.name]] == HeatUnsaid || r.k.Heat[r.stepAt[rec.name]] == LeavesRaw {
		r.fault(r.span(n), "off-heat-without", `write "cooks through: yes" or "reheats: yes", or remove the key`,
			"%q leaves the heat, but does not say that it is heated", rec.name)
	}
}

// checkPhases holds the phases of a step against how long it takes, and lets the last one end with it.
func (r *reader) checkPhases(rec *recipe, st graph.Step, sc *StepCard) {
	if len(sc.Phases) == 0 {
		return
	}
	length := st.Length()
	n := r.value(rec.body, "phases")
	where := func(p int) span { return r.span(n.Content[p]) }
	if length == 0 {
		r.fault(where(0), "phases-without-end", `write ", out at 4 h" behind what it gives`,
			"%q has phases, but does not say when it ends", rec.name)
		return
	}
	last := len(sc.Phases) - 1
	for p, phase := range sc.Phases {
		goes, at := "ends", phase.To
		if phase.From >= length {
			goes, at = "begins", phase.From
		}
		if phase.From >= length || phase.To > length {
			r.fault(where(p), "phase-too-long", "shorten a phase, or let something out later",
				"phase %q of %q %s at %s, but the last of the step is out at %s", phase.Name, rec.name, goes,
				measure.FormatDuration(at), measure.FormatDuration(length))
			return
		}
	}
	switch end := sc.Phases[last].To; {
	case end == toEnd:
		sc.Phases[last].To = length
	case end < length:
		r.fault(where(last), "phases-too-short",
			fmt.Sprintf("remove the time of %q, so that it lasts until the end, or add a phase", sc.Phases[last].Name),
			"the phases of %q end at %s, but the last of the step is out at %s", rec.name, measure.FormatDuration(end),
			measure.FormatDuration(length))
	}
}

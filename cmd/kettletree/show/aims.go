package show

// Where each measure should be and where it was of late, as it is said at the stove, in words and as a row of marks.

import (
	"math"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/clock"
	"kettletree/menu/tongue"
)

// AimSaid says one in words: "colour 3 to 4 of 5 (last 7 days: 3, 4, 5, above the aim)". Called says a word of the file in the language
// of the page.
func AimSaid(v tongue.Voice, called func(string) string, a clock.Aim) string {
	text := called(a.Measure)
	if a.Unit != "" && a.Text == "" {
		text += v.Say(", ") + UnitSaid(v, a.Unit)
	}
	if a.Text != "" {
		text = v.Say("%[1]s %[2]s", text, AimFigures(v, a))
	}
	if len(a.Week) == 0 {
		return text
	}
	var week []string
	for _, w := range a.Week {
		week = append(week, v.Figure(measure.FormatNumber(math.Round(w*100)/100)))
	}
	late := strings.Join(week, v.Say(", "))
	switch a.Side {
	case "above":
		late += v.Say(", above the aim")
	case "below":
		late += v.Say(", below the aim")
	}
	return v.Say("%[1]s (last 7 days: %[2]s)", text, late)
}

// UnitSaid is the unit of a measure behind its name: "times" is a word, and no unit that others have.
func UnitSaid(v tongue.Voice, unit string) string {
	if unit == "times" {
		return v.Say("times")
	}
	return v.Unit(unit)
}

// StoveText is what a row says of a trial, of what is to be measured now, and of a temperature that nobody is there to read.
func StoveText(v tongue.Voice, called func(string) string, r *clock.Row) (texts []string) {
	if len(r.Tried) > 0 {
		texts = append(texts, v.Say("trial, this batch: %[1]s", TriedText(Teller{Voice: v, Called: called}, r.Tried)))
	}
	var aims []string
	for _, a := range r.Aims {
		aims = append(aims, AimSaid(v, called, a))
	}
	if aims != nil {
		texts = append(texts, v.Say("then measure: %[1]s", strings.Join(aims, v.Say("; "))))
	}
	if r.Nobody != nil && !r.Overdue {
		texts = append(texts, nobodyText(v, called, r.Nobody))
	}
	return texts
}

// nobodyText says what to do about a temperature that nobody is there to read. What is read later shows no limit met: it must be cold before.
func nobodyText(v tongue.Voice, called func(string) string, n *clock.Nobody) string {
	at := func(stamp string) string {
		t, err := time.Parse("2006-01-02T15:04", stamp)
		if err != nil {
			panic("mistake: a shift has no time")
		}
		return v.Moment(t)
	}
	text := v.Say("nobody is there to read it then: let somebody come")
	if n.Leaves != "" {
		text = v.Say("nobody is there to read it then: cool it in an ice bath, in shallow pans, so that it is that cold and read before the last leaves at %[1]s", at(n.Leaves))
	}
	if n.Opens == "" {
		return text
	}
	return text + v.Say("; ") + v.Say("next comes %[1]s, %[2]s", called(n.Opens), at(n.At))
}

// AimFigures says where it should be: "3 to 4 of 5", "0.9 to 1.1%".
func AimFigures(v tongue.Voice, a clock.Aim) string {
	if v.English() || a.Aim == nil {
		return a.Text
	}
	figure := func(x float64) string { return v.Figure(measure.FormatNumber(math.Round(x*1000) / 1000)) }
	text := figure(a.Aim.High)
	switch {
	case a.Aim.Low == 0 && a.Scale == nil:
		text = v.Say("at most %[1]s", text)
	case a.Aim.Low < a.Aim.High:
		text = v.Say("%[1]s to %[2]s", figure(a.Aim.Low), text)
	}
	switch {
	case a.Scale != nil:
		return v.Say("%[1]s on a scale to %[2]s", text, figure(a.Scale.High))
	case a.Unit == "" || a.Unit == "%":
		return text + a.Unit
	}
	return text + " " + a.Unit
}

// AimMark is one step of a scale: whether it is aimed at, and whether the last batch was there.
type AimMark struct {
	Figure    string
	Aim, Last bool
}

// AimMarks are the steps of a scale; none of what is read off an instrument.
func AimMarks(a clock.Aim) (marks []AimMark) {
	if a.Scale == nil {
		return nil
	}
	for v := a.Scale.Low; v <= a.Scale.High; v++ {
		marks = append(marks, AimMark{measure.FormatNumber(v), a.Aim != nil && v >= a.Aim.Low && v <= a.Aim.High, len(a.Week) > 0 && a.Week[len(a.Week)-1] == v})
	}
	return marks
}

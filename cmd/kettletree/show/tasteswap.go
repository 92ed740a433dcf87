package show

// What it does to the taste that something goes in otherwise.

import (
	"fmt"
	"math"

	"kettletree/menu/taste"
)

// Expected says what it does to the taste that something goes in otherwise: first what is known, by what, then what is not.
func (t Teller) Expected(all []taste.Expected) (says []string) {
	type told struct {
		in, from string
		batches  int
	}
	var order []told
	moves := map[told][]string{}
	var last, things []string
	unknown := map[string][]string{} // by what goes in otherwise
	for i := range all {
		e := &all[i]
		in := t.name(e.In)
		switch {
		case e.From == "":
			thing := t.name(e.Thing)
			if unknown[thing] == nil {
				things = append(things, thing)
			}
			unknown[thing] = append(unknown[thing], in)
		case e.Beyond:
			last = append(last, t.Say("The %[1]s of %[2]s then is not known: %[3]s never went in so in what was measured.", t.name(e.Measure), in, t.name(e.Thing)))
		case e.From == taste.FromStrengths:
			form := "%[1]s tastes %[2]s stronger of %[3]s, by the strengths in the kitchen file."
			if e.By < 0 {
				form = "%[1]s tastes %[2]s milder of %[3]s, by the strengths in the kitchen file."
			}
			says = append(says, t.Say(form, capital(in), t.Figure(fmt.Sprintf("%.0f%%", 100*math.Abs(e.By))), t.name(e.Thing)))
		default:
			key := told{in, e.From, e.Batches}
			if moves[key] == nil {
				order = append(order, key)
			}
			moves[key] = append(moves[key], t.move(e))
		}
	}
	for _, key := range order {
		moved := t.list(moves[key])
		if key.from == taste.FromTrial {
			says = append(says, t.Say("Expected of %[1]s: %[2]s, by the trial.", key.in, moved))
			continue
		}
		says = append(says, t.Say("Expected of %[1]s: %[2]s, by %[3]s. What goes together need not be the cause.", key.in, moved, t.batches(key.batches)))
	}
	for _, thing := range things {
		last = append(last, t.Say("How %[1]s tastes then is not known: %[2]s goes in otherwise.", t.list(unknown[thing]), thing))
	}
	return append(says, last...)
}

// move is how far a measure goes up or down.
func (t Teller) move(e *taste.Expected) string {
	step := 0.01
	if e.Judged() {
		step = 0.1
	}
	by := math.Round(math.Abs(e.By)/step) * step
	if by == 0 {
		return t.Say("%[1]s as before", t.name(e.Measure))
	}
	much := t.twoDigits(by)
	switch e.Unit {
	case "":
	case "%":
		much += "%"
	default:
		much += " " + e.Unit
	}
	if e.By < 0 {
		return t.Say("%[1]s %[2]s down", t.name(e.Measure), much)
	}
	return t.Say("%[1]s %[2]s up", t.name(e.Measure), much)
}

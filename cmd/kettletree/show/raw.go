package show

// Dishes that are raw or undercooked when they are served, with the advisory that the code asks for.

import (
	"strings"

	"kettletree/menu/kitchen"
)

// servedRaw says, dish by dish, what is raw when it is served; behind it stands the advisory.
func (p Page) servedRaw(all []kitchen.RawServed, advisory string) (lines []string) {
	say := p.Voice.Say
	for _, x := range all {
		parts := []string{say("raw in it, and the kitchen file does not say whether it is cooked through at the pass: %[1]s", p.Voice.List(x.Raw))}
		if x.Said {
			parts[0] = say("served raw or undercooked: %[1]s", p.Voice.List(x.Raw))
		}
		if len(x.Eggs) > 0 {
			parts = append(parts, say("raw eggs, NOT STATED whether pasteurised: %[1]s", p.Voice.List(x.Eggs)))
		}
		if len(x.Fish) > 0 {
			parts = append(parts, say("raw fish, NOT STATED whether it was frozen against parasites or needs no freezing; see the supplier's letter: %[1]s", p.Voice.List(x.Fish)))
		}
		lines = append(lines, say("%[1]s: %[2]s", x.Dish, strings.Join(parts, say("; "))))
	}
	if said := p.Voice.Advisory(all, advisory); said != "" {
		lines = append(lines, said)
	}
	return lines
}

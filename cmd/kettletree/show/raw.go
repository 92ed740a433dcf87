package show

// Dishes that are raw or undercooked when they are served, with the advisory that the code asks for.

import (
	"strings"

	"kettletree/menu/kitchen"
)

// reminder is the reminder of 3-603.11(C) of the FDA Food Code, from memory; other codes may want other words.
const reminder = "Consuming raw or undercooked meats, poultry, seafood, shellfish, or eggs may increase your risk of foodborne illness."

// servedRaw says, dish by dish, what is raw when it is served; behind it stands the advisory.
func (p Page) servedRaw(all []kitchen.RawServed, advisory string) (lines []string) {
	say := p.Voice.Say
	undercooked := false
	for _, x := range all {
		parts := []string{say("raw in it, and the kitchen file does not say whether it is cooked through at the pass: %[1]s", p.Voice.List(x.Raw))}
		if x.Said {
			undercooked = true
			parts[0] = say("served raw or undercooked: %[1]s", p.Voice.List(x.Raw))
		}
		if len(x.Eggs) > 0 {
			parts = append(parts, say("raw eggs, NOT STATED whether pasteurised: %[1]s", p.Voice.List(x.Eggs)))
		}
		lines = append(lines, say("%[1]s: %[2]s", x.Dish, strings.Join(parts, say("; "))))
	}
	switch {
	case undercooked && advisory != "":
		code, section, _ := strings.Cut(advisory, ", ")
		lines = append(lines, p.Voice.Sentences(p.Voice.Word(reminder), say("%[1]s asks for this advisory, and that the menu marks the dishes that it is for (%[2]s, from memory): ask your local authority for its wording", code, section)+say(".")))
	case undercooked:
		lines = append(lines, capital(say("ask your local authority which advisory it wants"))+say("."))
	}
	return lines
}

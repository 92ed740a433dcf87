package tongue

// The advisory that goes with dishes that are raw or undercooked when they are served.

import (
	"slices"
	"strings"

	"kettletree/menu/kitchen"
)

// Reminder is the reminder of 3-603.11(C) of the FDA Food Code, from memory; other codes may want other words.
const Reminder = "Consuming raw or undercooked meats, poultry, seafood, shellfish, or eggs may increase your risk of foodborne illness."

// Advisory is the reminder, with the section that asks for it, as [kitchen.Code.AdvisoryCited] names it; "" where no dish is said to be
// served raw or undercooked.
func (v Voice) Advisory(all []kitchen.RawServed, cited string) string {
	switch {
	case !slices.ContainsFunc(all, func(x kitchen.RawServed) bool { return x.Said }):
		return ""
	case cited == "":
		ask := v.Say("ask your local authority which advisory it wants") + v.Say(".")
		return strings.ToUpper(ask[:1]) + ask[1:]
	}
	code, section, _ := strings.Cut(cited, ", ")
	return v.Sentences(v.Word(Reminder), v.Say("%[1]s asks for this advisory, and that the menu marks the dishes that it is for (%[2]s, from memory): ask your local authority for its wording", code, section)+v.Say("."))
}

package show

// The food code's limits on heat, beside a row of the timetable.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// HeatText says the limits on heat that bind on a row; "" for none. Those on cooking, which are long, may stand below ([CookText]).
func HeatText(v tongue.Voice, r *clock.Row, below bool) string {
	var texts []string
	if slices.ContainsFunc(r.Heat, func(h clock.Heat) bool { return h.On == clock.Cook && h.At == 0 }) {
		texts = append(texts, v.Say("cook through, by the limits of your local code"))
	} else if cook := cookLimits(v, r.Heat); cook != "" && below {
		texts = append(texts, v.Say("cook through by the limits below"))
	} else if cook != "" {
		texts = append(texts, v.Say("cook through: %[1]s", cook))
	}
	for n := range texts {
		texts[n] = ofDishes(v, cookDishes(r.Heat), texts[n])
	}
	var in []string
	var cold clock.Heat
	advisory, served := "", false
	for _, h := range r.Heat {
		at, section := v.Degrees(both(h.At, h.Scale)), v.Section(h.Section)
		if h.Seconds > 0 {
			at = v.Say("%[1]s for %[2]s s", at, fmt.Sprint(h.Seconds))
		}
		switch {
		case h.On == clock.Cook:
		case h.On == clock.RawDish:
			texts = append(texts, ofDishes(v, h.Dishes, v.Say("served raw or undercooked: %[1]s", v.List(h.Raw))+rawEggs(v, h.Eggs)))
			advisory, served = h.Section, true
		case h.On == clock.LeftRaw:
			texts = append(texts, v.Say("RAW: %[1]s", v.List(h.Raw))+rawEggs(v, h.Eggs))
		case h.On == clock.Unsaid && h.Dishes != nil:
			texts = append(texts, ofDishes(v, h.Dishes, v.Say("raw in it, and the kitchen file does not say whether it is cooked through at the pass: %[1]s", v.List(h.Raw))+rawEggs(v, h.Eggs)))
		case h.On == clock.Unsaid:
			texts = append(texts, v.Say("raw food in it: the kitchen file does not say whether it is cooked through here"))
		case h.On == clock.InOil:
			in, cold = append(in, h.Food), h
		case h.On == clock.Reheat && h.Within > 0 && h.Seconds == 0: // whatever it is for
			texts = append(texts, v.Say("reheat to %[1]s within %[2]s of leaving the cold (%[3]s)", at, v.Lasts(h.Within), section))
		case h.On == clock.Reheat && h.By != nil:
			texts = append(texts, v.Say("to be held hot, reheat to %[1]s within %[2]s, by %[3]s (%[4]s)", at, v.Lasts(h.Within), clockOf(*h.By), section))
		case h.On == clock.Reheat && h.Within > 0:
			texts = append(texts, v.Say("to be held hot, reheat to %[1]s within %[2]s (%[3]s)", at, v.Lasts(h.Within), section))
		case h.On == clock.Reheat:
			texts = append(texts, v.Say("reheat to %[1]s (%[2]s)", at, section))
		case h.Above:
			texts = append(texts, v.Say("cool it, or hold it above %[1]s (%[2]s)", at, section))
		default:
			texts = append(texts, v.Say("cool it, or hold it at %[1]s or hotter (%[2]s)", at, section))
		}
	}
	switch {
	case served && advisory != "":
		texts = append(texts, v.Say("what is served so goes with the advisory on the menu (%[1]s, from memory)", advisory))
	case served:
		texts = append(texts, v.Say("ask your local authority which advisory it wants"))
	}
	if in != nil {
		texts = append(texts, inOil(v, in, kitchen.Degrees{Value: cold.At, Scale: cold.Scale}, cold.Section))
	}
	return strings.Join(texts, v.Say("; "))
}

// ofDishes says of which dishes of a service something is said.
func ofDishes(v tongue.Voice, dishes []string, text string) string {
	if dishes == nil {
		return text
	}
	return v.Say("%[1]s: %[2]s", v.List(dishes), text)
}

// cookDishes are the dishes of a service that are cooked through as they are ordered; nil on any other row.
func cookDishes(heat []clock.Heat) []string {
	at := slices.IndexFunc(heat, func(h clock.Heat) bool { return h.On == clock.Cook })
	if at < 0 {
		return nil
	}
	return heat[at].Dishes
}

// rawEggs says of which eggs nobody has said whether they are pasteurised; "" for none.
func rawEggs(v tongue.Voice, eggs []string) string {
	if len(eggs) == 0 {
		return ""
	}
	return v.Say("; ") + v.Say("raw eggs, NOT STATED whether pasteurised: %[1]s", v.List(eggs))
}

// inOil is the caution on what lies in oil.
func inOil(v tongue.Voice, what []string, cold kitchen.Degrees, section string) string {
	text := v.Say(tongue.InOil, v.List(what), v.Degrees(both(cold.Value, cold.Scale)))
	if section == "" {
		return text
	}
	return v.Say("%[1]s (%[2]s)", text, section)
}

// CookText says the limits on cooking that bind on some row of a timetable; "" for none.
func CookText(v tongue.Voice, a *clock.Timetable) string {
	for n := range a.Rows {
		if cook := cookLimits(v, a.Rows[n].Heat); cook != "" {
			return v.Say("Cook through: %[1]s.", cook)
		}
	}
	return ""
}

// cookLimits are the limits on cooking: "poultry and what is stuffed to 74 °C (165 °F), …".
func cookLimits(v tongue.Voice, heat []clock.Heat) string {
	var cook, sections []string
	for _, h := range heat {
		if h.On != clock.Cook || h.At == 0 {
			continue
		}
		sections = append(sections, h.Section)
		switch at := both(h.At, h.Scale); h.Food {
		case "poultry":
			cook = append(cook, v.Say("poultry, wild game and what is stuffed to %[1]s", at))
		case "ground":
			cook = append(cook, v.Say("what is ground, tenderised or injected, and eggs not to order to %[1]s for %[2]s s", at, fmt.Sprint(h.Seconds)))
		default:
			cook = append(cook, v.Say("fish, whole cuts and eggs to order to %[1]s for %[2]s s, roasts by a table of their own", at, fmt.Sprint(h.Seconds)))
		}
	}
	if cook == nil {
		return ""
	}
	return v.Say("%[1]s (%[2]s)", strings.Join(cook, v.Say("; ")), sameSection(sections))
}

// sameSection is what some sections have in common: "3-401.11(A)" of "3-401.11(A)(3)" and "3-401.11(A)(1)".
func sameSection(sections []string) string {
	same := sections[0]
	for _, s := range sections {
		for !strings.HasPrefix(s, same) {
			same = same[:len(same)-1]
		}
	}
	return strings.TrimRight(same, "( ")
}

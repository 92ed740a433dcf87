package board

// Conflicts of the timetable in the language of the page.

import (
	"slices"

	"kettletree/menu/clock"
	"kettletree/menu/week"
)

// tell says conflicts in the language of the page, by what the timetable in that language says of the same; false where it could not.
// Their sentences are put together from too many parts to be found in a table.
func (a *asked) tell(list []clock.Conflict, again func(*week.Week) ([]clock.Conflict, error)) bool {
	if len(list) == 0 || a.voice.English() {
		return false
	}
	w, _ := a.Week.InLanguage(a.voice.Language())
	told, err := again(w)
	if err != nil {
		return false
	}
	texts := make([]string, len(list))
	for i, c := range list {
		at := slices.IndexFunc(told, func(o clock.Conflict) bool { return c.SameAs(&o) })
		if at < 0 {
			return false
		}
		texts[i] = told[at].Text
	}
	for i := range list {
		list[i].Text = texts[i]
	}
	return true
}

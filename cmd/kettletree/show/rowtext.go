package show

// A row of the timetable in another language than English, as sheets say it.

import (
	"strings"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// RowText is what a row says is to be done, and of what, how long and for what temperatures. The row's items, steps and vessels have
// their names in the language already; k is the file, for its other words.
func RowText(v tongue.Voice, k *kitchen.Kitchen, r *clock.Row) (what, how string) {
	s := sheetWords{Page: Page{Voice: v}, kitchen: k, brief: true}
	task := s.task(&clock.Sheet{Day: r.At[:10]}, r)
	var hows []string
	if r.Do == clock.Serve {
		for _, x := range r.Out {
			hows = append(hows, count(int(x.Amount))+" × "+x.Item)
		}
	}
	for _, text := range []string{task.Amounts, task.Note} {
		if text != "" {
			hows = append(hows, text)
		}
	}
	return task.What, strings.Join(hows, v.Word("; "))
}

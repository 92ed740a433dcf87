package show

// Sheets to hand out: nothing to do is left off, however long a day is.

import (
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

func TestSheetsHoldAll(t *testing.T) {
	further, brief := 0, 0
	for _, name := range weektest.Examples {
		for _, tag := range tongue.Languages {
			w, _ := weektest.ExampleWeek(t, name).InLanguage(tag)
			for day := range w.Days {
				a, err := clock.SheetsOn(t.Context(), w, day)
				require.NoError(t, err)
				tasks, limits := 0, 0
				for n := range a.Sheets {
					tasks += len(a.Sheets[n].Tasks)
					limits += len(a.Sheets[n].Limits)
				}
				voice := tongue.In(tag)
				text, err := SheetsPage(Page{Voice: voice}, a, w.Kitchen, nil)
				require.NoError(t, err)
				assert.Equal(t, tasks, strings.Count(string(text), `class="at"`), "%s in %s, day %d", name, tag, day)
				met := 0
				for _, list := range strings.SplitAfter(string(text), `<section class="must">`)[1:] {
					met += strings.Count(list[:strings.Index(list, "</section>")], "<li>")
				}
				assert.Equal(t, limits, met, "%s in %s, day %d", name, tag, day)
				if name == "three-kettles" && day == 2 {
					assert.Contains(t, string(text), strings.TrimSuffix(voice.Say("enough until %[1]s", ""), " "), "what is made as needed says how long it is enough")
				}
				elsewhere := strings.Contains(string(text), voice.Say("How each is made stands in the guide: there is no room for it here."))
				if elsewhere {
					brief++
				}
				for n := range a.Sheets {
					for _, r := range a.Sheets[n].Tasks {
						if step, err := w.FindStep(r.Step); a.Sheets[n].Station && (r.Do == clock.Start || r.Do == clock.Make) && err == nil && step < len(w.Tellings) {
							method := html.EscapeString(strings.TrimSuffix(w.Tellings[step].Method.Text, "."))
							assert.True(t, elsewhere || strings.Contains(string(text), method), "%s in %s, day %d: neither how %s is made nor where that stands", name, tag, day, r.Step)
						}
					}
				}
				further += strings.Count(string(text), "<article") - len(a.Sheets)
				assert.Equal(t, strings.Count(string(text), "<article") > len(a.Sheets), strings.Contains(string(text), voice.Say("page %[1]s of %[2]s", "2", "2")))
			}
		}
	}
	assert.Positive(t, brief, "some sheet has no room for how all is made")
	assert.Positive(t, further, "the fish house's bench has more to do on some days than a page holds")
}

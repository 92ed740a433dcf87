package show

// Sheets to hand out: nothing to do is left off, however long a day is.

import (
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

func TestSheetsHoldAll(t *testing.T) {
	further, brief := 0, 0
	by := map[string]string{"en": "or colder by", "es": "o menos, límite", "zh-Hans": "前降到", "zh-Hant": "前降到"}
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
					met += strings.Count(list[:strings.Index(list, "</section>")], by[tag.String()])
				}
				assert.Equal(t, limits, met, "%s in %s, day %d", name, tag, day)
				if name == "three-kettles" && day == 2 {
					assert.Contains(t, string(text), strings.TrimSuffix(voice.Say("enough until %[1]s", ""), " "), "what is made as needed says how long it is enough")
				}
				elsewhere := strings.Count(string(text), voice.Say("How each is made stands in the guide: there is no room for it here."))
				assert.Equal(t, elsewhere, strings.Count(string(text), `<li class="paper">`), "a phone has room for how things are made")
				assert.Equal(t, elsewhere, strings.Count(string(text), ` brief">`))
				brief += elsewhere
				for n := range a.Sheets {
					for _, r := range a.Sheets[n].Tasks {
						if step, err := w.FindStep(r.Step); a.Sheets[n].Station && (r.Do == clock.Start || r.Do == clock.Make) && err == nil && step < len(w.Tellings) {
							method := html.EscapeString(strings.TrimSuffix(w.Tellings[step].Method.Text, "."))
							assert.Contains(t, string(text), method, "%s in %s, day %d: not how %s is made", name, tag, day, r.Step)
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

// A page of a pot ends where nothing that came out still waits to be cooled: who has the second in hand need not look at the first.
func TestSheetsBreakBetweenWork(t *testing.T) {
	w, _ := weektest.ExampleWeek(t, "evergreen-braise").InLanguage(language.Spanish)
	a, err := clock.SheetsOn(t.Context(), w, 2)
	require.NoError(t, err)
	words := sheetWords{Page: Page{Voice: tongue.In(language.Spanish)}, kitchen: w.Kitchen}
	assert.Len(t, words.fitted(&a.Sheets[0]), 1, "a day at %s is one page", a.Sheets[0].For)
	tasks := a.Sheets[0].Tasks
	pages := divided(&a.Sheets[0], clearCuts(tasks, 2))
	require.Len(t, pages, 2)
	out := map[string]bool{}
	for _, r := range pages[0].Tasks {
		for _, x := range r.Out {
			out[x.Item] = true
		}
	}
	cooled := 0
	for _, r := range pages[1].Tasks {
		for _, x := range r.Of {
			if r.Do == clock.Work {
				assert.False(t, out[x.Item], "%s came out on the first page", x.Item)
				cooled++
			}
		}
	}
	assert.Positive(t, cooled, "the stock is cooled on the second")
}

// What must be met is said once of each batch, and of two batches alike twice.
func TestSheetSaysLimitsOfABatchTogether(t *testing.T) {
	limit := func(item string, to float64, at string) clock.Row {
		return clock.Row{At: "2026-11-25T" + at, Of: []clock.Part{{Item: item, Amount: 1.2, Unit: "L"}}, Limits: []clock.CoolBy{{To: to, Scale: "F"}}}
	}
	s := sheetWords{kitchen: weektest.ExampleWeek(t, "evergreen-braise").Kitchen}
	assert.Equal(t, []string{"1.2 L glaze: 21 °C (70 °F) or colder by 13:00; 5 °C (41 °F) or colder by 17:00", "1.2 L glaze: 21 °C (70 °F) or colder by 19:00; 5 °C (41 °F) or colder by 23:00",
		"1.2 L master stock: 21 °C (70 °F) or colder by 19:30"},
		s.limits(&clock.Sheet{Day: "2026-11-25", Limits: []clock.Row{limit("glaze", 70, "13:00"), limit("glaze", 41, "17:00"), limit("glaze", 70, "19:00"), limit("master stock", 70, "19:30"), limit("glaze", 41, "23:00")}}))
}

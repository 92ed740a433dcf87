package show

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

// Eggs that steep overnight come out on Wednesday, and their seven days end as counted from Tuesday, when they were boiled: the label says
// so, or its two dates do not add up (FDA Food Code 2022, 3-501.17(A): the day of preparation is day 1).
func TestLabelsSayDayOne(t *testing.T) {
	for tag, says := range map[language.Tag]string{language.English: "Day 1: Tue 24 Nov", language.Spanish: "Día 1: mar 24 nov", language.SimplifiedChinese: "第 1 天：11月24日（周二）"} {
		w, _ := weektest.ExampleWeek(t, "evergreen-braise").InLanguage(tag)
		voice := tongue.In(tag)
		a, err := clock.LabelsOn(t.Context(), w, []int{2}, voice)
		require.NoError(t, err)
		require.Equal(t, "2026-11-25", a.Labels[0].Made)
		page, err := LabelPage(Page{Voice: voice}, a)
		require.NoError(t, err)
		egg := strings.SplitN(string(page), "</article>", 2)[0]
		assert.Contains(t, egg, says)
		assert.Contains(t, Labels(Page{Voice: voice, Width: 200}, a), says)
	}
}

// The days stand at the head, on the page too, for a weekday is the next one: also where nothing is made on it.
func TestLabelsSayTheirDays(t *testing.T) {
	for tag, says := range map[language.Tag][3]string{
		language.English:           {"Tue 24 Nov: labels", "Mon 23 Nov to Sun 29 Nov: labels", "Sun 29 Nov: nothing is made."},
		language.Spanish:           {"Mar 24 nov: etiquetas", "lun 23 nov a dom 29 nov: etiquetas", "Dom 29 nov: no se hace nada."},
		language.SimplifiedChinese: {"11月24日（周二）：制作食品的标签", "11月23日（周一）至11月29日（周日）：制作食品的标签", "11月29日（周日）：什么也不做。"},
	} {
		w, _ := weektest.ExampleWeek(t, "first-pot").InLanguage(tag)
		for n, days := range [][]int{{1}, {0, 1, 2, 3, 4, 5, 6}, {6}} {
			a, err := clock.LabelsOn(t.Context(), w, days, tongue.In(tag))
			require.NoError(t, err)
			assert.Len(t, a.Days, len(days))
			page, err := LabelPage(Page{Voice: tongue.In(tag)}, a)
			require.NoError(t, err)
			for _, text := range []string{string(page), Labels(Page{Voice: tongue.In(tag), Width: 200}, a)} {
				assert.Contains(t, text, says[n])
			}
		}
	}
}

// One frozen day is not said as from itself to itself.
func TestLabelsSayOneFrozenDay(t *testing.T) {
	for froze, says := range map[string]string{"2026-11-24": "Frozen Tue 24 Nov: this day does not count", "2026-11-23": "Frozen Mon 23 Nov to Tue 24 Nov: these days do not count"} {
		l := clock.Label{Froze: froze, Thaws: "2026-11-24", Ice: 1}
		assert.Equal(t, says, Page{}.frozenDays(l))
	}
}

var marks = regexp.MustCompile(`<[^>]+>`)

// A section that has words, as Codex CXC 39-1993 has (from memory), is cited in the words of the language, and so is the code itself.
func TestLabelsCiteInTheirLanguage(t *testing.T) {
	for tag, says := range map[language.Tag][]string{
		language.English:           {"storage)", "(cooling)", "Codex CXC 39-1993, mass catering."},
		language.Spanish:           {"conservación)", "(enfriamiento)", "Codex CXC 39-1993, servicios de comidas."},
		language.SimplifiedChinese: {"存放）", "（冷却）", "食品法典 CXC 39-1993（大众餐饮）。"},
	} {
		w, _ := weektest.SmallDays(t, `food code: Codex
services: {lunch: 12:00-14:00}
bought: {hen: {price: 4/kg, raw: yes, allergens: []}}
steps: {boil: {takes: [2 kg hen], gives: [1.4 kg boiled hen], batches: {daily: 1}, cooks through: yes}}
made: {boiled hen: {keeps: 5 days}}
dishes: {hen plate: {price: 8, takes: [150 g boiled hen], sells: {lunch: 5}}}
`, 1).InLanguage(tag)
		p := Page{Voice: tongue.In(tag), Width: 200}
		a, err := clock.LabelsOn(t.Context(), w, []int{0}, p.Voice)
		require.NoError(t, err)
		page, err := LabelPage(p, a)
		require.NoError(t, err)
		for _, text := range []string{string(page), Labels(p, a)} {
			text = strings.NewReplacer("\u00a0", " ", "\u2060", "").Replace(marks.ReplaceAllString(text, ""))
			for _, s := range says {
				assert.Contains(t, text, s)
			}
		}
	}
}

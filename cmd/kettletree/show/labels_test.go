package show

import (
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

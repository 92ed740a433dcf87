package show

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// A station's sheet has the name of each scale beside it, in the words that the file gives: three rows of figures alone say nothing.
func TestScalesOnSheets(t *testing.T) {
	w := opened(t, "three-kettles")
	told, _ := w.InLanguage(language.Spanish)
	s, err := clock.SheetsOn(t.Context(), told, 2)
	require.NoError(t, err)
	for i := range s.Sheets {
		for n := range s.Sheets[i].Tasks {
			if r := &s.Sheets[i].Tasks[n]; r.Do == clock.TakeOut {
				r.Aims = []clock.Aim{{Measure: "clarity", Text: "4 to 5 of 5", Aim: &kitchen.Range{Low: 4, High: 5}, Scale: &kitchen.Range{Low: 1, High: 5}}}
			}
		}
	}
	page, err := SheetsPage(Page{Width: 80, Voice: tongue.In(language.Spanish)}, s, told.Kitchen, nil)
	require.NoError(t, err)
	assert.True(t, strings.Contains(string(page), `<span class="marks" aria-hidden="true"><b>claridad</b><i`), "beside its scale")
	assert.True(t, strings.Contains(string(page), "después mide: claridad de 4 a 5"), "in words")
	assert.False(t, strings.Contains(string(page), "clarity"))
}

// The lists that a grid goes by are named in its language.
func TestListsOfGrid(t *testing.T) {
	g := ask.Grid(opened(t, "first-pot").Kitchen)
	assert.Equal(t, "US major food allergens (21 U.S.C. 321(qq)); EU substances causing allergies (Regulation (EU) 1169/2011, Annex II)",
		Page{Voice: tongue.In(language.English)}.gridLists(g))
	assert.Equal(t, "美国主要食物过敏原（21 U.S.C. 321(qq)）；欧盟致敏物质（欧盟第 1169/2011 号条例附件二）", Page{Voice: tongue.In(language.Chinese)}.gridLists(g))
}

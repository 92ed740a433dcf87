package board

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
)

// twoPies is a bakehouse in which two pots take the same onions and give the same broth.
const twoPies = `kitchen: Pie Oven
services: {lunch: 11:30-14:30}
bought:
  shin: {price: 9/kg, keeps: 4 days, allergens: []}
  onions: {price: 1/kg, keeps: 9 days, allergens: [], also: {es: cebolla, zh: 洋葱}}
steps:
  shin pot:
    takes: [4 kg shin, "1 kg onions, in at 2 h"]
    gives: ["2 kg shin meat, out at 3 h", 3 L broth]
    batches: {mon-sun: 1}
    starts: "05:00"
    phases: [simmer 3 h]
  cheek pot:
    takes: [2 kg shin, "1 kg onions, in at 2 h"]
    gives: ["1 kg cheek meat, out at 3 h", 2 L broth]
    batches: {mon-sun: 1}
    starts: "05:00"
    phases: [simmer 3 h]
made:
  shin meat: {keeps: 3 days}
  cheek meat: {keeps: 3 days}
  broth: {keeps: 3 days}
dishes:
  pie: {price: 11, takes: [150 g shin meat, 50 mL broth], sells: {lunch: 9}}
  pasty: {price: 9, takes: [90 g cheek meat, 50 mL broth], sells: {lunch: 9}}
`

// Which of several batches is meant is asked in the language of the page, with the line that says it.
func TestWhichBatchIsAsked(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(twoPies), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-24 07:10")
	for _, entry := range []string{"lit shin pot", "lit cheek pot"} {
		status, text := o.write(entry)
		require.Equal(t, http.StatusOK, status, text)
	}
	for entry, asks := range map[string]map[string][]string{
		"put in 0.5 kg onions": {"en": {"Shin pot of Tue 24 Nov and cheek pot of Tue 24 Nov take onions: which is meant?", "Name the batch: put in 0.5 kg onions of shin pot of 2026-11-24"},
			"es": {"llevan cebolla: ¿de cuál se trata?", "Nombra la tanda: put in 0.5 kg onions of shin pot of 2026-11-24"}, "zh-Hans": {"都用洋葱：是哪一批？", "请写明是哪一批：put in 0.5 kg onions of shin pot of 2026-11-24"}},
		"out 1 L broth": {"es": {"dan broth: ¿de cuál se trata?"}, "zh-Hans": {"都出 broth：是哪一批？"}},
	} {
		for lang, wants := range asks {
			status, text, _ := o.send(http.MethodPost, "/write", url.Values{"text": {entry}, "back": {"/log"}}, http.Header{"Cookie": {languageCookie + "=" + lang}})
			require.Equal(t, http.StatusUnprocessableEntity, status, "%s %s", lang, entry)
			fault := text[strings.Index(text, `class="fault"`):]
			fault = fault[:strings.Index(fault, "</section>")]
			for _, want := range wants {
				assert.Contains(t, fault, want)
			}
			assert.NotContains(t, fault, `lang="en"`)
		}
	}
	k := o.board.watch.state().kitchen
	for tag, want := range map[language.Tag]string{language.Spanish: "están por hacer: ¿de cuál se trata?", language.SimplifiedChinese: "都还没做：是哪一批？"} {
		said := string(newSpeaker(tag, k).Said("shin pot of Tue 24 Nov and shin pot of Thu 26 Nov are left to be made: which is meant?"))
		assert.Contains(t, said, want)
		assert.NotContains(t, said, "Nov")
	}
}

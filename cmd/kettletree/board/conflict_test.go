package board

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What cannot be stands whole in the language of the page, on the clock and on sheets.
func TestConflictsInLanguageOfPage(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(`
kitchen: Creamery
services: {counter: "10:00-18:00"}
hands: {05:00-14:00: [vat hand], 10:00-18:00: [counter hand]}
vessels: {vat: {holds: 120 L}}
bought: {milk: {price: 1/L, density: 1.03 kg/L}}
steps:
  curd vat:
    vessel: vat
    starts: "05:00"
    takes: [80 L milk]
    gives: ["12 kg cheese, out at 2 h"]
    cooks through: yes
    work: {drain: 150 min, portion: 60 min with 2 people}
    batches: {tue: 1, wed: 1}
dishes: {tub: {price: 7, takes: [250 g cheese], sells: {tue counter: 12, wed counter: 12}}}
`), 0o600))
	o := openFolder(t, folder)
	for path, wants := range map[string][]string{
		"/clock?on=2026-11-25&lang=es":                      {"muy justo", "enfríalo antes que nada;"},
		"/clock?on=2026-11-25&lang=zh":                      {"时间太紧", "先冷却它，再做别的；"},
		"/clock?on=2026-11-25":                              {"too tight", "cool it before anything else; what can be done cold (drain)"},
		"/sheets?on=2026-11-25&for=person+vat+hand&lang=es": {"con más gente no bastaría", "enfríalo antes que nada;"},
	} {
		status, page, _ := o.get(path)
		assert.Equal(t, 200, status, path)
		for _, want := range wants {
			assert.Contains(t, page, want, path)
		}
		if path[len(path)-7:] == "lang=es" {
			assert.NotContains(t, page, "more people alone", path)
		}
	}
}

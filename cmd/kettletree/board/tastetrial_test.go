package board

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A trial is begun, seen and ended on the page; the timetable tells its next batch, and one that can't be read is ended there too.
func TestBoardTrial(t *testing.T) {
	o := openBoard(t, "three-kettles")
	o.write("cooked night kettle of 2026-11-24")
	o.write("measured night kettle: colour 4, to the boil 60, skims 4")
	for _, want := range []string{`action="/taste/trial"`, `name="vary" value="to the boil"`, "Begin the trial"} {
		says(t, o.found("/taste"), want)
	}
	send := func(form url.Values) (int, string) {
		form.Set("of", "night kettle")
		status, text, _ := o.send(http.MethodPost, trialPath, form, nil)
		return status, text
	}
	status, text := send(url.Values{"do": {"begin"}, "vary": {"skims"}})
	assert.Equal(t, http.StatusConflict, status)
	says(t, text, "varies two to four things")
	status, text = send(url.Values{"do": {"begin"}, "vary": {"skims", "to the boil"}})
	assert.Equal(t, http.StatusOK, status)
	for _, want := range []string{"Trial of 8 batches", "Next, batch 1", "End the trial"} {
		says(t, text, want)
	}
	status, _ = send(url.Values{"do": {"begin"}, "vary": {"skims", "to the boil"}})
	assert.Equal(t, http.StatusConflict, status, "one at a time")
	// In other languages nothing is left in English.
	for lang, want := range map[string]string{"es": "Prueba de 8 tandas", "zh": "8 批的试验"} {
		page := o.found("/taste?lang=" + lang)
		says(t, page, want)
		assert.NotContains(t, regexp.MustCompile(`(?s)<main.*</main>`).FindString(page), `lang="en"`)
	}
	status, text = send(url.Values{"do": {"end"}})
	assert.Equal(t, http.StatusOK, status)
	says(t, text, "Begin the trial")
	status, _ = send(url.Values{"do": {"end"}})
	assert.Equal(t, http.StatusConflict, status)
	require.NoError(t, os.WriteFile(filepath.Join(o.folder, "kitchen.trial"), []byte("of: x"), 0o600))
	o.write("measured night kettle: clarity 3")
	for _, want := range []string{"read: kitchen.trial: begun", "last: 4", "End the trial"} {
		says(t, o.found("/taste"), want)
	}
}

package board

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/tongue"
)

// The pages that begin a kitchen stand in the language of the browser, with what is wrong in them.
func TestStartInLanguageOfBrowser(t *testing.T) {
	s := &Starting{File: filepath.Join(t.TempDir(), "kitchen.yaml"), Clock: func() (time.Time, error) { return moments(t, tuesday), nil }}
	pages := s.Handler()
	ask := func(method, path, lang string, form url.Values) string {
		r := httptest.NewRequestWithContext(t.Context(), method, "http://localhost"+path, strings.NewReader(form.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Accept-Language", lang)
		w := httptest.NewRecorder()
		pages.ServeHTTP(w, r)
		return w.Body.String()
	}
	for lang, wants := range map[string][]string{
		"es-MX,es;q=0.9": {`<html lang="es`, "Tu cocina", "Lo que entra", "Lo que se vende de ahí", "«mañana» no son días", "Escribe días como tue-sat", "«22:00» no es nada que entre en una olla"},
		"zh-CN,zh;q=0.9": {`<html lang="zh`, "你的厨房", "放进去的", "用它卖什么", "mañana”不是日子", "请写 tue-sat", "22:00”不是能放进锅"},
		"de, en":         {`<html lang="en`, "Your kitchen", "What goes in", "What is sold of it", "are no days.", "Write days such as tue-sat", "22:00&#34; names nothing that goes into a pot"},
	} {
		text := ask(http.MethodGet, "/start?screen=1", lang, nil) + ask(http.MethodGet, "/start?screen=2", lang, nil) + ask(http.MethodGet, "/start?screen=3", lang, nil) +
			ask(http.MethodPost, "/start?screen=1", lang, url.Values{"name": {""}, "open": {"mañana"}}) +
			ask(http.MethodPost, "/start?screen=2", lang, url.Values{"pot": {""}, "in 1 what": {"22:00"}})
		for _, want := range wants {
			says(t, text, want)
		}
	}
}

// All that the pages say stands in the table.
func TestStartSaysWhatTheTableHas(t *testing.T) {
	text, err := startingFiles.ReadFile("starting/start.html")
	require.NoError(t, err)
	said := regexp.MustCompile(`\.T "([^"]+)"|\.Field (?:"[^"]*"|\([^)]*\)+) "([^"]+)"`).FindAllStringSubmatch(string(text), -1)
	require.Greater(t, len(said), 20)
	for _, m := range said {
		assert.True(t, tongue.Known(m[1]+m[2]), "%q", m[1]+m[2])
	}
	bare := regexp.MustCompile(`(?s)\{\{.*?\}\}|<[^>]*>`).ReplaceAllString(string(text), "")
	assert.NotRegexp(t, `[A-Za-z]{3}`, bare, "nothing is said past the table")
}

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

// What can't be done is said in the language of the browser, with the way to the first page.
func TestStartRefusesInLanguageOfBrowser(t *testing.T) {
	s := &Starting{File: filepath.Join(t.TempDir(), "kitchen.yaml"), Clock: func() (time.Time, error) { return moments(t, tuesday), nil }}
	pages := s.Handler()
	for _, c := range []struct {
		method, path string
		form         url.Values
		status       int
		says         [3]string
	}{
		{http.MethodGet, "/start?screen=9", nil, http.StatusNotFound, [3]string{"There is no page &#34;9&#34;", "No hay página «9»", "没有“9”这一页"}},
		{http.MethodPost, "/start?screen=9", url.Values{"name": {""}}, http.StatusNotFound, [3]string{"There is no page", "No hay página", "没有“9”这一页"}},
		{http.MethodGet, "/today", nil, http.StatusNotFound, [3]string{"There is no page &#34;/today&#34;", "No hay página «/today»", "没有“/today”这一页"}},
		{http.MethodPost, "/start?screen=1", url.Values{"other": {""}}, http.StatusBadRequest, [3]string{"did not come whole", "no llegó completo", "表没有收全"}},
		{http.MethodPost, "/start?screen=1", url.Values{"name": {strings.Repeat("x", mostBody)}}, http.StatusRequestEntityTooLarge, [3]string{"is too long", "demasiado largo", "写得太长"}},
		{http.MethodGet, "http://192.0.2.7/start?screen=1", nil, http.StatusForbidden, [3]string{"at this machine", "en esta máquina", "这台机器"}},
	} {
		for n, lang := range []string{"en", "es-MX,es;q=0.9", "zh-CN,zh;q=0.9"} {
			to := c.path
			if strings.HasPrefix(to, "/") {
				to = "http://localhost" + to
			}
			r := httptest.NewRequestWithContext(t.Context(), c.method, to, strings.NewReader(c.form.Encode()))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Accept-Language", lang)
			w := httptest.NewRecorder()
			pages.ServeHTTP(w, r)
			assert.Equal(t, c.status, w.Code, "%s %s", c.path, lang)
			assert.Contains(t, w.Header().Get("Content-Type"), "text/html")
			says(t, w.Body.String(), c.says[n])
			says(t, w.Body.String(), `href="/start?screen=1"`)
			assert.NotContains(t, w.Body.String(), "<form")
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

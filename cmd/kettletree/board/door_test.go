package board

// The door, with requests from devices of a network.

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
)

const lanHost = "192.168.178.23:8410"

// device is a browser somewhere.
type device struct {
	t      *testing.T
	board  http.Handler
	from   string // its address
	host   string // what it calls the board
	cookie string
}

func (d *device) send(method, path string, form url.Values) (int, string) {
	d.t.Helper()
	r := httptest.NewRequestWithContext(d.t.Context(), method, "http://"+d.host+path, strings.NewReader(form.Encode()))
	r.RemoteAddr = d.from
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if d.cookie != "" {
		r.AddCookie(&http.Cookie{Name: cookieName, Value: d.cookie})
	}
	w := httptest.NewRecorder()
	d.board.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		d.cookie = c.Value
		assert.True(d.t, c.HttpOnly)
		assert.Equal(d.t, http.SameSiteStrictMode, c.SameSite)
	}
	return w.Code, w.Body.String()
}

func lanBoard(t *testing.T, now *time.Time, d Door) *Board {
	t.Helper()
	b, err := New(t.Context(), Config{Options: menu.Options{Kitchen: menu.File("../../../examples/first-pot/kitchen.yaml"),
		LogBook: filepath.Join(t.TempDir(), "kitchen.logbook")},
		Clock: func() (time.Time, error) { return *now, nil },
		Until: func(time.Duration) time.Time { return time.Time{} },
		Door:  d})
	require.NoError(t, err)
	return b
}

// A device in the network comes in by a code, once, and may do what the code is for.
func TestPairing(t *testing.T) {
	now := time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC)
	b := lanBoard(t, &now, Door{LAN: true, Hosts: []string{"192.168.178.23"}})
	h := b.Handler()
	codes := map[Role]string{Look: b.Code(Look), Write: b.Code(Write)}
	outside := func() *device { return &device{t: t, board: h, from: "192.168.178.99:40000", host: lanHost} }
	pair := func(d *device, code string) (int, string) {
		return d.send(http.MethodPost, "/pair", url.Values{"code": {code}})
	}
	sold := url.Values{"text": {"sold 4 chicken soup at lunch"}, "seen": {"0"}}

	stranger := outside()
	for path, want := range map[string]int{"/": 303, "/map": 403, "/events": 403, "/nothing": 403} {
		status, text := stranger.send(http.MethodGet, path, nil)
		assert.Equal(t, want, status, path)
		assert.NotContains(t, text, "chicken", path)
	}
	status, _ := stranger.send(http.MethodPost, "/write", sold)
	assert.Equal(t, 403, status)
	stranger.host = "localhost:8410"
	status, _ = stranger.send(http.MethodGet, "/map", nil)
	assert.Equal(t, 403, status, "to call the board by a name of this machine does not help")
	home := &device{t: t, board: h, from: "127.0.0.1:40000", host: lanHost}
	status, _ = home.send(http.MethodGet, "/map", nil)
	assert.Equal(t, 403, status, "nor to come from this machine by the name of the network, as through something in between")
	stranger.host = lanHost

	for range mostTries {
		status, _ = pair(stranger, "ABCD-EFGH")
		assert.Equal(t, 403, status)
	}
	status, text := pair(stranger, codes[Write])
	assert.Equal(t, 429, status, "for the right code too")
	assert.Contains(t, text, "wait a minute")
	elsewhere := &device{t: t, board: h, from: "192.168.178.77:40000", host: lanHost}
	status, _ = pair(elsewhere, "ABCD-EFGH")
	assert.Equal(t, 403, status, "who types wrong codes slows nobody else")
	assert.Empty(t, stranger.cookie)
	now = now.Add(2 * time.Minute)

	looks := outside()
	status, text = looks.send(http.MethodGet, "/pair?code="+codes[Look], nil)
	assert.Equal(t, 200, status)
	assert.Contains(t, text, codes[Look], "to open the address uses no code up")
	status, _ = pair(looks, strings.ToLower(codes[Look]))
	assert.Equal(t, 303, status)
	status, text = looks.send(http.MethodGet, "/?strike=chicken+soup@2026-11-24+lunch", nil)
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "can only look")
	assert.NotContains(t, text, "<button")
	status, text = looks.send(http.MethodPost, "/write", sold)
	assert.Equal(t, 403, status)
	assert.Contains(t, text, "can look but not write")

	writes := outside()
	status, _ = pair(writes, codes[Write])
	assert.Equal(t, 303, status)
	status, _ = writes.send(http.MethodPost, "/write", sold)
	assert.Equal(t, 303, status)
	status, text = pair(outside(), codes[Write])
	assert.Equal(t, 403, status)
	assert.Contains(t, text, "Each works once")
	renewed := b.Code(Look)
	b.Code(Look)
	status, _ = pair(outside(), renewed)
	assert.Equal(t, 403, status, "a new code makes the one before void")
	for _, text := range []string{"", "-", "AAAAAAAA"} {
		status, _ = pair(outside(), text)
		assert.Equal(t, 403, status, "%q", text)
	}
}

// What is served by the names of loopback only does not go by others.
func TestNames(t *testing.T) {
	lan := openDoor(t, Door{LAN: true, Hosts: []string{"192.168.178.23"}})
	alone := openDoor(t, Door{Hosts: []string{"192.168.178.23"}})
	for host, want := range map[string][2]bool{ // of a board in a network, and of one that stays home
		"localhost": {true, true}, "LOCALHOST:8410": {true, true}, "127.0.0.1:8410": {true, true}, "[::1]:8410": {true, true}, "127.8.8.8": {true, true},
		"192.168.178.23:8410": {true, false}, "192.168.178.24": {}, "board.example": {}, "localhost.board.example:8410": {}, "": {}, "0.0.0.0:8410": {},
	} {
		assert.Equal(t, want[0], lan.knows(host), "%q in a network", host)
		assert.Equal(t, want[1], alone.knows(host), "%q at home", host)
	}
}

func TestShelfKeepsWhatWasAskedForLast(t *testing.T) {
	s := newCache[string](2)
	made := 0
	get := func(key string) string {
		v, err := s.get(t.Context(), key, func(context.Context) (string, error) { made++; return key, nil })
		require.NoError(t, err)
		return v
	}
	for _, key := range []string{"a", "b", "a", "c", "a", "b"} {
		assert.Equal(t, key, get(key))
	}
	assert.Equal(t, 4, made, "b went when c came")
	_, err := s.get(t.Context(), "d", func(context.Context) (string, error) { return "", assert.AnError })
	require.ErrorIs(t, err, assert.AnError)
	v, err := s.get(t.Context(), "d", func(context.Context) (string, error) { return "d", nil })
	assert.NoError(t, err, "errors are not kept")
	assert.Equal(t, "d", v)
	_, err = s.get(t.Context(), "e", func(context.Context) (string, error) { panic("none") })
	require.ErrorContains(t, err, "made a mistake (none)", "it does not end the board")
}

// Wrong codes slow down the one who types them, and nobody else.
func TestWrongCodesSlowTheirAddress(t *testing.T) {
	d := openDoor(t, Door{LAN: true})
	d.codes[Write] = "ABCDEFGH"
	now := time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC)
	for range mostTries {
		_, ok, slow := d.pair("ZZZZ-ZZZZ", "", "192.168.178.66", now)
		assert.False(t, ok || slow)
	}
	_, ok, slow := d.pair("ABCD-EFGH", "", "192.168.178.66", now)
	assert.True(t, slow && !ok, "for the right code too")
	for n := range mostWrong + 10 {
		d.pair("ZZZZ-ZZZZ", "", fmt.Sprint("fd00::", n), now)
	}
	assert.Len(t, d.wrong, mostWrong)
	_, ok, _ = d.pair("ABCD-EFGH", "", "192.168.178.99", now)
	assert.True(t, ok)
	_, _, slow = d.pair("ZZZZ-ZZZZ", "", "192.168.178.66", now.Add(stretch+time.Second))
	assert.False(t, slow)
	assert.Len(t, d.wrong, 1, "the others are forgotten")
}

// A device has so many streams of events, and all together so many: the oldest makes room for who looks now.
func TestStreams(t *testing.T) {
	d := openDoor(t, Door{})
	ended := func(s *stream) bool {
		select {
		case <-s.away:
			return true
		default:
			return false
		}
	}
	var all []*stream
	for n := range mostStreams / mostTabs {
		for range mostTabs {
			all = append(all, d.enter(fmt.Sprint(n)))
		}
	}
	assert.False(t, slices.ContainsFunc(all, ended))
	all = append(all, d.enter("1"))
	assert.True(t, ended(all[mostTabs]), "the oldest of its own")
	all = append(all, d.enter("one more"))
	assert.True(t, ended(all[0]), "the oldest of all")
	assert.Len(t, d.streams, mostStreams)
	for _, s := range all { // the two that made room leave, too
		d.leave(s)
	}
	assert.Empty(t, d.streams)
	d.leave(d.enter("0"))
}

// What another site asks is not worked out, leaves nothing here, and holds nothing.
func TestOtherSitesAskNothing(t *testing.T) {
	now := time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC)
	b := lanBoard(t, &now, Door{})
	h := b.Handler()
	get := func(path, site string) *httptest.ResponseRecorder {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://localhost:8410"+path, nil)
		r.RemoteAddr = "127.0.0.1:40000"
		r.Header.Set("Sec-Fetch-Site", site)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	for _, site := range []string{"cross-site", "same-site"} {
		for days := range 8 {
			w := get(fmt.Sprintf("/plan?days=%d", 301+days), site)
			assert.Equal(t, http.StatusForbidden, w.Code)
			assert.Contains(t, w.Body.String(), "Another site led here")
			assert.Contains(t, w.Body.String(), fmt.Sprintf(`href="/plan?days=%d"`, 301+days), "it can be asked from here")
			assert.Empty(t, w.Result().Cookies())
		}
		assert.Equal(t, http.StatusForbidden, get("/specials", site).Code)
		assert.Equal(t, http.StatusForbidden, get("/?lose=stock+pot@tue", site).Code)
		assert.Equal(t, http.StatusForbidden, get("/events", site).Code)
		w := get("/", site)
		assert.Equal(t, http.StatusOK, w.Code, "a link to a page leads there")
		assert.Empty(t, w.Result().Cookies())
	}
	assert.Zero(t, b.long.length())
	assert.Empty(t, b.studies.at)
	for _, site := range []string{"none", "same-origin", ""} {
		w := get("/costs?sort=name", site)
		assert.Equal(t, http.StatusOK, w.Code)
		assert.NotEmpty(t, w.Result().Cookies())
	}
}

// openDoor is a door that keeps nothing.
func openDoor(t *testing.T, d Door) *door {
	t.Helper()
	opened, err := newDoor(d, func() (time.Time, error) { return moments(t, tuesday), nil })
	require.NoError(t, err)
	return opened
}

// Who is paired stays so when the program is started again, until somebody puts the device out. The file has nothing to come in by.
func TestDoorKeepsDevices(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.devices")
	at := moments(t, tuesday)
	ask := func(d *door, token string) (visitor, bool) {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://192.168.178.23/", nil)
		r.RemoteAddr = "192.168.178.40:5000"
		r.AddCookie(&http.Cookie{Name: cookieName, Value: token})
		return d.who(r)
	}
	open := func() *door { return openDoor(t, Door{LAN: true, Devices: file}) }
	first := open()
	first.codes[Write] = "ABCDEFGH"
	token, ok, _ := first.pair("ABCD-EFGH", "tablet by the pass", "192.168.178.40", at)
	require.True(t, ok)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.NotContains(t, string(text), token)
	info, err := os.Stat(file)
	require.NoError(t, err)
	if runtime.GOOS != "windows" {
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	}
	again := open()
	who, ok := ask(again, token)
	assert.True(t, ok)
	assert.Equal(t, Write, who.Role)
	list := again.list()
	require.Len(t, list, 1)
	assert.Equal(t, "tablet by the pass", list[0].Name)
	_, ok = again.putOut(list[0].Digest)
	assert.True(t, ok)
	_, ok = ask(again, token)
	assert.False(t, ok)
	_, ok = ask(open(), token)
	assert.False(t, ok)
	require.NoError(t, os.WriteFile(file, []byte("[{]"), 0o600))
	_, err = newDoor(Door{Devices: file}, nil)
	assert.ErrorContains(t, err, "kitchen.devices can't be read")
}

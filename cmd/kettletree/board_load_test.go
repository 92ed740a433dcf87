package main

// What a device loads when it opens the board for the first time.

import (
	"io"
	"maps"
	"net/http"
	"path"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mostLoaded is how many bytes the first load may take, packed: the page with all that it names, and all that those name.
const mostLoaded = 60_000

// What a slow phone works through, unpacked: bytes of style sheet and scripts, and elements of each page.
const mostStyle, mostScript = 40_000, 70_000

var mostElements = map[string]int{"/": 650, "/buy": 1800, "/log": 420, "/map": 350, "/more": 260}

// early are scripts that would keep a page from being shown until they have come and run.
var early = regexp.MustCompile(`<script src="[^"]*">`)

func TestBoardFirstLoad(t *testing.T) {
	o := afterAWeek(t, "three-kettles")
	load := func(at string) (bytes int, text string) {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, o.url+at, nil)
		require.NoError(t, err)
		r.Header.Set("Accept-Encoding", "gzip") // who asks for it is given it as it comes
		got, err := o.client.Do(r)
		require.NoError(t, err)
		raw, err := io.ReadAll(got.Body)
		require.NoError(t, err)
		require.NoError(t, got.Body.Close())
		require.Equal(t, http.StatusOK, got.StatusCode, at)
		require.Equal(t, "gzip", got.Header.Get("Content-Encoding"), at)
		_, text, _ = o.get(at)
		return len(raw), text
	}
	named := regexp.MustCompile(`(?:href|src)="(/static/[^"]+|/board\.webmanifest)"|from "(\./[^"]+)"|register\("(/[^"]+)"\)`)
	for _, page := range slices.Sorted(maps.Keys(mostElements)) {
		seen, sum := map[string]int{}, 0
		var follow func(at string)
		follow = func(at string) {
			if _, ok := seen[at]; ok {
				return
			}
			seen[at] = 0
			bytes, text := load(at)
			seen[at] = bytes
			sum += bytes
			for _, m := range named.FindAllStringSubmatch(text, -1) {
				switch {
				case m[1] != "":
					follow(m[1])
				case m[2] != "":
					follow(path.Join(path.Dir(at), m[2]))
				default:
					follow(m[3])
				}
			}
		}
		follow(page)
		_, html, _ := o.get(page)
		elements := len(regexp.MustCompile(`<[a-z]`).FindAllString(html, -1))
		assert.Less(t, elements, mostElements[page], page)
		assert.NotRegexp(t, early, html, page)
		style, script := 0, 0
		for at := range seen {
			_, text, _ := o.get(at)
			switch path.Ext(at) {
			case ".css":
				style += len(text)
			case ".js":
				script += len(text)
			}
		}
		assert.Less(t, style, mostStyle, page)
		assert.Less(t, script, mostScript, page)
		t.Logf("%s: %d elements, style sheet %d, scripts %d bytes", page, elements, style, script)
		assert.Greater(t, len(seen), 6, "style, scripts, icon, manifest and worker are among them: %v", seen)
		assert.Less(t, sum, mostLoaded, "%s loads %v", page, seen)
		t.Logf("%s: %d bytes of %v", page, sum, seen)
	}
}

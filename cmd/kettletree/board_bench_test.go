package main

// How fast the board answers, and that its memory stays flat: go test -run '^$' -bench Board ./cmd/kettletree

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// benched asks for pages over loopback, as several devices would.
func benched(b *testing.B) (*served, func(path string) time.Duration) {
	o := afterAWeek(b, "three-kettles")
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}, Timeout: 10 * time.Second}
	return o, func(path string) time.Duration {
		began := time.Now()
		r, err := http.NewRequestWithContext(b.Context(), http.MethodGet, o.url+path, nil)
		if err != nil {
			b.Error(err)
			return 0
		}
		r.Header.Set("Accept-Encoding", "gzip") // unpacking is the browser's work
		got, err := client.Do(r)
		if err != nil {
			b.Error(err)
			return 0
		}
		_, err = io.Copy(io.Discard, got.Body)
		_ = got.Body.Close()
		if err != nil || got.StatusCode != http.StatusOK {
			b.Errorf("%s: %s, %v", path, got.Status, err)
		}
		return time.Since(began)
	}
}

// BenchmarkBoardPages asks for the pages at the thumb 200 times a second; 99 of 100 answers should be there in under 50 ms. One page in
// twenty is a what-if that nobody asked before.
func BenchmarkBoardPages(b *testing.B) {
	_, get := benched(b)
	pages := []string{"/", "/buy", "/log", "/map", "/more", "/map?whole=yes", "/?strike=red+pozole"}
	for _, p := range pages {
		get(p)
	}
	took := make([]time.Duration, 0, b.N)
	var mu sync.Mutex
	var all sync.WaitGroup
	tick := time.NewTicker(time.Second / 200)
	defer tick.Stop()
	n := 0
	for b.Loop() {
		<-tick.C
		path := pages[n%len(pages)]
		if n%20 == 19 {
			path = fmt.Sprintf("/?lose=night+kettle@tue=%d.%d%%25", n%99+1, n/99)
		}
		n++
		all.Go(func() {
			d := get(path)
			mu.Lock()
			defer mu.Unlock()
			took = append(took, d)
		})
	}
	all.Wait()
	slices.Sort(took)
	ms := func(share float64) float64 {
		return float64(took[min(len(took)-1, int(share*float64(len(took))))].Microseconds()) / 1000
	}
	b.ReportMetric(ms(0.5), "ms/median")
	b.ReportMetric(ms(0.99), "ms/99th")
	b.ReportMetric(ms(1), "ms/slowest")
}

// BenchmarkBoardNewMaps draws a map that was not drawn before at each request.
func BenchmarkBoardNewMaps(b *testing.B) {
	_, get := benched(b)
	n := 0
	for b.Loop() {
		n++
		get(fmt.Sprintf("/map?whole=yes&lose=night+kettle@tue=%d.%d%%25", n%99+1, n/99))
	}
}

// BenchmarkBoardNewWhatIf asks Today what nobody asked before, of a kitchen with a log book: under 10 ms on a quiet machine.
func BenchmarkBoardNewWhatIf(b *testing.B) {
	o := withLogBook(b)
	n := 0
	for b.Loop() {
		n++
		status, _, _ := o.get(fmt.Sprintf("/?lose=night+kettle@tue=%d.%d%%25", n%99+1, n/99))
		require.Equal(b, http.StatusOK, status)
	}
}

// BenchmarkBoardMemory asks 100,000 times, one in a hundred for what was not asked before, and tells how much more memory lives
// after all of them than after the first tenth.
func BenchmarkBoardMemory(b *testing.B) {
	const requests = 100_000
	_, get := benched(b)
	lives := func() float64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return float64(m.HeapAlloc) / (1 << 20)
	}
	for b.Loop() {
		first := 0.0
		for from := 0; from < requests; from += requests / 10 {
			var workers sync.WaitGroup
			for w := range 4 {
				workers.Go(func() {
					for n := from + w; n < from+requests/10; n += 4 {
						switch {
						case n%100 == 0:
							get(fmt.Sprintf("/?lose=night+kettle@tue=%d.%d%%25", n/100%99+1, n/9900))
						case n%2 == 0:
							get("/map?whole=yes")
						default:
							get("/")
						}
					}
				})
			}
			workers.Wait()
			if from == 0 {
				first = lives()
			}
		}
		last := lives()
		b.ReportMetric(first, "MB-after-10000")
		b.ReportMetric(last, "MB-after-100000")
		require.Less(b, last, first+16, "it grows")
	}
}

// BenchmarkBoardAfterAWrite asks for a page after each entry that is written: 99 of 100 should be there in under 50 ms.
func BenchmarkBoardAfterAWrite(b *testing.B) {
	for _, page := range []string{"/", "/buy", "/map", "/map?item=kettle+stock", "/costs", "/clock", "/log", "/guide", "/specials", "/plan"} {
		b.Run(page[1:], func(b *testing.B) {
			o := afterAWeek(b, "three-kettles")
			entry := func(n int) url.Values {
				return url.Values{"text": {"sold 1 red pozole at dinner"}, "again": {strconv.Itoa(n)}, "sure": {"yes"}}
			}
			o.get(page)
			n := 0
			for b.Loop() {
				b.StopTimer()
				n++
				status, _, _ := o.send(http.MethodPost, "/write", entry(n), nil)
				require.Equal(b, http.StatusOK, status)
				b.StartTimer()
				status, _, _ = o.get(page)
				require.Equal(b, http.StatusOK, status)
			}
		})
	}
}

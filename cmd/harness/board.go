//go:build harness

package main

// board asks for all pages of a board with a log book, 200 times a second, while somebody writes once a second, and tells how long
// each page took, how much memory the board holds, and what went wrong.
//
//	go run -tags harness ./cmd/harness board [-requests 50000] [-rate 200] [-writes 1] [-kitchen three-kettles]
//
// The log book has the week before, as it was planned. One request in twenty is a what-if that nobody asked before. Whoever writes looks at the page that the form leads to: it must
// tell of the entry.

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"kettletree/menu"
	"kettletree/menu/logbook"
	"kettletree/menu/week/weektest"
)

func init() { harnesses["board"] = boardUnderLoad }

// asked are pages that are asked for, with how often.
var asked = []struct {
	path  string
	often int
}{
	{"/", 30}, {"/buy", 20}, {"/clock", 8}, {"/log", 10}, {"/more", 6}, {"/map", 4}, {"/map?whole=yes", 2}, {"/map?item=kettle+stock", 4}, {"/map?item=kettle+stock&part=yes", 2}, {"/costs", 6}, {"/specials", 4}, {"/plan", 4}, {"/guide", 2}, {"/?strike=red+pozole", 4},
}

// atTheThumb are the pages of the bar: 99 of 100 answers should be there in under 50 ms, on a machine that does nothing else.
var atTheThumb = []string{"/", "/buy", "/log", "/map", "/more"}

// readerDevices is how many devices read; another writes.
const readerDevices = 8

// load is what came of it.
type load struct {
	mu     sync.Mutex
	took   map[string][]time.Duration
	faults map[string]int
}

func (l *load) add(page string, took time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.took[page] = append(l.took[page], took)
}

func (l *load) fault(format string, args ...any) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.faults[fmt.Sprintf(format, args...)]++
}

func boardUnderLoad(args []string) error {
	flags := flag.NewFlagSet("board", flag.ContinueOnError)
	requests := flags.Int("requests", 50_000, "how many pages are asked for")
	rate := flags.Int("rate", 200, "how many a second")
	writes := flags.Float64("writes", 1, "how many entries are written a second")
	kitchen := flags.String("kitchen", "three-kettles", "an example")
	now := flags.String("now", "2026-12-01 14:05", "the board's clock, which stands still; \"\" for the machine's")
	if err := flags.Parse(args); err != nil {
		return err
	}
	ctx := context.Background()
	s, err := serve(ctx, *kitchen, *now)
	if err != nil {
		return err
	}
	defer s.close()
	l := &load{took: map[string][]time.Duration{}, faults: map[string]int{}}
	if err := s.writeWeek(ctx); err != nil {
		return err
	}
	for _, a := range asked { // until all that takes long was found once
		for page, begun := "data-again", time.Now(); strings.Contains(page, "data-again") && time.Since(begun) < 5*time.Minute; time.Sleep(time.Second) {
			got, err := s.get(ctx, "reader 1", a.path)
			if page = got.body; err != nil {
				return err
			}
		}
	}
	began, used := time.Now(), s.seconds()
	first, _ := s.megabytes()

	ended := make(chan struct{})
	var all sync.WaitGroup
	if *writes > 0 {
		all.Go(func() {
			tick := time.NewTicker(time.Duration(float64(time.Second) / *writes))
			defer tick.Stop()
			for n := 0; ; n++ {
				select {
				case <-ended:
					return
				case <-tick.C:
				}
				if err := s.write(ctx, l, fmt.Sprintf("sold %d red pozole at dinner", n%3+1)); err != nil {
					l.fault("write: %v", err)
				}
			}
		})
	}
	tick := time.NewTicker(time.Second / time.Duration(*rate))
	defer tick.Stop()
	var readers sync.WaitGroup
	for n := range *requests {
		<-tick.C
		if n > 0 && n%(max(*requests/10, 1)) == 0 {
			now, _ := s.megabytes()
			fmt.Printf("%d requests: %d MB\n", n, now)
		}
		page := pick()
		path := page
		if n%20 == 19 {
			page, path = "/?lose= new", fmt.Sprintf("/?lose=night+kettle@2026-12-01=%d.%02d%%25", n/20/100%99+1, n/20%100)
		}
		readers.Go(func() {
			a, err := s.get(ctx, fmt.Sprint("reader ", n%readerDevices), path)
			switch {
			case err != nil:
				l.fault("%s: %v", page, err)
			case a.status != http.StatusOK:
				l.fault("%s: status %d", page, a.status)
			}
			l.add(page, a.took)
		})
	}
	readers.Wait()
	close(ended)
	all.Wait()
	l.tell()
	last, most := s.megabytes()
	fmt.Printf("%d requests in %s, %.1f s of the board's processor time; memory %d MB at the beginning, %d MB at the end, at most %d MB\n", *requests,
		time.Since(began).Round(time.Second), s.seconds()-used, first, last, most)
	if len(l.faults) > 0 {
		return errors.New("there were faults")
	}
	return nil
}

// pick draws a page.
func pick() string {
	sum := 0
	for _, a := range asked {
		sum += a.often
	}
	n := rand.IntN(sum)
	for _, a := range asked {
		if n -= a.often; n < 0 {
			return a.path
		}
	}
	return "/"
}

// writeWeek has a week that was played written down: the last before the board's clock.
func (s *served) writeWeek(ctx context.Context) error {
	folder := filepath.Join(s.dir, "kitchen")
	from := weektest.Monday.AddDate(0, 0, 1)
	w, faults, err := menu.Open(ctx, menu.Options{Kitchen: menu.File(filepath.Join(folder, "kitchen.yaml")), OnHand: menu.File(filepath.Join(folder, "on-hand.csv")), From: from, Days: 7, Now: from})
	if err == nil && w == nil {
		err = faults
	}
	if err != nil {
		return err
	}
	entries, err := weektest.Written(ctx, w)
	for _, e := range entries {
		a, err := s.post(ctx, "writer", "/write", url.Values{"text": {e.Text}, "at": {e.At.Format(logbook.Minutes)}, "again": {fmt.Sprint(rand.Int64())}, "sure": {"yes"}})
		if err != nil {
			return err
		}
		if a.status != http.StatusSeeOther {
			return fmt.Errorf("%s: status %d", e.Text, a.status)
		}
	}
	fmt.Printf("the log book has %d entries\n", len(entries))
	return err
}

// write writes an entry as a form does, and looks at the page that it leads to.
func (s *served) write(ctx context.Context, l *load, text string) error {
	a, err := s.post(ctx, "writer", "/write", url.Values{"text": {text}, "back": {"/buy"}, "again": {fmt.Sprint(rand.Int64())}, "sure": {"yes"}})
	if err != nil {
		return err
	}
	if a.status != http.StatusSeeOther {
		return fmt.Errorf("status %d", a.status)
	}
	l.add("(write)", a.took)
	to := a.header.Get("Location")
	if a, err = s.get(ctx, "writer", to); err != nil {
		return err
	}
	l.add("(after a write)", a.took)
	if words := strings.Fields(text); a.status != http.StatusOK || !strings.Contains(a.body, words[0]) || !strings.Contains(a.body, words[len(words)-1]) {
		said := regexp.MustCompile(`(?s)<main.*`).FindString(a.body)
		said = strings.Join(strings.Fields(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(said, " ")), " ")
		return fmt.Errorf("%s does not tell of the entry: status %d: %.200s", to, a.status, said)
	}
	return nil
}

// tell says how long each page took, and what went wrong.
func (l *load) tell() {
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	var pages, thumb []time.Duration
	fmt.Printf("%-34s %8s %8s %8s %8s\n", "page", "number", "p50 ms", "p99 ms", "most ms")
	row := func(page string, took []time.Duration) {
		slices.Sort(took)
		at := func(share float64) float64 { return ms(took[min(len(took)-1, int(share*float64(len(took))))]) }
		fmt.Printf("%-34s %8d %8.1f %8.1f %8.1f\n", page, len(took), at(0.5), at(0.99), at(1))
	}
	for _, page := range slices.Sorted(maps.Keys(l.took)) {
		row(page, l.took[page])
		if page[0] == '/' {
			pages = append(pages, l.took[page]...)
		}
		if slices.Contains(atTheThumb, page) {
			thumb = append(thumb, l.took[page]...)
		}
	}
	row("all pages", pages)
	row("those at the thumb", thumb)
	for _, fault := range slices.Sorted(maps.Keys(l.faults)) {
		fmt.Printf("%6d times: %s\n", l.faults[fault], fault)
	}
}

package main

// Nights played from a script, in kitchens of their own: after one entry in three all commands and the page agree on what there is now.

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/cmd/kettletree/board"
	"kettletree/menu"
	"kettletree/menu/clock"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/rescue"
)

func TestNights(t *testing.T) {
	files, err := filepath.Glob("testdata/night/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			a, err := txtar.ParseFile(file)
			require.NoError(t, err)
			n := &night{T: t, asks: rand.IntN(3), kitchen: filepath.Join(t.TempDir(), "kitchen.yaml")}
			require.NoError(t, os.WriteFile(n.kitchen, a.Files[0].Data, 0o600))
			for line := range strings.Lines(string(a.Files[1].Data)) {
				if n.write(strings.TrimSpace(line)); testing.Short() && n.entries == 25 {
					return // a night with a pot on is enough for the race detector
				}
			}
			require.GreaterOrEqual(t, n.entries, 60)
		})
	}
}

// night is one that is being played.
type night struct {
	*testing.T
	kitchen string
	now     time.Time
	line    string
	entries int
	asks    int // which of three entries everything is asked after; each night it is another
	sold    int // portions that were sold, as far as they stand
	last    int // of them, those of the last entry
}

// write writes an entry down, "2026-11-24 22:05 lit night kettle", and asks everything after one in three.
func (n *night) write(line string) {
	n.line = line
	stamp, entry := line[:len("2026-11-24 22:05")], line[len("2026-11-24 22:05")+1:]
	n.Setenv(clockName, stamp)
	var err error
	n.now, err = time.Parse(logbook.Minutes, stamp)
	require.NoError(n, err)
	if entry == "undo" {
		var l logbook.Log
		n.ask(&l, "log", n.kitchen, "show", "--last", "1")
		entry = fmt.Sprintf("undo %d", l.Entries[0].Entry)
		n.sold -= n.last
	}
	n.last = 0
	words := strings.Fields(entry)
	if words[0] == "sold" {
		n.last, err = strconv.Atoi(words[1])
		require.NoError(n, err)
		n.sold += n.last
	}
	r := runIn(n, nil, append([]string{"log", n.kitchen, "--yes"}, words...)...)
	require.Zero(n, r.code, "%s\n%s", line, r.stderr)
	if n.entries++; n.entries%3 == n.asks { // what an entry has gone wrong stands on for a while
		n.agree()
	}
}

// ask asks a question as JSON; ok is false when it has no answer.
func (n *night) ask(into any, args ...string) (ok bool) {
	r := runIn(n, nil, append(args, "--json")...)
	if r.code != 0 {
		return false
	}
	require.NoError(n, json.Unmarshal([]byte(r.stdout), into), "%s: %v\n%s", n.line, args, r.stdout)
	return true
}

// agree compares the answers.
func (n *night) agree() {
	today := n.now.Format(time.DateOnly)
	var w rescue.WhatIf
	require.True(n, n.ask(&w, "whatif", n.kitchen, "--days", "1"), n.line)
	served := map[string]map[string][2]int{} // by service and dish: what is sold, of how many
	var services []string
	for _, d := range w.Dishes {
		if d.Date != today {
			continue
		}
		if served[d.Service] == nil {
			served[d.Service] = map[string][2]int{}
			services = append(services, d.Service)
		}
		served[d.Service][d.Name] = [2]int{d.Before, d.Forecast}
	}

	// The next service: tonight may give what is scarce to others, but it sells all that is asked for exactly when whatif does.
	for _, service := range services[:min(1, len(services))] {
		short := false
		for _, of := range served[service] {
			short = short || of[0] < of[1]
		}
		var tonight plan.Tonight
		if !n.ask(&tonight, "tonight", n.kitchen, "--at", service) {
			continue // nothing is asked for any more
		}
		less := false
		for _, s := range tonight.Sell {
			if !s.Special {
				assert.Equal(n, served[service][s.Dish][1], s.Forecast, "%s: tonight at %s, %s", n.line, service, s.Dish)
				less = less || s.Portions < s.Forecast
			}
		}
		assert.Equal(n, short, less, "%s: at %s whatif sells %v, tonight %v", n.line, service, served[service], tonight.Sell)
	}

	// What is under way is the same in the list of what is on hand and in the timetable.
	var held logbook.OnHand
	require.True(n, n.ask(&held, "on-hand", n.kitchen), n.line)
	var table clock.Timetable
	require.True(n, n.ask(&table, "clock", n.kitchen, "--days", "2"), n.line)
	for _, pot := range held.Pots {
		for _, out := range pot.Out {
			found := slices.ContainsFunc(table.Rows, func(r clock.Row) bool {
				return r.Step == pot.Step && r.Do == clock.TakeOut && r.At == out.At && slices.ContainsFunc(r.Out, func(p clock.Part) bool {
					return p.Item == out.Item && abs(p.Amount-out.Amount) < 1e-6*out.Amount
				})
			})
			assert.True(n, found, "%s: the timetable does not take %v out of %s", n.line, out, pot.Step)
		}
	}

	if strings.HasPrefix(n.line[len("2026-11-24 22:05 "):], "sold") {
		n.written(today)
		n.page(services, served)
		return
	}

	// What came out today and was marked has a label that names its lot as the log book does.
	var labels clock.Labels
	require.True(n, n.ask(&labels, "labels", n.kitchen, "--days", "1", "--all"), n.line)
	for _, it := range held.Items {
		for _, l := range it.Lots {
			if _, counted := strconv.Atoi(l.Lot); it.Bought || l.Made != today || l.Lot == "" || counted == nil {
				continue // what a count found was not made
			}
			assert.True(n, slices.ContainsFunc(labels.Labels, func(x clock.Label) bool { return x.Item == it.Item && x.Lot == l.Lot }),
				"%s: no label for lot %s of %s", n.line, l.Lot, it.Item)
		}
	}

	n.page(services, served)
}

// written holds that what was sold is what was written down as sold.
func (n *night) written(today string) {
	var was logbook.AsItWas
	if n.ask(&was, "cost", n.kitchen, "--as-it-was", "--from", "2026-11-23") {
		sold := 0
		for _, d := range was.Items {
			sold += d.Sold
		}
		assert.Equal(n, n.sold, sold, "%s: as it was on %s", n.line, today)
	}
}

func abs(x float64) float64 { return max(x, -x) }

// row is a dish on the page of today.
var row = regexp.MustCompile(`(?s)<strong>([^<]+)</strong>.{0,600}?<p class="figure"><b>([0-9]+)</b> of ([0-9]+)</p>`)

// page compares what the board's first page says of the next two services.
func (n *night) page(services []string, served map[string]map[string][2]int) {
	if len(services) == 0 {
		return
	}
	b, err := board.New(n.Context(), board.Config{Clock: func() (time.Time, error) { return n.now, nil },
		Until:   func(time.Duration) time.Time { return time.Time{} },
		Options: menu.Options{Kitchen: menu.File(n.kitchen), LogBook: logbook.Path(n.kitchen)}})
	require.NoError(n, err)
	w, asked := httptest.NewRecorder(), httptest.NewRequestWithContext(n.Context(), http.MethodGet, "http://localhost/?days=1", nil)
	asked.RemoteAddr = "127.0.0.1:40000"
	b.Handler().ServeHTTP(w, asked)
	require.Equal(n, http.StatusOK, w.Code, "%s\n%s", n.line, w.Body)
	sections := strings.Split(w.Body.String(), `<section aria-labelledby="service-`)[1:]
	require.NotEmpty(n, sections, n.line)
	for i, section := range sections[:min(len(sections), len(services))] {
		for _, m := range row.FindAllStringSubmatch(section, -1) {
			if of, ok := served[services[i]][m[1]]; ok {
				assert.Equal(n, []string{strconv.Itoa(of[0]), strconv.Itoa(of[1])}, m[2:], "%s: Today, %s at %s", n.line, m[1], services[i])
			}
		}
	}
}

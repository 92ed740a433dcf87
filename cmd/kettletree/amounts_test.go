package main

// Amounts as a cook reads them: no answer has finer figures than a kitchen's scale, and none is in a unit of the other system where the
// file asks for one. The steps of the scale are common practice, no source.

import (
	"html"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/measure"
)

var (
	// spokenAmount is a weight or volume in a text: "1,250 g", "2.5 fl oz". Strength ("g h/L") and what a unit costs are none.
	spokenAmount = regexp.MustCompile(`(?:^|[\s(>*×])([\d,]*\.?\d+)[ \x{a0}](kg|g|mL|L|lb|oz|fl oz|qt|gal)(?:[^\w/]|$)`)
	spokenCount  = regexp.MustCompile(`(?:^|[\s(>*])(\d*\.\d{3,}) ([a-z]+)`)
	spokenPieces = regexp.MustCompile(`(?:^|[\s(>*])(\d+\.\d+) each\b`)
	otherSystem  = map[string]*regexp.Regexp{
		"metric": regexp.MustCompile(`\b(lb|oz|fl oz|qt|gal)\b`),
		"us":     regexp.MustCompile(`[\d.][ \x{a0}](kg|g|mL|L)\b|/(kg|g|mL|L)\b`),
	}
	pack        = regexp.MustCompile(`\d [x×] [\d.]+ (kg|g|mL|L|lb|oz|qt)\b( \([\d.]+ (kg|g|mL|L|lb|oz|qt)\))?`) // of these, what stands on it
	withoutTags = regexp.MustCompile(`(?s)<style.*?</style>|<script.*?</script>|<[^>]*>`)
	plainest    = strings.NewReplacer(`\`, "", "**", "", ",", "")
)

// tooFine are the amounts of a text that no scale shows.
func tooFine(text string) (list []string) {
	for _, m := range spokenAmount.FindAllStringSubmatch(text, -1) {
		n, _, err := measure.Number(m[1])
		u, unknown := measure.UnitNamed(m[2])
		if err != nil || unknown != nil || measure.FormatNumber(measure.Quantity{Amount: n, Unit: u}.OnScale().Amount) != measure.FormatNumber(n) {
			list = append(list, strings.TrimSpace(m[0]))
		}
	}
	for _, m := range spokenCount.FindAllStringSubmatch(text, -1) {
		if _, err := measure.UnitNamed(m[2]); err != nil {
			list = append(list, strings.TrimSpace(m[0]))
		}
	}
	for _, m := range spokenPieces.FindAllStringSubmatch(text, -1) {
		if n, _, err := measure.Number(m[1]); err != nil || n != measure.Pieces(n) {
			list = append(list, strings.TrimSpace(m[0]))
		}
	}
	return list
}

func TestTooFine(t *testing.T) {
	for text, want := range map[string][]string{
		"450 g broth, 1.25 kg bones":    nil,
		"take 453.6 g broth and 2.25 L": {"453.6 g"},
		"1.234 kg bones":                {"1.234 kg"},
		"0.333 lemon, ¼ lemon":          {"0.333 lemon"},
		"3.10/kg, 45 g h/L":             nil,
		"3.02 lb":                       {"3.02 lb"},
		"0.75 each, 36.3 each, 12 each": {"36.3 each"},
	} {
		assert.Equal(t, want, tooFine(text), text)
	}
}

func TestAmountsAsAScaleShowsThem(t *testing.T) {
	oneAfterAnother(t)
	t.Setenv("KETTLETREE_NOW", "2026-11-23 08:00")
	examples := copyOfExamples(t)
	all := []string{"clock", "clock --on tue", "buy", "labels", "whatif", "specials"}
	for name, more := range map[string][]string{
		"first-pot":     {"plan", "map", "log --yes counted 2.3456_kg_pulled_chicken", "on-hand", "guide --markdown"},
		"three-kettles": {"guide --markdown", "clock --on tue --for night_cook", "clock --on tue --html sheets.html", "tonight --at dinner --from 2026-11-24 --on-hand on-hand.csv", "clock --ready fri_dinner"},
		"fish-house":    {"guide --markdown", "clock --on tue --station stock_pot", "whatif --short live_lobster@tue=40%", "whatif --lose fillet_cod@thu"},
	} {
		file := filepath.Join(examples, name, "kitchen.yaml")
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, units := range []string{"as written", "metric", "us"} {
			require.NoError(t, os.WriteFile(file, append([]byte("units: "+units+"\n"), src...), 0o666))
			for _, command := range append(all, more...) {
				args := strings.Fields(command)
				for n := range args {
					if args[n] = strings.ReplaceAll(args[n], "_", " "); args[n] == "on-hand.csv" || args[n] == "sheets.html" {
						args[n] = filepath.Join(examples, name, args[n])
					}
				}
				args = append(args[:1:1], append([]string{filepath.Dir(file)}, args[1:]...)...)
				if book := !strings.HasPrefix(command, "log ") && command != "on-hand" && !strings.HasPrefix(command, "tonight"); book {
					args = append(args, "--from", "2026-11-23")
				}
				got := runIn(t, nil, args...)
				if !assert.Zero(t, got.code, "%s: %s: %s", name, command, got.stderr) || strings.HasPrefix(command, "log ") {
					continue
				}
				if strings.Contains(command, "sheets.html") {
					sheets, err := os.ReadFile(filepath.Join(examples, name, "sheets.html"))
					require.NoError(t, err)
					got.stdout = string(sheets)
				}
				text := plainest.Replace(withoutTags.ReplaceAllString(got.stdout, " "))
				assert.Empty(t, tooFine(pack.ReplaceAllString(text, "")), "%s, %s: %s", name, units, command)
				if other := otherSystem[units]; other != nil {
					assert.Empty(t, other.FindAllString(pack.ReplaceAllString(text, ""), -1), "%s, %s: %s", name, units, command)
				}
			}
		}
	}
}

var (
	asTyped     = regexp.MustCompile(`(?s)<q[ >].*?</q>|&#34;.*?&#34;|“[^”]*”`)                  // how to write it in the file or the log book
	scaleToggle = regexp.MustCompile(`<a class="button"[^>]*href="/buy\?scale=[^>]*>[a-z]+</a>`) // what the scale at the market shows
)

// The pages of the board, as they are read: not what was typed, which stands as it was, and not derivations (/why, /origins), which have the
// figures behind, as "why" and "trace" do.
func TestAmountsOnTheBoard(t *testing.T) {
	for _, x := range []struct{ example, units, counted, pages string }{
		{"first-pot", "us", "5.15 lb pulled chicken", "/ /map?lose=poach+chickens@wed /rescue?lose=poach+chickens@wed /sheets?on=wed ALL"},
		{"fish-house", "us", "5.15 lb salmon spread", "/ /buy /clock /stock-take /on-hand"},
		{"three-kettles", "metric", "2.35 kg pulled hen", "/ /buy /clock /labels"},
	} {
		folder := filepath.Join(copyOfExamples(t), x.example)
		file := filepath.Join(folder, "kitchen.yaml")
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, append([]byte("units: "+x.units+"\n"), src...), 0o666))
		o := serveFolder(t, folder)
		status, _, _ := o.send(http.MethodPost, "/write", url.Values{"text": {"counted " + x.counted}}, nil)
		require.Equal(t, 200, status)
		pages := strings.Fields(x.pages)
		if last := len(pages) - 1; pages[last] == "ALL" {
			pages = pages[:last]
			_, index, _ := o.get("/more")
			for _, m := range regexp.MustCompile(`href="(/[a-z-]*)"`).FindAllStringSubmatch(index, -1) {
				if !slices.Contains([]string{"/draw", "/kitchen", "/recipes", "/prices", "/why", "/origins", "/trace"}, m[1]) {
					pages = append(pages, m[1])
				}
			}
			require.Greater(t, len(pages), 20)
		}
		for _, page := range pages {
			status, text, _ := o.get(page)
			if !assert.Less(t, status, 500, page) || status != 200 {
				continue // a page about one thing, without its name
			}
			text = withoutTags.ReplaceAllString(scaleToggle.ReplaceAllString(asTyped.ReplaceAllString(text, " "), ""), " ")
			text = pack.ReplaceAllString(plainest.Replace(html.UnescapeString(text)), "")
			assert.Empty(t, tooFine(text), "%s, %s: %s", x.example, x.units, page)
			assert.Empty(t, otherSystem[x.units].FindAllString(text, -1), "%s, %s: %s", x.example, x.units, page)
		}
	}
}

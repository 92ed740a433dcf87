//go:build harness

package main

// causes: a pie shop's kettle, measured twelve times, with a cause of its colour hidden in what is logged, and again without one; each log book is
// written line by line with the program and asked with "taste" and on the board's page. It tells how often the cause was named, how often something
// else was beside it, how often something was where there is nothing, and whether page and command said the same.
//
//	go run -tags harness ./cmd/harness causes [-n 20] [-batches 12] [-seed N]

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"html"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
)

func init() { harnesses["causes"] = causes }

const pieShop = `kitchen: Quarry Road Pies
money: USD
services: {dinner: 17:00-22:00}
bought:
  oxtail: {price: 9/kg, keeps: 9 days, raw: yes}
  marrow bones: {price: 3/kg, keeps: 30 days}
  neck bones: {price: 2/kg, keeps: 30 days}
  smoked hock: {price: 6/kg, keeps: 30 days, strength: 1}
  onion: {price: 1.2/kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  gravy kettle:
    starts: "06:00"
    takes: ["12 kg oxtail", "8 kg marrow bones or 10 kg neck bones", "2 kg smoked hock, in at 2 h", 4 kg onion, 60 L water]
    gives: ["45 L pie gravy, out at 8 h"]
    cooks through: yes
    batches: {daily: 1}
    measures: {colour: "1-5, aim 3-4", salt: 0.9-1.1%, clarity: 1-5}
    handling: {to the boil: min, rolling boil: min, skims: times, cook: words}
made:
  pie gravy: {keeps: 5 days, density: 1.01 kg/L}
dishes:
  pie: {price: 14, takes: [200 mL pie gravy], sells: 60}
`

// pieThings are what can be the cause, each with what the program says of it, any of which will do: what stays in longer is drawn from more.
var pieThings = []struct {
	name  string
	says  []string
	words bool
}{
	{"amount against the card", []string{"the more oxtail goes in"}, false},
	{"supplier", []string{"with oxtail from "}, true},
	{"age", []string{"the older oxtail is when it goes in"}, false},
	{"another choice", []string{"goes in for marrow bones"}, true},
	{"strength", []string{"the more smoked hock goes in", "the more is drawn from smoked hock"}, false},
	{"hours of the strong thing", []string{"the later smoked hock goes in", "the longer smoked hock stays in", "the more is drawn from smoked hock"}, false},
	{"time to the boil", []string{"with more minutes to the boil"}, false},
	{"minutes of rolling boil", []string{"with more minutes rolling boil"}, false},
	{"skims", []string{"with more skims"}, false},
	{"litres out", []string{"the more pie gravy comes out"}, false},
	{"who cooked", []string{"with cook "}, true},
}

func causes(args []string) error {
	flags := flag.NewFlagSet("causes", flag.ContinueOnError)
	number := flags.Int("n", 20, "how many log books with a cause, and as many without")
	batches := flags.Int("batches", 12, "how many batches each")
	seed := flags.Uint64("seed", rand.Uint64(), "of the draws")
	if err := flags.Parse(args); err != nil {
		return err
	}
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "harness")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	program := os.Getenv("KETTLETREE")
	if program == "" {
		if program, err = built(ctx, dir); err != nil {
			return err
		}
	}
	found, beside, none, apart := 0, 0, 0, 0
	for n := range 2 * *number {
		folder := filepath.Join(dir, fmt.Sprint(n))
		cause := -1
		if n%2 == 0 {
			cause = n / 2 % len(pieThings)
		}
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(pieShop), 0o644); err != nil {
			return err
		}
		ask := func(now string, args ...string) (string, error) {
			c := exec.CommandContext(ctx, program, args...)
			var out, errs bytes.Buffer
			c.Dir, c.Stdout, c.Stderr = folder, &out, &errs
			c.Env = append(os.Environ(), "KETTLETREE_NOW="+now)
			if err := c.Run(); err != nil {
				return "", fmt.Errorf("%v: %w\n%s", args, err, errs.String())
			}
			return out.String(), nil
		}
		for at, text := range pieBook(rand.New(rand.NewPCG(*seed, uint64(n))), *batches, cause) {
			if _, err := ask(text[0], "log", "--yes", text[1]); err != nil {
				return fmt.Errorf("line %d: %w", at, err)
			}
		}
		const now = "2026-09-30 20:00"
		told, err := ask(now, "taste")
		if err != nil {
			return err
		}
		said := pieSays.FindAllString(strings.Join(strings.Fields(told), " "), -1)
		page, err := pieShown(ctx, program, folder, now)
		if err != nil {
			return err
		}
		for _, s := range said {
			if !strings.Contains(page, s) {
				apart++
				fmt.Printf("the page does not say: %s\n", s)
			}
		}
		if shown := pieSays.FindAllString(page, -1); len(said) == 0 && len(shown) > 0 {
			apart++
			fmt.Printf("only the page says: %v\n", shown)
		}
		named, other := false, 0
		for _, s := range said {
			is := cause >= 0 && strings.HasPrefix(s, "Colour ") && hasAny(s, pieThings[cause].says)
			if named = named || is; !is {
				other++
			}
		}
		switch {
		case cause < 0 && len(said) == 0:
			none++
		case cause < 0:
			fmt.Printf("without a cause: %v\n", said)
		case named:
			found++
		}
		if cause >= 0 {
			if other > 0 {
				beside++
			}
			fmt.Printf("%-26s named %-5v beside it: %d\n", pieThings[cause].name, named, other)
		}
	}
	fmt.Printf("seed %d: of %d log books of %d batches with a cause it was named in %d, something else beside it in %d; of %d without one nothing was named in %d; page and command differed %d times\n",
		*seed, *number, *batches, found, beside, *number, none, apart)
	return nil
}

// pieSays is a finding as it is said.
var pieSays = regexp.MustCompile(`(?:Colour|Salt|Clarity) is (?:higher|lower) [^(]*\(`)

func hasAny(s string, parts []string) bool {
	for _, part := range parts {
		if strings.Contains(s, part) {
			return true
		}
	}
	return false
}

// pieBook is a log book: each line behind its moment. What is no cause varies by itself.
func pieBook(r *rand.Rand, batches, cause int) (lines [][2]string) {
	first := time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC)
	halves := make([][]int, len(pieThings)) // of words: as many of each
	for i := range halves {
		halves[i] = r.Perm(batches)
	}
	for n := range batches {
		made := make([]float64, len(pieThings))
		for i, t := range pieThings {
			if made[i] = r.Float64(); t.words {
				made[i] = float64(halves[i][n] % 2)
			}
		}
		made[2] = math.Round(2*made[2]) / 2 // of age, whole days are logged
		dark := r.NormFloat64()
		if cause >= 0 {
			dark = 3.4*(made[cause]-0.5) + 0.35*r.NormFloat64()
		}
		day := first.AddDate(0, 0, 2*n)
		at := func(hours float64, text string) {
			lines = append(lines, [2]string{day.Add(time.Duration(math.Round(hours*12)) * 5 * time.Minute).Format("2006-01-02 15:04"), text})
		}
		pick := func(i int, a, b string) string {
			if made[i] > 0.5 {
				return b
			}
			return a
		}
		oxtail := 10 + 4*made[0]
		at(5-48*made[2], fmt.Sprintf("received %.1f kg oxtail for 100 from %s", oxtail, pick(1, "hill farm", "river farm")))
		at(6, fmt.Sprintf("lit gravy kettle: %.1f kg oxtail, %s, 4 kg onion, 60 L water", oxtail, pick(3, "8 kg marrow bones", "10 kg neck bones")))
		at(8+2*made[5], fmt.Sprintf("put in %.2f kg smoked hock of gravy kettle", 1.5+made[4]))
		at(14, fmt.Sprintf("out %.1f L pie gravy of gravy kettle", 40+10*made[9]))
		at(15, fmt.Sprintf("measured gravy kettle: colour %.0f, salt %.2f, clarity %d, to the boil %.0f, rolling boil %.0f, skims %.0f, cook %s",
			max(1, min(5, math.Round(3+dark))), 1+0.1*r.NormFloat64(), 2+r.IntN(4), 50+40*made[6], 30*made[7], 2+6*made[8], pick(10, "Ana", "Bo")))
	}
	// As it happened: what is written before another can't have come after it, so an older delivery that was written last took hours off the batch before it.
	slices.SortStableFunc(lines, func(a, b [2]string) int { return strings.Compare(a[0], b[0]) })
	return lines
}

// pieShown is the text of the board's page.
func pieShown(ctx context.Context, program, folder, now string) (string, error) {
	s, err := serveIn(ctx, program, folder, now)
	if err != nil {
		return "", err
	}
	defer s.close()
	a, err := s.get(ctx, "harness", "/taste")
	if err != nil {
		return "", err
	}
	return strings.Join(strings.Fields(html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(a.body, " "))), " "), nil
}

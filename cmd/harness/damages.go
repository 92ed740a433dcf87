//go:build harness

package main

// damages: a log book of some hundred entries is damaged a thousand times, by a flipped bit, a cut or a zeroed page, and asked each time:
// its export, what is on hand, what it all cost, a what-if, the trace of a lot, a check. Each answer is the same as before, or the damage is
// told; none is another, and none panics.

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
)

func init() { harnesses["damages"] = damages }

// damageAsks are what is asked of a damaged log book.
var damageAsks = [][]string{{"log", "export"}, {"on-hand"}, {"cost", "--as-it-was"}, {"whatif", "--lose", "poach chickens@sat"},
	{"trace", "--lot", "A3"}, {"log", "check"}}

func damages(args []string) error {
	flags := flag.NewFlagSet("damages", flag.ContinueOnError)
	most := flags.Int("n", 1000, "how many times it is damaged")
	days := flags.Int("days", 60, "how many days are logged")
	if err := flags.Parse(args); err != nil {
		return err
	}
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "harness")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	program, err := built(ctx, dir)
	if err != nil {
		return err
	}
	sound := filepath.Join(dir, "kitchen")
	if err := os.CopyFS(sound, os.DirFS(filepath.Join("examples", "first-pot"))); err != nil {
		return err
	}
	ask := func(folder, now string, args ...string) (string, string, error) {
		c := exec.CommandContext(ctx, program, args...)
		var out, errs bytes.Buffer
		c.Dir, c.Stdout, c.Stderr = folder, &out, &errs
		c.Env = append(os.Environ(), "KETTLETREE_NOW="+now)
		err := c.Run()
		return out.String(), errs.String(), err
	}

	// The log book: some weeks of a kitchen.
	for day := range *days {
		date := fmt.Sprintf("2026-%02d-%02d", 9+day/28, 1+day%28)
		for n, text := range []string{fmt.Sprintf("received 12 each chicken for 100.80 from farm lot A%d", day),
			"cooked poach chickens x2: 8 each chicken, 18 L water gives 4.1 kg pulled chicken, 14.6 L chicken stock", "sold 17 chicken soup at lunch",
			"binned 100 g pulled chicken, dropped", "counted 2 each chicken"} {
			if out, errs, err := ask(sound, fmt.Sprintf("%s %02d:00", date, 8+2*n), "log", text, "--yes"); err != nil {
				return fmt.Errorf("log %s: %w\n%s%s", text, err, out, errs)
			}
		}
	}
	now := fmt.Sprintf("2026-%02d-%02d 21:00", 9+(*days-1)/28, 1+(*days-1)%28)
	want := make([]string, len(damageAsks))
	for n, q := range damageAsks {
		out, errs, err := ask(sound, now, q...)
		if err != nil {
			return fmt.Errorf("%v: %w\n%s", q, err, errs)
		}
		want[n] = out
	}
	file, err := os.ReadFile(filepath.Join(sound, "kitchen.logbook"))
	if err != nil {
		return err
	}

	var mu sync.Mutex
	var all sync.WaitGroup
	told, same, next := 0, 0, 0
	var faults []string
	for w := range runtime.NumCPU() {
		folder := filepath.Join(dir, fmt.Sprint("damaged ", w))
		if err := os.CopyFS(folder, os.DirFS(filepath.Join("examples", "first-pot"))); err != nil {
			return err
		}
		all.Go(func() {
			for {
				mu.Lock()
				next++
				over := next > *most
				mu.Unlock()
				if over {
					return
				}
				harmed, how := harmedFile(file)
				for n, q := range damageAsks {
					at := filepath.Join(folder, "kitchen.logbook")
					_ = os.Remove(at + "-wal")
					_ = os.Remove(at + "-shm")
					err := os.WriteFile(at, harmed, 0o600)
					out, errs, failed := ask(folder, now, q...)
					mu.Lock()
					switch {
					case err != nil:
						faults = append(faults, err.Error())
					case strings.Contains(errs, "goroutine ") || strings.Contains(errs, "panic") || strings.Contains(errs, "sql: "):
						faults = append(faults, fmt.Sprintf("%v: %s: %s", q, how, errs))
					case failed != nil:
						told++
					case out == want[n]:
						same++
					default:
						faults = append(faults, fmt.Sprintf("%v: %s: another answer", q, how))
					}
					mu.Unlock()
				}
			}
		})
	}
	all.Wait()
	fmt.Printf("%d bytes, damaged %d times: told %d times, the same answer %d times, %d faults\n", len(file), *most, told, same, len(faults))
	if len(faults) > 0 {
		return fmt.Errorf("%s", strings.Join(faults[:min(len(faults), 20)], "\n"))
	}
	return nil
}

// harmedFile damages a file in some way, and says how.
func harmedFile(file []byte) (harmed []byte, how string) {
	harmed = bytes.Clone(file)
	const page = 4096
	switch rand.IntN(4) {
	case 0:
		at := rand.IntN(len(file))
		return harmed[:at], fmt.Sprintf("cut at %d", at)
	case 1:
		at := rand.IntN(len(file)/page) * page
		clear(harmed[at : at+page])
		return harmed, fmt.Sprintf("page at %d zeroed", at)
	}
	at, bit := rand.IntN(len(file)), rand.IntN(8)
	harmed[at] ^= 1 << bit
	return harmed, fmt.Sprintf("bit %d flipped at %d", bit, at)
}

//go:build harness

package main

// kills: eight writers log at once, each entry by a program of its own, and a thousand of them are killed at some moment. Nothing
// that was acknowledged is lost, nothing is there twice or torn, and the chain is whole.

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

func init() { harnesses["kills"] = kills }

func kills(args []string) error {
	flags := flag.NewFlagSet("kills", flag.ContinueOnError)
	most := flags.Int64("n", 1000, "how many are killed")
	writers := flags.Int("writers", 8, "how many write at once")
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
	if err := os.CopyFS(filepath.Join(dir, "kitchen"), os.DirFS(filepath.Join("examples", "first-pot"))); err != nil {
		return err
	}
	var killed, refused, next atomic.Int64
	var all sync.WaitGroup
	var mu sync.Mutex
	acknowledged, begun := map[string]bool{}, map[string]bool{}
	failures := make(chan error, *writers)
	for range *writers {
		all.Go(func() {
			for killed.Load() < *most {
				lot := fmt.Sprintf("K%d", next.Add(1))
				mu.Lock()
				begun[lot] = true
				mu.Unlock()
				log := exec.Command(program, "log", "received", "1 each chicken lot "+lot, "--yes")
				log.Dir = filepath.Join(dir, "kitchen")
				log.Env = append(os.Environ(), "KETTLETREE_NOW=2026-11-24 15:00")
				var out, errs bytes.Buffer
				log.Stdout, log.Stderr = &out, &errs
				if err := log.Start(); err != nil {
					failures <- err
					return
				}
				timer := time.AfterFunc(time.Duration(rand.IntN(2000))*time.Millisecond, func() { _ = log.Process.Kill() })
				err := log.Wait()
				timer.Stop()
				switch {
				case err == nil || strings.Contains(out.String(), lot): // told, though it was killed behind that
					mu.Lock()
					acknowledged[lot] = true
					mu.Unlock()
				case log.ProcessState.ExitCode() == -1:
					killed.Add(1)
				case strings.Contains(errs.String(), "another program has held the log book"):
					refused.Add(1)
				default:
					failures <- fmt.Errorf("%s: %w\n%s", lot, err, errs.String())
					return
				}
			}
		})
	}
	all.Wait()
	select {
	case err := <-failures:
		return err
	default:
	}

	// What is there now.
	ask := func(args ...string) ([]byte, error) {
		c := exec.Command(program, args...)
		c.Dir, c.Stderr = filepath.Join(dir, "kitchen"), os.Stderr
		return c.Output()
	}
	said, err := ask("log", "check")
	if err != nil {
		return fmt.Errorf("log check: %w\n%s", err, said)
	}
	export, err := ask("log", "export", "--json")
	if err != nil {
		return err
	}
	there := map[string]int{}
	for line := range strings.Lines(string(export)) {
		var e struct {
			Lot   string `json:"lot"`
			Gives []struct{ Amount float64 }
		}
		if err := json.Unmarshal([]byte(line), &e); err != nil {
			return err
		}
		if there[e.Lot]++; there[e.Lot] > 1 || !begun[e.Lot] || len(e.Gives) != 1 || e.Gives[0].Amount != 1 {
			return fmt.Errorf("not as it was written: %s", line)
		}
	}
	for lot := range acknowledged {
		if there[lot] == 0 {
			return fmt.Errorf("%s was acknowledged, and is not there", lot)
		}
	}
	fmt.Printf("%d killed, %d acknowledged, %d there, %d refused as the log book was held; %s", killed.Load(), len(acknowledged), len(there),
		refused.Load(), said)
	return nil
}

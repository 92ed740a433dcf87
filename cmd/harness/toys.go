//go:build harness

package main

// toys plans small kitchens drawn at random, the same ones each time, and says which were not searched to the end.
//
//	go run -tags harness ./cmd/harness toys [NUMBER]

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"

	"pgregory.net/rapid"

	"kettletree/menu/plan"
	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

func init() { harnesses["toys"] = toys }

func toys(args []string) error {
	number := 200
	if len(args) > 0 {
		var err error
		if number, err = strconv.Atoi(args[0]); err != nil {
			return err
		}
	}
	drawn := rapid.Custom(func(t *rapid.T) *week.Week {
		w, _ := weektest.AnyWeek(t)
		return w
	})
	planned, open, began := 0, 0, time.Now()
	for n := range number {
		w, at := drawn.Example(n), time.Now()
		p, err := plan.Make(context.Background(), w, plan.Options{})
		if _, clash := errors.AsType[*plan.Clash](err); clash {
			continue // its wishes can't be met
		}
		if err != nil {
			return fmt.Errorf("kitchen %d: %w", n, err)
		}
		if planned++; p.Ended != solve.Optimal {
			open++
			fmt.Printf("kitchen %d: not to the end in %.1f s, %d days\n", n, time.Since(at).Seconds(), w.Days)
		}
	}
	fmt.Printf("%d planned in %.0f s, %d of them not searched to the end\n", planned, time.Since(began).Seconds(), open)
	return nil
}

//go:build harness

package main

// maps asks the board for 20,000 maps that nobody asked for before, and says how much memory it holds.
//
//	go run -tags harness ./cmd/harness maps [NUMBER]

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"time"
)

func init() { harnesses["maps"] = maps20000 }

// most is what the board may hold, in MB.
const mostMegabytes = 150

func maps20000(args []string) error {
	number := 20_000
	if len(args) > 0 {
		var err error
		if number, err = strconv.Atoi(args[0]); err != nil {
			return err
		}
	}
	ctx := context.Background()
	s, err := serve(ctx, "three-kettles", "2026-11-24 09:00")
	if err != nil {
		return err
	}
	defer s.close()
	began := time.Now()
	for n := range number {
		a, err := s.get(ctx, "reader", fmt.Sprintf("/map?whole=yes&lose=night+kettle@2026-11-24=%d.%02d%%25", n/100%99+1, n%100)+[]string{"", "&by=weight", "&by=cost"}[n/9900%3])
		if err != nil {
			return err
		}
		if a.status != http.StatusOK {
			return fmt.Errorf("map %d: status %d\n%s", n, a.status, a.body)
		}
		if n%(max(number/10, 1)) == 0 || n == number-1 {
			now, most := s.megabytes()
			fmt.Printf("%6d maps: %4d MB, at most %4d MB, %6.1f s of processor time, %s\n", n+1, now, most, s.seconds(), time.Since(began).Round(time.Second))
		}
	}
	if _, most := s.megabytes(); most > mostMegabytes {
		return fmt.Errorf("the board held %d MB, more than %d", most, mostMegabytes)
	}
	return nil
}

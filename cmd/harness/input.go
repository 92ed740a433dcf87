//go:build harness

package main

// kitchens, lines and tables: mutated kitchens, random command lines and the lists of offices, spoilt. The tests try some dozens of each with
// every run; here it is thousands, and every command has five seconds of processor time.
//
//	go run -tags harness ./cmd/harness kitchens|lines|tables [NUMBER [SEED]]

import (
	"os"
	"os/exec"
)

func init() {
	harnesses["kitchens"] = wild("./cmd/kettletree", "TestWildKitchens", "10000")
	harnesses["lines"] = wild("./cmd/kettletree", "TestWildLines", "10000")
	harnesses["tables"] = wild("./menu/logbook", "TestWildTables", "3000")
}

// wild runs a test over a number of cases, which the first argument may change; a second one is the seed to try again.
func wild(where, test, number string) func([]string) error {
	return func(args []string) error {
		if len(args) > 0 {
			number = args[0]
		}
		line := []string{"test", where, "-run", "^" + test + "$", "-count", "1", "-timeout", "0", "-v", "-wild", number}
		if len(args) > 1 {
			line = append(line, "-wild.seed", args[1])
		}
		c := exec.Command("go", line...)
		c.Stdout, c.Stderr = os.Stdout, os.Stderr
		return c.Run()
	}
}

//go:build harness

// Command harness runs what takes too long for tests, on the program as it is built: go run -tags harness ./cmd/harness NAME. Each
// harness stands in a file of its own, whose comment says what it does.
package main

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
)

// harnesses are all of them, by name; each file adds its own.
var harnesses = map[string]func(args []string) error{}

func main() {
	if len(os.Args) < 2 || harnesses[os.Args[1]] == nil {
		fmt.Fprintln(os.Stderr, "name one of: "+strings.Join(slices.Sorted(maps.Keys(harnesses)), ", "))
		os.Exit(2)
	}
	if err := harnesses[os.Args[1]](os.Args[2:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// Package lawtest says how often the dear laws of the tests are tried.
package lawtest

import (
	"flag"
	"os"
	"strconv"
	"testing"
)

// Few has the laws of a test tried n times, where the usual hundred would keep everybody waiting who runs all tests. Whoever says how
// often, by -rapid.checks or RAPID_CHECKS, has it so. It is not for tests that run in parallel: the number is one for all of them.
func Few(t testing.TB, n int) {
	t.Helper()
	checks := flag.Lookup("rapid.checks")
	if checks == nil {
		t.Fatal("lawtest.Few is for tests with laws of rapid")
	}
	_, said := os.LookupEnv("RAPID_CHECKS")
	flag.Visit(func(f *flag.Flag) { said = said || f.Name == checks.Name })
	if said {
		return
	}
	was := checks.Value.String()
	set := func(to string) {
		if err := checks.Value.Set(to); err != nil { // not flag.Set, after which it would count as said
			t.Fatal(err)
		}
	}
	set(strconv.Itoa(n))
	t.Cleanup(func() { set(was) })
}

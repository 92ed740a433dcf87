package show

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/shop"
)

// TestBuyAddsUp reads the costs on a list as a customer does: the lines add up to their supplier's total, those to the
// day's, and those to the whole, to the cent.
func TestBuyAddsUp(t *testing.T) {
	total := regexp.MustCompile(`(\d[\d,]*)\.(\d\d) USD`)
	cents := func(t *rapid.T, text string) int {
		m := total.FindStringSubmatch(text)
		require.NotNil(t, m, text)
		n, err := strconv.Atoi(strings.ReplaceAll(m[1], ",", "") + m[2])
		require.NoError(t, err)
		return n
	}
	rapid.Check(t, func(t *rapid.T) {
		list := &shop.List{From: "2026-11-23", Days: 7, Money: "USD"}
		for d := range rapid.IntRange(2, 3).Draw(t, "days") {
			trip := shop.Trip{Date: fmt.Sprintf("2026-11-2%d", 3+d)}
			for s := range rapid.IntRange(1, 3).Draw(t, "suppliers") {
				sup := shop.Supplier{Name: fmt.Sprintf("supplier %d", s)}
				for range rapid.IntRange(1, 4).Draw(t, "items") {
					x := shop.Purchase{Item: "thing", Unit: "kg", Needed: 1, Cost: rapid.Float64Range(0, 3000).Draw(t, "cost")}
					sup.Items = append(sup.Items, x)
				}
				trip.Suppliers = append(trip.Suppliers, sup)
			}
			list.Trips = append(list.Trips, trip)
		}
		day, supplier, all := 0, 0, 0
		for line := range strings.Lines(Buy(Page{Width: 120}, list)) {
			switch {
			case strings.Contains(line, "In all"):
				require.Zero(t, supplier)
				require.Zero(t, day)
				require.Equal(t, cents(t, line), all)
			case strings.Contains(line, " to buy, "):
				require.Zero(t, supplier)
				require.Zero(t, day)
				day = cents(t, line)
				all += day
			case strings.HasPrefix(line, "supplier"):
				require.Zero(t, supplier)
				supplier = cents(t, line)
				day -= supplier
			case strings.HasPrefix(line, "  thing"):
				fields := strings.Fields(line)
				supplier -= cents(t, fields[len(fields)-1]+" USD")
			}
		}
	})
}

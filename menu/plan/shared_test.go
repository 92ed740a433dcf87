package plan

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// lambHouse has 12 kg of lamb and 9 kg of kid that go off tonight, and no more comes. By the cards the roast takes lamb as long as there
// is some, and the stew goes short; with kid in eight roasts both sell out.
const lambHouse = `
kitchen: Lamb House
services: {dinner: 17:30-22:00}
bought:
  lamb: {price: 2/kg, keeps: 4 days, arrives: fri, allergens: []}
  kid:  {price: 1/kg, keeps: 4 days, arrives: fri, allergens: []}
dishes:
  roast: {price: 14, takes: [1 kg lamb or 1 kg kid], sells: {dinner: 10}}
  stew:  {price: 20, takes: [1 kg lamb], sells: {dinner: 10}}
`

func lambTonight(t *testing.T, kitchen string) *week.Week {
	return weektest.Stocked(t, kitchen, "item,quantity,made\nlamb,12 kg,2026-11-21\nkid,9 kg,2026-11-21\n",
		week.Period{From: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC), Days: 1})
}

// TestPlanSaysWhatSharingBestBrings counts by hand: by the cards 6 stews and 10 roasts are sold, for 260; by the rule "best" 10 of each, for
// 340. A plan that does not come to its bound is not called proven.
func TestPlanSaysWhatSharingBestBrings(t *testing.T) {
	w := lambTonight(t, lambHouse)
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	require.InDelta(t, 260, p.Sales, 1e-6)
	played, err := w.By(Best).With(p.Case).Play(t.Context())
	require.NoError(t, err)
	require.InDelta(t, 340, played.Books.Sales, 1e-6)
	require.Contains(t, strings.Join(p.Notes, "\n"), "the same cooking earns 80.00 more where what is scarce goes to the dish that earns most")
	require.Greater(t, p.Bound, p.Contribution+80-1e-6)
	require.False(t, p.Proven())
	require.False(t, p.Answer().Proven)

	// With lamb for all, nothing is scarce, and no plan earns more.
	p, err = Make(t.Context(), lambTonight(t, strings.Replace(lambHouse, "dinner: 10}}\n  stew", "dinner: 2}}\n  stew", 1)), Options{})
	require.NoError(t, err)
	require.NotContains(t, strings.Join(p.Notes, "\n"), "the same cooking")
}

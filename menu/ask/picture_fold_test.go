package ask

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/draw"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// A kitchen of 192 dishes is folded until it can be drawn: what has no box is named in the boxes that it goes into or comes of, and
// what shocks reached keeps its box. One of 96 is drawn as a small one.
func TestMapOfALargeKitchen(t *testing.T) {
	large := weektest.SmallWeek(t, weektest.Copies(t, 16))
	lost, err := large.Shock("lose", "night kettle@tue")
	require.NoError(t, err)
	for name, shocks := range map[string][]week.Shock{"as it stands": nil, "with a kettle lost": {lost}} {
		t.Run(name, func(t *testing.T) {
			p, err := Map(t.Context(), large, shocks, "", ByWeight)
			require.NoError(t, err)
			require.NoError(t, draw.Fits(p))
			assert.Contains(t, p.Caption, "The kitchen is too large for one sheet")
			named := map[string]bool{}
			said, drawn := "", map[string]bool{}
			for _, n := range p.Nodes {
				named[n.Name] = true
				drawn[n.ID] = true
				said += strings.Join(n.Lines, "\n") + "\n"
				assert.True(t, n.Tone >= 0 && n.Tone <= 1)
			}
			for _, e := range p.Edges {
				assert.True(t, drawn[e.From] && drawn[e.To])
			}
			for _, step := range []string{"night kettle", "night kettle no16", "bone out shoulder no9"} {
				assert.True(t, named[step], step)
			}
			assert.True(t, strings.Contains(said, "for red pozole no2, white pozole no2"))
			assert.True(t, strings.Contains(said, "no2 and 2 more\n"))
			if shocks != nil {
				whatIf, err := WhatIf(t.Context(), large, shocks)
				require.NoError(t, err)
				require.NotEmpty(t, whatIf.Dishes)
				for _, d := range whatIf.Dishes {
					if d.After < d.Before {
						assert.True(t, named[d.Name], "%s is short, and stays", d.Name)
					}
				}
			}
		})
	}
	p, err := Map(t.Context(), weektest.SmallWeek(t, weektest.Copies(t, 8)), nil, "", ByWeight)
	require.NoError(t, err)
	dishes := 0
	for _, n := range p.Nodes {
		if n.Kind == draw.Dish {
			dishes++
		}
	}
	assert.Equal(t, 96, dishes)
}

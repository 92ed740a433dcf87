package flow

// Yields and forecasts set again before each walk, against the shocks that do the same on a copy.

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

const varied = `
buy bones 1
batch kettle: 10 bones -> 8 stock + 2 fat
order broth: 1 stock -> 2 broth
all render: 1 fat -> 0.5 lard
dish soup 10: 1 broth
dish bun 4: 0.5 lard
open 0 11:30
open 1 11:30
want soup 16 16
want bun 2 2
run kettle 0 x1
run kettle 1 x1
`

func TestVarying(t *testing.T) {
	kettle, broth, render := 0, 1, 2
	for name, tc := range map[string]struct {
		set    func(*Varying)
		shocks []Shock
	}{
		"nothing":               {func(*Varying) {}, nil},
		"a run":                 {func(v *Varying) { v.Run(1, 0, 0.75) }, []Shock{Yield{kettle, 0, 1, 0.75}}},
		"a run, more":           {func(v *Varying) { v.Run(0, 1, 1.5) }, []Shock{Yield{kettle, 1, 0, 1.5}}},
		"a batch under way":     {func(v *Varying) { v.Pot(0, 0, 0.5) }, []Shock{Yield{kettle, 0, -1, 0.5}}},
		"a step to order":       {func(v *Varying) { v.Step(broth, 0, 0.5) }, []Shock{Yield{broth, 0, EveryDay, 0.5}}},
		"a step that takes all": {func(v *Varying) { v.Step(render, 0, 0.5) }, []Shock{Yield{render, 0, EveryDay, 0.5}}},
		"guests":                {func(v *Varying) { v.Ask(0, 1, 20) }, []Shock{Ask{Slots: []int{1}, More: 4, Factor: 1}}},
	} {
		t.Run(name, func(t *testing.T) {
			c := only(t, varied).compile()
			c.Schedule.Pots = []Pot{{Step: kettle, Day: -1, Start: -60, Batches: 0.5, Gives: []PotLine{{Item: 1, Amount: 4, Minute: 60}}}}
			with := c.With(tc.shocks...)
			want := with.Flow.Walk(with.Schedule, Fair, nil)
			before := c.Flow.Walk(c.Schedule, Fair, nil)
			v := c.Varying()
			walker := NewWalker(v.Flow)
			for range 2 { // what is set replaces what was set
				tc.set(v)
				assert.Equal(t, told(want), told(walker.Walk(v.Schedule, Fair, nil)))
			}
			assert.Equal(t, before, c.Flow.Walk(c.Schedule, Fair, nil), "the case is left alone")
			assert.Zero(t, testing.AllocsPerRun(20, func() {
				tc.set(v)
				walker.Walk(v.Schedule, Fair, nil)
			}))
		})
	}
}

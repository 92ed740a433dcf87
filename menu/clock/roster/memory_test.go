package roster

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// What is remembered is what would be found, and nothing that differs is taken for the same.
func TestMemory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var m Memory
		list := []*Problem{anyProblem(t, 6), anyProblem(t, 6)}
		for range 2 {
			for _, x := range list {
				assert.Equal(t, Schedule(x), m.Schedule(x))
			}
		}
		assert.LessOrEqual(t, m.Made(), 2)
	})
}

func TestWhatMakesAProblemAnother(t *testing.T) {
	one := func() *Problem {
		return &Problem{Tasks: []Task{{Minutes: 5, Due: Never}, {Minutes: 5, Due: 20, Uses: []Use{{0, 0, 5, 1}}, After: []Link{{0, 5}}}}, There: [][]int{{1, 1, 1, 2, 2, 2}}, Tries: 3}
	}
	var m Memory
	m.Schedule(one())
	m.Schedule(one())
	assert.Equal(t, 1, m.Made())
	for n, change := range []func(*Problem){
		func(p *Problem) { p.Tries++ },
		func(p *Problem) { p.There[0] = append(p.There[0], 2) },
		func(p *Problem) { p.There[0][2] = 2 },
		func(p *Problem) { p.There = append(p.There, []int{1}) },
		func(p *Problem) { p.Tasks[0].Minutes++ },
		func(p *Problem) { p.Tasks[0].Release++ },
		func(p *Problem) { p.Tasks[0].Due = 30 },
		func(p *Problem) { p.Tasks[0].Limit = 30 },
		func(p *Problem) { p.Tasks[0].Soon = true },
		func(p *Problem) { p.Tasks[1].Uses = nil },
		func(p *Problem) { p.Tasks[1].Uses[0].To++ },
		func(p *Problem) { p.Tasks[1].Uses[0].Amount++ },
		func(p *Problem) { p.Tasks[1].After = nil },
		func(p *Problem) { p.Tasks[1].After[0].Lag++ },
	} {
		p := one()
		change(p)
		m.Schedule(p)
		assert.Equal(t, n+2, m.Made(), "change %d", n)
	}
	for n := range mostKept + 10 {
		p := one()
		p.Tasks[0].Release = 100 + n
		m.Schedule(p)
	}
	assert.Equal(t, mostKept, m.used.Len())
	assert.Len(t, m.at, mostKept)
}

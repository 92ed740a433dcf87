package roster

import (
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// instance is a project of PSPLIB with its shortest makespan.
type instance struct {
	name string
	best int
	Problem
}

func numbers(t testing.TB, line string) (list []int) {
	for _, f := range strings.Fields(line) {
		n, err := strconv.Atoi(f)
		require.NoError(t, err)
		list = append(list, n)
	}
	return list
}

// constant is so much of a resource at each minute.
func constant(units, minutes int) (there []int) {
	for range minutes {
		there = append(there, units)
	}
	return there
}

// psplib reads the instances. A last task of no length is due at once, so that how late it is is the makespan.
func psplib(t testing.TB) (list []instance) {
	archive, err := txtar.ParseFile(filepath.FromSlash("testdata/j30.txtar"))
	require.NoError(t, err)
	for _, file := range archive.Files {
		lines := strings.Split(strings.TrimSuffix(string(file.Data), "\n"), "\n")
		x := instance{name: file.Name, best: numbers(t, lines[0])[0]}
		lengths, horizon := numbers(t, lines[2]), 0
		last := Task{}
		for i, d := range lengths {
			task := Task{Minutes: d, Due: Never}
			for r := range numbers(t, lines[1]) {
				task.Uses = append(task.Uses, Use{r, 0, d, numbers(t, lines[3+r])[i]})
			}
			x.Tasks = append(x.Tasks, task)
			last.After = append(last.After, Link{i, d})
			horizon += d
		}
		for r, units := range numbers(t, lines[1]) {
			require.Len(t, numbers(t, lines[3+r]), len(lengths))
			x.There = append(x.There, constant(units, horizon))
		}
		behind := strings.Split(lines[len(lines)-1], "|")
		require.Len(t, behind, len(lengths))
		for i, text := range behind {
			for _, j := range numbers(t, text) {
				x.Tasks[j-1].After = append(x.Tasks[j-1].After, Link{i, lengths[i]})
			}
		}
		x.Tasks = append(x.Tasks, last)
		list = append(list, x)
	}
	return list
}

// Makespans lie within 2 % of the optima, on average, and none below.
func TestPSPLIB(t *testing.T) {
	list := psplib(t)
	require.Len(t, list, 25)
	sum := 0.0
	for _, x := range list {
		x.Tries = 300
		p := Schedule(&x.Problem)
		holds(t, &x.Problem, p)
		makespan := p.Total()
		assert.GreaterOrEqual(t, makespan, x.best, x.name)
		over := float64(makespan)/float64(x.best) - 1
		sum += over
		t.Logf("%s: %d, best %d: %.1f %%", x.name, makespan, x.best, 100*over)
	}
	assert.LessOrEqual(t, sum/float64(len(list)), 0.02)
	t.Logf("on average %.2f %%", 100*sum/float64(len(list)))
}

// holds checks a plan against its problem: what is there, what comes before, and when.
func holds(t assert.TestingT, x *Problem, p *Plan) {
	used := make([][]int, len(x.There))
	for r, there := range x.There {
		used[r] = make([]int, len(there))
	}
	over := 0
	for i, task := range x.Tasks {
		if task.Limit > 0 {
			over += max(0, p.Start[i]+task.Minutes-task.Limit)
		}
		assert.GreaterOrEqual(t, p.Start[i], task.Release, "task %d before its release", i)
		for _, l := range task.After {
			assert.GreaterOrEqual(t, p.Start[i], p.Start[l.Task]+l.Lag, "task %d before %d is done", i, l.Task)
		}
		if late := p.Start[i] + task.Minutes - task.Due; task.Due < Never {
			assert.Equal(t, max(0, late), p.Late[i], "task %d", i)
		}
		for _, u := range task.Uses {
			for m := p.Start[i] + u.From; p.Placed[i] && u.Amount > 0 && m < p.Start[i]+u.To; m++ {
				if assert.Less(t, m, len(used[u.Resource]), "task %d behind all there is", i) {
					used[u.Resource][m] += u.Amount
				}
			}
		}
	}
	assert.Equal(t, over, p.Over)
	for r, there := range x.There {
		for m := range there {
			assert.LessOrEqual(t, used[r][m], max(0, there[m]), "resource %d at %d", r, m)
		}
	}
}

// anyProblem draws a few tasks, with stretches at which little is there.
func anyProblem(t *rapid.T, most int) *Problem {
	x := &Problem{Tries: rapid.IntRange(1, 20).Draw(t, "tries")}
	resources := rapid.IntRange(1, 3).Draw(t, "resources")
	for range resources {
		var there []int
		for range rapid.IntRange(1, 5).Draw(t, "stretches") {
			there = append(there, constant(rapid.IntRange(0, 3).Draw(t, "units"), rapid.IntRange(1, 20).Draw(t, "minutes"))...)
		}
		x.There = append(x.There, there)
	}
	for i := range rapid.IntRange(1, most).Draw(t, "tasks") {
		task := Task{Minutes: rapid.IntRange(0, 8).Draw(t, "length"), Release: rapid.IntRange(0, 30).Draw(t, "release"), Due: Never, Soon: rapid.Bool().Draw(t, "soon")}
		if rapid.Bool().Draw(t, "due") {
			task.Due = rapid.IntRange(0, 60).Draw(t, "due")
		}
		if rapid.IntRange(0, 3).Draw(t, "limited") == 0 {
			task.Limit = rapid.IntRange(1, 60).Draw(t, "limit")
		}
		for range rapid.IntRange(0, 2).Draw(t, "uses") {
			from := rapid.IntRange(0, 4).Draw(t, "from")
			u := Use{rapid.IntRange(0, resources-1).Draw(t, "resource"), from, from + rapid.IntRange(0, 8).Draw(t, "stretch"), rapid.IntRange(0, 2).Draw(t, "amount")}
			meets := false // of one resource a task needs one amount at a time
			for _, o := range task.Uses {
				meets = meets || o.Resource == u.Resource
			}
			if !meets {
				task.Uses = append(task.Uses, u)
			}
		}
		for range rapid.IntRange(0, min(2, i)).Draw(t, "links") {
			task.After = append(task.After, Link{rapid.IntRange(0, i-1).Draw(t, "behind"), rapid.IntRange(-3, 10).Draw(t, "lag")})
		}
		x.Tasks = append(x.Tasks, task)
	}
	return x
}

// Never more than there is, never before it may, never before what comes first; the same tasks give the same plan; no try makes it worse.
func TestPlansHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := anyProblem(t, 12)
		p := Schedule(x)
		holds(t, x, p)
		assert.Equal(t, p, Schedule(x))
		for i := range p.Placed {
			if !p.Placed[i] { // nothing else could have been where it cannot be
				assert.NotEmpty(t, x.Tasks[i].Uses)
			}
		}
		more := *x
		more.Tries = x.Tries + 30
		assert.LessOrEqual(t, Schedule(&more).late(), p.late())
	})
}

// Of a few tasks what is found is as good as the best of all orders in which they can be laid down.
func TestFewTasksAreBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := anyProblem(t, 4)
		x.Tries = 300
		s := newSolver(x)
		best := -1
		var try func(list, rest []int)
		try = func(list, rest []int) {
			if len(rest) == 0 {
				s.lay(s.legal(list))
				if p := s.plan(); best < 0 || p.late() < best {
					best = p.late()
				}
			}
			for k, i := range rest {
				next := append(append([]int(nil), rest[:k]...), rest[k+1:]...)
				try(append(append([]int(nil), list...), i), next)
			}
		}
		try(nil, s.order)
		assert.LessOrEqual(t, Schedule(x).late(), best)
	})
}

func TestLateAndSoon(t *testing.T) {
	// One cook from 60 to 120 and from 180 to 240.
	there := append(append(append(constant(0, 60), constant(1, 60)...), constant(0, 60)...), constant(1, 60)...)
	cook := func(minutes int) []Use { return []Use{{0, 0, minutes, 1}} }
	x := &Problem{There: [][]int{there}, Tries: 50, Tasks: []Task{
		{Minutes: 20, Uses: cook(20), Due: 120},                         // as late as it may
		{Minutes: 10, Uses: cook(10), Due: 300, Soon: true},             // as soon as it may
		{Minutes: 15, Uses: cook(15), Due: 240, Release: 110},           // only in the second stretch
		{Minutes: 0, Due: 210, After: []Link{{2, 15}}},                  // and done by then
		{Minutes: 61, Uses: cook(61), Due: 240},                         // in no stretch
		{Minutes: 45, Uses: cook(45), Due: 200, After: []Link{{0, 20}}}, // after that: 40 min late
	}}
	p := Schedule(x)
	holds(t, x, p)
	assert.Equal(t, []bool{true, true, true, true, false, true}, p.Placed)
	assert.Equal(t, 60, p.Start[1])
	assert.Equal(t, 100, p.Start[0])
	assert.Equal(t, 180, p.Start[2])
	assert.Equal(t, []int{0, 0, 0, 0, 0, 40}, p.Late)
}

// One cook, and two things to do at once: what has a limit goes first, though it makes the other later than it would be itself.
func TestLimitGoesFirst(t *testing.T) {
	cook := func(minutes int) []Use { return []Use{{0, 0, minutes, 1}} }
	x := &Problem{There: [][]int{constant(1, 300)}, Tries: 50, Tasks: []Task{
		{Minutes: 90, Uses: cook(90), Due: 90},
		{Minutes: 15, Uses: cook(15), Due: 105, Limit: 100},
	}}
	p := Schedule(x)
	holds(t, x, p)
	assert.Equal(t, []int{15, 0}, p.Start)
	x.Tasks[1].Limit = 110
	assert.Equal(t, []int{0, 90}, Schedule(x).Start, "in time for both")
}

// Where everything is there without end, all is done as late as it may.
func TestWithoutBounds(t *testing.T) {
	p := Schedule(&Problem{Tries: 5, Tasks: []Task{
		{Minutes: 25, Due: 420}, {Minutes: 30, After: []Link{{0, 25}}, Due: Never}, {Due: 600, After: []Link{{1, 30}}}, {Minutes: 5, Release: 7, Due: Never},
	}})
	assert.Equal(t, []int{395, 570, 600, 7}, p.Start)
}

func BenchmarkSchedule(b *testing.B) {
	list := psplib(b)
	for b.Loop() {
		for _, x := range list {
			x.Tries = 300
			Schedule(&x.Problem)
		}
	}
}

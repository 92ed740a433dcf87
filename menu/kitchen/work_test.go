package kitchen

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseAct(t *testing.T) {
	for text, want := range map[string]Act{
		"45 min":                   {Base: 45, At: notTimed, People: 1},
		"25 min a batch":           {Each: 25, At: notTimed, People: 1},
		"20 min + 5 min a batch":   {Base: 20, Each: 5, At: notTimed, People: 1},
		"5 min an hour":            {Base: 5, Hourly: true, At: notTimed, People: 1},
		"1 h 10 min at 3 h 45 min": {Base: 70, At: 225, People: 1},
		"20 min + 5 min a batch at 9 h with 2 people": {Base: 20, Each: 5, At: 540, People: 2},
		"0 min with 1 person":                         {At: notTimed, People: 1},
		"60 min with 2 people once cold":              {Base: 60, At: notTimed, People: 2, Wait: OnceCold, waits: true},
		"15 min + 5 min a batch warm or cold":         {Base: 15, Each: 5, At: notTimed, People: 1, Wait: WarmOrCold, waits: true},
		"20 min while warm":                           {Base: 20, At: notTimed, People: 1, waits: true},
	} {
		got, err := parseAct(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
		assert.Regexp(t, regexp.MustCompile(entire(workPattern)), text)
	}
	for _, text := range []string{"", "45", "five min", "20 min + 5 min", "5 min an hour with people", "20 min, 2 people", "20 min with 0 people", "20 min cold", "once cold"} {
		_, err := parseAct(text)
		assert.Error(t, err, text)
		assert.NotRegexp(t, regexp.MustCompile(entire(workPattern)), text)
	}
}

// What the schema takes for minutes of work, the reader reads, and the other way round.
func TestWorkPatternIsWhatIsRead(t *testing.T) {
	pattern := regexp.MustCompile(entire(workPattern))
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([0-9]{1,3} ?(min|h|hour)?)( a batch| an hour| [+] [0-9]{1,2} min( a batch)?)?( at [0-9] h)?( with [0-9]{1,2} (people|person))?( once cold| while warm| warm or cold| cold)?`).Draw(t, "text")
		_, err := parseAct(text)
		assert.Equal(t, pattern.MatchString(text), err == nil, "%q: %v", text, err)
	})
}

func TestActs(t *testing.T) {
	k := soundKitchen(t)
	acts := func(step string) map[string]Act {
		s, err := k.FindStep(step)
		require.NoError(t, err)
		byName := map[string]Act{}
		for _, a := range k.Acts(s) {
			byName[a.Name] = a
		}
		return byName
	}
	kettle := acts("night kettle")
	assert.Equal(t, Act{Name: "load", Base: 25, When: AtStart, At: notTimed, People: 2}, kettle["load"])
	assert.Equal(t, Meanwhile, kettle["skim"].When)
	assert.Equal(t, Act{Name: "pull", Base: 20, Each: 40, When: AfterOut, At: notTimed, People: 1}, kettle["pull"])
	assert.Equal(t, 100, kettle["pull"].Minutes(2))
	assert.Equal(t, Act{Name: "roll", Base: 15, When: AtMinute, At: 300, People: 1}, kettle["roll"])
	assert.Equal(t, 20, kettle["wash"].Base)
	assert.NotContains(t, kettle, "light", "to load is what it says of the start")
	assert.True(t, kettle["put in"].Guessed)
	assert.True(t, kettle["cool"].Guessed)

	bone := acts("bone out shoulder")
	assert.Equal(t, AtBench, bone["work"].When)
	assert.Equal(t, 65, bone["work"].Minutes(2.5), "62.5 min, in steps of five")
	assert.Equal(t, 50, bone["work"].Minutes(2))
	assert.NotContains(t, bone, "make")
	assert.True(t, acts("render back fat")["make"].Guessed)
	assert.NotContains(t, acts("red chile base"), "make", "made at the pass")
}

func TestShifts(t *testing.T) {
	k := soundKitchen(t)
	for _, c := range []struct{ weekday, minute, want int }{
		{2, 3 * 60, 2}, {2, 6 * 60, 2}, {2, 22*60 + 30, 2}, {2, 27 * 60, 2}, {5, 18 * 60, 3}, {5, 22*60 + 30, 3}, {0, 22*60 + 30, 2}, {0, 5*60 + 59, 2},
	} {
		assert.Equal(t, c.want, k.People(c.weekday, c.minute), "%v", c)
	}
	assert.Equal(t, "night cook", k.Shifts[2].Who(0))
	assert.Equal(t, "cook 2 (06:00)", k.Shifts[0].Who(1))
	assert.Equal(t, "22:00 to 06:00", k.Shifts[2].Hours())
}

package kitchen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestAmendBatches(t *testing.T) {
	const gives = "    gives: [5 kg it]\n"
	for _, c := range []struct {
		name, was, want string
		batches         [7]float64 // from Sunday on
	}{
		{"by days", gives + "    batches: {tue-sat: 1}", gives + "    batches: {mon: 1, wed-thu: 2, sun: 3}", [7]float64{3, 1, 0, 2, 2, 0, 0}},
		{"a comment keeps its column", gives + "    batches: {tue: 1, thu: 1}     # the small pot\n    costs: 3", gives + "    batches: {daily: 0}           # the small pot\n    costs: 3", [7]float64{}},
		{"more on the line", gives + "    batches: { tue: 1 }   # {wed: 1}", gives + "    batches: {mon-sun: 4} # {wed: 1}", [7]float64{4, 4, 4, 4, 4, 4, 4}},
		{"none yet", gives, gives + "    batches: {sat-sun: 1}\n", [7]float64{1, 0, 0, 0, 0, 0, 1}},
		{"a day a line", gives + "    batches:\n      tue: 1\n    costs: 3", gives + "    batches:\n      {mon: 2}\n    costs: 3", [7]float64{0, 2}},
		{"lines end with CR LF", "    gives: [5 kg it]\r\n", "    gives: [5 kg it]\r\n    batches: {sat: 1}\r\n", [7]float64{0, 0, 0, 0, 0, 0, 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			src := []byte(amendHead + c.was + amendTail)
			k, faults := Read("kitchen.yaml", src)
			require.NoError(t, faults.Err())
			got, err := k.AmendBatches(src, Standing{0, c.batches})
			require.NoError(t, err)
			assert.Equal(t, amendHead+c.want+amendTail, string(got))
		})
	}
}

func TestAmendBatchesOneLine(t *testing.T) {
	const src = "{kitchen: Käse, bought: {meat: {price: 5/kg}}, steps: {cook: {takes: [9 kg meat], gives: [5 kg it]}}, dishes: {plate: {price: 9, takes: [100 g it]}}}"
	k, faults := Read("kitchen.yaml", []byte(src))
	require.NoError(t, faults.Err())
	got, err := k.AmendBatches([]byte(src), Standing{0, [7]float64{0, 1}})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(src, "gives: [5 kg it]", "gives: [5 kg it], batches: {mon: 1}", 1), string(got))
}

func TestAmendBatchesRefuses(t *testing.T) {
	for _, c := range []struct{ name, batches, msg string }{
		{"with comments", "    batches: {tue: 1, # market day\n      wed: 1}", `kitchen.yaml:10:14 is written in a way that can't be changed in place`},
		{"to order", "    batches: to order", `"cook" has no set days`},
	} {
		t.Run(c.name, func(t *testing.T) {
			src := []byte(amendHead + "    gives: [5 kg it]\n" + c.batches + amendTail)
			k, faults := Read("kitchen.yaml", src)
			require.NoError(t, faults.Err())
			_, err := k.AmendBatches(src, Standing{0, [7]float64{1}})
			assert.EqualError(t, err, c.msg)
		})
	}
}

// What is written for any week is read as that week.
func TestStandingIsReadAsWritten(t *testing.T) {
	src := []byte(amendHead + "    gives: [5 kg it]\n    batches: {tue: 1}\n    halves: yes" + amendTail)
	k, _ := Read("kitchen.yaml", src)
	require.NotNil(t, k)
	rapid.Check(t, func(t *rapid.T) {
		s := Standing{}
		for d := range s.Batches {
			s.Batches[d] = float64(rapid.IntRange(0, 6).Draw(t, Weekdays[d])) / 2
		}
		text, err := k.AmendBatches(src, s)
		require.NoError(t, err)
		after, faults := Read("kitchen.yaml", text)
		require.NoError(t, faults.Err())
		require.Equal(t, s.Batches, after.Steps[0].Batches)
	})
}

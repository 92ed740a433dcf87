package logbook

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// measuring is the braise shop with something to measure.
func measuring(t testing.TB) *kitchen.Kitchen {
	k := someKitchen(t)
	step, err := k.FindStep("braise")
	require.NoError(t, err)
	k.Steps[step].Measures = []kitchen.Measure{
		{Name: "colour", Low: 1, High: 5, Aim: &kitchen.Range{Low: 3, High: 4}},
		{Name: "salt", Sort: kitchen.Gauged, Unit: "%", Aim: &kitchen.Range{Low: 0.9, High: 1.1}},
		{Name: "salt of the rind", Sort: kitchen.Gauged, Unit: "g"},
		{Name: "cook", Sort: kitchen.InWords, Handling: true},
	}
	item, _, err := k.ItemNamed("shoulder broth", nil)
	require.NoError(t, err)
	k.Measures[item] = []kitchen.Measure{{Name: "brix", Sort: kitchen.Gauged, Unit: "°Bx"}}
	return k
}

func TestParseMeasured(t *testing.T) {
	k := measuring(t)
	e, err := Parse(k, Measured, `braise of tue: Colour 4, salt 0.95 %, salt of the rind 3, cook Ana Lee, a little smoky, but good`)
	require.NoError(t, err)
	assert.Equal(t, "braise", e.Step)
	assert.Equal(t, "tue", e.Day)
	assert.Equal(t, []Taste{{Name: "colour", Value: new(4.0)}, {Name: "salt", Value: new(0.95), Unit: "%"},
		{Name: "salt of the rind", Value: new(3.0), Unit: "g"}, {Name: "cook", Word: "Ana Lee"}}, e.Tastes)
	assert.Equal(t, "a little smoky, but good", e.Reason)
	e, err = Parse(k, Measured, `shoulder broth: brix 3.8 °Bx, "2 skims too few"`)
	require.NoError(t, err)
	assert.Equal(t, "shoulder broth", e.Of)
	assert.Equal(t, "2 skims too few", e.Reason)
	assert.Equal(t, "braise: colour 3, salt 0.9%", Form(k, Measured))
	_, err = Parse(k, Measured, Form(k, Measured))
	require.NoError(t, err)

	for text, says := range map[string][2]string{
		"braise: colour 6":               {`"6" is off the scale of colour, 1 to 5`, "write a whole number from 1 to 5"},
		"braise: colour 3.5":             {`"3.5" is no step of the scale of colour, 1 to 5`, "whole number"},
		"braise: salt 98":                {`"98" is more than 20 times what salt should be, 0.9 to 1.1%`, "point"},
		"braise: salt 1 g":               {`salt is not read in "g"`, "write it as salt 0.9%"},
		"braise: colour":                 {"", ""},
		"braise: colour 3, colour 4":     {`"colour" appears twice`, "once"},
		"braise: clarity 3":              {`"clarity 3" is not among what is measured of braise`, "colour, salt"},
		"braise":                         {"what was measured stands behind a colon", "braise: colour 3"},
		"braise: cook":                   {"cook is not said", "cook Ana"},
		"braise of never: colour 3":      {`"never" is not a day`, "tue"},
		"pork shoulder: colour 3":        {`does not say what is measured of "pork shoulder"`, "measures:"},
		"goat: colour 3":                 {`unknown step "goat`, ""},
		`braise: "one", "two", colour 3`: {"there are two notes", "one"},
	} {
		_, err := Parse(k, Measured, text)
		require.Error(t, err, text)
		fault := err.(*measure.Error)
		assert.Contains(t, fault.Msg, says[0], text)
		assert.Contains(t, fault.Hint, says[1], text)
	}
}

// What is measured is kept with its batch, told again, corrected and undone; and it moves nothing.
func TestMeasuredIsKept(t *testing.T) {
	k := measuring(t)
	j := newLogBook(t)
	planned := asInFile(k)
	write := func(when time.Time, kind Kind, text string, corrects int64) Entry {
		e := entry(t, k, when, kind, text)
		e.Corrects = corrects
		settled, err := j.Settle(t.Context(), k, planned, e)
		require.NoError(t, err)
		kept, err := j.Append(t.Context(), settled...)
		require.NoError(t, err)
		return kept[len(kept)-1]
	}
	write(at(0, 8), Received, "20 kg pork shoulder", 0)
	write(at(0, 9), Cooked, "braise", 0)
	before, err := j.OnHand(t.Context(), k, at(0, 12))
	require.NoError(t, err)
	kept := write(at(0, 11), Measured, "braise: colour 4, salt 1.3, a little smoky", 0)
	assert.Equal(t, at(0, 0), kept.Begins, "the batch of the morning")
	after, err := j.OnHand(t.Context(), k, at(0, 12))
	require.NoError(t, err)
	assert.Equal(t, before.Lots, after.Lots)

	step, _ := k.FindStep("braise")
	list, err := j.Tastings(t.Context(), k, step, -1, at(0, 12))
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, []Taste{{Name: "colour", Value: new(4.0)}, {Name: "salt", Value: new(1.3), Unit: "%"}}, list[0].Tastes)
	e := entry(t, k, at(2, 12), Measured, "braise of sat: colour 3")
	_, err = j.Settle(t.Context(), k, planned, e)
	assert.EqualError(t, err, "no braise of Sat 21 Nov is in the log book")
	write(at(0, 12), Measured, "braise of tue: salt 1.1", kept.ID)
	list, err = j.Tastings(t.Context(), k, step, -1, at(0, 13))
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, []Taste{{Name: "salt", Value: new(1.1), Unit: "%"}}, list[0].Tastes)
	lines, err := j.Entries(t.Context())
	require.NoError(t, err)
	assert.Equal(t, "a little smoky", lines[len(lines)-2].Reason, "and stands there still")

	e = entry(t, k, at(20, 12), Measured, "braise: colour 3")
	idle, faults := kitchen.Read("kitchen.yaml", []byte(strings.Replace(braiseShop, "    batches:  {tue-fri: 1}\n", "", 1)))
	require.NoError(t, faults.Err())
	_, err = j.Settle(t.Context(), k, asInFile(idle), e)
	assert.EqualError(t, err, "no batch of braise was made in the last days")
}

// A refractometer without its point, 90 for 9.0, was written down without a word.
func TestDoubtsReading(t *testing.T) {
	k := measuring(t)
	for text, want := range map[string]string{
		"braise: salt 3.3":        "",
		"braise: salt 3.4":        "salt 3.4% is more than 3 times what it should be, 0.9 to 1.1%",
		"braise: colour 5":        "",
		"shoulder broth: brix 90": "", // nobody said where it should be
	} {
		e, err := Parse(k, Measured, text)
		require.NoError(t, err, text)
		if d := doubtReading(k, &e); want == "" {
			assert.Empty(t, d, text)
		} else {
			require.Len(t, d, 1, text)
			assert.Equal(t, want, d[0].Msg)
		}
	}
}

// A measure called note is the note that every batch has a place for.
func TestMeasureNote(t *testing.T) {
	k := measuring(t)
	step, err := k.FindStep("braise")
	require.NoError(t, err)
	k.Steps[step].Measures = append(k.Steps[step].Measures, kitchen.Measure{Name: "note", Sort: kitchen.InWords})
	for _, text := range []string{"braise: colour 4, note a little smoky, 2 skims", `braise: colour 4, note "a little smoky, 2 skims"`, `braise: colour 4, "a little smoky, 2 skims"`} {
		e, err := Parse(k, Measured, text)
		require.NoError(t, err, text)
		assert.Equal(t, "a little smoky, 2 skims", e.Reason, text)
		assert.Len(t, e.Tastes, 1, text)
	}
	_, err = Parse(k, Measured, "braise: note")
	assert.ErrorContains(t, err, "note is not said")
}

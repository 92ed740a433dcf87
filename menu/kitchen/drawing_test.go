package kitchen

// A kitchen drawn box by box and line by line, and drawn over at random.

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
)

// drawn is a file after edits, one at a time, each read on its own.
func drawn(t testing.TB, src string, edits ...Edit) string {
	t.Helper()
	for _, e := range edits {
		text, err := Sketch("kitchen.yaml", []byte(src), e)
		require.NoError(t, err, "%s\n%s", e.Says, src)
		src = string(text)
	}
	return src
}

func asksOf(t testing.TB, src string) (asks []string) {
	k, faults := Read("kitchen.yaml", []byte(src))
	require.NoError(t, faults.Err())
	for _, q := range k.Questions {
		asks = append(asks, q.Asks)
	}
	return asks
}

func TestDrawnFromNothing(t *testing.T) {
	src := drawn(t, "kitchen: Smoke Shack\n",
		NewBox(InSteps, "smoke pit", map[string]string{"batches": "tue: 1"}),
		NewBox(InBought, "brisket", map[string]string{"price": "9/kg"}))
	assert.Equal(t, `kitchen: Smoke Shack
bought: {brisket: {price: 9/kg}}
steps: {smoke pit: {takes: [something], gives: [something], batches: {tue: 1}}}
`, src)
	assert.Contains(t, asksOf(t, src), "What goes into smoke pit, and how much?")

	src = drawn(t, src, Draw(InSteps, "smoke pit", "gives", "smoked brisket", "12 kg"), NewBox(InDishes, "brisket plate", map[string]string{"price": "19"}),
		Draw(InDishes, "brisket plate", "takes", "smoked brisket", "180 g"))
	k, _ := Read("kitchen.yaml", []byte(src))
	assert.Empty(t, k.Steps, "set aside until something goes in")
	assert.Empty(t, k.Dishes, "it can only come of that")
	for _, q := range k.Questions {
		if q.What == "takes" {
			assert.Equal(t, "all of brisket plate", q.Matters)
		}
	}

	src = drawn(t, src, NewBox(InBought, "salt", map[string]string{"price": "1/kg"}), Draw(InSteps, "smoke pit", "takes", "salt", "400 g"))
	assert.Contains(t, src, "takes: [400 g salt, something]", "12 kg do not come of 400 g")
	assert.Contains(t, asksOf(t, src), "What else goes into smoke pit, and how much?")
	src = drawn(t, src, Draw(InSteps, "smoke pit", "takes", "brisket", "20 kg"))
	assert.NotContains(t, src, "something")
	k, _ = Read("kitchen.yaml", []byte(src))
	require.Len(t, k.Dishes, 1)
	require.Len(t, k.Steps, 1)

	_, err := Sketch("kitchen.yaml", []byte(src), Draw(InSteps, "smoke pit", "gives", "drippings", "30 kg"))
	assert.Error(t, err, "a finished step that gives too much is a slip")
	src = drawn(t, src, Draw(InSteps, "smoke pit", "takes", "brisket", "25 kg"), Erase(InBought, "salt"), Erase(InBought, "brisket"))
	assert.Contains(t, src, "takes: [something]")
	src = drawn(t, src, Erase(InSteps, "smoke pit"))
	assert.Equal(t, "kitchen: Smoke Shack\ndishes: {brisket plate: {price: 19, takes: [something]}}\n", src)
}

func TestDrawnFaults(t *testing.T) {
	src := []byte(`bought: {brisket: {price: 9/kg}, oak: {price: 1/kg}}
steps:
  smoke pit:
    takes: [either 20 kg brisket or 20 kg oak, something]
    gives: [12 kg smoked brisket]
dishes: {plate: {takes: [180 g smoked brisket, 1 kg nothing known]}}
`)
	_, faults := Read("kitchen.yaml", src)
	require.Error(t, faults.Err())
	assert.Contains(t, faults.Error(), `unknown item "nothing known"`)
	ok := []byte("bought: {oak: {price: 1/kg}}\nsteps: {pit: {takes: [something], gives: [something]}}\n")
	for amount, says := range map[string]string{"a lot": `"a lot" is no amount`, "": "no amount", "0 kg": "zero", "3 kg oak or 2 kg": "no amount", "1 kg, in at dawn": "dawn"} {
		_, err := Sketch("kitchen.yaml", ok, Draw(InSteps, "pit", "takes", "oak", amount))
		require.Error(t, err, amount)
		assert.Contains(t, err.Error(), says)
	}
	_, err := Sketch("kitchen.yaml", ok, Draw(InSteps, "pit", "gives", "oak", "1 kg"))
	assert.Error(t, err, "bought and made")
	_, err = Sketch("kitchen.yaml", ok, NewBox(InDishes, "pit", nil))
	assert.Error(t, err, "a name for two things")
	_, err = Sketch("kitchen.yaml", ok, Wipe(InSteps, "pit", "takes", "oak"))
	assert.Error(t, err)
}

// Whatever is drawn in any kitchen, the file reads, what was drawn is in it, and what is taken away again leaves it as it was.
func TestDrawnAtRandom(t *testing.T) {
	lawtest.Few(t, 20)
	files, err := filepath.Glob("../../examples/*/kitchen.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	var texts []string
	for _, f := range files {
		src, err := os.ReadFile(f)
		require.NoError(t, err)
		texts = append(texts, string(src))
	}
	texts = append(texts, "kitchen: Nothing yet\n")
	rapid.Check(t, func(t *rapid.T) {
		src := []byte(rapid.SampledFrom(texts).Draw(t, "kitchen"))
		for range rapid.IntRange(1, 6).Draw(t, "edits") {
			d, err := Drawn("kitchen.yaml", src)
			require.NoError(t, err)
			of := func(lists ...string) (names []Box) {
				for _, b := range d.Boxes {
					if slices.Contains(lists, b.List) {
						names = append(names, b)
					}
				}
				return names
			}
			items, steps, dishes := of(InBought, InMade), of(InSteps), of(InDishes, InSpecials)
			amount := rapid.SampledFrom([]string{"1 g", "120 g", "2 kg", "30 mL", "1 each", "0.5 kg, guessed"}).Draw(t, "amount")
			var e Edit
			var after func(d *Drawing)
			kind := rapid.SampledFrom([]string{"box", "in", "plate", "out", "wipe", "erase"}).Draw(t, "kind")
			switch {
			case kind == "box" || kind == "in" && (items == nil || steps == nil) || kind == "plate" && (items == nil || dishes == nil) || kind == "out" && steps == nil ||
				kind == "wipe" && d.Links == nil || kind == "erase" && d.Boxes == nil:
				list := rapid.SampledFrom([]string{InBought, InSteps, InDishes}).Draw(t, "list")
				name := rapid.SampledFrom([]string{"smoke pit", "brisket", "oak", "yes", "salt: coarse", "élan", "12"}).Draw(t, "name")
				e, after = NewBox(list, name, nil), func(d *Drawing) {
					assert.True(t, slices.ContainsFunc(d.Boxes, func(b Box) bool { return b.List == list && b.Name == name }))
				}
			case kind == "in" || kind == "plate":
				if kind == "plate" {
					steps = dishes
				}
				card, item := rapid.SampledFrom(steps).Draw(t, "card"), rapid.SampledFrom(items).Draw(t, "item")
				e, after = Draw(card.List, card.Name, "takes", item.Name, amount), func(d *Drawing) { assert.NotNil(t, d.Between(card.List, card.Name, "takes", item.Name)) }
			case kind == "out":
				card, item := rapid.SampledFrom(steps).Draw(t, "card"), rapid.SampledFrom([]string{"drippings", "ash", "smoked brisket"}).Draw(t, "item")
				e, after = Draw(card.List, card.Name, "gives", item, amount), func(d *Drawing) { assert.NotNil(t, d.Between(card.List, card.Name, "gives", item)) }
			case kind == "wipe":
				l := rapid.SampledFrom(d.Links).Draw(t, "link")
				e, after = Wipe(l.List, l.Of, l.Key, l.Item), func(d *Drawing) { assert.Nil(t, d.Between(l.List, l.Of, l.Key, l.Item)) }
			default:
				b := rapid.SampledFrom(d.Boxes).Draw(t, "box")
				e, after = Erase(b.List, b.Name), func(d *Drawing) {
					assert.False(t, slices.ContainsFunc(d.Boxes, func(o Box) bool { return o.List == b.List && o.Name == b.Name }))
				}
			}
			text, err := Sketch("kitchen.yaml", src, e)
			if err != nil {
				_, said := errors.AsType[*AmendError](err)
				require.True(t, said, "%v", err)
				continue
			}
			k, faults := Read("kitchen.yaml", text)
			require.NotNil(t, k, "%v", faults)
			now, err := Drawn("kitchen.yaml", text)
			require.NoError(t, err)
			after(now)
			src = text
		}
	})
}

package kitchen

// Edits against a model that knows no text: what the file holds after an edit is what plain Go data holds after the same edit.

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
)

func exampleFiles(t *testing.T) (texts [][]byte) {
	files, err := filepath.Glob(filepath.FromSlash("../../examples/*/kitchen.yaml"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 4)
	for _, f := range files {
		src, err := os.ReadFile(f)
		require.NoError(t, err)
		texts = append(texts, src)
	}
	return texts
}

// held is what a text holds.
func held(t require.TestingT, src []byte) (v map[string]any) {
	require.NoError(t, yaml.Load(src, &v))
	return v
}

// pick draws a key of a mapping.
func pick(t *rapid.T, what string, in any) string {
	return rapid.SampledFrom(slices.Sorted(maps.Keys(in.(map[string]any)))).Draw(t, what)
}

var editLists = []string{InBought, InSteps, InMade, InDishes}

// drawEdit draws an edit of what a file holds, and makes it there too.
func drawEdit(t *rapid.T, src []byte, v map[string]any) Edit {
	list := rapid.SampledFrom(editLists).Draw(t, "list")
	in := v[list].(map[string]any)
	name := pick(t, "name", in)
	body := in[name].(map[string]any)
	card := rapid.SampledFrom([]string{InSteps, InDishes}).Draw(t, "card")
	cooked := pick(t, "cooked", v[card])
	lines := v[card].(map[string]any)[cooked].(map[string]any)["takes"].([]any)
	at := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
	line := rapid.SampledFrom([]string{"3 kg something", "2 L it, in at 1 h", "1 each a \"b\"", "4 g don't", "1 kg käse # no"}).Draw(t, "text")
	set := func(list []any) { v[card].(map[string]any)[cooked].(map[string]any)["takes"] = list }
	fresh := fmt.Sprintf("new %d", len(in))
	switch rapid.IntRange(0, 8).Draw(t, "edit") {
	case 8: // what stands in a blank of another of its kind
		from := pick(t, "other", in)
		other := in[from].(map[string]any)
		key := pick(t, "key", other)
		if formOf(list, key) == nil || key == "par" {
			t.Skip("no key of the file, or one that may hold what never stands there")
		}
		body[key] = other[key]
		m, err := newManuscript("kitchen.yaml", src)
		require.NoError(t, err)
		e := Fill(list, name, key, formOf(list, key).shown(m.find(list, from, key)))
		e.Says = "no longer what stood there: " + e.Says // lines that another card does not have go with their remarks
		return e
	case 0:
		key := rapid.SampledFrom([]string{"kept in", "guessed", "station", "keeps"}).Draw(t, "key")
		body[key] = "cold \"room\", left"
		return Set(list, name, key, Words("cold \"room\", left"))
	case 1:
		body["par"] = []any{1, "b"}
		return Set(list, name, "par", "[1, b]")
	case 2:
		key := pick(t, "key", body)
		if key == "takes" {
			t.Skip("cards have lines")
		}
		delete(body, key)
		return Unset(list, name, key)
	case 3:
		lines[at] = line
		return SetLine(card, cooked, "takes", at, line)
	case 4:
		set(slices.Insert(slices.Clone(lines), at, any(line)))
		return AddLine(card, cooked, "takes", at, line)
	case 5:
		if len(lines) == 1 {
			lines[at] = line
			return SetLine(card, cooked, "takes", at, line)
		}
		set(slices.Delete(slices.Clone(lines), at, at+1))
		return DropLine(card, cooked, "takes", at)
	case 6:
		copied := maps.Clone(body)
		for _, own := range ownNames {
			delete(copied, own)
		}
		in[fresh] = copied
		return Copy(list, name, fresh)
	}
	// The price is one that every list may hold: a bare 3 is a number in one and, behind a key that takes a text, the text "3" in another.
	in[fresh] = map[string]any{"price": "3/kg", "takes": []any{"1 kg a", "2 L b"}}
	return Add(list, fresh, "{price: 3/kg, takes: [1 kg a, 2 L b]}")
}

// What the text holds after an edit is what the model holds; the lines that an edit does not touch are there still, in their order, with
// their comments.
func TestEditsAgainstAModel(t *testing.T) {
	lawtest.Few(t, 25)
	texts := exampleFiles(t)
	refused, made := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		src := rapid.SampledFrom(texts).Draw(t, "example")
		if rapid.Bool().Draw(t, "CR LF") {
			src = []byte(strings.ReplaceAll(string(src), "\n", "\r\n"))
		}
		for range rapid.IntRange(1, 4).Draw(t, "edits") {
			model := held(t, src)
			e := drawEdit(t, src, model)
			m, err := newManuscript("kitchen.yaml", src)
			require.NoError(t, err)
			if err := e.do(m); err != nil { // nothing is written
				var stuck *AmendError
				require.ErrorAs(t, err, &stuck)
				refused++
				continue
			}
			made++
			require.Equal(t, model, held(t, m.src), e.Says)
			before, after := strings.SplitAfter(string(src), "\n"), strings.SplitAfter(string(m.src), "\n")
			for len(before) > 0 && len(after) > 0 && before[0] == after[0] {
				before, after = before[1:], after[1:]
			}
			for len(before) > 0 && len(after) > 0 && before[len(before)-1] == after[len(after)-1] {
				before, after = before[:len(before)-1], after[:len(after)-1]
			}
			require.LessOrEqual(t, len(before), 40, "%s touches\n%s", e.Says, strings.Join(before, ""))
			for _, line := range before {
				_, comment, found := strings.Cut(strings.TrimRight(line, "\r\n"), "  # ")
				require.True(t, !found || strings.Contains(e.Says, "no ") || strings.Contains(string(m.src), comment), "%s lost %q", e.Says, comment)
			}
			src = m.src
		}
	})
	assert.Greater(t, made, 10*refused, "nearly all edits can be made in place: %d of %d", made, made+refused)
}

// A name changed everywhere and changed back is the file as it was, byte for byte, and the kitchen between is the same but for the name.
func TestRenameThereAndBack(t *testing.T) {
	lawtest.Few(t, 25)
	spaces := regexp.MustCompile(` +#`)
	type example struct {
		src   []byte
		k     *Kitchen
		names []string
	}
	var examples []example
	for _, src := range exampleFiles(t) {
		k, faults := Read("kitchen.yaml", src)
		require.NoError(t, faults.Err())
		e := example{src: src, k: k}
		for _, it := range k.Graph.Items {
			e.names = append(e.names, it.Name)
		}
		for s := range k.Steps {
			e.names = append(e.names, k.Graph.Steps[s].Name)
		}
		for _, v := range k.Vessels {
			e.names = append(e.names, v.Name)
		}
		examples = append(examples, e)
	}
	rapid.Check(t, func(t *rapid.T) {
		e := examples[rapid.IntRange(0, len(examples)-1).Draw(t, "example")]
		name := rapid.SampledFrom(e.names).Draw(t, "name")
		text, err := Change("kitchen.yaml", e.src, Rename(name, "entirely new"))
		require.NoError(t, err, name)
		after, _ := Read("kitchen.yaml", text)
		require.NotNil(t, after)
		for i, it := range after.Graph.Items {
			if was := e.k.Graph.Items[i].Name; was != name {
				require.Equal(t, was, it.Name)
			} else {
				require.Equal(t, "entirely new", it.Name)
			}
		}
		back, err := Change("kitchen.yaml", text, Rename("entirely new", name))
		require.NoError(t, err, name)
		require.Equal(t, spaces.ReplaceAllString(string(e.src), " #"), spaces.ReplaceAllString(string(back), " #"), name)
	})
}

func TestSplit(t *testing.T) {
	src := []byte(`kitchen: K
bought: {hen: {price: 9/each, each: 2 kg}, water: {price: 0/L, density: 1 kg/L}, salt: {price: 1/kg}}
steps:
  kettle:                    # by the window
    takes:
      - 10 each hen, in at 1 h   # plucked
      - 30 L water
      - 100 g salt
    gives:
      - 28 L stock, out at 5 h   # strained
      - 6 kg pulled hen, out at 3 h
      - 1.7 kg skin, out at 3 h
    batches: {tue: 1}
made:
  stock: {density: 1 kg/L}
dishes:
  soup: {price: 7, takes: [300 mL stock, 60 g pulled hen, 5 g skin], sells: 9}
`)
	text, err := Change("kitchen.yaml", src, Split("kettle", "pick hens", "14 kg boiled hen", []int{2}, []int{1, 2}))
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(strings.Replace(strings.Replace(string(src), "      - 6 kg pulled hen, out at 3 h\n      - 1.7 kg skin, out at 3 h\n", "", 1),
		"      - 100 g salt\n", "", 1), "      - 28 L stock", "      - 14 kg boiled hen, out at 3 h\n      - 28 L stock", 1),
		strings.Replace(string(text), "  pick hens: {takes: [14 kg boiled hen, 100 g salt], gives: [6 kg pulled hen, 1.7 kg skin], batches: all of it}\n", "", 1))
	assert.Contains(t, string(text), "    batches: {tue: 1}\n  pick hens: {takes:")

	_, err = Change("kitchen.yaml", src, Split("kettle", "pick hens", "boiled hen", nil, []int{1}))
	assert.EqualError(t, err, `"boiled hen" does not begin with a quantity`)
	_, err = Change("kitchen.yaml", src, Split("kettle", "pick hens", "1 kg boiled hen", nil, []int{1}))
	assert.EqualError(t, err, "that change would put a mistake in the kitchen file", "6 kg of 1 kg")
}

func TestEditsRefused(t *testing.T) {
	src := []byte(`kitchen: K
bought:
  meat: {price: 5/kg}
steps:
  cook: {takes: [9 kg meat], gives: [5 kg it]}
dishes:
  plate: {price: 9, takes: [100 g it], sells: 4}
`)
	for _, c := range []struct {
		edit Edit
		want string
	}{
		{Set(InBought, "meet", "price", "6/kg"), `there is no "meet" under "bought"`},
		{Set(InBought, "meat", "price", "6/kg, keeps: 2 days"), `"6/kg, keeps: 2 days" is not one value`},
		{Set(InBought, "meat", "price", "six"), "that change would put a mistake in the kitchen file"},
		{Unset(InBought, "meat", "keeps"), `"meat" has no "keeps"`},
		{Drop(InBought, "meat"), "that change would put a mistake in the kitchen file"},
		{Add(InDishes, "plate", "{price: 3, takes: [1 g it]}"), `"plate" stands under "dishes" already`},
		{Copy(InDishes, "plate", "plate"), `"plate" stands under "dishes" already`},
		{Rename("it", "meat"), `something is called "meat" already, on line 3`},
		{Rename("it", "a, b"), `name "a, b" can't hold ","`},
		{Rename("nothing", "other"), `nothing is called "nothing"`},
		{DropLine(InSteps, "cook", "takes", 3), `there is no "cook" under "steps"`},
	} {
		_, err := Change("kitchen.yaml", src, c.edit)
		assert.EqualError(t, err, c.want)
	}
	_, err := Change("kitchen.yaml", []byte("kitchen: [\n"), SetTop("money", "USD"))
	assert.EqualError(t, err, "kitchen.yaml can't be read")
}

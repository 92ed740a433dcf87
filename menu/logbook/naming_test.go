package logbook

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Names that are nearly the kitchen's are found where one only is near; what may be two is none, and both are named.
func TestNamesThatAreAlike(t *testing.T) {
	k := henHouseKitchen(t)
	items, dishes := namerOf(k, false, nil), namerOf(k, true, nil)
	for _, c := range []struct {
		of            *namer
		written, want string
		alike         bool
	}{
		{items, "whole hen", "whole hen", false},
		{items, "Whole Hen", "whole hen", true},
		{items, "HENS, WHOLE", "whole hen", true},
		{items, "Whole Hen, grade A 1.9kg", "whole hen", true},
		{items, "Creme Fraiche", "crème fraîche", true},
		{items, "cre\u0300me frai\u0302che", "crème fraîche", false}, // the same letters, put together otherwise
		{items, "ham bone 24", "ham bone 24 months", true},
		{items, "Ham Bones (24 Months), smoked", "ham bone 24 months", true},
		{items, "rolls", "bread roll", true},
		{items, "Ham Bones", "ham bone 12 months|ham bone 24 months", false},
		{items, "hen", "whole hen|pulled hen|hen stock", false},
		{items, "hen stock, pulled hen", "pulled hen|hen stock", false},
		{items, "hen soup", "", false}, // a dish
		{items, "---", "", false},
		{items, "goose", "", false},
		{dishes, "Hen Soups", "hen soup", true},
		{dishes, "hn supp lg", "hen soup", false}, // as the file says
		{dishes, "Soup, Large", "hen soup", false},
		{dishes, "soup", "hen soup", true},
		{dishes, "hen", "hen soup|hen roll", false},
		{dishes, "whole hen", "", false},
	} {
		found := c.of.find(tidy(c.written))
		got := strings.Join(found.near, "|")
		if found.place >= 0 {
			got = c.of.names[found.place]
		}
		assert.Equal(t, c.want, got, c.written)
		assert.Equal(t, c.alike, found.alike, c.written)
	}
}

// What a name was said to mean goes before what it is like, and after what the kitchen file says itself.
func TestNamesThatWereSaid(t *testing.T) {
	k := henHouseKitchen(t)
	var kept Names
	for _, said := range []string{"Ham Bones=Ham Bone 12 Months", "Soup=none", "Roll, large=hen roll", "Ham Bones=ham bone 24 months", "a=b=bread roll"} {
		n, err := Meaning(k, said)
		require.NoError(t, err)
		kept = kept.With(n)
	}
	read, found := ReadNames("kitchen.names", kept.CSV())
	require.Empty(t, found)
	assert.Equal(t, kept, read)
	assert.Equal(t, "of,name,means\nitem,Soup,none\ndish,\"Roll, large\",hen roll\nitem,Ham Bones,ham bone 24 months\nitem,a=b,bread roll\n", string(kept.CSV()))
	items, dishes := namerOf(k, false, kept), namerOf(k, true, kept)
	assert.Equal(t, "ham bone 24 months", items.names[items.find("HAM BONES").place])
	assert.True(t, items.find("soup").left)
	assert.True(t, dishes.find("soup").left, "what is nothing is nothing anywhere")
	assert.Equal(t, "hen roll", dishes.names[dishes.find("roll, large").place])
	assert.Equal(t, -1, items.find("roll, large of them all").place, "what was said of a dish says nothing of an item")
	for said, want := range map[string]string{
		"Soup": `"Soup" does not say what the name means`, "=hen roll": `"=hen roll" lacks a name`, "Soup=": `"Soup=" lacks a name`,
		"Soup=goose": `unknown item "goose"`, "whole hen=none": `"whole hen" is a name of the kitchen file`, "HEN SOUP=hen roll": `"HEN SOUP" is a name of the kitchen file`,
		"Bread Roll=whole hen": `"Bread Roll" is a name of the kitchen file`,
	} {
		_, err := Meaning(k, said)
		require.Error(t, err, said)
		assert.True(t, strings.HasPrefix(err.Error(), want), err.Error())
	}
	n, err := Meaning(k, "Whole Hen=hen soup") // on the till, a plate has the name of an item
	require.NoError(t, err)
	assert.Equal(t, Naming{true, "Whole Hen", "hen soup"}, n)
}

// Whatever a name is, it is kept as it was said.
func TestNamesAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var kept Names
		for range rapid.IntRange(0, 5).Draw(t, "names") {
			word := rapid.StringMatching(`[^\x00-\x1F\x7F]{1,12}`)
			n := Naming{rapid.Bool().Draw(t, "dish"), tidy(word.Draw(t, "written")), tidy(word.Draw(t, "means"))}
			if n.Written != "" && n.Means != "" {
				kept = kept.With(n)
			}
		}
		read, found := ReadNames("kitchen.names", kept.CSV())
		if found != nil {
			t.Fatalf("%q: %s", kept.CSV(), found.Error())
		}
		if fmt.Sprint(read) != fmt.Sprint(kept) {
			t.Fatalf("%v is read as %v", kept, read)
		}
	})
}

// Names that mean nothing are told once, with their rows, and asked.
func TestUnknownNamesAreAskedOnce(t *testing.T) {
	k := henHouseKitchen(t)
	src := "item,qty\nCola,1\nHen,2\nCola,3\nhen soup,4\nGoose,0\n"
	f, asked, faults := Read(k, "till.csv", []byte(src), plainManner())
	assert.Nil(t, f)
	require.Len(t, faults, 2)
	assert.Equal(t, `unknown dish "Cola", on 2 rows`, faults[0].Msg)
	assert.Equal(t, `"Hen" may be "hen soup" or "hen roll"`, faults[1].Msg)
	assert.Equal(t, []Question{{AboutName, "Cola", true, 2, nil}, {AboutName, "Hen", true, 1, []string{"hen soup", "hen roll"}}}, asked)
	m := plainManner()
	for i, answer := range []string{"NONE", "roll"} {
		n, err := asked[i].Naming(k, answer)
		require.NoError(t, err)
		m.Names = m.Names.With(n)
	}
	f, _, faults = Read(k, "till.csv", []byte(src), m)
	require.Empty(t, faults)
	require.Len(t, f.Entries, 2)
	assert.Equal(t, "2 hen roll", f.Entries[0].Text)
	assert.Equal(t, []Taken{{"Cola", "it means none", 2}, {"Goose", "none sold", 1}}, f.Left)
	for answer, want := range map[string]string{"": `the kitchen has no ""`, "goose": `the kitchen has no "goose"`, "hen": `"hen" may be "hen soup" or "hen roll"`} {
		_, err := asked[1].Naming(k, answer)
		require.Error(t, err)
		assert.True(t, strings.HasPrefix(err.Error(), want), err.Error())
	}
}

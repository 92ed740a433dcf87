package ask

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/kitchen"
)

// Nine by 21 U.S.C. 321(qq) (FALCPA 2004 and the FASTER Act 2021: food-safety.com/articles/7223,
// dwt.com/insights/2021/04/sesame-food-allergen-list); fourteen by Annex II of 1169/2011 (farrp.unl.edu/ref-sit-eu).
func TestAllergenLists(t *testing.T) {
	members := map[string]string{
		"us": "milk, egg, fish, crustacean shellfish, tree nuts, wheat, peanuts, soybeans, sesame",
		"eu": "gluten, crustaceans, eggs, fish, peanuts, soybeans, milk, nuts, celery, mustard, sesame, sulphites, lupin, molluscs",
	}
	for _, l := range kitchen.AllergenLists {
		var names []string
		for _, c := range l.Codes {
			names = append(names, c.Name)
		}
		assert.Equal(t, members[l.Name], strings.Join(names, ", "))
		assert.NotEmpty(t, l.Source)
	}
	assert.Len(t, kitchen.AllergenLists[0].Codes, 9)
	assert.Len(t, kitchen.AllergenLists[1].Codes, 14)
	k := &kitchen.Kitchen{Lists: kitchen.AllergenLists}
	assert.Equal(t, []string{"us", "eu"}, k.ListsWith("wheat"))
	assert.Equal(t, []string{"eu"}, k.ListsWith("rye"), "rye, barley and oats have no code in the US (from memory)")
	assert.Equal(t, []string{"eu"}, k.ListsWith("molluscs"))
	assert.Equal(t, []string{"us"}, k.ListsWith("shrimp"))
}

// Celery in a pot is in all that comes of it, and in no list of the US; a roux adds wheat and milk only to what is made
// with it. Derived from the graph, no publication.
func TestAllergensFlowDownstream(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`
bought:
  bones: {price: 1/kg, allergens: []}
  mirepoix: {price: 1/kg, allergens: [celery]}
  roux: {price: 1/kg, allergens: [wheat, milk]}
  bread: {price: 1/kg, allergens: [wheat, sesame]}
  herbs: {price: 1/kg}
steps:
  pot: {takes: [9 kg bones, 1 kg mirepoix], gives: [5 kg stock, 2 kg meat, 1 kg fat]}
  sauce: {takes: [1 kg stock, 100 g roux], gives: [1 kg gravy], batches: to order}
dishes:
  broth: {price: 5, takes: [300 g stock]}
  plate: {price: 9, takes: [200 g meat, 100 g gravy, 5 g herbs]}
  toast: {price: 4, takes: [20 g fat, 60 g bread, 50 g gravy or 40 g stock]}
  cup: {price: 4, takes: [200 g stock or 200 g gravy, "30 g bread, optional"]}
`))
	require.Empty(t, faults)
	got := map[string]string{}
	for _, d := range Allergens(k).Dishes {
		var parts []string
		for _, a := range d.Allergens {
			text := a.Allergen
			for _, w := range a.Ways {
				text += " " + strings.Join(w.Path, ">") + "/" + w.Only
			}
			parts = append(parts, fmt.Sprintf("%s %t", text, a.Always))
		}
		for _, u := range d.Unstated {
			parts = append(parts, "unstated "+strings.Join(u.Path, ">"))
		}
		got[d.Name] = strings.Join(parts, "; ")
	}
	assert.Equal(t, map[string]string{
		"broth": "celery mirepoix>stock>broth/ true",
		"plate": "celery mirepoix>meat>plate/ true; wheat roux>gravy>plate/ true; milk roux>gravy>plate/ true; unstated herbs>plate",
		"toast": "celery mirepoix>fat>toast/ true; wheat roux>gravy>toast/ bread>toast/ true; milk roux>gravy>toast/ true; sesame bread>toast/ true",
		"cup": "celery mirepoix>stock>cup/ true; wheat roux>gravy>cup/substitute bread>cup/optional false; milk roux>gravy>cup/substitute false; " +
			"sesame bread>cup/optional false",
	}, got)
}

// A dish's allergens are exactly the union over everything that can reach it: substitutes and what may be left out too.
// The reach is found again here, by marking what a dish takes until nothing is added.
func TestAllergensAreTheUnionOfWhatReaches(t *testing.T) {
	codes := []string{"milk", "wheat", "celery", "fish", "sesame"}
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		b.WriteString("bought:\n")
		bought := rapid.IntRange(2, 5).Draw(t, "bought")
		stated := map[string][]string{}
		var items []string
		for i := range bought {
			name := fmt.Sprintf("raw %d", i)
			items = append(items, name)
			if rapid.Bool().Draw(t, "states") {
				has := rapid.SliceOfNDistinct(rapid.SampledFrom(codes), 0, 3, rapid.ID).Draw(t, "has")
				stated[name] = has
				fmt.Fprintf(&b, "  %s: {price: 1/kg, allergens: [%s]}\n", name, strings.Join(has, ", "))
			} else {
				fmt.Fprintf(&b, "  %s: {price: 1/kg}\n", name)
			}
		}
		uses := map[string][]string{} // by what is made
		line := func(from []string, maker string) string {
			first := rapid.SampledFrom(from).Draw(t, "first")
			text := "1 kg " + first
			uses[maker] = append(uses[maker], first)
			if second := rapid.SampledFrom(from).Draw(t, "second"); second != first && rapid.Bool().Draw(t, "or") {
				text += " or 1 kg " + second
				uses[maker] = append(uses[maker], second)
			}
			return text
		}
		b.WriteString("steps:\n")
		for i := range rapid.IntRange(1, 4).Draw(t, "steps") {
			made := fmt.Sprintf("made %d", i)
			fmt.Fprintf(&b, "  step %d: {takes: [%s], gives: [0.5 kg %s]}\n", i, line(items, made), made)
			items = append(items, made)
		}
		b.WriteString("dishes:\n")
		dishes := rapid.IntRange(1, 3).Draw(t, "dishes")
		for i := range dishes {
			dish := fmt.Sprintf("dish %d", i)
			fmt.Fprintf(&b, "  %s: {price: 9, takes: [%s]}\n", dish, line(items, dish))
		}
		k, faults := kitchen.Read("kitchen.yaml", []byte(b.String()))
		if k == nil {
			t.Fatalf("%v\n%s", faults, b.String())
		}
		for _, d := range Allergens(k).Dishes {
			reached := map[string]bool{d.Name: true}
			for range len(items) + 1 {
				for maker, from := range uses {
					for _, f := range from {
						reached[f] = reached[f] || reached[maker]
					}
				}
			}
			var want, got, unstated, gotUnstated []string
			for _, name := range items[:bought] {
				if has, ok := stated[name]; reached[name] && ok {
					want = append(want, has...)
				} else if reached[name] {
					unstated = append(unstated, name)
				}
			}
			for _, a := range d.Allergens {
				got = append(got, a.Allergen)
				for _, w := range a.Ways {
					if !slices.Contains(stated[w.Path[0]], a.Allergen) || w.Path[len(w.Path)-1] != d.Name {
						t.Fatalf("%s does not come by %v", a.Allergen, w.Path)
					}
					for n := range len(w.Path) - 1 {
						if !slices.Contains(uses[w.Path[n+1]], w.Path[n]) {
							t.Fatalf("no step leads from %s to %s", w.Path[n], w.Path[n+1])
						}
					}
				}
				if len(a.Ways) == 0 {
					t.Fatalf("%s comes by no way", a.Allergen)
				}
			}
			for _, u := range d.Unstated {
				gotUnstated = append(gotUnstated, u.Path[0])
			}
			slices.Sort(want)
			slices.Sort(got)
			if want = slices.Compact(want); !slices.Equal(want, got) || !slices.Equal(unstated, gotUnstated) {
				t.Fatalf("%s: %v %v, want %v %v\n%s", d.Name, got, gotUnstated, want, unstated, b.String())
			}
		}
	})
}

// What a package may contain, and what a step shares with other food, flows like an allergen and is told apart from it. A dish that
// always has it needs no "may"; one that has it only with a substitute does.
func TestMayContainFlows(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`
bought:
  oil: {price: 1/kg, allergens: [], may contain: [tree nuts: walnut, milk]}
  potatoes: {price: 1/kg, allergens: []}
  fillet: {price: 1/kg, allergens: [fish: cod]}
  cream: {price: 1/kg, allergens: [milk]}
  herbs: {price: 1/kg}
steps:
  fry: {takes: [1 kg potatoes, 100 g oil], gives: [0.8 kg fries], may contain: [fish: cod], batches: to order}
  mash: {takes: [1 kg potatoes, 100 g oil], gives: [1 kg mash], batches: to order}
dishes:
  chips: {price: 5, takes: [200 g fries]}
  fish and chips: {price: 9, takes: [200 g fries, 100 g fillet]}
  mash cup: {price: 9, takes: [200 g mash, "20 g cream, optional"], may contain: [sesame]}
  herb mash: {price: 9, takes: [200 g mash or 200 g fries, 20 g cream, 1 g herbs]}
`))
	require.Empty(t, faults)
	got := map[string]string{}
	for _, d := range Allergens(k).Dishes {
		var parts []string
		for _, list := range [][]AllergenWay{d.Allergens, d.May} {
			for _, a := range list {
				text := a.Allergen
				for _, w := range a.Ways {
					text += " " + strings.Join(w.Path, ">") + "/" + w.Only
				}
				parts = append(parts, text)
			}
			parts = append(parts, "|")
		}
		got[d.Name] = strings.Join(parts, " ")
	}
	assert.Equal(t, map[string]string{
		"chips":          "| tree nuts (walnut) oil>fries>chips/ milk oil>fries>chips/ fish (cod) fry>fries>chips/ |",
		"fish and chips": "fish (cod) fillet>fish and chips/ | tree nuts (walnut) oil>fries>fish and chips/ milk oil>fries>fish and chips/ |",
		"mash cup":       "milk cream>mash cup/optional | tree nuts (walnut) oil>mash>mash cup/ milk oil>mash>mash cup/ sesame mash cup/ |",
		"herb mash":      "milk cream>herb mash/ | tree nuts (walnut) oil>mash>herb mash/ fish (cod) fry>fries>herb mash/substitute |",
	}, got)

	cells := map[string]string{}
	g := Grid(k)
	for _, row := range g.Dishes {
		for n, c := range row.Cells {
			if name := g.Columns[n].Allergen; c.Says != NoneStated && (c.Says != Unknown || len(c.Kinds) > 0 || name == "lupin") {
				cells[row.Dish] += fmt.Sprint(name, "=", c.Says, c.Kinds, " ")
			}
			for _, also := range c.Also {
				cells[row.Dish] += fmt.Sprint(g.Columns[n].Allergen, "+", also.Says, also.Kinds, " ")
			}
		}
	}
	assert.Equal(t, map[string]string{
		"chips":          "milk=may contain[] fish=may contain[cod] tree nuts=may contain[walnut] ",
		"fish and chips": "milk=may contain[] fish=contains[cod] tree nuts=may contain[walnut] ",
		"mash cup":       "milk=sometimes[] milk+may contain[] tree nuts=may contain[walnut] sesame=may contain[] ",
		"herb mash":      "milk=contains[] fish+may contain[cod] tree nuts+may contain[walnut] lupin=unknown[] ",
	}, cells)
}

// The grid has each entry of the kitchen's lists once, whichever of two names the file writes, and never leaves a code out.
func TestGridColumns(t *testing.T) {
	columns := func(list, allergens string) string {
		k, faults := kitchen.Read("kitchen.yaml", []byte(list+"bought: {x: {price: 1/kg, allergens: ["+allergens+"]}}\ndishes: {d: {price: 1, takes: [1 kg x]}}\n"))
		require.NoError(t, faults.Err())
		g := Grid(k)
		var names, has []string
		for n, c := range g.Columns {
			names = append(names, c.Allergen)
			if cell := g.Dishes[0].Cells[n]; cell.Says == Contains {
				has = append(has, c.Allergen+strings.Join(cell.Kinds, "+"))
			}
		}
		return fmt.Sprint(len(names), " ", strings.Join(has, ", "))
	}
	// 9 + 14 less the eight that both lists have: milk, egg, fish, crustaceans, nuts, peanuts, soybeans, sesame; wheat is one of the
	// cereals of gluten, and a code of its own in the US.
	assert.Equal(t, "15 egg, fishcod", columns("", "eggs, fish: cod"))
	assert.Equal(t, "15 tree nutswalnut, wheat, glutenwheat+rye", columns("", "walnut, wheat, rye"))
	assert.Equal(t, "9 crustacean shellfishcrab", columns("allergen list: us\n", "crab"))
	assert.Equal(t, "14 crustaceansprawn", columns("allergen list: eu\n", "crustaceans: prawn"))
	assert.Equal(t, "11 milk, pork, lard", columns("allergen list: [us, pork]\n", "milk, pork, lard"), "lard is on no list, and stands all the same")
}

// A fumet brings fish to all that is made with it. Sulphites are on the EU's list from 10 mg/kg or 10 mg/L in the dish as served
// (1169/2011, Annex II, 12) and on none of the US; how much of them is in a dish no kitchen file says, so that what it states on a wine goes
// with the wine however little it is, and a wine that states none brings none. Derived from the graph, no publication.
func TestFumetAndSulphitesFlowDownstream(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`
bought:
  heads: {price: 1/kg, raw: yes, allergens: [fish: cod]}
  wine: {price: 9/kg, allergens: [sulphites]}
  plain wine: {price: 9/kg, allergens: []}
  rice: {price: 2/kg, allergens: []}
steps:
  boil: {takes: [5 kg heads], gives: [4 kg fumet], cooks through: yes}
  reduce: {takes: [1 kg fumet, 10 g wine], gives: [500 g glaze], reheats: yes}
dishes:
  cup: {price: 4, takes: [200 g fumet]}
  bowl: {price: 5, takes: [200 g rice, 5 g glaze]}
  plate: {price: 5, takes: [200 g rice, 20 g plain wine]}
  either: {price: 6, takes: [200 g rice, 50 g glaze or 50 g plain wine]}
`))
	require.NoError(t, faults.Err())
	got := map[string]string{}
	for _, d := range Allergens(k).Dishes {
		var has []string
		for _, w := range d.Allergens {
			has = append(has, w.Allergen)
		}
		slices.Sort(has)
		got[d.Name] = strings.Join(has, ", ")
	}
	assert.Equal(t, map[string]string{"cup": "fish (cod)", "bowl": "fish (cod), sulphites", "plate": "", "either": "fish (cod), sulphites"}, got)
	assert.Equal(t, []string{"eu"}, k.ListsWith("sulphites"))
	assert.Equal(t, []string{"us", "eu"}, k.ListsWith("fish"))
}

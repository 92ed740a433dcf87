package ask

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph"
	"kettletree/graph/draw"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// losses are one mishap for each example.
var losses = map[string]string{
	"three-kettles": "lose night kettle@tue", "fish-house": "lose fillet cod@wed",
	"evergreen-braise": "lose daily braise@wed", "first-pot": "lose poach chickens@thu",
}

func picture(tb testing.TB, w *week.Week, around string, by By, texts ...string) draw.Picture {
	tb.Helper()
	p, err := Map(tb.Context(), w, weektest.Shocks(tb, w, texts...), around, by)
	require.NoError(tb, err)
	return p
}

// maps are the whole maps of an example, by each meaning, before and after its mishap.
func maps(tb testing.TB, name string) map[string]draw.Picture {
	w, all := weektest.ExampleWeek(tb, name), map[string]draw.Picture{}
	for _, by := range Bys {
		all[string(by)] = picture(tb, w, "", by)
		all[string(by)+" after"] = picture(tb, w, "", by, losses[name])
	}
	return all
}

func box(tb testing.TB, p draw.Picture, id string) draw.Node {
	tb.Helper()
	i := slices.IndexFunc(p.Nodes, func(n draw.Node) bool { return n.ID == id })
	require.GreaterOrEqual(tb, i, 0, "there is no box %s", id)
	return p.Nodes[i]
}

func ids(p draw.Picture) (all []string) {
	for _, n := range p.Nodes {
		all = append(all, n.ID)
	}
	return all
}

func hit(n draw.Node) bool { return n.State == draw.Short || n.State == draw.Out }

// boxOf is the box of a step, which may be that of the one item that it gives.
func boxOf(tb testing.TB, p draw.Picture, step int, name string) draw.Node {
	for _, n := range p.Nodes {
		by := slices.ContainsFunc(n.Lines, func(s string) bool { return s == "by "+name || strings.HasPrefix(s, "by "+name+",") })
		if n.Step == step || by {
			return n
		}
	}
	tb.Errorf("the step %q is neither a box nor named in one", name)
	return draw.Node{}
}

func TestWholeMapLosesNothing(t *testing.T) {
	for _, name := range weektest.Examples {
		k := weektest.ExampleWeek(t, name).Kitchen
		for kind, p := range maps(t, name) {
			t.Run(name+" by "+kind, func(t *testing.T) {
				boxes := map[int]bool{}
				for _, n := range p.Nodes {
					boxes[n.Item] = true
				}
				folded := false
				for s, st := range k.Graph.Steps {
					user := boxOf(t, p, s, st.Name)
					for _, l := range st.Takes {
						for _, c := range l.Choices {
							item := k.Graph.Items[c.Item]
							if boxes[c.Item] {
								assert.True(t, slices.ContainsFunc(p.Edges, func(e draw.Edge) bool {
									return e.To == user.ID && e.Item == c.Item
								}), "no line from %s to %s", item.Name, user.Name)
								continue
							}
							folded = true
							assert.Equal(t, graph.Bought, item.Role)
							i := slices.IndexFunc(user.Lines, func(s string) bool { return strings.HasPrefix(s, "with ") })
							require.GreaterOrEqual(t, i, 0, "%s in the box of %s", item.Name, user.Name)
							assert.Contains(t, user.Lines[i], item.Name, "in the box of %s", user.Name)
						}
					}
					for _, o := range st.Gives {
						assert.True(t, boxes[o.Item], "%s has no box", k.Graph.Items[o.Item].Name)
					}
				}
				assert.Equal(t, folded, strings.Contains(p.Caption, "--around ITEM shows all"), "the caption says what is left out")
			})
		}
	}
}

func TestFoldedItemsSayHowTheyAreUsed(t *testing.T) {
	p := picture(t, weektest.ExampleWeek(t, "three-kettles"), "", ByWeight)
	assert.Equal(t, []string{"with radish (optional), bolillo roll if no tostada, lime"}, box(t, p, "dish-red-pozole").Lines)
	assert.Equal(t, []string{"by second boil, wed fri sun, small kettle", "with water, white onion"}, box(t, p, "item-second-stock").Lines)
	assert.NotContains(t, ids(p), "item-dried-corn", "it feeds a step that gives one item")
	assert.Contains(t, ids(p), "item-pork-trotters", "the night kettle gives five")

	small := picture(t, weektest.ExampleWeek(t, "first-pot"), "", ByWeight)
	assert.Contains(t, ids(small), "item-bread-roll", "a small map has room")
	assert.NotContains(t, ids(small), "item-water", "what costs nothing is only named")
}

func TestWhatAShockTouchesKeepsItsBox(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	before := ids(picture(t, w, "", ByWeight))
	for _, by := range Bys {
		assert.Equal(t, before, ids(picture(t, w, "", by, "lose night kettle@tue")), "the same boxes in the same order")
		p := picture(t, w, "", by, "short dried corn=50%", "price masa flour=+10%", "strike crackling beans")
		assert.Subset(t, ids(p), before)
		corn, flour, beans := box(t, p, "item-dried-corn"), box(t, p, "item-masa-flour"), box(t, p, "dish-crackling-beans")
		assert.Equal(t, draw.Short, corn.State)
		assert.Regexp(t, `^short: 15 of 30 kg$`, corn.StateWords)
		assert.Equal(t, draw.Untouched, flour.State)
		assert.Equal(t, "OUT, struck off", beans.StateWords)
		assert.True(t, corn.Origin && flour.Origin && beans.Origin)
	}
}

func TestStatesOfALostKettle(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	a := ask(t, w, losses["three-kettles"])
	sold := map[string]int{}
	for _, d := range a.Dishes {
		sold[d.Name] += d.After
	}
	p := picture(t, w, "", ByShortage, losses["three-kettles"])
	kettle := box(t, p, "step-night-kettle")
	assert.Equal(t, draw.Short, kettle.State)
	assert.Equal(t, "lost: 1 of 3 batches", kettle.StateWords)
	assert.Regexp(t, `^short: `+strconv.Itoa(sold["red pozole"])+` of 228 sold, from Wed \d\d:\d\d$`,
		box(t, p, "dish-red-pozole").StateWords)
	assert.Equal(t, "short: 140 of 210 L", box(t, p, "item-kettle-stock").StateWords)
	assert.Equal(t, "runs out too soon", box(t, p, "item-pozole-broth").StateWords)
	assert.Equal(t, draw.Untouched, box(t, p, "item-pulled-shoulder").State)
	for _, n := range p.Nodes {
		assert.Equal(t, n.ID == kettle.ID, n.Origin, n.ID)
	}
	all := picture(t, w, "", ByShortage, "lose night kettle")
	assert.Equal(t, draw.Out, box(t, all, "step-night-kettle").State)
	assert.Equal(t, draw.Out, box(t, all, "item-pulled-hen").State)
}

// A reader follows what is short from where it began: every dish that is short can be reached over boxes that are.
func TestPathFromTheLossToTheDishes(t *testing.T) {
	for _, name := range weektest.Examples {
		w := weektest.ExampleWeek(t, name)
		for _, around := range []string{"", strings.TrimPrefix(strings.Split(losses[name], "@")[0], "lose ")} {
			t.Run(name+" around "+around, func(t *testing.T) {
				p := picture(t, w, around, ByShortage, losses[name])
				reached, dishes := map[string]bool{}, 0
				for range p.Nodes {
					for _, e := range p.Edges {
						from, to := box(t, p, e.From), box(t, p, e.To)
						reached[to.ID] = reached[to.ID] || hit(from) && hit(to) && (from.Origin || reached[from.ID])
					}
				}
				for _, n := range p.Nodes {
					if (n.Kind == draw.Dish || n.Kind == draw.Special) && hit(n) {
						dishes++
						assert.True(t, reached[n.ID], "no way to %s", n.Name)
					}
				}
				assert.NotZero(t, dishes)
			})
		}
	}
}

func TestByShortageOnlyLossesStandOut(t *testing.T) {
	for _, name := range weektest.Examples {
		p := picture(t, weektest.ExampleWeek(t, name), "", ByShortage, losses[name])
		for _, n := range p.Nodes {
			assert.True(t, n.Tone == 0 || hit(n), "%s: %s is dark and %s", name, n.Name, n.State)
		}
		for _, e := range p.Edges {
			assert.True(t, e.Share == 0 || hit(box(t, p, e.From)), "%s: %s to %s is thick", name, e.From, e.To)
		}
	}
}

func TestAroundShowsEverything(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	p := picture(t, w, "red pozole", ByWeight)
	node, err := node(w.Kitchen, "red pozole")
	require.NoError(t, err)
	want := draw.FromGraph(w.Graph, draw.Around(w.Graph, node), onCards(w))
	assert.Equal(t, ids(want), ids(p))
	assert.Len(t, p.Edges, len(want.Edges))
	assert.Contains(t, ids(p), "item-salt")
	assert.Contains(t, ids(p), "step-red-chile-base")
	assert.Equal(t, "keeps 4 days", box(t, p, "item-kettle-stock").Lines[0])
	assert.Equal(t, []string{"tue thu sat at 22:30", "big kettle"}, box(t, p, "step-night-kettle").Lines)

	// After a loss, where the bones of the lost kettle come from is left out; it stands around what was not reached.
	lost := picture(t, w, "pulled hen", ByShortage, losses["three-kettles"])
	assert.Contains(t, ids(lost), "item-shoulder-bones")
	assert.NotContains(t, ids(lost), "step-bone-out-shoulder")
	assert.Contains(t, ids(lost), "dish-hen-tortilla-soup", "it goes on")
	assert.Contains(t, lost.Caption, "What goes into untouched boxes is not shown.")
	calm := picture(t, w, "shoulder bones", ByShortage, losses["three-kettles"])
	assert.Contains(t, ids(calm), "step-bone-out-shoulder")
	assert.NotContains(t, calm.Caption, "not shown")

	_, err = Map(t.Context(), w, nil, "red pozol", ByWeight)
	assert.ErrorContains(t, err, "red pozole")
	_, err = Map(t.Context(), w, nil, "", "colour")
	assert.EqualError(t, err, `a map can't be drawn by "colour": choose weight, cost or shortage`)
}

// Tones run up to the darkest, and mean nothing where nothing passes.
func TestTones(t *testing.T) {
	for _, name := range weektest.Examples {
		for kind, p := range maps(t, name) {
			most := 0.0
			for _, n := range p.Nodes {
				most = max(most, n.Tone)
			}
			switch {
			case p.ToneMeans == "":
				assert.Zero(t, most, "%s by %s", name, kind)
			case !strings.HasPrefix(kind, string(ByShortage)):
				assert.Equal(t, 1.0, most, "%s by %s", name, kind)
			}
		}
	}
}

var (
	scales = regexp.MustCompile(` scale\(([\d.]+)\)`)
	sizes  = regexp.MustCompile(`font-size="([\d.]+)"`)
)

// Print on A3 is held against the smallest size that can be read in a kitchen, 6 points (common practice, no source), and
// no word is cut off.
func TestWholeMapsAreReadableOnA3(t *testing.T) {
	for _, name := range weektest.Examples {
		for kind, p := range maps(t, name) {
			t.Run(name+" by "+kind, func(t *testing.T) {
				sheet, err := draw.Render(t.Context(), p)
				require.NoError(t, err)
				text := string(sheet)
				begin := scales.FindStringSubmatchIndex(text)
				require.NotNil(t, begin)
				scale, err := strconv.ParseFloat(text[begin[2]:begin[3]], 64)
				require.NoError(t, err)
				smallest := 1000.0 // the flow is drawn last, after the title and the legend
				for _, m := range sizes.FindAllStringSubmatch(text[begin[1]:], -1) {
					size, err := strconv.ParseFloat(m[1], 64)
					require.NoError(t, err)
					smallest = min(smallest, size*scale)
				}
				t.Logf("%.2f points", smallest)
				assert.GreaterOrEqual(t, smallest, 6.0)
				assert.NotContains(t, text, "…")
				assert.NotContains(t, text, "Small print")
			})
		}
	}
}

package guide

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/draw"
	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

func exampleWeek(tb testing.TB, name string) *week.Week {
	src, err := os.ReadFile(filepath.Join("..", "..", "examples", name, "kitchen.yaml"))
	require.NoError(tb, err)
	return weektest.SmallWeek(tb, string(src))
}

func dairyWeek(tb testing.TB) *week.Week {
	src, err := os.ReadFile("testdata/dairy.yaml")
	require.NoError(tb, err)
	return weektest.SmallWeek(tb, string(src))
}

func guideOf(t require.TestingT, w *week.Week, in language.Tag) *Guide {
	g, err := Of(context.Background(), w, in)
	require.NoError(t, err)
	return g
}

// Every kitchen has its whole guide in every language, the same twice, with nothing from outside and nothing that runs.
func TestEveryKitchen(t *testing.T) {
	weeks := map[string]*week.Week{"dairy": dairyWeek(t)}
	for _, name := range weektest.Examples {
		weeks[name] = exampleWeek(t, name)
	}
	for name, w := range weeks {
		for _, in := range tongue.Languages {
			t.Run(name+" "+in.String(), func(t *testing.T) {
				g := guideOf(t, w, in)
				page, err := g.Page(t.Context(), nil)
				require.NoError(t, err)
				again, err := guideOf(t, w, in).Page(t.Context(), nil)
				require.NoError(t, err)
				assert.Equal(t, string(page), string(again))
				text := string(page)
				assert.Contains(t, text, `<html lang="`+in.String()+`">`)
				assert.NotContains(t, text, "<script")
				assert.NotRegexp(t, `(src|href)="[^#]`, text)
				assert.NotContains(t, text, "url(http")
				assert.NotContains(t, text, "%!", "a sentence lacks an argument")
				assert.NotContains(t, text, "NaN")
				assert.Contains(t, text, `<figure class="map"><svg`)
				assert.Equal(t, in == language.English, strings.Contains(text, ">Boxes<"), "the legend speaks the guide's language")
				assert.Equal(t, g.lanes != nil, strings.Contains(text, `<figure class="lanes"><svg`))
				assert.GreaterOrEqual(t, len(g.Questions), 6)
				require.NotNil(t, g.Pot)
				assert.NotEmpty(t, g.Pot.Stages)
				assert.Equal(t, name == "three-kettles" || name == "evergreen-braise" || name == "dairy", g.lanes != nil)
				markdown := string(g.Markdown())
				assert.NotContains(t, markdown, "%!")
				for _, d := range g.Dishes {
					assert.Contains(t, markdown, "### "+d.Name+"\n")
				}
			})
		}
	}
}

// Two seconds are the target, for the longest example and for 96 dishes.
func BenchmarkPage(b *testing.B) {
	for name, w := range map[string]*week.Week{"three-kettles": exampleWeek(b, "three-kettles"), "96 dishes": weektest.SmallWeek(b, weektest.Copies(b, 8))} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				g, err := Of(b.Context(), w, language.English)
				require.NoError(b, err)
				_, err = g.Page(b.Context(), nil)
				require.NoError(b, err)
			}
		})
	}
}

// A map that is too large to be drawn is left out, and what it would show stands in words, in each language.
func TestTooLargeForAPicture(t *testing.T) {
	for _, in := range []language.Tag{language.English, language.Spanish, language.Chinese} {
		g := guideOf(t, exampleWeek(t, "first-pot"), in)
		for len(g.Map.Edges) <= draw.MaxSize {
			g.Map.Edges = append(g.Map.Edges, g.Map.Edges[0])
		}
		page, err := g.Page(t.Context(), nil)
		require.NoError(t, err)
		assert.NotContains(t, string(page), `<figure class="map">`)
		assert.Contains(t, string(page), newTeller(g).plain("There is too much for one picture, so the flow stands here in words."))
		assert.Contains(t, string(page), "→")
	}
}

func TestItStops(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := Of(ctx, exampleWeek(t, "first-pot"), language.English)
	assert.ErrorIs(t, err, context.Canceled)
}

// What the guide of the cantina says of the kettle, seen by a cook.
func TestKettleStock(t *testing.T) {
	g := guideOf(t, exampleWeek(t, "three-kettles"), language.English)
	at := slices.IndexFunc(g.Items, func(i Item) bool { return i.Name == "kettle stock" })
	stock := g.Items[at]
	assert.Equal(t, 540, stock.Makers[0].OutAt)
	require.NotNil(t, stock.Makers[0].Latest)
	assert.Subset(t, stock.Without.Stops, []string{"red pozole", "white pozole", "green pozole"})
	assert.Contains(t, stock.Without.GoesOn, "rice and bean plate")
	roll := g.Items[slices.IndexFunc(g.Items, func(i Item) bool { return i.Name == "tostada" })].Swaps
	require.NotEmpty(t, roll)
	assert.Equal(t, "bolillo roll", roll[0].Instead.Item)
	assert.Equal(t, []string{"wheat"}, roll[0].Allergens, "a substitute's allergens are told before it is taken")
	assert.Len(t, g.Weak, mostWeak)
	assert.Contains(t, string(g.Markdown()), "CAUTION: this adds wheat.")
}

// Nothing that stands in a kitchen file can leave its place, on the page or in Markdown.
func TestNastyNames(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: "<script>alert(1)</script>"
services: {"<i>noon": 11:30-14:30}
vessels: {"</svg><script>": {holds: 10 L}}
bought: {"<script>x</script>": {price: 1/kg, from: "<img src=x onerror=y>", allergens: ["<b>nut"]}, "# *star* [a](b)": {price: 1/kg}}
steps:
  "<script>cook": {vessel: "</svg><script>", station: "\" onload=\"z", starts: "08:00", phases: ["<u>boil"], takes: [1 kg <script>x</script>], gives: ["1 kg <script>y, out at 1 h"], batches: {mon-sun: 1}}
dishes: {"</style><script>d": {price: 5, takes: ["100 g <script>y", "10 g # *star* [a](b), optional"], sells: 3}}
`)
	for _, in := range tongue.Languages {
		g := guideOf(t, w, in)
		page, err := g.Page(t.Context(), nil)
		require.NoError(t, err)
		for _, raw := range []string{"<script", "<img", "<i>", "<u>", "<b>", `" onload="z`} {
			assert.NotContains(t, string(page), raw, in)
		}
		assert.Equal(t, 1, strings.Count(string(page), "</style>\n</head>"))
		markdown := string(g.Markdown())
		assert.NotRegexp(t, `(^|[^\\])(<|\[a\])`, markdown)
		assert.NotContains(t, markdown, "### # ")
	}
}

// What is said of a making stands on its station's page, and its picture where there is one.
func TestTellings(t *testing.T) {
	w := exampleWeek(t, "evergreen-braise")
	g := guideOf(t, w, language.SimplifiedChinese)
	page, err := g.Page(t.Context(), Embedded(map[string]kitchen.Photo{"photos/belly-rice.png": {Data: []byte("x"), Kind: "image/png", Wide: 4, High: 3}}))
	require.NoError(t, err)
	assert.Contains(t, string(page), `<img class="photo" src="data:image/png;base64,eA==" alt="五花肉饭" width="4" height="3">`)
	assert.Contains(t, string(page), "<dt>样子</dt><dd>挂在勺背上，流下来成一条线</dd>")
	src, err := os.ReadFile(filepath.Join("..", "..", "examples", "evergreen-braise", "kitchen.yaml"))
	require.NoError(t, err)
	mute := regexp.MustCompile(`(?m)^ +es:\n( +name: .*\n)( +(method|looks like): .*\n)+`).ReplaceAllString(string(src), "      es:\n$1")
	require.NotEqual(t, string(src), mute)
	g = guideOf(t, weektest.SmallWeek(t, mute), language.Spanish) // in which the file says no more than names
	page, err = g.Page(t.Context(), nil)
	require.NoError(t, err)
	assert.NotContains(t, string(page), "<img")
	assert.Contains(t, string(page), `<dd><span lang="en">it coats the back of a spoon and runs off in one thread</span></dd>`)
}

// The kitchens to begin from speak the three languages whole: names, words and how things are made.
func TestExamplesSpeak(t *testing.T) {
	for _, name := range weektest.Examples {
		w := exampleWeek(t, name)
		for _, in := range tongue.Languages {
			g := guideOf(t, w, in)
			assert.Empty(t, g.Missing, "%s in %s", name, in)
			assert.Empty(t, g.Faults, "%s in %s", name, in)
			if tag := in; tag != language.English {
				voice := tongue.In(tag)
				for _, word := range wordsOf(w.Kitchen) {
					_, ok := w.WordIn(word, tag)
					assert.True(t, ok || voice.Trade(word) != word, "%s in %s: %q", name, in, word)
				}
			}
		}
	}
}

// wordsOf are those of a kitchen that are no item's, step's, dish's or vessel's.
func wordsOf(k *kitchen.Kitchen) (list []string) {
	for _, s := range k.Steps {
		list = append(list, s.Station)
		for _, p := range s.Phases {
			list = append(list, p.Name)
		}
		for _, a := range s.Work {
			list = append(list, a.Name)
		}
		for _, m := range s.Measures {
			list = append(list, m.Name)
		}
	}
	for _, s := range k.Shifts {
		list = append(list, s.Names...)
	}
	for _, s := range k.Services {
		list = append(list, s.Name)
	}
	for _, b := range k.Bought {
		list = append(list, b.From)
	}
	list = append(list, k.Approved...)
	slices.Sort(list)
	return slices.DeleteFunc(slices.Compact(list), func(s string) bool { return s == "" })
}

// A name without a translation is said with its place, stands as it is, and is marked.
func TestMissingNames(t *testing.T) {
	src := `kitchen: Two
bought:
  water: {price: 0/L, density: 1 kg/L, also: {es: agua, es-MX: agüita}}
  bones: {price: 1/kg}
steps:
  boil: {takes: [1 kg bones, 2 L water], gives: [1.5 L stock], batches: {mon-sun: 1}, also: {es: hervir}}
made: {stock: {density: 1 kg/L, also: {es: caldo}}}
dishes: {soup: {price: 3, takes: [200 mL stock], sells: 2}}
`
	w := weektest.SmallWeek(t, src)
	g := guideOf(t, w, language.Spanish)
	assert.Equal(t, []string{"bones", "soup"}, g.Missing)
	require.Len(t, g.Faults, 2)
	assert.Equal(t, "kitchen.yaml:4:3: warning: item \"bones\" has no name in es [no-name]\n"+
		"hint: write also: {es: ...} there; until then \"bones\" stands in the guide", g.Faults[0].String())
	page, err := g.Page(t.Context(), nil)
	require.NoError(t, err)
	assert.Contains(t, string(page), `<h4><span lang="en">bones</span></h4>`)
	assert.Contains(t, string(page), "<h4>caldo</h4>")
	assert.Contains(t, string(guideOf(t, w, language.MustParse("es-MX")).Markdown()), "agüita", "the nearer name")
	assert.Empty(t, guideOf(t, w, language.English).Faults)

	own := weektest.SmallWeek(t, "language: es\n"+strings.NewReplacer("{es:", "{en:", "es-MX", "en-GB").Replace(src))
	assert.Empty(t, guideOf(t, own, language.Spanish).Missing, "the file's own names are Spanish")
	assert.Equal(t, []string{"bones", "soup"}, guideOf(t, own, language.English).Missing)

	_, err = Of(t.Context(), w, language.French)
	assert.EqualError(t, err, `the guide can't be written in "fr": write en, es, zh-Hans or zh-Hant`)
	hant, err := Of(t.Context(), w, language.TraditionalChinese)
	require.NoError(t, err)
	assert.Equal(t, "zh-Hant", hant.Language)
}

// anyKitchen draws a small kitchen: bought items, steps of every kind with shared items and substitutes, dishes.
func anyKitchen(t *rapid.T) string {
	var b strings.Builder
	number := func(what string, least, most int) int { return rapid.IntRange(least, most).Draw(t, what) }
	fmt.Fprintln(&b, "kitchen: Any\nservices: {lunch: 11:30-14:30, dinner: 17:30-22:00}\nbought:")
	var items []string
	for n := range number("bought", 2, 4) {
		items = append(items, fmt.Sprintf("b%d", n))
		fmt.Fprintf(&b, "  b%d: {price: 2/kg, arrives: %s, allergens: [%s]}\n", n, rapid.SampledFrom([]string{"daily", "mon thu", "tue"}).Draw(t, "arrives"),
			rapid.SampledFrom([]string{"", "milk", "wheat"}).Draw(t, "allergen"))
	}
	uses := func(most int) string {
		order := rapid.Permutation(items).Draw(t, "order")
		var lines []string
		for n := range min(number("lines", 1, most), len(order)) {
			text := fmt.Sprintf("%d kg %s", number("amount", 1, 4), order[n])
			if last := order[len(order)-1-n]; len(order)-1-n > n+most && rapid.Bool().Draw(t, "swap") {
				text += " or 1 kg " + last
			}
			if n > 0 && number("optional", 0, 3) == 0 {
				text += ", optional"
			}
			lines = append(lines, `"`+text+`"`)
		}
		return strings.Join(lines, ", ")
	}
	fmt.Fprintln(&b, "steps:")
	var made []string
	for n := range number("steps", 1, 4) {
		runs := rapid.SampledFrom([]string{"{mon: 1, thu: 2}", "{daily: 1}", "to order"}).Draw(t, "batches")
		starts := ""
		if runs != "to order" && rapid.Bool().Draw(t, "timed") {
			starts = `, starts: "08:00"`
		}
		fmt.Fprintf(&b, "  s%d: {takes: [%s], gives: [0.6 kg m%d, 0.3 kg n%d], batches: %s%s}\n", n, uses(2), n, n, runs, starts)
		made = append(made, fmt.Sprintf("m%d", n), fmt.Sprintf("n%d", n))
		items = append(items, made[len(made)-2:]...)
	}
	fmt.Fprintln(&b, "made:")
	for _, m := range made {
		fmt.Fprintf(&b, "  %s: {keeps: %d days}\n", m, number("keeps", 1, 4))
	}
	fmt.Fprintln(&b, "dishes:")
	for n := range number("dishes", 2, 5) {
		fmt.Fprintf(&b, "  d%d: {price: 5, takes: [%s], sells: %d}\n", n, strings.ReplaceAll(uses(3), " kg ", "00 g "), number("sells", 1, 3))
	}
	return b.String()
}

// outcome tells, by the what-if, whether a dish sold anything before and how it fares.
func outcome(a *ask.Consequences, dish string) (before, after int) {
	for _, d := range a.Dishes {
		if d.Name == dish {
			before, after = before+d.Before, after+d.After
		}
	}
	return before, after
}

// Over random kitchens, every answer is the one that the what-if, or the kitchen itself, gives: each option that is marked right is
// right, and each other is wrong.
func TestAnswersAgreeWithWhatIf(t *testing.T) {
	lawtest.Few(t, 25)
	seen := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		w := weektest.SmallWeek(t, anyKitchen(t))
		g := guideOf(t, w, language.English)
		for _, item := range g.Items {
			at, err := w.FindItem(item.Name)
			require.NoError(t, err)
			a, err := ask.WhatIf(t.Context(), w, []week.Shock{w.Missing(at)})
			require.NoError(t, err)
			for _, d := range w.Dishes {
				before, after := outcome(a, d.Name)
				assert.Equal(t, before > 0 && after == 0, slices.Contains(item.Without.Stops, d.Name), "%s without %s", d.Name, item.Name)
				assert.Equal(t, before > 0 && after >= before, slices.Contains(item.Without.GoesOn, d.Name), "%s without %s", d.Name, item.Name)
			}
		}
		for _, q := range g.Questions {
			seen[q.Asks]++
			require.NotEmpty(t, q.Right)
			require.Less(t, len(q.Right), len(q.Options))
			for n, option := range q.Options {
				assert.Equal(t, slices.Contains(q.Right, n), isRight(t, w, q, option), "%s %v: %s", q.Asks, q.About, option)
			}
		}
	})
	if testing.Short() { // so few kitchens need not ask everything
		return
	}
	for _, asks := range []string{AskLost, AskMissing, AskInstead, AskFrom, AskPlate, AskLast, AskDelivered, AskOut, AskAllergen} {
		assert.Positive(t, seen[asks], "no kitchen was asked %q", asks)
	}
}

// isRight judges an option again, from the kitchen and its what-ifs.
func isRight(t *rapid.T, w *week.Week, q Question, option string) bool {
	whatIf := func(s week.Shock) (before, after int) {
		a, err := ask.WhatIf(t.Context(), w, []week.Shock{s})
		require.NoError(t, err)
		return outcome(a, option)
	}
	item := func(name string) int {
		i, err := w.FindItem(name)
		require.NoError(t, err)
		return i
	}
	name := func(i int) string { return w.Graph.Items[i].Name }
	switch q.Asks {
	case AskLost:
		s, err := w.Shock("lose", q.About[0])
		require.NoError(t, err)
		before, after := whatIf(s)
		return before > 0 && after >= before
	case AskMissing:
		before, after := whatIf(w.Missing(item(q.About[0])))
		return before > 0 && after == 0
	case AskInstead:
		for _, st := range w.Graph.Steps {
			for _, l := range st.Takes {
				if st.Name == q.About[1] && name(l.Choices[0].Item) == q.About[0] {
					return slices.ContainsFunc(l.Choices[1:], func(c graph.Choice) bool { return name(c.Item) == option })
				}
			}
		}
	case AskFrom:
		s, err := w.FindStep(option)
		require.NoError(t, err)
		return slices.ContainsFunc(w.Graph.Steps[s].Gives, func(o graph.Output) bool { return name(o.Item) == q.About[0] })
	case AskPlate:
		for _, st := range w.Graph.Steps {
			if st.Name == q.About[1] {
				return option == fmt.Sprintf("%g\u00a0g", st.Takes[0].Choices[0].Amount)
			}
		}
	case AskLast: // FDA Food Code 3-501.17: the day made is day 1
		for d := range 7 {
			if time.Weekday(d).String() == q.About[1] {
				return option == time.Weekday((d+w.Terms.Keeps[item(q.About[0])]-1)%7).String()
			}
		}
	case AskDelivered:
		return option == map[string]string{"mon thu": "Monday, Thursday", "tue": "Tuesday", "mon-sun": "every day"}[w.Bought[item(q.About[0])].Arrives.String()]
	case AskOut:
		return option == "08:00" // nothing is out later in these kitchens
	case AskAllergen:
		for _, d := range ask.Allergens(w.Kitchen).Dishes {
			if d.Name == option {
				return slices.ContainsFunc(d.Allergens, func(a ask.AllergenWay) bool { return a.Allergen == q.About[0] && a.Always })
			}
		}
	}
	return false
}

// Losing every batch is what "lose" without a day asks.
func TestLost(t *testing.T) {
	w := exampleWeek(t, "three-kettles")
	step, err := w.FindStep("night kettle")
	require.NoError(t, err)
	typed, err := w.Shock("lose", "night kettle")
	require.NoError(t, err)
	a, err := ask.WhatIf(t.Context(), w, []week.Shock{typed})
	require.NoError(t, err)
	b, err := ask.WhatIf(t.Context(), w, []week.Shock{w.Lost(step, flow.EveryDay)})
	require.NoError(t, err)
	assert.Equal(t, a.Dishes, b.Dishes)
}

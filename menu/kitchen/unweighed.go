package kitchen

// What stands in for figures that the file does not have: a weight for a volume, a yield, a price. Each is an open question, see
// Question; nothing here is ever told as known.

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/measure"
)

const (
	guessedWord   = "guessed"   // as a key, and as a note on a line
	unweighedWord = "some"      // in the place of a number: "some kg pulled hen"
	someTimeWords = "some time" // in the place of a time that is not said yet
)

// unfinished is what a file turned out not to say while it was read.
type unfinished struct {
	root       *yaml.Node
	taken      map[string]measure.Unit // by item: the unit in which a card first takes it
	unpriced   []int                   // bought items
	unsold     []int                   // dishes without a price
	standsIn   string                  // what their prices are until then, in words
	unshared   []int                   // steps whose bill nobody knows how to share
	unmeasured []unmeasured            // yields
	unheated   []unheated
	doubted    map[int]bool // items whose density is written as a guess
	densities  map[int]bool // of items: whether an amount that is cooked, bought or sold rests on it, or money alone
}

// unmeasured is an output of a step whose amount stands in for one that nobody weighed.
type unmeasured struct {
	step, output int
	basis        string
}

// notWeighed reads "some kg meat"; rest is what follows the first word.
func notWeighed(s, rest string, in place) (card, error) {
	c, err := parsePlain(fmt.Sprintf("%-*d%s", len(unweighedWord), 1, rest), in) // of the same length, so that places in it are places in s
	switch {
	case err != nil:
		e := err.(*measure.Error)
		e.Msg = strings.Replace(e.Msg, fmt.Sprintf("%-*d", len(unweighedWord), 1), unweighedWord, 1)
		e.Hint = fmt.Sprintf(`write a unit and a name behind %q: some kg pulled hen, or some L stock`, unweighedWord)
		return card{}, e
	case len(c.choices) > 1:
		return card{}, &measure.Error{Msg: fmt.Sprintf("%q leaves open how much of the first choice goes in", s),
			Hint: "write how much, and \", guessed\" behind the line if nobody knows", Len: len(s)}
	case c.choices[0].Unit.Kind == measure.Count && in == given:
		return card{}, &measure.Error{Msg: fmt.Sprintf("%q can't be guessed: pieces are counted", s),
			Hint: "write how many one batch gives, and \", guessed\" behind the line if nobody has counted them", Len: len(s)}
	case c.spread.Amount > 0:
		return card{}, &measure.Error{Msg: fmt.Sprintf("%q says how far a yield strays that it does not know", s), Hint: "weigh a few batches first",
			Len: len(s)}
	}
	c.unweighed, c.guessed = true, false
	return c, nil
}

// figure is a published one, with the row of the table that it stands in.
type figure struct {
	words  []string // each must be in the name
	of     []string // for a yield: one of these must be in the name of what comes out
	value  float64
	source string
}

// waters are densities of what is mostly water or fat, in kg/L: USDA National Nutrient Database for Standard Reference, Release 28,
// grams of a US cup over 0.2366 L. They are those that the examples are held against.
var waters = []figure{
	{[]string{"heavy cream"}, nil, 1.01, "USDA SR28 01053"},
	{[]string{"milk"}, nil, 1.03, "USDA SR28 01077"},
	{[]string{"olive oil"}, nil, 0.913, "USDA SR28 04053"},
	{[]string{"oil"}, nil, 0.92, "USDA SR28 04044"},
	{[]string{"lard"}, nil, 0.866, "USDA SR28 04002"},
	{[]string{"tallow"}, nil, 0.866, "USDA SR28 04001"},
	{[]string{"dripping"}, nil, 0.866, "USDA SR28 04001"},
	{[]string{"fumet"}, nil, 0.985, "USDA SR28 06174"},
	{[]string{"fish stock"}, nil, 0.985, "USDA SR28 06174"},
	{[]string{"stock"}, nil, 1.01, "USDA SR28 06170 and 06172"},
	{[]string{"broth"}, nil, 1.01, "USDA SR28 06170 and 06172"},
	{nil, nil, 1, "about that of water"},
}

var meats = []string{"meat", "pulled", "picked", "braised", "boiled", "poached", "stewed", "cooked", "flesh"}

// fats are words for what is skimmed.
var fats = []string{"fat", "dripping", "lard", "tallow", "skin", "foam"}

// yields are parts of a raw weight, of the same publication: cooked from a pound raw, or what is left of refuse.
var yields = []figure{
	{[]string{"hen"}, meats, 0.302, "USDA SR28 05126: meat of a stewing hen, stewed"},
	{[]string{"chicken"}, meats, 0.346, "USDA SR28 05014: meat of a broiler, stewed"},
	{[]string{"brisket"}, meats, 0.692, "USDA SR28 13367: brisket, braised"},
	{[]string{"rib"}, []string{"bone"}, 0.29, "USDA SR28 13148: bone of short ribs"},
	{[]string{"rib"}, meats, 0.496, "USDA SR28 13148: short ribs, braised, off the bone"},
	{[]string{"trotter"}, meats, 0.40, "USDA SR28 10173: 60% of a simmered foot is refuse"},
	{[]string{"lamb"}, meats, 0.60, "USDA SR28 17060: lamb for stew, boneless, braised"},
	{[]string{"leek"}, []string{"leek"}, 0.44, "USDA SR28 11246: 56% of a leek is refuse"},
	{[]string{"onion"}, []string{"onion"}, 0.90, "USDA SR28 11282: 10% of an onion is refuse"},
	{[]string{"cabbage"}, []string{"cabbage"}, 0.80, "USDA SR28 11109: 20% of a cabbage is refuse"},
	{[]string{"potato"}, []string{"potato"}, 0.75, "USDA SR28 11352: 25% of a potato is refuse"},
}

// Shares that stand in where no table has a row.
const (
	fatOfCut     = 0.05 // what is skimmed of it, likewise
	meatOfCut    = 0.5  // of a cut on the bone: common practice, no source
	potOfLiquids = 0.8  // of what went in by volume, a fifth boiled off: common practice, no source
)

// named tells whether a figure is about something of a name.
func (f figure) named(name string) bool {
	return !slices.ContainsFunc(f.words, func(w string) bool { return !hasWord(name, w) })
}

// hasWord tells whether a word stands in a name, be it one of it or several: "hen" and "hens", but not "kitchen".
func hasWord(name, word string) bool {
	return strings.Contains(" "+strings.ToLower(name)+" ", " "+word+" ") || strings.Contains(" "+strings.ToLower(name)+" ", " "+word+"s ")
}

// aboutWater is an item with a density that stands in for one that is not known.
func (r *reader) aboutWater(i int) graph.Item {
	it := r.items[i]
	if it.Density == 0 {
		it.Density = densityOf(it.Name).value
	}
	return it
}

// densityOf is the first of the published densities that a name fits.
func densityOf(name string) figure {
	return waters[slices.IndexFunc(waters, func(f figure) bool { return f.named(name) })]
}

// dense lets an item have the density that stands in; amounts tells whether more than money rests on it.
func (r *reader) dense(i int, amounts bool) {
	r.items[i].Density = r.aboutWater(i).Density
	r.densities[i] = r.densities[i] || amounts
}

// guessedDensity tells whether the density of an item stands in, or is said to be a guess: no recipe is refused for it.
func (r *reader) guessedDensity(i int) bool {
	_, stands := r.densities[i]
	return stands || r.doubted[i]
}

// weight is what an amount of an item weighs, by a density that stands in where none is known.
func (r *reader) weight(i int, amount float64) (grams float64, ok bool) {
	if grams, ok = r.items[i].Grams(amount); ok || r.unsure[i] {
		return grams, ok
	}
	if grams, ok = r.aboutWater(i).Grams(amount); ok {
		r.dense(i, false)
	}
	return grams, ok
}

// weighable tells whether all that a step gives has a weight, be it by densities that stand in.
func (r *reader) weighable(gives []graph.Output) bool {
	if slices.ContainsFunc(gives, func(o graph.Output) bool { _, ok := r.aboutWater(o.Item).Grams(o.Amount); return !ok }) {
		return false
	}
	for _, o := range gives {
		_, _ = r.weight(o.Item, o.Amount)
	}
	return true
}

// aboutYield is an amount that stands in for an output that nobody weighed: by a published table of the first thing that the step takes, or
// by what is common. It is noted as an open question.
func (r *reader) aboutYield(rec *recipe, st *graph.Step, item int, l writtenLine) (amount float64) {
	guess := func(amount float64, basis string) float64 {
		r.unmeasured = append(r.unmeasured, unmeasured{r.stepAt[rec.name], len(st.Gives), basis})
		return amount
	}
	out := r.items[item]
	into := func(grams float64) float64 {
		base, ok := r.aboutWater(item).Bridge().Convert(grams, measure.Weight, out.Unit.Kind)
		if ok && out.Unit.Kind != measure.Weight && out.Density == 0 {
			r.dense(item, true)
		}
		return base
	}
	liquids, solids, heaviest := 0.0, 0.0, -1
	for _, line := range st.Takes {
		c := line.Choices[0]
		grams, known := r.items[c.Item].Grams(c.Amount)
		switch {
		case r.items[c.Item].Unit.Kind == measure.Volume:
			liquids += c.Amount
		case known && grams > solids:
			solids, heaviest = grams, c.Item
		}
	}
	switch {
	case l.tables.High > 0 && heaviest >= 0:
		return guess(into(solids*(l.tables.Low+l.tables.High)/2), "the middle of the table on its line")
	case l.choices[0].Unit.Kind == measure.Volume && liquids > 0:
		return guess(liquids*potOfLiquids, fmt.Sprintf("%s of the liquids that go in: common practice, no source", FormatPercent(potOfLiquids)))
	case heaviest < 0:
		return guess(l.choices[0].Base(), "one of it, as nothing says more")
	}
	for _, f := range yields {
		if f.named(r.items[heaviest].Name) && slices.ContainsFunc(f.of, func(w string) bool { return hasWord(out.Name, w) }) {
			return guess(into(solids*f.value), f.source)
		}
	}
	if slices.ContainsFunc(fats, func(w string) bool { return hasWord(out.Name, w) }) {
		return guess(into(solids*fatOfCut), fmt.Sprintf("%s of the %s: common practice, no source", FormatPercent(fatOfCut), r.items[heaviest].Name))
	}
	several := 0.0 // share what there is
	for _, g := range rec.gives {
		if g.unweighed && g.choices[0].Unit.Kind == measure.Weight {
			several++
		}
	}
	return guess(into(solids*meatOfCut/max(1, several)), fmt.Sprintf("%s of the %s: common practice, no source",
		FormatPercent(meatOfCut/max(1, several)), r.items[heaviest].Name))
}

// standInPrice is what a portion counts for where no dish has a price: any figure ranks them alike.
const standInPrice = 10

// priceDishes lets dishes without a price count as the mean of those that have one.
func (r *reader) priceDishes() {
	sum, n := 0.0, 0.0
	for d, dish := range r.k.Dishes {
		if !slices.Contains(r.unsold, d) && dish.Price > 0 {
			sum, n = sum+dish.Price, n+1
		}
	}
	mean := float64(standInPrice)
	r.standsIn = "a stand-in as long as no dish has a price"
	if n > 0 {
		mean, r.standsIn = sum/n, "a stand-in: the mean of the dishes that have a price"
	}
	for _, d := range r.unsold {
		r.k.Dishes[d].Price, r.k.Dishes[d].Unpriced = mean, true
		r.k.Terms.Price[r.k.Dishes[d].Item] = mean
	}
}

// takenIn is the unit in which the cards first take an item; pieces where none does. Small units become those in which things are sold.
func (r *reader) takenIn(item string) measure.Unit {
	if r.taken == nil {
		r.taken = map[string]measure.Unit{}
		for _, list := range []string{"steps", "dishes", "specials"} {
			for _, body := range r.pairs(r.value(r.root, list)) {
				takes := r.value(body, "takes")
				for at := 0; takes != nil && at < len(takes.Content); at++ {
					c, err := parseLine(takes.Content[at].Value, used)
					for _, ch := range c.choices {
						if _, known := r.taken[ch.item]; err == nil && !known {
							r.taken[ch.item] = ch.Unit
						}
					}
				}
			}
		}
	}
	u, ok := r.taken[item]
	switch {
	case !ok:
		return measure.Each
	case u.Name == "g", u.Name == "mL":
		u, _ = measure.UnitNamed(map[string]string{"g": "kg", "mL": "L"}[u.Name])
	}
	return u
}

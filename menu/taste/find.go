package taste

// What goes with what was measured.

import (
	"math"
	"slices"

	"kettletree/menu/logbook"
)

const (
	// Enough is how many batches it takes to say what goes with what: with fewer, even what goes together perfectly could be chance
	// among so many things that are looked at.
	Enough = 12

	// Minority is how many batches at least must differ from the rest in a thing for anything to be said of it.
	Minority = 3

	// FalseShare is how much of all that is named may be chance in the long run.
	FalseShare = 0.05
)

// ofTheCard is the unit of what goes in.
const ofTheCard = "of the card"

// factor is a thing that is known of batches: by batch its value, not a number where it is not known.
type factor struct {
	name, unit string
	word       string // of a word: the value that it is 1 for
	values     []float64
	sets       bool // the cook sets it: it can be varied on purpose
}

// factorsOf are the things that are known of enough batches, and vary. Time itself is one: what changes with the season, or with the scale
// of whoever judges, goes with everything else that changes.
func factorsOf(batches []logbook.Tasting, handling map[string]string) (list []factor) {
	at := map[[2]string]int{}
	column := func(name, unit, word string, sets bool) []float64 {
		key := [2]string{name, word}
		n, known := at[key]
		if !known {
			n = len(list)
			at[key] = n
			values := make([]float64, len(batches))
			for i := range values {
				values[i] = math.NaN()
			}
			list = append(list, factor{name, unit, word, values, sets})
		}
		return list[n].values
	}
	words := map[string][]string{} // by name: what was said of each batch, "" for nothing
	var order []string
	say := func(b int, name, word string) {
		if words[name] == nil {
			words[name], order = make([]string, len(batches)), append(order, name)
		}
		words[name][b] = word
	}
	for b := range batches {
		for _, f := range batches[b].Facts {
			if f.Word != "" {
				say(b, f.Name, f.Word)
				continue
			}
			column(f.Name, f.Unit, "", f.Unit == ofTheCard || f.Unit == "h")[b] = f.Value
		}
		for _, t := range batches[b].Tastes {
			switch unit, is := handling[t.Name]; {
			case !is:
			case t.Value == nil:
				say(b, t.Name, t.Word)
			default:
				column(t.Name, unit, "", true)[b] = *t.Value
			}
		}
		column("date", "days", "", false)[b] = batches[b].When().Sub(batches[0].When()).Hours() / 24
	}
	for _, name := range order {
		values := slices.Clone(words[name])
		slices.Sort(values)
		values = slices.DeleteFunc(slices.Compact(values), func(w string) bool { return w == "" })
		if len(values) == 2 {
			values = values[:1] // the other is its opposite
		}
		for _, v := range values {
			is := column(name, "", v, false)
			for b, w := range words[name] {
				switch {
				case w == v:
					is[b] = 1
				case w != "":
					is[b] = 0
				}
			}
		}
	}
	return slices.DeleteFunc(list, func(f factor) bool { return !f.varies() })
}

// varies tells whether enough batches know the thing, and enough of them differ from the rest, by as much as a cook would notice.
func (f *factor) varies() bool {
	count, known := map[float64]int{}, 0
	var values []float64
	for _, v := range f.values {
		if !math.IsNaN(v) {
			known++
			count[v]++
			values = append(values, v)
		}
	}
	if known == 0 || slices.Max(values)-slices.Min(values) < f.noticed(values) {
		return false
	}
	most := 0
	for _, n := range count {
		most = max(most, n)
	}
	return known >= Enough && known-most >= Minority
}

// noticed is how far apart the values of a thing are at least for it to be looked at: as far as a cook minds, and a twentieth either way.
// What differs by less can't be the cause, and would only make chance likelier (an independent filter: Bourgon, Gentleman and Huber 2010, from memory). Common
// practice, no source.
func (f *factor) noticed(values []float64) float64 {
	switch {
	case f.word != "" || f.name == "date":
		return 0
	case f.unit == "o'clock":
		return leastMinded[f.unit]
	}
	return max(leastMinded[f.unit], 2*leastOff*math.Abs(median(values)))
}

// foundOf is how many of ten causes are found in so many batches at least: of figures that make two thirds of how a measure varies, among some forty things that are held
// against measures (a study of ours: TestPower draws it again).
var foundOf = []struct{ batches, ten int }{{12, 5}, {16, 8}, {20, 9}}

// foundIn is that of some batches; 0 of too few.
func foundIn(batches int) (ten int) {
	for _, f := range foundOf {
		if batches >= f.batches {
			ten = f.ten
		}
	}
	return ten
}

// Goes is a thing that was held against a measure.
type Goes struct {
	Thing   string  `json:"thing"`          // "marrow bones", "age of stewing hen"
	Word    string  `json:"word,omitempty"` // of what is said in a word: which one
	Unit    string  `json:"unit"`           // "of the card", "days", "h" ...; "" of a word
	Batches int     `json:"batches"`        // of which both are known
	Rank    float64 `json:"rank"`           // rank correlation, from -1 to 1
	Chance  float64 `json:"chance"`         // how likely chance alone makes it as strong
	Found   bool    `json:"found"`          // it is named: of all that is named, at most [FalseShare] is chance

	X, Y []float64 `json:"-"` // the pairs
	Sets bool      `json:"-"` // the cook sets it

	least   float64 // the least chance that it can have, see [Least]
	reached bool    // it could be found, see [InReach]
	each    float64 // what the chance of the only finding has to come under, were all in reach
}

// goesWith holds things against what was measured.
func goesWith(things []factor, measured []float64) (list []Goes) {
	for i := range things {
		f := &things[i]
		g := Goes{Thing: f.name, Word: f.word, Unit: f.unit, Sets: f.sets}
		for b, v := range f.values {
			if !math.IsNaN(v) && !math.IsNaN(measured[b]) {
				g.X, g.Y = append(g.X, v), append(g.Y, measured[b])
			}
		}
		pairs := *f
		pairs.values = g.X
		if g.Batches = len(g.X); !pairs.varies() {
			continue
		}
		if y := (factor{values: g.Y}); !y.varies() {
			continue
		}
		g.Rank = Rank(g.X, g.Y)
		list = append(list, g)
	}
	return list
}

package takeover

// Recipes laid into a kitchen file.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/aymanbagabas/go-udiff"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Taking is what a file comes to in a kitchen file. Nothing of it is written until it is agreed to.
type Taking struct {
	File    string          `json:"file"`
	ReadAs  []string        `json:"read_as"`          // how it was read, where that is not plain UTF-8 parted by commas
	Columns []string        `json:"columns"`          // as "ingredient: Zutat"
	Unread  []string        `json:"unread,omitempty"` // headers of columns that mean nothing here
	Recipes []Taken         `json:"recipes,omitempty"`
	Prices  []Repriced      `json:"prices,omitempty"` // the largest change first
	New     []string        `json:"new,omitempty"`    // bought items that the kitchen did not have: their prices are open questions
	Means   []string        `json:"means,omitempty"`  // names that were taken as others, as "Onions White: white onion"
	Left    []Left          `json:"left_out"`
	Unsaid  []Unsaid        `json:"unsaid,omitempty"` // rows whose amount can't be read, or is not said: their lines stand all the same
	Alike   []Alike         `json:"alike,omitempty"`  // names that may mean something of ours
	Doubt   *Doubt          `json:"doubt,omitempty"`  // the first number that may be two
	Notes   []string        `json:"notes"`
	Diff    string          `json:"diff"`              // of the kitchen file; "" where nothing changes
	Follows *ask.Difference `json:"follows,omitempty"` // what the change does to costs and shortages; left out where the kitchen is new
	Written bool            `json:"written"`
}

// Unsaid is a row whose amount can't be read.
type Unsaid struct {
	Left
	Line string `json:"line"` // that stands on the card: "some g flour"; as it was there, "60 g flour"
}

// Alike is a name of which somebody has to say whether it means something of ours. Until then it is something new, or left out.
type Alike struct {
	Written string   `json:"written"`
	Ours    []string `json:"ours"` // what it may mean
}

func (t *Taking) alike(written string, ours ...string) {
	if !slices.ContainsFunc(t.Alike, func(a Alike) bool { return a.Written == written }) {
		t.Alike = append(t.Alike, Alike{written, ours})
	}
}

// Taken is a recipe as it was taken.
type Taken struct {
	Name  string `json:"name"`
	As    string `json:"as"` // "dish" or "step"
	Is    string `json:"is"` // "new", "changed" or "as it was"
	Lines int    `json:"lines"`
}

// into lays recipes into a kitchen.
type into struct {
	k       *kitchen.Kitchen // nil where there is none yet
	find    logbook.Finder
	manner  Manner
	t       *Taking
	recipes []*Recipe
	users   map[string]user         // of what lines name, by the key of the name
	steps   map[string]*Recipe      // of what is a step, by its name and by what it gives
	made    map[*Recipe]string      // of what is a step: the name of what it gives
	kinds   map[string]measure.Kind // of what is newly bought, as it was first measured
	said    map[string]measure.Kind // as lines first measure it, by the key of the name
	bought  []string                // newly
	fresh   map[string]string       // the same, by the key of the name
	notes   []string
}

// Into lays recipes into the text of a kitchen file. k is what src was read to; nil begins a file, and src is its head. text is nil where
// nothing changes. The error is an [*kitchen.AmendError].
func Into(name string, src []byte, k *kitchen.Kitchen, f *File, m Manner) (t *Taking, text []byte, err error) {
	t = &Taking{File: f.Name, ReadAs: slices.Concat([]string{}, f.ReadAs), Columns: slices.Concat([]string{}, f.Columns), Left: slices.Concat([]Left{}, f.Left),
		Notes: slices.Concat([]string{}, f.Notes), Doubt: f.Doubt, Unread: f.Unread}
	var left []*Recipe
	for _, r := range f.Recipes {
		if why := stray(r, k); why != "" {
			t.Left = append(t.Left, Left{r.Where, r.Name, why})
			continue
		}
		left = append(left, r)
	}
	all := func(list []*Recipe) ([]byte, *into, error) {
		i := &into{k: k, manner: m, t: &Taking{}, recipes: list, made: map[*Recipe]string{}, kinds: map[string]measure.Kind{}, said: map[string]measure.Kind{}, users: map[string]user{},
			steps: map[string]*Recipe{}, fresh: map[string]string{}}
		for _, r := range list {
			for _, l := range r.Lines {
				key := logbook.NameKey(l.Item)
				if _, ok := i.said[key]; !ok && l.Unsaid == nil {
					i.said[key] = l.Amount.Unit.Kind
				}
				if u, ok := i.users[key]; !ok {
					i.users[key] = user{r, l.Amount.Unit.Kind, false}
				} else if u.of != r {
					u.more = true
					i.users[key] = u
				}
			}
		}
		if k != nil {
			i.find = logbook.FinderOf(k, false, m.Names)
		}
		text, err := i.change(name, src)
		return text, i, err
	}
	text, i, err := all(left)
	if err != nil { // some do not fit: they are found by halves
		var fit []*Recipe
		misfits := 0
		var try func(list []*Recipe)
		try = func(list []*Recipe) {
			switch _, _, err := all(slices.Concat(fit, list)); {
			case err == nil:
				fit = append(fit, list...)
			case len(list) > 1 && misfits < mostMisfits:
				try(list[:len(list)/2])
				try(list[len(list)/2:])
			case len(list) > 1:
				t.Left = append(t.Left, Left{Where: list[0].Where, Text: list[0].Name, Why: "something in it or in what follows does not fit: mend those above first"})
			default:
				misfits++
				t.Left = append(t.Left, Left{Where: list[0].Where, Text: list[0].Name, Why: why(err)})
			}
		}
		try(left)
		if text, i, err = all(fit); err != nil {
			return nil, nil, err
		}
	}
	t.Recipes, t.New, t.Means, t.Alike = i.t.Recipes, i.t.New, i.t.Means, i.t.Alike
	t.Left, t.Notes, t.Unsaid = append(t.Left, i.t.Left...), append(t.Notes, i.notes...), i.t.Unsaid
	if string(text) == string(src) && k != nil {
		return t, nil, nil
	}
	t.Diff = udiff.Unified(name, name, string(src), string(text))
	return t, text, nil
}

// mostMisfits bounds how many recipes are named one by one that do not fit.
const mostMisfits = 20

// stray says why a recipe can't be taken over, whatever else is; lines that name the recipe itself are taken out.
func stray(r *Recipe, k *kitchen.Kitchen) string {
	r.Lines = slices.DeleteFunc(slices.Clone(r.Lines), func(l Line) bool { return logbook.SameWords(l.Item, r.Name) })
	if len(r.Lines) == 0 {
		return "nothing but itself goes into it"
	}
	if k == nil {
		return ""
	}
	for n := range k.Bought {
		if name := k.Graph.Items[n].Name; logbook.SameWords(name, r.Name) {
			return fmt.Sprintf("%s is bought, so it can't be made too: rename one of them", name)
		}
	}
	return ""
}

// why is the first thing that is wrong, in words.
func why(err error) string {
	if e, ok := err.(*kitchen.AmendError); ok {
		for _, d := range e.Faults {
			if d.Severity == kitchen.Error {
				return d.Msg + ": " + d.Hint
			}
		}
		return e.Msg + ": " + e.Hint
	}
	return err.Error()
}

// water costs nothing and is counted in litres, however it is first measured.
const water = "water"

// change gives the text with all recipes in it.
func (i *into) change(name string, src []byte) ([]byte, error) {
	var edits []kitchen.Edit
	var fresh []entry
	for _, r := range i.recipes {
		if i.isStep(r) {
			i.made[r] = i.givesName(r)
			i.steps[logbook.NameKey(r.Name)], i.steps[logbook.NameKey(i.made[r])] = r, r
		}
	}
	for _, r := range i.recipes {
		e, add := i.recipe(r)
		edits = append(edits, e...)
		fresh = append(fresh, add...)
	}
	for _, b := range i.bought {
		i.t.New = append(i.t.New, b)
		e := entry{list: kitchen.InBought, name: b}
		if strings.EqualFold(b, water) {
			e.keys = []string{"price: 0/L", "density: 1 kg/L", "allergens: []"}
		}
		fresh = append(fresh, e)
	}
	if len(i.bought) > 0 {
		i.note("say which of what is new is raw meat, fish or egg (raw: yes), and what its labels say of allergens")
	}
	text, more := appended(src, fresh)
	return kitchen.Change(name, text, append(more, edits...)...)
}

// recipe gives what has to be done for one recipe.
func (i *into) recipe(r *Recipe) (edits []kitchen.Edit, fresh []entry) {
	took := Taken{Name: r.Name, As: "dish", Is: "new"}
	if i.made[r] != "" {
		took.As = "step"
		if s, ok := i.oldStep(r); ok {
			lines := i.card(r, 1, false)
			took.Name, took.Lines = i.k.Graph.Steps[s].Name, len(lines)
			edits = i.recard(kitchen.InSteps, took.Name, s, lines)
			edits = append(edits, i.reyield(r, s)...)
			took.Is = changedOr(edits)
		} else {
			lines := i.card(r, 1, false)
			took.Lines = len(lines)
			i.open(lines)
			fresh = append(fresh, entry{list: kitchen.InSteps, name: r.Name, keys: []string{"batches: as needed"},
				lines: [][]string{takes(lines), {"gives", i.gives(r)}}})
		}
	} else if d, ok := i.oldDish(r); ok {
		lines := i.card(r, cmp.Or(r.Portions, 1), false)
		took.Name, took.Lines = i.k.Dishes[d].Name, len(lines)
		list := kitchen.InDishes
		if i.k.Dishes[d].Special {
			list = kitchen.InSpecials
		}
		edits = i.recard(list, took.Name, len(i.k.Steps)+d, lines)
		if r.Price != "" && r.Price != sum(i.k.Dishes[d].Price) {
			edits = append(edits, kitchen.Set(list, took.Name, "price", r.Price))
		}
		took.Is = changedOr(edits)
	} else {
		lines := i.card(r, cmp.Or(r.Portions, 1), r.Portions == 0 && heavy(r))
		took.Lines = len(lines)
		i.open(lines)
		e := entry{list: kitchen.InDishes, name: r.Name, lines: [][]string{takes(lines)}}
		if r.Price != "" {
			e.keys = append(e.keys, "price: "+r.Price)
		}
		if r.Portions == 0 && heavy(r) {
			i.note(fmt.Sprintf("%s does not say how many portions it is for: taken as one, as a guess; write Portions and a number above it", r.Name))
		}
		fresh = append(fresh, e)
	}
	if took.Lines == 0 {
		i.t.Left = append(i.t.Left, Left{r.Where, r.Name, "nothing that it takes could be taken over"})
		return nil, nil
	}
	i.t.Recipes = append(i.t.Recipes, took)
	return edits, fresh
}

// heavy tells whether a recipe is more than anybody eats: 1.5 kg, common practice, no source.
func heavy(r *Recipe) bool {
	sum := 0.0
	for _, l := range r.Lines {
		if l.Amount.Unit.Kind != measure.Count && l.Unsaid == nil {
			sum += l.Amount.Base()
		}
	}
	return sum > 1500
}

func changedOr(edits []kitchen.Edit) string {
	if len(edits) > 0 {
		return "changed"
	}
	return "as it was"
}

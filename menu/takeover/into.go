package takeover

// Recipes laid into a kitchen file.

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/aymanbagabas/go-udiff"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Taking is what a file comes to in a kitchen file. Nothing of it is written until it is agreed to.
type Taking struct {
	File    string          `json:"file"`
	ReadAs  []string        `json:"read_as"` // how it was read, where that is not plain UTF-8 parted by commas
	Columns []string        `json:"columns"` // as "ingredient: Zutat"
	Recipes []Taken         `json:"recipes,omitempty"`
	Prices  []Repriced      `json:"prices,omitempty"` // the largest change first
	New     []string        `json:"new,omitempty"`    // bought items that the kitchen did not have: their prices are open questions
	Means   []string        `json:"means,omitempty"`  // names that were taken as others, as "Onions White: white onion"
	Left    []Left          `json:"left_out"`
	Notes   []string        `json:"notes"`
	Diff    string          `json:"diff"`              // of the kitchen file; "" where nothing changes
	Follows *ask.Difference `json:"follows,omitempty"` // what the change does to costs and shortages; left out where the kitchen is new
	Written bool            `json:"written"`
}

// Taken is a recipe as it was taken.
type Taken struct {
	Name  string `json:"name"`
	As    string `json:"as"` // "dish" or "step"
	Is    string `json:"is"` // "new", "changed" or "as it was"
	Lines int    `json:"lines"`
}

// entry is something new for a list of the kitchen file.
type entry struct {
	list, name string
	keys       []string   // as "price: 14"
	lines      [][]string // with the key in front: "takes", lines ...
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
	kinds   map[string]measure.Kind // of what is bought anew, as it was first measured
	bought  []string                // anew
	fresh   map[string]string       // the same, by the key of the name
	notes   []string
}

// Into lays recipes into the text of a kitchen file. k is what src was read to; nil begins a file, and src is its head. text is nil where
// nothing changes. The error is an [*kitchen.AmendError].
func Into(name string, src []byte, k *kitchen.Kitchen, f *File, m Manner) (t *Taking, text []byte, err error) {
	t = &Taking{File: f.Name, ReadAs: slices.Concat([]string{}, f.ReadAs), Columns: slices.Concat([]string{}, f.Columns), Left: slices.Concat([]Left{}, f.Left),
		Notes: slices.Concat([]string{}, f.Notes)}
	var left []*Recipe
	for _, r := range f.Recipes {
		if why := stray(r, k); why != "" {
			t.Left = append(t.Left, Left{r.Where, r.Name, why})
			continue
		}
		left = append(left, r)
	}
	all := func(list []*Recipe) ([]byte, *into, error) {
		i := &into{k: k, manner: m, t: &Taking{}, recipes: list, made: map[*Recipe]string{}, kinds: map[string]measure.Kind{}, users: map[string]user{},
			steps: map[string]*Recipe{}, fresh: map[string]string{}}
		for _, r := range list {
			for _, l := range r.Lines {
				key := logbook.NameKey(l.Item)
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
	if err != nil { // one of them does not fit: each by itself, those that others use before those that use them
		var fit []*Recipe
		for _, one := range left {
			if _, _, err := all(append(slices.Clone(fit), one)); err != nil {
				t.Left = append(t.Left, Left{one.Where, one.Name, why(err)})
				continue
			}
			fit = append(fit, one)
		}
		if text, i, err = all(fit); err != nil {
			return nil, nil, err
		}
	}
	t.Recipes, t.New, t.Means = i.t.Recipes, i.t.New, i.t.Means
	t.Left, t.Notes = append(t.Left, i.t.Left...), append(t.Notes, i.notes...)
	if string(text) == string(src) && k != nil {
		return t, nil, nil
	}
	t.Diff = udiff.Unified(name, name, string(src), string(text))
	return t, text, nil
}

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
		if strings.EqualFold(b, "water") {
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

// appended writes new entries: behind the file, where it does not have their list, else as edits.
func appended(src []byte, fresh []entry) (text []byte, edits []kitchen.Edit) {
	text = slices.Clone(src)
	if n := len(text); n > 0 && text[n-1] != '\n' {
		text = append(text, '\n')
	}
	for _, list := range []string{kitchen.InBought, kitchen.InSteps, kitchen.InDishes} {
		mine := slices.DeleteFunc(slices.Clone(fresh), func(e entry) bool { return e.list != list })
		switch {
		case len(mine) == 0:
		case regexp.MustCompile(`(?m)^["']?` + list + `["']?\s*:`).Match(src):
			for _, e := range mine {
				edits = append(edits, kitchen.Add(list, e.name, e.flow()))
			}
		default:
			text = append(text, "\n"+abouts[list]+"\n"+list+":\n"...)
			for _, e := range mine {
				text = append(text, e.block()...)
			}
		}
	}
	return text, edits
}

// abouts stand above lists that are begun.
var abouts = map[string]string{
	kitchen.InBought: "# What comes from outside. \"allergens: [milk, wheat]\" says what the label says, [] that it has none; \"raw: yes\" is raw meat, fish or egg.",
	kitchen.InSteps:  "# What one batch takes, and what it gives. \"as needed\": whole batches, when what is on hand would not do.",
	kitchen.InDishes: "# What is sold, by portion. \"sells\" is the forecast of a service, or by service: {lunch: 22, fri dinner: 60}.",
}

// flow is an entry in brackets.
func (e entry) flow() string {
	var keys []string
	for _, l := range e.lines {
		var lines []string
		for _, line := range l[1:] {
			lines = append(lines, kitchen.Words(line))
		}
		keys = append(keys, l[0]+": ["+strings.Join(lines, ", ")+"]")
	}
	return "{" + strings.Join(append(keys, e.keys...), ", ") + "}"
}

// block is an entry in lines of its own, or in one where it is short.
func (e entry) block() string {
	const wide = 130
	if one := "  " + kitchen.Words(e.name) + ": " + e.flow() + "\n"; len([]rune(one)) <= wide {
		return one
	}
	b := "  " + kitchen.Words(e.name) + ":\n"
	for _, l := range e.lines {
		b += "    " + l[0] + ":\n"
		for _, line := range l[1:] {
			b += "      - " + kitchen.Words(line) + "\n"
		}
	}
	for _, key := range e.keys {
		b += "    " + key + "\n"
	}
	return b
}

// user is a line that names something.
type user struct {
	of   *Recipe
	kind measure.Kind
	more bool // others name it, too
}

// usedBy tells whether another recipe of the file names this one, and how it measures it.
func (i *into) usedBy(r *Recipe) (kind measure.Kind, used bool) {
	u, ok := i.users[logbook.NameKey(r.Name)]
	return u.kind, ok && (u.of != r || u.more)
}

// oldStep is the step of the kitchen that a recipe is: by its own name, or by the name of what it alone gives.
func (i *into) oldStep(r *Recipe) (step int, ok bool) {
	if i.k == nil {
		return 0, false
	}
	step = called(len(i.k.Steps), r.Name, func(s int) string { return i.k.Graph.Steps[s].Name })
	if step < 0 {
		step = called(len(i.k.Steps), r.Name, func(s int) string {
			if g := i.k.Graph.Steps[s].Gives; len(g) == 1 {
				return i.k.Graph.Items[g[0].Item].Name
			}
			return ""
		})
	}
	return step, step >= 0
}

func (i *into) oldDish(r *Recipe) (dish int, ok bool) {
	if i.k == nil {
		return 0, false
	}
	dish = called(len(i.k.Dishes), r.Name, func(d int) string { return i.k.Dishes[d].Name })
	return dish, dish >= 0
}

// called finds a name among some: the same, or else the one with the same words; -1 for none.
func called(count int, name string, at func(int) string) (found int) {
	found = -1
	for n := range count {
		if strings.EqualFold(at(n), name) {
			return n
		}
		if found < 0 && logbook.SameWords(at(n), name) {
			found = n
		}
	}
	return found
}

// isStep tells whether a recipe is made ahead, and not a plate.
func (i *into) isStep(r *Recipe) bool {
	if _, ok := i.oldDish(r); ok {
		return false
	}
	if _, ok := i.oldStep(r); ok {
		return true
	}
	_, used := i.usedBy(r)
	return used || r.Yield != "" && r.Portions == 0 && r.Price == ""
}

// givesName is what a step gives, by name.
func (i *into) givesName(r *Recipe) string {
	if s, ok := i.oldStep(r); ok {
		return i.k.Graph.Items[i.k.Graph.Steps[s].Gives[0].Item].Name
	}
	return r.Name
}

// item finds what a line takes, or adds it to what is bought.
func (i *into) item(l Line, of *Recipe) (name string, ok bool) {
	if o := i.steps[logbook.NameKey(l.Item)]; o != nil && o != of {
		return i.made[o], true
	}
	if i.k != nil {
		m := i.find.Find(l.Item)
		switch {
		case m.Left:
			return "", false
		case m.Ours != "" && !m.Alike:
			if !strings.EqualFold(m.Ours, l.Item) {
				i.means(l.Item, m.Ours)
			}
			return m.Ours, true
		case m.Ours != "":
			i.note(fmt.Sprintf("is %q your %q? Then say --means \"%s=%s\"; it is a new bought item now", l.Item, m.Ours, l.Item, m.Ours))
		}
	}
	if b := i.fresh[logbook.NameKey(l.Item)]; b != "" {
		return b, true
	}
	i.bought, i.fresh[logbook.NameKey(l.Item)] = append(i.bought, l.Item), l.Item
	i.kinds[l.Item] = l.Amount.Unit.Kind
	return l.Item, true
}

func (i *into) means(written, ours string) {
	if said := written + ": " + ours; !slices.Contains(i.t.Means, said) {
		i.t.Means = append(i.t.Means, said)
	}
}

func (i *into) note(text string) {
	if !slices.Contains(i.notes, text) {
		i.notes = append(i.notes, text)
	}
}

// measurable tells whether an amount of an item can be led to how it is counted.
func (i *into) measurable(name string, q measure.Quantity) bool {
	if o := i.steps[logbook.NameKey(name)]; o != nil {
		if _, old := i.oldStep(o); !old {
			line := strings.TrimPrefix(i.gives(o), "some ")
			if line != i.gives(o) {
				line = "1 " + line
			}
			given, _, err := measure.ParsePrefix(line)
			return err == nil && (given.Unit.Kind == measure.Count) == (q.Unit.Kind == measure.Count)
		}
	}
	if kind, fresh := i.kinds[name]; fresh {
		return (kind == measure.Count) == (q.Unit.Kind == measure.Count)
	}
	if i.k == nil {
		return true
	}
	at, err := i.k.FindItemOf(name, "item", graph.Bought, graph.Made)
	if err != nil {
		return true // a step of this file
	}
	it := i.k.Graph.Items[at]
	_, ok := it.Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind)
	return ok || it.Unit.Kind != measure.Count && q.Unit.Kind != measure.Count // a density stands in
}

// cardLine is a line as it is written into the file.
type cardLine struct {
	item  string
	q     measure.Quantity
	guess bool
}

func (l cardLine) text() string {
	text := written(l.q) + " " + l.item
	if l.guess {
		text += ", guessed"
	}
	return text
}

// card is what a recipe takes, for a portion of a dish or for a batch.
func (i *into) card(r *Recipe, portions float64, guess bool) (lines []cardLine) {
	for _, l := range r.Lines {
		name, ok := i.item(l, r)
		if !ok {
			continue
		}
		q := l.Amount
		q.Amount /= portions
		if portions != 1 {
			q = handy(q)
		}
		if !i.measurable(name, q) {
			i.t.Left = append(i.t.Left, Left{r.Where, fmt.Sprintf("%s: %s %s", r.Name, written(q), name),
				fmt.Sprintf("it is counted in one place and weighed in another: write what one weighs, such as each: 200 g, at %q", name)})
			continue
		}
		if at := slices.IndexFunc(lines, func(o cardLine) bool { return o.item == name && o.q.Unit.Kind == q.Unit.Kind }); at >= 0 {
			lines[at].q.Amount += q.Base() / lines[at].q.Unit.Factor
			continue
		}
		lines = append(lines, cardLine{name, q, l.Guessed || guess})
	}
	return lines
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
		if l.Amount.Unit.Kind != measure.Count {
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

func takes(lines []cardLine) []string {
	list := []string{"takes"}
	for _, l := range lines {
		list = append(list, l.text())
	}
	return list
}

// gives is the line of what a new step gives.
func (i *into) gives(r *Recipe) string {
	kind, _ := i.usedBy(r)
	switch {
	case r.Yield != "":
		return r.Yield + " " + r.Name
	case kind == measure.Count && r.Portions > 0:
		return measure.FormatNumber(r.Portions) + " each " + r.Name
	case kind == measure.Count:
		return "1 each " + r.Name + ", guessed"
	case kind == measure.Volume || kitchen.Liquid(r.Name):
		return "some L " + r.Name
	}
	return "some kg " + r.Name
}

// same is how far two amounts may be apart that mean the same: what is printed with four digits.
const same = 1e-3

// recard changes the card of a step or dish to other lines. Lines of one item belong together; what else stands on a line stays.
func (i *into) recard(list, name string, node int, lines []cardLine) (edits []kitchen.Edit) {
	st := i.k.Graph.Steps[node]
	var gone []int
	for at, old := range st.Takes {
		item := i.k.Graph.Items[old.Choices[0].Item]
		n := slices.IndexFunc(lines, func(l cardLine) bool { return l.item == item.Name })
		if n < 0 {
			if other := slices.IndexFunc(lines, func(l cardLine) bool { // a substitute is the line, too
				return slices.ContainsFunc(old.Choices, func(c graph.Choice) bool { return i.k.Graph.Items[c.Item].Name == l.item })
			}); other >= 0 {
				lines = slices.Delete(slices.Clone(lines), other, other+1)
				continue
			}
			gone = append(gone, at)
			continue
		}
		l := lines[n]
		lines = slices.Delete(slices.Clone(lines), n, n+1)
		base, ok := item.Bridge().Convert(l.q.Base(), l.q.Unit.Kind, item.Unit.Kind)
		if was := old.Choices[0].Amount; !ok || base < was*(1-same) || base > was*(1+same) {
			edits = append(edits, kitchen.Reamount(list, name, "takes", at, written(l.q)))
		}
	}
	for _, l := range lines {
		edits = append(edits, kitchen.AddLine(list, name, "takes", len(st.Takes), l.text()))
	}
	slices.Reverse(edits[len(edits)-len(lines):]) // each goes in before the one added last
	for _, at := range slices.Backward(gone) {
		edits = append(edits, kitchen.DropLine(list, name, "takes", at))
	}
	return edits
}

// reyield changes what a step gives, where the recipe says so and it gives one thing.
func (i *into) reyield(r *Recipe, step int) []kitchen.Edit {
	st := i.k.Graph.Steps[step]
	q, err := measure.Parse(r.Yield)
	if r.Yield == "" || err != nil || len(st.Gives) != 1 {
		return nil
	}
	item := i.k.Graph.Items[st.Gives[0].Item]
	base, ok := item.Bridge().Convert(q.Base(), q.Unit.Kind, item.Unit.Kind)
	if was := st.Gives[0].Amount; ok && base >= was*(1-same) && base <= was*(1+same) {
		return nil
	}
	return []kitchen.Edit{kitchen.Reamount(kitchen.InSteps, st.Name, "gives", 0, r.Yield)}
}

// Head is how a kitchen file begins that is taken over from a spreadsheet.
func Head(from, kitchenName string) []byte {
	at := strings.LastIndexAny(from, `/\`)
	return []byte("# Taken over from " + nameOf(from[at+1:]) + ". Change it as you like: kettletree check says what does not add up, and\n" +
		"# kettletree check --open lists what is not known yet. kettletree help kitchen has every word.\n" +
		"kitchen: " + kitchen.Words(cmp.Or(nameOf(kitchenName), "My Kitchen")) + "\n")
}

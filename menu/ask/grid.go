package ask

// The grid of dishes by allergen, as a notice for guests and for whoever takes the orders.

import (
	"slices"

	"kettletree/menu/kitchen"
)

// What a cell of the grid says, from the worst on.
const (
	Contains   = "contains"
	Sometimes  = "sometimes"     // only with a substitute, or with what may be left out
	MayContain = "may contain"   // by a package, or by what a step shares with other food
	Unknown    = "unknown"       // something in the dish states nothing
	NoneStated = "declared free" // all that it is made of is declared free of it
)

// AllergenGrid is what each dish has of each entry of the kitchen's allergen lists.
type AllergenGrid struct {
	Kitchen  string              `json:"kitchen"`
	Lists    []string            `json:"lists"`   // whose entries are asked for, by their titles
	Columns  []GridColumn        `json:"columns"` // entries that mean the same in two lists stand once; codes of no list stand last
	Dishes   []GridRow           `json:"dishes"`
	Raw      []kitchen.RawServed `json:"served_raw"`         // dishes with something raw in them when they are served, as far as the file says
	Advisory string              `json:"advisory,omitempty"` // section of the food code that asks for an advisory with them
	Caution  string              `json:"caution"`
}

// GridColumn is an entry of an allergen list.
type GridColumn struct {
	Allergen string   `json:"allergen"`
	Lists    []string `json:"lists"` // that have it; none of a code that is on no list of the kitchen
}

// GridRow is what a dish has of each allergen.
type GridRow struct {
	Dish    string     `json:"dish"`
	Special bool       `json:"special"`
	Cells   []GridCell `json:"cells"`   // by column
	Unknown []Way      `json:"unknown"` // from bought items behind it of which the file states nothing
}

// GridCell is what a dish has of an allergen.
type GridCell struct {
	Says  string    `json:"says"`  // "contains", "sometimes" (only with a substitute, or with what may be left out), "may contain", "unknown" or "declared free"
	Kinds []string  `json:"kinds"` // that are named of it, such as cod of fish
	Ways  []GridWay `json:"ways"`  // by which it comes, the surest first
}

// GridWay is a way by which an allergen comes.
type GridWay struct {
	Way
	May bool `json:"may_contain"` // it is no more than what may be in there
}

// Grid is the grid of all dishes and specials.
func Grid(k *kitchen.Kitchen) *AllergenGrid {
	sheet := Allergens(k)
	g := &AllergenGrid{Kitchen: k.Name, Lists: []string{}, Columns: []GridColumn{}, Dishes: []GridRow{}, Raw: sheet.Raw, Advisory: sheet.Advisory, Caution: kitchen.AllergenCaution}
	for _, l := range k.Lists {
		title := l.Title
		if l.Source != "" {
			title += " (" + l.Source + ")"
		}
		g.Lists = append(g.Lists, title)
	}
	columns := k.Columns()
	// A code that is on no list is warned of, and still never left out.
	for _, d := range sheet.Dishes {
		for _, a := range slices.Concat(d.Allergens, d.May) {
			if !slices.ContainsFunc(columns, func(c kitchen.AllergenCode) bool { return c.In(a.Allergen) }) {
				code, _ := kitchen.CodeAndKind(a.Allergen)
				columns = append(columns, kitchen.AllergenCode{Name: code})
			}
		}
	}
	for _, c := range columns {
		g.Columns = append(g.Columns, GridColumn{c.Name, k.ListsWith(c.Name)})
	}
	for _, d := range sheet.Dishes {
		row := GridRow{Dish: d.Name, Special: d.Special, Cells: []GridCell{}, Unknown: d.Unstated}
		for _, c := range columns {
			row.Cells = append(row.Cells, gridCell(d, c))
		}
		g.Dishes = append(g.Dishes, row)
	}
	return g
}

// gridCell is what a dish has of an entry of a list.
func gridCell(d DishAllergens, c kitchen.AllergenCode) GridCell {
	cell := GridCell{Says: NoneStated, Kinds: []string{}, Ways: []GridWay{}}
	if len(d.Unstated) > 0 {
		cell.Says = Unknown
	}
	take := func(all []AllergenWay, may bool, says func(AllergenWay) string) {
		for _, a := range all {
			if !c.In(a.Allergen) {
				continue
			}
			if worse(says(a), cell.Says) {
				cell.Says = says(a)
			}
			if kind := kindIn(c, a.Allergen); kind != "" && !slices.Contains(cell.Kinds, kind) {
				cell.Kinds = append(cell.Kinds, kind)
			}
			for _, w := range a.Ways {
				cell.Ways = append(cell.Ways, GridWay{w, may})
			}
		}
	}
	take(d.Allergens, false, func(a AllergenWay) string {
		if a.Always {
			return Contains
		}
		return Sometimes
	})
	take(d.May, true, func(AllergenWay) string { return MayContain })
	return cell
}

// worse tells whether one word of a cell must be seen before another.
func worse(a, b string) bool {
	order := []string{Contains, Sometimes, Unknown, MayContain, NoneStated} // what may be there is told beside what nobody knows
	return slices.Index(order, a) < slices.Index(order, b)
}

// kindIn is the kind that an allergen names of an entry: cod of "fish (cod)", walnut of walnut in the place of tree nuts.
func kindIn(c kitchen.AllergenCode, allergen string) string {
	code, kind := kitchen.CodeAndKind(allergen)
	if kind == "" && slices.Contains(c.Kinds, code) {
		return code
	}
	return kind
}

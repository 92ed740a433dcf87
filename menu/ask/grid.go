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
	Says  string     `json:"says"`  // "contains", "sometimes" (only with a substitute, or with what may be left out), "may contain", "unknown" or "declared free"
	Kinds []string   `json:"kinds"` // that are named of it, such as cod of fish
	Ways  []Way      `json:"ways"`  // by which it comes, the surest first
	Also  []GridAlso `json:"also"`  // what is less sure of it: a dish that contains walnut and may contain almond
}

// GridAlso is what a cell says beside its first word.
type GridAlso struct {
	Says  string   `json:"says"`  // "sometimes" or "may contain"
	Kinds []string `json:"kinds"` // that are named of it
	Ways  []Way    `json:"ways"`  // by which it comes
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
	cell := GridCell{Says: NoneStated, Kinds: []string{}, Ways: []Way{}, Also: []GridAlso{}}
	take := func(says string, all []AllergenWay, of func(AllergenWay) bool) {
		said := GridAlso{Says: says, Kinds: []string{}, Ways: []Way{}}
		more := false // than what is said already
		for _, a := range all {
			kind := kindIn(c, a.Allergen)
			if !c.In(a.Allergen) || !of(a) || kind != "" && cell.Says == Contains && slices.Contains(cell.Kinds, kind) {
				continue
			}
			if more = true; kind != "" && !slices.Contains(said.Kinds, kind) {
				said.Kinds = append(said.Kinds, kind)
			}
			said.Ways = append(said.Ways, a.Ways...)
		}
		switch {
		case !more:
		case cell.Says == NoneStated:
			cell.Says, cell.Kinds, cell.Ways = says, said.Kinds, said.Ways
		default:
			cell.Also = append(cell.Also, said)
		}
	}
	take(Contains, d.Allergens, func(a AllergenWay) bool { return a.Always })
	take(Sometimes, d.Allergens, func(a AllergenWay) bool { return !a.Always })
	if len(d.Unstated) > 0 && cell.Says == NoneStated {
		cell.Says = Unknown
	}
	take(MayContain, d.May, func(AllergenWay) bool { return true })
	return cell
}

// kindIn is the kind that an allergen names of an entry: cod of "fish (cod)", walnut of walnut in the place of tree nuts.
func kindIn(c kitchen.AllergenCode, allergen string) string {
	code, kind := kitchen.CodeAndKind(allergen)
	if kind == "" && slices.Contains(c.Kinds, code) {
		return code
	}
	return kind
}

package takeover

// Recipes as spreadsheets have them: rows of dish, ingredient, amount and unit, or blocks with a title above.

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Recipe is one as it was read.
type Recipe struct {
	Name     string
	Portions float64 // that the amounts are for; 0 when not said
	Yield    string  // what a batch comes to, "12 L"; "" when not said
	Price    string  // of a portion; "" when not said
	Lines    []Line
	Where    string // "book.xlsx, sheet Pozole, row 3"

	at map[string]int // the line of an item
}

// Line is one line of a recipe.
type Line struct {
	Item    string
	Amount  measure.Quantity
	Guessed bool  // the unit is a word that nobody knows: so many pieces of it
	Unsaid  *Left // why its amount can't be read; nil where it can. Amount is then one of the unit that its row has, or is likely
}

// Left is what was not taken over, and why.
type Left struct {
	Where string `json:"where"`
	Text  string `json:"text"`
	Why   string `json:"why"`
}

// Manner is how a file is to be read.
type Manner struct {
	Columns  Columns
	Names    logbook.Names
	Decimals string // "comma", "point", or "" as the file's other numbers tell
}

// File is a file that was read.
type File struct {
	Name    string
	ReadAs  []string
	Columns []string // as "ingredient: Zutat"
	Recipes []*Recipe
	Left    []Left
	Notes   []string
	Unread  []string // headers of columns that mean nothing here
	Doubt   *Doubt   // the first number that may be two; nil where there is none
}

// Doubt is a number that may be two, in a file whose other numbers do not tell.
type Doubt struct {
	Number    string `json:"number"`    // "1,500"
	Decimal   string `json:"decimal"`   // "1.500"
	Thousands string `json:"thousands"` // "1500"
}

// Parts tells what parts decimals, where the number is one with decimals or one of thousands: "comma" or "point".
func (d *Doubt) Parts(withDecimals bool) string {
	if strings.Contains(d.Number, ",") == withDecimals {
		return "comma"
	}
	return "point"
}

// reader reads recipes.
type reader struct {
	file     *File
	heads    *heads
	decimals decimals
	grid     *logbook.Grid
	at       map[string]*Recipe
	closest  []string // the headers of the row that comes nearest to naming the columns, of which nobody knows what they mean
	fits     int
	titles   []title         // by row of the sheet
	told     map[string]bool // what is said of a recipe and can't be read: a row is looked at more than once
}

// labels stand before what is said of a recipe above its lines.
var labels = regexp.MustCompile(`(?i)^(portions?|serves|servings|covers|raciones|porciones|portionen|yield|makes|batch size|rinde|ergibt|menu price|selling price|price|sells for|precio|preis|recipe|dish|name|receta|rezept) ?[:=]? *(.*)$`)

// labelled is what a label says it is about.
func labelled(label string) string {
	switch strings.ToLower(label) {
	case "yield", "makes", "batch size", "rinde", "ergibt":
		return "yield"
	case "menu price", "selling price", "price", "sells for", "precio", "preis":
		return "price"
	case "recipe", "dish", "name", "receta", "rezept":
		return "dish"
	}
	return "portions"
}

// Recipes reads the recipes of a file. What it can't read as a whole comes back as faults; an [*Asks] says which columns are to be said.
func Recipes(name string, src []byte, m Manner) (f *File, ask *Asks, found kitchen.Diagnostics) {
	grids, found := logbook.Grids(name, src, headsOf(OfRecipes, m.Columns).named)
	if found != nil {
		return nil, nil, found
	}
	r := &reader{file: &File{Name: name}, heads: headsOf(OfRecipes, m.Columns), decimals: decimalsOf(m.Decimals, grids), at: map[string]*Recipe{}, told: map[string]bool{}}
	for _, g := range grids {
		r.grid = g
		for _, as := range g.ReadAs {
			if !slices.Contains(r.file.ReadAs, as) {
				r.file.ReadAs = append(r.file.ReadAs, as)
			}
		}
		r.sheet()
	}
	if len(r.file.Recipes) == 0 && r.file.Columns == nil {
		return nil, &Asks{OfRecipes, needed[OfRecipes], headersOr(r.closest)}, nil
	}
	if n := len(r.file.Recipes); n > mostRecipes {
		return nil, nil, kitchen.Diagnostics{{Pos: kitchen.Pos{File: name, Line: 1, Col: 1}, Severity: kitchen.Error, ID: "too-large",
			Msg: fmt.Sprintf("file has %d recipes, more than the %d that are taken over at once", n, mostRecipes), Hint: "keep those that you cook; is one column mistaken for the dish?"}}
	}
	r.file.Recipes = slices.DeleteFunc(r.file.Recipes, func(one *Recipe) bool {
		if len(one.Lines) == 0 {
			r.file.Left = append(r.file.Left, Left{one.Where, one.Name, "nothing of it could be read"})
		}
		return len(one.Lines) == 0
	})
	return r.file, nil, nil
}

// mostRecipes is more than a kitchen cooks.
const mostRecipes = 500

// headersOr are the headers that a file has; one that is given where there is none.
func headersOr(texts []string) []string {
	texts = slices.DeleteFunc(slices.Clone(texts), func(t string) bool { return t == "" })
	if len(texts) == 0 {
		return []string{"HEADER"}
	}
	return texts[:min(len(texts), 12)]
}

func decimalsOf(said string, grids []*logbook.Grid) decimals {
	switch said {
	case "comma":
		return byComma
	case "point":
		return byPoint
	}
	return survey(grids)
}

// where is a place in the file, in words.
func (r *reader) where(row logbook.GridRow) string {
	if r.grid.Sheet != "" {
		return fmt.Sprintf("%s, sheet %q, row %d", r.file.Name, r.grid.Sheet, row.Line)
	}
	return fmt.Sprintf("%s, row %d", r.file.Name, row.Line)
}

// doubt keeps the first number that may be two, for whoever can be asked.
func (r *reader) doubt(err error) {
	if two, ok := err.(*twofold); ok && r.file.Doubt == nil {
		r.file.Doubt = &Doubt{Number: two.number}
		r.file.Doubt.Decimal, r.file.Doubt.Thousands = two.Two()
	}
}

// rowText is a row in a line.
func rowText(row logbook.GridRow) string {
	var texts []string
	for _, t := range row.Texts() {
		texts = append(texts, t)
	}
	return strings.Join(texts, " | ")
}

// left is a row with why not all of it is taken.
func (r *reader) left(row logbook.GridRow, why string) Left {
	text := rowText(row)
	if n := []rune(text); len(n) > 120 {
		text = string(n[:120]) + "..."
	}
	return Left{r.where(row), text, why}
}

func (r *reader) leave(row logbook.GridRow, why string) {
	r.file.Left = append(r.file.Left, r.left(row, why))
}

// noResult is why something is not taken that a formula should give.
const noResult = "a formula in this row has no result: open the file in the program that made it, save it once more, and take it over again"

// leaveOnce tells once that what a row says of a recipe was not taken.
func (r *reader) leaveOnce(row logbook.GridRow, what, why string) {
	if key := r.where(row) + "\x00" + what; !r.told[key] {
		r.told[key] = true
		r.leave(row, why)
	}
}

// sheet reads one sheet: blocks, each under a row that names the columns.
func (r *reader) sheet() {
	var head *heading
	var now *Recipe // of the block, or of the dish that was named last
	fresh := &Recipe{}
	r.titles = make([]title, len(r.grid.Rows))
	for n, row := range r.grid.Rows {
		cells := cellsOf(row)
		h := r.heads.heading(cells)
		_, ingredient := h.at["ingredient"]
		switch {
		case ingredient && (len(h.at) > 1 || row.Width() == 1):
			if head == nil {
				r.columns(h)
			}
			head = &h
			now = nil
			if _, rows := h.at["dish"]; !rows { // the block's own recipe
				now = r.begin(cmp.Or(fresh.Name, r.grid.Sheet, r.fileTitle()), row, fresh)
			}
			fresh = &Recipe{}
		case head == nil || r.above(row, fresh) && now == nil:
			if head == nil && !r.above(row, fresh) {
				if fit := 100*len(h.at) + row.Width(); fit > r.fits && row.Width() > 1 {
					r.fits, r.closest = fit, h.unknown()
				}
				if one := alone(cells); one != "" && fresh.Name == "" {
					fresh.Name = nameOf(one)
				}
			}
		case r.above(row, fresh): // said below the lines of a block, or above the next
			if now != nil && fresh.Name == "" {
				now.Portions, now.Yield, now.Price = cmp.Or(fresh.Portions, now.Portions), cmp.Or(fresh.Yield, now.Yield), cmp.Or(fresh.Price, now.Price)
				fresh = &Recipe{}
			}
		default:
			dish, rows := head.at["dish"]
			if one := alone(cells); one != "" && !rows && cells[0].at == head.at["ingredient"] && now != nil && !prose.MatchString(one) && measured(one) == "" && !r.titleNext(n) {
				r.line(*head, row, now)
				continue
			} else if one != "" && !rows && strings.TrimSpace(head.text(row, "amount")) == "" && measured(one) == "" && !head.uncounted(row, "amount") {
				fresh = &Recipe{Name: nameOf(one)} // the title of what may come next
				if now == nil || !r.titleNext(n) {
					r.leave(row, "it names no ingredient")
					fresh = &Recipe{}
				}
				continue
			}
			if rows && row.Uncounted(dish) { // and so are the rows below it, until the next dish is named
				now = nil
				r.leave(row, noResult)
				continue
			}
			if rows && row.Text(dish) != "" {
				now = r.begin(nameOf(row.Text(dish)), row, &Recipe{})
			}
			if now == nil {
				r.leave(row, "no dish is named for it")
				continue
			}
			r.line(*head, row, now)
		}
	}
}

// title tells whether a block begins below a row, as far as that is known yet.
type title uint8

const (
	notAsked title = iota
	begins
	goesOn
)

// titleNext tells whether what stands alone in a row is the title of the next block: a row that names columns comes before any with an
// amount. Rows above that end in the same place have the same answer.
func (r *reader) titleNext(row int) bool {
	to, found := row+1, goesOn
	for ; to < len(r.grid.Rows); to++ {
		next := r.grid.Rows[to]
		cells := cellsOf(next)
		if _, ok := r.heads.heading(cells).at["ingredient"]; ok {
			found = begins
			break
		}
		if alone(cells) == "" && !r.above(next, &Recipe{}) {
			break
		}
		if known := r.titles[to]; known != notAsked {
			found = known
			break
		}
	}
	for n := row; n < min(to, len(r.grid.Rows)); n++ {
		r.titles[n] = found
	}
	return found == begins
}

// fileTitle is what a file without a title is called: its name without folder and ending.
func (r *reader) fileTitle() string {
	name := r.file.Name
	if at := strings.LastIndexAny(name, `/\`); at >= 0 {
		name = name[at+1:]
	}
	name, _, _ = strings.Cut(name, ".")
	return strings.NewReplacer("_", " ", "-", " ").Replace(name)
}

// alone is the only text of a row; "" where there are several.
func alone(cells []placed) string {
	if len(cells) == 1 {
		return cells[0].text
	}
	return ""
}

// measured is a text that begins with an amount; "" for others.
func measured(text string) string {
	if text != "" && strings.ContainsAny(text[:1], "0123456789") || strings.HasPrefix(text, "½") || strings.HasPrefix(text, "¼") || strings.HasPrefix(text, "¾") {
		return text
	}
	return ""
}

// above takes what a row says of a recipe beside its lines: "Yield: 12 L", or the two in cells of their own.
func (r *reader) above(row logbook.GridRow, into *Recipe) (is bool) {
	cells := cellsOf(row)
	for n := 0; n < len(cells); n++ {
		m := labels.FindStringSubmatch(cells[n].text)
		if m == nil {
			return is
		}
		value := m[2]
		if value == "" {
			if n+1 == len(cells) {
				if row.Uncounts(cells[n].at+1) && labelled(m[1]) != "dish" {
					r.leaveOnce(row, labelled(m[1]), noResult)
					return true
				}
				return is
			}
			n++
			number := cells[n].number
			value = cells[n].text
			if labelled(m[1]) == "yield" && n+1 < len(cells) && !strings.ContainsFunc(value, unicode.IsLetter) && labels.FindStringSubmatch(cells[n+1].text) == nil { // its unit in a cell of its own
				n++
				value += " " + cells[n].text
			}
			is = true
			r.say(into, row, labelled(m[1]), value, number)
			continue
		} else if !strings.ContainsAny(cells[n].text, ":=") && (measured(value) == "" || labelled(m[1]) == "dish") {
			return is // "price of fame" is a name, and "dish 12"
		}
		is = true
		r.say(into, row, labelled(m[1]), value, cells[n].number)
	}
	return is
}

// say takes what is said of a recipe; number: a workbook keeps it as one. What can't be read is left, and told.
func (r *reader) say(into *Recipe, row logbook.GridRow, what, value string, number bool) {
	plain, err := value, error(nil)
	if !number {
		plain, err = r.decimals.plainly(value)
	}
	if what == "dish" {
		into.Name = nameOf(value)
		return
	}
	if value == "" || strings.Trim(value, "-–—") == "" {
		return
	}
	unread := func(why string) { r.leaveOnce(row, what, why) }
	if err != nil {
		r.doubt(err)
		unread(err.Error())
		return
	}
	switch what {
	case "portions":
		n, _, err := measure.Number(plain)
		if err != nil || n <= 0 {
			unread(fmt.Sprintf("%q is no number of portions", value))
			return
		}
		into.Portions = n
	case "yield":
		if q, _, unknown, ok := amountOf(plain); ok && q.Amount > 0 {
			if q.Unit.Kind == measure.Count && strings.Contains(strings.ToLower(plain), "portion") {
				into.Portions = q.Amount
				return
			}
			into.Yield = written(q)
		} else if strings.HasPrefix(strings.ToLower(unknown), "portion") || strings.HasPrefix(strings.ToLower(unknown), "serv") {
			into.Portions = q.Amount
		} else if unknown == "" && q.Amount > 0 {
			into.Portions = q.Amount
		} else {
			unread(fmt.Sprintf("%q does not say what it comes to, such as 12 L", value))
		}
	case "price":
		if number, _, err := moneyOf(plain, byPoint); err == nil {
			if n, rest, err := measure.Number(number); err == nil && strings.TrimSpace(rest) == "" {
				into.Price = sum(n)
				return
			}
		}
		unread(fmt.Sprintf("%q is no price", value))
	}
}

// columns notes how the columns are read.
func (r *reader) columns(h heading) {
	r.file.Columns, r.file.Unread = h.note(OfRecipes, r.file.Columns, r.file.Unread)
}

// begin is the recipe of a name: a new one, or the one that rows above began.
func (r *reader) begin(name string, row logbook.GridRow, of *Recipe) *Recipe {
	key := logbook.NameKey(name)
	if one := r.at[key]; one != nil {
		return one
	}
	one := &Recipe{Name: name, Portions: of.Portions, Yield: of.Yield, Price: of.Price, Where: r.where(row)}
	r.at[key] = one
	r.file.Recipes = append(r.file.Recipes, one)
	return one
}

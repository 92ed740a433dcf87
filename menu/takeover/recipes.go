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
}

// Line is one line of a recipe.
type Line struct {
	Item    string
	Amount  measure.Quantity
	Guessed bool // the unit is a word that nobody knows: so many pieces of it
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
}

// reader reads recipes.
type reader struct {
	file     *File
	said     Columns
	decimals decimals
	grid     *logbook.Grid
	at       map[string]*Recipe
	closest  []string // the headers of the row that comes nearest to naming the columns, of which nobody knows what they mean
	fits     int
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

// Recipes reads the recipes of a file. What it can't read as a whole is told as faults; an [*Asks] says which columns are to be told.
func Recipes(name string, src []byte, m Manner) (f *File, ask *Asks, found kitchen.Diagnostics) {
	grids, found := logbook.Grids(name, src, named(OfRecipes, m.Columns))
	if found != nil {
		return nil, nil, found
	}
	r := &reader{file: &File{Name: name}, said: m.Columns, decimals: decimalsOf(m.Decimals, grids), at: map[string]*Recipe{}, told: map[string]bool{}}
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
	r.file.Recipes = slices.DeleteFunc(r.file.Recipes, func(one *Recipe) bool {
		if len(one.Lines) == 0 {
			r.file.Left = append(r.file.Left, Left{one.Where, one.Name, "nothing of it could be read"})
		}
		return len(one.Lines) == 0
	})
	return r.file, nil, nil
}

// headersOr are the headers that a file has; one that is told where there is none.
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

func (r *reader) leave(row logbook.GridRow, why string) {
	text := strings.Join(slices.DeleteFunc(textsOf(row), func(t string) bool { return t == "" }), " | ")
	if n := []rune(text); len(n) > 120 {
		text = string(n[:120]) + "..."
	}
	r.file.Left = append(r.file.Left, Left{r.where(row), text, why})
}

// sheet reads one sheet: blocks, each under a row that names the columns.
func (r *reader) sheet() {
	var head *heading
	var now *Recipe // of the block, or of the dish that was named last
	fresh := &Recipe{}
	for _, row := range r.grid.Rows {
		texts := textsOf(row)
		h := headingOf(OfRecipes, r.said, texts)
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
				if one := alone(texts); one != "" && fresh.Name == "" {
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
			if one := alone(texts); one != "" && !rows && strings.TrimSpace(head.text(row, "amount")) == "" && measured(one) == "" {
				fresh = &Recipe{Name: nameOf(one)} // the title of what may come next
				if now == nil || !r.titleNext(row) {
					r.leave(row, "there is no amount")
					fresh = &Recipe{}
				}
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

// titleNext tells whether what stands alone in a row is the title of the next block: a row that names columns comes before any with an amount.
func (r *reader) titleNext(row logbook.GridRow) bool {
	for _, next := range r.grid.Rows {
		if next.Line <= row.Line {
			continue
		}
		texts := textsOf(next)
		if _, ok := headingOf(OfRecipes, r.said, texts).at["ingredient"]; ok {
			return true
		}
		if alone(texts) == "" && !r.above(next, &Recipe{}) {
			return false
		}
	}
	return false
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
func alone(texts []string) (one string) {
	for _, t := range texts {
		if t != "" && one != "" {
			return ""
		}
		one = cmp.Or(one, t)
	}
	return one
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
	var texts []string
	var numbers []bool
	for n, t := range textsOf(row) {
		if t != "" {
			texts, numbers = append(texts, t), append(numbers, row.IsNumber(n))
		}
	}
	for n := 0; n < len(texts); n++ {
		m := labels.FindStringSubmatch(texts[n])
		if m == nil {
			return is
		}
		value := m[2]
		if value == "" {
			if n+1 == len(texts) {
				return is
			}
			n++
			number := numbers[n]
			value = texts[n]
			if labelled(m[1]) == "yield" && n+1 < len(texts) && !strings.ContainsFunc(value, unicode.IsLetter) && labels.FindStringSubmatch(texts[n+1]) == nil { // its unit in a cell of its own
				n++
				value += " " + texts[n]
			}
			is = true
			r.say(into, row, labelled(m[1]), value, number)
			continue
		} else if !strings.ContainsAny(texts[n], ":=") && measured(value) == "" {
			return is // "price of fame" is a name
		}
		is = true
		r.say(into, row, labelled(m[1]), value, numbers[n])
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
	unread := func(why string) {
		if key := r.where(row) + "\x00" + what; !r.told[key] {
			r.told[key] = true
			r.leave(row, why)
		}
	}
	if err != nil {
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
	for _, c := range columns[OfRecipes] {
		if at, ok := h.at[c.name]; ok {
			said := c.name + ": " + h.texts[at]
			if !slices.Contains(r.file.Columns, said) {
				r.file.Columns = append(r.file.Columns, said)
			}
		}
	}
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

// noAmount are words in the place of an amount.
var noAmount = regexp.MustCompile(`(?i)^(tt|t\.t\.?|to taste|as needed|q\.?s\.?|al gusto|c/s|n\.? ?b\.?|nach belieben|some|a little|pinch of|适量|少许)\.?$`)

// line reads one row of a recipe.
func (r *reader) line(h heading, row logbook.GridRow, into *Recipe) {
	for _, what := range []string{"portions", "yield", "price"} {
		if text := h.text(row, what); text != "" {
			r.say(into, row, what, text, h.isNumber(row, what))
		}
	}
	item, amount, unit := h.text(row, "ingredient"), h.text(row, "amount"), cmp.Or(h.text(row, "unit"), h.units["amount"])
	if item == "" && amount == "" {
		return
	}
	if m := labels.FindStringSubmatch(item); m != nil && labelled(m[1]) != "dish" { // "Yield: 40 L" among the ingredients
		switch {
		case m[2] == "" && amount != "":
			r.say(into, row, labelled(m[1]), strings.TrimSpace(amount+" "+unit), h.isNumber(row, "amount"))
			return
		case m[2] != "" && amount == "" && (strings.ContainsAny(item, ":=") || measured(m[2]) != ""):
			r.say(into, row, labelled(m[1]), m[2], false)
			return
		}
	}
	if strings.HasPrefix(strings.ToLower(item), "total") || strings.HasPrefix(strings.ToLower(item), "subtotal") {
		r.leave(row, "it is a sum")
		return
	}
	text := amount
	if !h.isNumber(row, "amount") || amount == "" {
		var err error
		whole := amount
		if whole == "" && measured(item) != "" { // all in one cell
			whole, item = item, ""
		}
		if text, err = r.decimals.plainly(whole); err != nil {
			r.leave(row, err.Error())
			return
		}
	}
	switch {
	case text == "" || noAmount.MatchString(text):
		r.leave(row, "there is no amount")
		return
	case item == "" && amount != "":
		r.leave(row, "no ingredient is named")
		return
	}
	text = hyphened.ReplaceAllString(text, "$1 $2")
	if n, rest, err := measure.Number(text); err == nil && strings.TrimSpace(rest) == "" {
		switch {
		case n == 0:
			r.leave(row, "its amount is nothing")
			return
		case isPack(unit):
			r.leave(row, fmt.Sprintf("how much is in a %s is not said", unit))
			return
		case unit != "":
			text += " " + unit
		case item == "":
			r.leave(row, "no ingredient is named")
			return
		default:
			text += " each"
		}
	}
	q, rest, unknown, ok := amountOf(text)
	if !ok && unknown == "" || q.Amount == 0 {
		r.leave(row, fmt.Sprintf("%q is no amount", text))
		return
	}
	if isPack(unknown) {
		r.leave(row, fmt.Sprintf("how much is in a %s is not said", unknown))
		return
	}
	l := Line{Amount: q, Guessed: !ok}
	switch {
	case item == "" && !ok: // "3 onions": the word is the thing
		l.Item, l.Guessed = nameOf(strings.TrimSpace(unknown+" "+rest)), false
	case item == "":
		l.Item = nameOf(strings.TrimPrefix(strings.TrimPrefix(rest, "of "), "de "))
	default:
		l.Item = nameOf(item)
	}
	if l.Item == "" {
		r.leave(row, "no ingredient is named")
		return
	}
	if !ok && item != "" {
		r.file.Notes = append(r.file.Notes, fmt.Sprintf("%s: how much a %q of %s is, nobody knows here: taken as %s each, as a guess", r.where(row), unknown, l.Item,
			measure.FormatNumber(q.Amount)))
	}
	for n := range into.Lines { // twice on one card
		if o := &into.Lines[n]; strings.EqualFold(o.Item, l.Item) && o.Amount.Unit.Kind == l.Amount.Unit.Kind {
			o.Amount.Amount += l.Amount.Base() / o.Amount.Unit.Factor
			return
		}
	}
	into.Lines = append(into.Lines, l)
}

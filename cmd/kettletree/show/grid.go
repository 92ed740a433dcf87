package show

// The grid of dishes by allergen: as a table, as a sheet, and as a page to print and to hang up.

import (
	"bytes"
	_ "embed"
	"html/template"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// gridLetters stand in the cells of the table on a terminal; what each means stands below it.
var gridLetters = map[string]string{ask.Contains: "C", ask.Sometimes: "S", ask.MayContain: "M", ask.Unknown: "?", ask.NoneStated: "-"}

// gridMeanings explain the words of the cells, in the order of what must be seen first.
var gridMeanings = []struct{ says, means string }{
	{ask.Contains, "contains"},
	{ask.Sometimes, "sometimes: only with a substitute or an extra"},
	{ask.MayContain, "may contain: by its package, or by what is shared with other food"},
	{ask.Unknown, "unknown: the kitchen file states nothing of something in it. Read the package before you answer a guest"},
	{ask.NoneStated, "declared free: the kitchen file states that nothing in it has this allergen"},
}

// Grid lays the grid out with numbered columns, which fit a terminal in every language.
func Grid(ways bool) func(Page, *ask.AllergenGrid) string {
	return func(p Page, a *ask.AllergenGrid) string {
		var b strings.Builder
		b.WriteString(p.heading(p.Voice.Say("Allergens by dish")))
		if len(a.Dishes) == 0 {
			return b.String() + p.text(0, p.Voice.Say("The kitchen has no dishes."))
		}
		heads := []column{{head: p.Voice.Say("dish")}}
		for n := range a.Columns {
			heads = append(heads, column{count(n + 1), true})
		}
		t := table{columns: heads}
		for _, d := range a.Dishes {
			cells := []string{p.gridDish(d)}
			for _, c := range d.Cells {
				letters := gridLetters[c.Says]
				for _, also := range c.Also {
					letters += gridLetters[also.Says]
				}
				cells = append(cells, letters)
			}
			t.add(cells...)
		}
		b.WriteString(t.on(p) + "\n")
		var names []string
		for n, c := range a.Columns {
			names = append(names, count(n+1)+" "+p.Voice.Allergen(c.Allergen))
		}
		b.WriteString(p.text(0, p.Voice.List(names)))
		for _, m := range gridMeanings {
			b.WriteString(p.text(0, gridLetters[m.says]+" "+p.Voice.Word(m.means)))
		}
		for _, d := range a.Dishes {
			lines := p.gridKinds(a, d, ways)
			if len(lines) > 0 {
				b.WriteString("\n" + p.heading(p.gridDish(d)))
			}
			for _, l := range lines {
				b.WriteString(p.text(2, l))
			}
		}
		if raw := p.servedRaw(a.Raw, a.Advisory); len(raw) > 0 {
			b.WriteString("\n")
			for _, line := range raw {
				b.WriteString(p.text(0, line))
			}
		}
		b.WriteString("\n" + p.text(0, p.Voice.Sentences(p.gridLists(a)+p.Voice.Word("."), p.Voice.Word(a.Caution))))
		b.WriteString(p.unreviewed())
		return b.String()
	}
}

// gridDish is the name of a row.
func (p Page) gridDish(d ask.GridRow) string {
	if d.Special {
		return p.Voice.Say("%[1]s (%[2]s)", d.Dish, p.Voice.Say("special"))
	}
	return d.Dish
}

// gridKinds are the kinds of a dish's allergens and what is unknown of it, and its ways where they are asked for.
func (p Page) gridKinds(a *ask.AllergenGrid, d ask.GridRow, ways bool) (lines []string) {
	say := func(column, says string, kinds []string, from []ask.Way) {
		head := p.Voice.Say(says+" %[1]s", column)
		if len(kinds) > 0 {
			head = p.Voice.Say("%[1]s: %[2]s", head, p.gridNames(kinds))
		}
		if ways {
			var texts []string
			for _, w := range from {
				texts = append(texts, p.wayText(w))
			}
			head += p.Voice.Say("; ") + strings.Join(texts, p.Voice.Say("; "))
		}
		lines = append(lines, head)
	}
	for n, c := range d.Cells {
		column := p.Voice.Allergen(a.Columns[n].Allergen)
		if c.Says != ask.Unknown && c.Says != ask.NoneStated && (ways || len(c.Kinds) > 0 || len(c.Also) > 0) {
			say(column, c.Says, c.Kinds, c.Ways)
		}
		for _, also := range c.Also {
			say(column, also.Says, also.Kinds, also.Ways)
		}
	}
	if len(d.Unknown) > 0 {
		var names []string
		for _, w := range d.Unknown {
			names = append(names, w.Path[0])
		}
		lines = append(lines, p.Voice.Unknown(names))
	}
	return lines
}

// gridNames are kinds in the language of the page.
func (p Page) gridNames(kinds []string) string {
	var names []string
	for _, k := range kinds {
		names = append(names, p.Voice.Allergen(k))
	}
	return p.Voice.List(names)
}

// GridSheet has a row for each dish and a column for each allergen; of what has kinds, they stand behind the word.
func GridSheet(a *ask.AllergenGrid) (s Sheet) {
	heads := []any{"dish", "special"}
	for _, c := range a.Columns {
		heads = append(heads, c.Allergen)
	}
	s.add(append(heads, "unknown")...)
	for _, d := range a.Dishes {
		row := []any{d.Dish, d.Special}
		for _, c := range d.Cells {
			var texts []string
			for _, said := range append([]ask.GridAlso{{Says: c.Says, Kinds: c.Kinds}}, c.Also...) {
				text := said.Says
				if len(said.Kinds) > 0 {
					text += ": " + strings.Join(said.Kinds, ", ")
				}
				texts = append(texts, text)
			}
			row = append(row, strings.Join(texts, "; "))
		}
		var unknown []string
		for _, w := range d.Unknown {
			unknown = append(unknown, w.Path[0])
		}
		s.add(append(row, strings.Join(unknown, "; "))...)
	}
	return s
}

//go:embed page/grid.html
var gridHTML string

var gridPage = template.Must(template.New("grid").Parse(gridHTML))

// gridCellShown is a cell of the page.
type gridCellShown struct {
	Class, Word, Kinds, Column string
	Also                       []string // what is less sure, with its own words
}

// gridRowShown is a dish of the page.
type gridRowShown struct {
	Dish, From, Unknown string
	Cells               []gridCellShown
	Ways                []string
}

// gridClasses are the classes of the style sheet, by what a cell says.
var gridClasses = map[string]string{ask.Contains: "contains", ask.Sometimes: "sometimes", ask.MayContain: "may", ask.Unknown: "unknown", ask.NoneStated: "none"}

// gridLists are the lists that the grid goes by.
func (p Page) gridLists(a *ask.AllergenGrid) string {
	var list []string
	for _, l := range a.Lists {
		title, source := kitchen.CodeAndKind(l)
		if l = p.Voice.Trade(title); source != "" {
			l = p.Voice.Say("%[1]s (%[2]s)", l, p.Voice.Trade(source))
		}
		list = append(list, l)
	}
	return strings.Join(list, p.Voice.Word("; "))
}

// GridPage is one HTML page with the grid, which needs nothing else: wide on paper, dish by dish on a phone.
func GridPage(p Page, a *ask.AllergenGrid, ways bool) ([]byte, error) {
	v := p.Voice
	page := struct {
		Lang, Title, Dish, Lists, Caution, Unreviewed, Nothing string
		Columns, Raw                                           []string
		Widths                                                 map[int]float64 // of the columns behind the dish's, by their number, in hundredths of the sheet
		Meanings                                               []gridCellShown
		Rows                                                   []gridRowShown
	}{Lang: v.Lang(), Title: p.titled(v.Say("Allergens by dish"), a.Kitchen), Dish: v.Say("dish"),
		Lists: p.gridLists(a) + v.Word("."), Caution: v.Word(a.Caution), Nothing: v.Say("The kitchen has no dishes.")}
	if !v.English() {
		page.Unreviewed = v.Say(tongue.Unreviewed)
	}
	page.Raw = p.servedRaw(a.Raw, a.Advisory)
	for _, c := range a.Columns {
		page.Columns = append(page.Columns, v.Allergen(c.Allergen))
	}
	page.Widths = map[int]float64{}
	for n, width := range gridWidths(v, a, page.Columns) {
		page.Widths[n+2] = width
	}
	for _, m := range gridMeanings {
		page.Meanings = append(page.Meanings, gridCellShown{Class: gridClasses[m.says], Word: v.Word(m.means)})
	}
	for _, d := range a.Dishes {
		row := gridRowShown{Dish: p.gridDish(d), From: v.Say("%[1]s: %[2]s", p.gridDish(d), v.Say("Where it comes from"))}
		for n, c := range d.Cells {
			cell := gridCellShown{Class: gridClasses[c.Says], Word: v.Word(c.Says), Column: page.Columns[n], Kinds: p.gridNames(c.Kinds)}
			for _, also := range c.Also {
				word := v.Word(also.Says)
				if len(also.Kinds) > 0 {
					word = v.Say("%[1]s: %[2]s", word, p.gridNames(also.Kinds))
				}
				cell.Also = append(cell.Also, word)
			}
			row.Cells = append(row.Cells, cell)
		}
		if ways {
			row.Ways = p.gridKinds(a, d, true)
		}
		if len(d.Unknown) > 0 {
			var names []string
			for _, w := range d.Unknown {
				names = append(names, w.Path[0])
			}
			row.Unknown = v.Unknown(names)
		}
		page.Rows = append(page.Rows, row)
	}
	var b bytes.Buffer
	err := gridPage.Execute(&b, page)
	return b.Bytes(), err
}

// gridWidths shares what the dish's own column leaves of a sheet among the allergens, by the longest word of the head and of the answers, which does
// not break, and more for one whose cells name kinds, so that they need fewer lines.
func gridWidths(v tongue.Voice, a *ask.AllergenGrid, heads []string) []float64 {
	const left, least, named = 88.5, 8.8, 14.5 // letters of a head
	const plain, bold = 1.05, 1.18             // those of an answer are larger
	widths, all := make([]float64, len(a.Columns)), 0.0
	for n := range a.Columns {
		widths[n] = max(least, longestWord(heads[n]))
		for _, d := range a.Dishes {
			if c := d.Cells[n]; len(c.Kinds)+len(c.Also) > 0 {
				widths[n] = max(widths[n], named)
			} else if wide := longestWord(v.Word(c.Says)); c.Says == ask.NoneStated {
				widths[n] = max(widths[n], plain*wide)
			} else {
				widths[n] = max(widths[n], bold*wide)
			}
		}
		all += widths[n]
	}
	for n := range widths {
		widths[n] = math.Floor(widths[n]/all*left*100) / 100
	}
	return widths
}

// longestWord is how many letters the longest word has; Chinese breaks anywhere, but for its wide brackets.
func longestWord(text string) (letters float64) {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return unicode.Is(unicode.Han, r) || r == ' ' }) {
		letters = max(letters, float64(utf8.RuneCountInString(word)+strings.Count(word, "（")+strings.Count(word, "）")))
	}
	return letters
}

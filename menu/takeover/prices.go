package takeover

// A supplier's price list: prices and packs of what is bought.

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"github.com/aymanbagabas/go-udiff"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Repriced is a bought item with another price or pack.
type Repriced struct {
	Item     string   `json:"item"`
	Written  string   `json:"written"`  // as the list names it
	Supplier string   `json:"supplier"` // whose price it is, where that is not the usual source; else ""
	Was      string   `json:"was"`      // of one unit; "" where it had no price
	Is       string   `json:"is"`       // likewise
	Price    string   `json:"price"`    // as it is written into the file: "12.50 for 10 kg"
	Pack     string   `json:"pack"`     // the new one; "" where it stays
	Change   *float64 `json:"change"`   // as a share of the former price; null where there was none
}

// PriceManner is how a price list is to be read.
type PriceManner struct {
	Manner
	From string // the supplier that it is of; "" where it has a column for that, or for whoever brings the items
}

// quoted is one row of a price list that could be read.
type quoted struct {
	item, written string
	price, pack   string
	supplier      string
	very          bool // it is written with the very words of ours
	where, text   string
}

// Prices lays a price list over the text of a kitchen file, which k was read from. text is nil where nothing changes.
func Prices(file string, src []byte, k *kitchen.Kitchen, name string, list []byte, m PriceManner) (t *Taking, text []byte, ask *Asks, found kitchen.Diagnostics) {
	grids, found := logbook.Grids(name, list, headsOf(OfPrices, m.Columns).named)
	if found != nil {
		return nil, nil, nil, found
	}
	p := &pricing{k: k, m: m, r: &reader{file: &File{Name: name}, heads: headsOf(OfPrices, m.Columns), decimals: decimalsOf(m.Decimals, grids)},
		find: logbook.FinderOf(k, false, m.Names), t: &Taking{File: name, ReadAs: []string{}, Columns: []string{}, Left: []Left{}, Notes: []string{}}}
	for _, g := range grids {
		p.r.grid = g
		for _, as := range g.ReadAs {
			if !slices.Contains(p.t.ReadAs, as) {
				p.t.ReadAs = append(p.t.ReadAs, as)
			}
		}
		p.sheet()
	}
	if len(p.t.Columns) == 0 {
		lacks := p.lacks
		if lacks == nil {
			lacks = needed[OfPrices]
		}
		return nil, nil, &Asks{OfPrices, lacks, headersOr(p.r.closest)}, nil
	}
	text = p.lay(file, src)
	p.t.Left, p.t.Doubt = append(p.t.Left, p.r.file.Left...), p.r.file.Doubt
	const most = 6 // names are given
	switch n := len(p.others); {
	case n == 1:
		p.t.Notes = append(p.t.Notes, "1 other row of the list is of nothing that the kitchen buys: "+p.others[0])
	case n > most:
		p.t.Notes = append(p.t.Notes, fmt.Sprintf("%d other rows of the list are of nothing that the kitchen buys, among them %s", n, measure.FormatList(p.others[:most])))
	case n > 1:
		p.t.Notes = append(p.t.Notes, fmt.Sprintf("%d other rows of the list are of nothing that the kitchen buys: %s", n, measure.FormatList(p.others)))
	}
	slices.SortStableFunc(p.t.Prices, func(a, b Repriced) int { return cmp.Compare(size(b), size(a)) })
	if text == nil || string(text) == string(src) {
		return p.t, nil, nil, nil
	}
	p.t.Diff = udiff.Unified(file, file, string(src), string(text))
	return p.t, text, nil, nil
}

// size is how large a change is; one from no price is the largest.
func size(r Repriced) float64 {
	if r.Change == nil {
		return math.Inf(1)
	}
	return math.Abs(*r.Change)
}

// pricing is a price list being read.
type pricing struct {
	k      *kitchen.Kitchen
	m      PriceManner
	r      *reader
	find   logbook.Finder
	t      *Taking
	rows   []quoted
	others []string // what the kitchen does not buy, as the list names it
	lacks  []string
}

// sheet reads one sheet.
func (p *pricing) sheet() {
	var head *heading
	for _, row := range p.r.grid.Rows {
		h := p.r.heads.heading(cellsOf(row))
		switch {
		case len(h.lacks(OfPrices)) == 0:
			head = &h
			p.t.Columns, p.t.Unread = h.note(OfPrices, p.t.Columns, p.t.Unread)
		case head == nil:
			if len(h.at) > 0 && p.lacks == nil || row.Width() > len(p.r.closest) && p.lacks == nil {
				p.r.closest = h.unknown()
				if len(h.at) > 0 {
					p.lacks = h.lacks(OfPrices)
				}
			}
		default:
			p.row(*head, row)
		}
	}
}

// row reads one row.
func (p *pricing) row(h heading, row logbook.GridRow) {
	written := h.text(row, "item")
	price := h.text(row, "price")
	if h.uncounted(row, "item") {
		p.r.leave(row, noResult)
		return
	}
	uncounted := slices.ContainsFunc([]string{"price", "unit", "pack", "supplier"}, func(what string) bool { return h.uncounted(row, what) })
	if written == "" || price == "" && !uncounted && alone(cellsOf(row)) != "" {
		return // a heading of a group
	}
	q := quoted{written: written, where: p.r.where(row), supplier: cmp.Or(h.text(row, "supplier"), p.m.From)}
	q.text = rowText(row)
	ours, near, left := p.meant(written)
	switch {
	case left:
		return
	case ours == "" && len(near) > 0: // "peanut butter" is not butter until somebody says so
		p.r.leave(row, "it may be "+strings.Join(near, " or "))
		p.t.alike(written, near...)
		return
	case ours == "":
		if !slices.Contains(p.others, written) {
			p.others = append(p.others, written)
		}
		return
	}
	at, err := p.k.FindItem(ours)
	if err != nil {
		return
	}
	if uncounted {
		p.r.leave(row, noResult)
		return
	}
	if price == "" {
		p.r.leave(row, "there is no price")
		return
	}
	q.item, q.very = ours, logbook.SameWords(ours, written)
	q.price, q.pack, err = p.priceOf(h, row, price)
	switch free := p.k.Free(at); {
	case err == errFree && free:
		return
	case err == nil && free: // tap water is not what comes in bottles
		p.r.leave(row, fmt.Sprintf("%s costs nothing in the kitchen file: if that has changed, write its price there", ours))
		return
	}
	if err != nil {
		p.r.doubt(err)
		p.r.leave(row, why(err))
		return
	}
	p.rows = append(p.rows, q)
}

// Words behind a comma that grade a thing and make no other one of it: "Eggs, large", "Beef shin, choice". What is not among them may be another
// thing: "Oil, sesame".
var grades = []string{"grade", "class", "no", "number", "us", "usda", "a", "aa", "b", "i", "ii", "extra", "small", "medium", "large", "jumbo", "choice", "prime", "select", "fancy",
	"premium", "standard", "first", "second"}

// packSize is how much is in a pack, as lists write it behind a name: "Onions 25 lb", "White wine (6 x 750 mL)".
var packSize = regexp.MustCompile(`(?i)[\s,(]+(?:[0-9]+ ?[x×*/] ?)?[0-9]+(?:[.,][0-9]+)? ?(?:kg|kgs|g|gr|lbs?|#|oz|fl oz|ml|cl|l|lt|ltr|litres?|liters?|gal|gallons?|ct|pcs?|each|doz|dozen)\.?\)?$`)

// bare is a name without the size of a pack and grades behind it.
func bare(written string) string {
	name := packSize.ReplaceAllString(strings.TrimSpace(written), "")
	head, behind, ok := strings.Cut(name, ",")
	grading := strings.FieldsFunc(strings.ToLower(behind), func(r rune) bool { return strings.ContainsRune(" ,.-", r) })
	if ok && !slices.ContainsFunc(grading, func(w string) bool { return !slices.Contains(grades, w) && strings.Trim(w, "0123456789") != "" }) {
		name = head
	}
	return packSize.ReplaceAllString(strings.TrimSpace(name), "")
}

// meant is what a name of the list means among what is bought: ours is the same name, in any case, number and order, written apart or as one, in
// another language of the file, or as somebody said; near are those that it may mean.
func (p *pricing) meant(written string) (ours string, near []string, left bool) {
	buys := func(name string) bool {
		at, err := p.k.FindItem(name)
		return err == nil && at < len(p.k.Bought)
	}
	made := false
	for _, name := range []string{written, nameOf(written), nameOf(bare(written))} {
		m := p.find.Find(name)
		switch {
		case m.Left:
			return "", nil, true
		case m.Ours != "" && !m.Alike && buys(m.Ours):
			return m.Ours, nil, false
		case m.Ours != "" && !m.Alike:
			made = true
		}
		for n := range p.k.Bought {
			if it := p.k.Graph.Items[n].Name; logbook.Joined(it) == logbook.Joined(name) {
				near = append(near, it)
			}
		}
		for _, o := range p.k.OtherNames {
			if o.Of == kitchen.NamedItem && o.At < len(p.k.Bought) && logbook.SameWords(o.Name, name) {
				near = append(near, p.k.Graph.Items[o.At].Name)
			}
		}
		if near = slices.Compact(near); len(near) == 1 {
			return near[0], nil, false
		} else if near != nil {
			return "", near, false
		}
	}
	if made {
		return "", nil, false
	}
	m := p.find.Find(nameOf(written))
	if m.Ours != "" {
		m.Near = append(m.Near, m.Ours)
	}
	return "", slices.DeleteFunc(slices.Clone(m.Near), func(name string) bool { return !buys(name) }), false
}

// errFree is a price of nothing.
var errFree error = &measure.Error{Msg: "0 is no price", Hint: "write 0 on its card if it costs nothing"}

var (
	slashPack = regexp.MustCompile(`^([2-9]|[1-9][0-9]+)/([0-9].*)$`)
	fraction  = regexp.MustCompile(`^([2-9])/([2-9])(?: ?[^0-9.,x×*/ ].*)?$`)
	perUnit   = regexp.MustCompile(`^(.*?[0-9]) ?(?:/|per|a) ?([^0-9/].*)$`)
	onlyNum   = regexp.MustCompile(`^[0-9]+(?:\.[0-9]+)?$`)
)

// priceOf is a row's price as the kitchen file has it, and its pack, "" for none.
func (p *pricing) priceOf(h heading, row logbook.GridRow, price string) (text, pack string, err error) {
	number := price
	if !h.isNumber(row, "price") {
		var currency string
		if number, currency, err = moneyOf(price, p.r.decimals); err != nil {
			return "", "", err
		}
		_ = currency // prices are in the kitchen's money: the sign is not asked about
	}
	unit := h.text(row, "unit")
	if !h.isNumber(row, "unit") {
		if unit, err = p.r.decimals.plainly(unit); err != nil {
			return "", "", err
		}
	}
	unit = cmp.Or(unit, h.units["price"])
	if m := perUnit.FindStringSubmatch(number); m != nil {
		number, unit = strings.TrimSpace(m[1]), m[2]
	} else if before, for_, ok := strings.Cut(number, " for "); ok {
		number, unit = before, for_
	}
	number = strings.TrimSpace(number)
	if at := strings.IndexByte(number, ' '); at > 0 && !strings.ContainsAny(number[at:], "0123456789") { // 12.50 EUR
		number = number[:at]
	}
	n, rest, err := measure.Number(number)
	if err != nil || strings.TrimSpace(rest) != "" {
		return "", "", &measure.Error{Msg: fmt.Sprintf("%q is no price", price), Hint: "write a number such as 12.50"}
	}
	if n == 0 {
		return "", "", errFree
	}
	word := tradeUnit(strings.TrimPrefix(unit, "/"))
	money := sum(n)
	u, unitErr := measure.UnitNamed(word)
	counted := h.units["pack"]
	if unitErr == nil && u.Kind != measure.Count { // a price for a kg and a pack of 5 are 5 kg
		counted = cmp.Or(counted, u.Name)
	}
	size, err := p.packOf(h.text(row, "pack"), counted, h.isNumber(row, "pack"))
	if err != nil {
		return "", "", err
	}
	times, err := slashed(word)
	if err != nil {
		return "", "", err
	}
	q, _, _, quantity := amountOf(times) // "10 kg", "6 x 750 mL"
	packed := isPack(word) || word == ""
	switch {
	case size != nil && (packed || unitErr != nil && !quantity || unitErr == nil && u.Kind == measure.Count && u.Name != "doz" && size.Unit.Kind != measure.Count):
		return money + " for " + written(*size), written(*size), nil
	case quantity && q.Amount > 0 && strings.ContainsAny(word[:1], "0123456789"):
		return money + " for " + written(q), written(q), nil
	case unitErr == nil && !packed:
		if size != nil {
			pack = written(*size)
		}
		return money + "/" + u.Name, pack, nil
	case packed && word != "":
		return "", "", &measure.Error{Msg: fmt.Sprintf("it is not said how much is in a %s", word), Hint: "the list needs a column with the pack's size, such as 10 kg"}
	case word == "":
		return "", "", &measure.Error{Msg: "it is not said for how much that is the price", Hint: "the list needs a column with the unit or the pack, such as kg or 10 kg"}
	}
	return "", "", &measure.Error{Msg: fmt.Sprintf("%q is no unit that is known here", word), Hint: "write kg, L, each or a pack such as 10 kg"}
}

// slashed writes "6/750 mL", which is six of them, with an x. "3/4 L" may be that or a fraction.
func slashed(text string) (string, error) {
	text = strings.TrimSpace(text)
	if m := fraction.FindStringSubmatch(text); m != nil && m[1] < m[2] {
		times := slashPack.ReplaceAllString(text, "$1 x $2")
		return "", &measure.Error{Msg: fmt.Sprintf("%q may be %s, or a part of one", text, times), Hint: fmt.Sprintf("write %s, or the part with decimals", times)}
	}
	return slashPack.ReplaceAllString(text, "$1 x $2"), nil
}

// packOf reads the size of a pack; nil for none. number: a workbook keeps it as one.
func (p *pricing) packOf(text, unit string, number bool) (size *measure.Quantity, err error) {
	if !number {
		text, err = p.r.decimals.plainly(text)
	}
	if err != nil || strings.TrimSpace(text) == "" {
		return nil, err
	}
	text = strings.TrimSpace(text)
	for _, word := range packWords { // "case 6 x 2 kg", "bag of 25 lb"
		if len(text) > len(word) && strings.EqualFold(text[:len(word)], word) && strings.ContainsAny(text[len(word):len(word)+1], " :") {
			text = strings.TrimSpace(strings.TrimPrefix(strings.TrimLeft(text[len(word):], " :"), "of "))
			break
		}
	}
	if text, err = slashed(text); err != nil {
		return nil, err
	}
	if onlyNum.MatchString(text) {
		text += " " + cmp.Or(unit, "each")
	}
	q, rest, unknown, ok := amountOf(text)
	if !ok || q.Amount == 0 || rest != "" && !isPack(rest) {
		if unknown != "" && isPack(unknown) {
			return nil, nil // "1 case"
		}
		return nil, &measure.Error{Msg: fmt.Sprintf("%q is no size of a pack", text), Hint: "write 10 kg, or 6 x 750 mL"}
	}
	return &q, nil
}

// lay writes the prices into the text, one for each item. A price that the file can't have is left out, and told.
func (p *pricing) lay(file string, src []byte) []byte {
	many := map[string]int{}
	for _, q := range p.rows {
		many[q.item+"\x00"+q.supplier]++
	}
	text := src
	now := p.k
	for _, q := range p.rows {
		if many[q.item+"\x00"+q.supplier] > 1 {
			same := slices.DeleteFunc(slices.Clone(p.rows), func(o quoted) bool { return o.item != q.item || o.supplier != q.supplier || !o.very })
			if !q.very || len(same) > 1 { // of several, the one that has the very name is meant
				p.left(q, "several rows may be "+q.item)
				p.t.alike(q.written, q.item)
				continue
			}
		}
		at, err := now.FindItem(q.item)
		if err != nil {
			continue
		}
		usual := now.Bought[at].From
		edits, repriced := p.edits(now, at, q, usual)
		if edits == nil {
			continue
		}
		next, err := kitchen.Change(file, text, edits...)
		if err != nil && repriced.Pack != "" { // the price alone
			repriced.Pack = ""
			p.t.Notes = append(p.t.Notes, fmt.Sprintf("%s: the pack stays as it is: %s", q.item, why(err)))
			next, err = kitchen.Change(file, text, edits[0])
		}
		if err != nil {
			p.left(q, why(err))
			continue
		}
		text = next
		if k, _ := kitchen.Read(file, text); k != nil {
			now = k
		}
		if i, err := now.FindItem(q.item); err == nil && repriced.Supplier == "" {
			if was, is := p.k.Terms.Price[at], now.Terms.Price[i]; was > 0 {
				repriced.Change = new(is/was - 1)
			}
			repriced.Is = each(now, i, now.Terms.Price[i])
		}
		if !q.very {
			p.t.Means = append(p.t.Means, q.written+": "+q.item)
		}
		if c := repriced.Change; c != nil && (*c > 1 || *c < -0.5) {
			p.t.Notes = append(p.t.Notes, fmt.Sprintf("%s: %s was %s. Is that the price of a pack where a unit is meant, or of another thing?", q.item, repriced.Is, repriced.Was))
		}
		p.t.Prices = append(p.t.Prices, repriced)
	}
	return text
}

func (p *pricing) left(q quoted, why string) { p.t.Left = append(p.t.Left, Left{q.where, q.text, why}) }

// edits are those that one row of the list asks for; nil where it changes nothing.
func (p *pricing) edits(k *kitchen.Kitchen, item int, q quoted, usual string) ([]kitchen.Edit, Repriced) {
	r := Repriced{Item: q.item, Written: q.written, Price: q.price}
	if q.supplier != "" && usual != "" && !strings.EqualFold(q.supplier, usual) {
		for _, s := range k.Sources[item] {
			if strings.EqualFold(s.From, q.supplier) {
				r.Supplier, r.Was = s.From, each(k, item, s.Price)
				price, err := k.Price(item, q.price)
				if err == nil {
					r.Is = each(k, item, price)
				}
				if err == nil && math.Abs(price-s.Price) < 1e-9 {
					return nil, r
				}
				if err == nil && s.Price > 0 {
					r.Change = new(price/s.Price - 1)
				}
				return []kitchen.Edit{kitchen.SetSource(q.item, s.From, "price", q.price)}, r
			}
		}
		p.left(q, fmt.Sprintf("%s comes from %s, not from %s: write %s under its \"also from\"", q.item, usual, q.supplier, q.supplier))
		return nil, r
	}
	if !slices.ContainsFunc(k.Questions, func(o kitchen.Question) bool {
		return o.What == "price" && !o.Guessed && o.List == kitchen.InBought && o.Of == q.item
	}) {
		r.Was = each(k, item, k.Terms.Price[item])
	}
	price, err := k.Price(item, q.price)
	priced := r.Was != "" && err == nil && math.Abs(price-k.Terms.Price[item]) < 1e-9*max(1, price)
	if priced {
		r.Price = ""
	}
	edits := []kitchen.Edit{kitchen.Set(kitchen.InBought, q.item, "price", q.price)}
	if q.pack != "" {
		base, err := k.Amount(item, q.pack)
		if same := err == nil && math.Abs(base-k.Bought[item].Pack) < 1e-6*max(1, base); !same {
			r.Pack = q.pack
			edits = append(edits, kitchen.Set(kitchen.InBought, q.item, "pack", q.pack))
		}
	}
	switch {
	case priced && r.Pack == "":
		return nil, r
	case priced:
		return edits[1:], r
	}
	return edits, r
}

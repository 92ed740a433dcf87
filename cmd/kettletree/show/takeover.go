package show

// What a spreadsheet comes to in the kitchen file.

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kettletree/menu/takeover"
)

// Text is a paragraph.
func (p Page) Text(text string) string { return p.text(0, text) }

// TakingAnswer says in a sentence or two what a file comes to.
func TakingAnswer(a *takeover.Taking) string {
	var parts []string
	if a.Recipes != nil {
		count := map[string]int{}
		for _, r := range a.Recipes {
			count[r.Is+" "+r.As]++
		}
		for _, of := range [][3]string{{"new dish", "new dish", "new dishes"}, {"new step", "new step", "new steps"}, {"changed dish", "dish changes", "dishes change"},
			{"changed step", "step changes", "steps change"}, {"as it was dish", "dish is as it was", "dishes are as they were"}, {"as it was step", "step is as it was", "steps are as they were"}} {
			if n := count[of[0]]; n > 0 {
				parts = append(parts, plural(n, of[1], of[2]))
			}
		}
	}
	packs := 0 // of which only the pack changes
	for _, r := range a.Prices {
		if r.Change != nil && math.Abs(*r.Change) < 1e-9 {
			packs++
		}
	}
	if n := len(a.Prices) - packs; n > 0 {
		parts = append(parts, plural(n, "price changes", "prices change"))
	}
	if packs > 0 {
		parts = append(parts, plural(packs, "pack changes", "packs change"))
	}
	if n := len(a.New); n > 0 {
		parts = append(parts, plural(n, "new bought item", "new bought items"))
	}
	if parts == nil {
		parts = []string{"nothing changes"}
	}
	text := capital(list(parts)) + "."
	if n := len(a.Left); n > 0 {
		text += " " + plural(n, "row is", "rows are") + " left out, listed below."
	}
	if n := len(a.Unsaid); n > 0 {
		text += " " + plural(n, "amount is not said and stays open", "amounts are not said and stay open") + ", listed below."
	}
	if a.Follows != nil && len(a.Follows.Guests) > 0 {
		text = guestsAnswer(a.Follows.Guests) + " " + text
	}
	if a.Follows != nil && len(a.Follows.Plates) > 0 {
		text += " " + plateAnswer(a.Follows.Plates[0], MoneyOf(a.Follows.Money))
	}
	return text
}

// Taking lays out what a file comes to: what is taken, what follows, what is left out, and the change of the kitchen file.
func Taking(p Page, a *takeover.Taking) string {
	var b strings.Builder
	b.WriteString(p.text(0, TakingAnswer(a)))
	section := func(s string) {
		if s != "" {
			b.WriteString("\n" + s)
		}
	}
	t := table{columns: append(words("item"), append(numbers("was", "is", "change"), words("in the file", "as the list has it")...)...)}
	for _, r := range a.Prices {
		t.add(item(r), r.Was, r.Is, PriceChange(r), InFile(r), r.Written)
	}
	if len(a.Prices) > 0 {
		section(t.on(p))
	}
	t = table{columns: append(words("recipe", "taken as"), append(words("is"), numbers("lines")...)...)}
	for _, r := range a.Recipes {
		t.add(r.Name, r.As, r.Is, count(r.Lines))
	}
	if len(a.Recipes) > 0 {
		section(t.on(p))
	}
	if a.Follows != nil {
		section(guestChanges(p, a.Follows.Guests))
	}
	if a.Follows != nil && len(a.Follows.Plates) > 0 {
		section(plateChanges(p, a.Follows.Plates, MoneyOf(a.Follows.Money)))
	}
	lines := func(head string, list []string) {
		if len(list) > 0 {
			section(p.text(0, p.bold(head)))
			for _, l := range list {
				b.WriteString(p.text(2, l))
			}
		}
	}
	var left []string
	for _, l := range a.Left {
		left = append(left, fmt.Sprintf("%s: %s (%s)", l.Why, l.Text, l.Where))
	}
	lines("Left out:", left)
	var open []string
	for _, u := range a.Unsaid {
		open = append(open, fmt.Sprintf("%s: %s (%s); on the card: %s", u.Why, u.Text, u.Where, u.Line))
	}
	lines("Amounts that are not said:", open)
	var say []string
	for _, of := range a.Alike {
		for _, ours := range of.Ours {
			say = append(say, fmt.Sprintf("if %s is your %s: --means \"%s=%s\"", of.Written, ours, of.Written, ours))
		}
	}
	if d := a.Doubt; d != nil {
		say = append(say, fmt.Sprintf("if %s is %s: --decimals %s; if it is %s: --decimals %s", d.Number, d.Decimal, d.Parts(true), d.Thousands, d.Parts(false)))
	}
	lines("Say which:", say)
	lines("To look at:", a.Notes)
	lines("New, bought:", a.New)
	lines("Names taken as:", a.Means)
	read := append(append([]string{}, a.Columns...), a.ReadAs...)
	if a.Unread != nil {
		read = append(read, "not read: "+strings.Join(a.Unread, ", "))
	}
	lines("Read:", read)
	if a.Diff != "" {
		section(a.Diff)
	}
	return b.String()
}

func item(r takeover.Repriced) string {
	if r.Supplier != "" {
		return r.Item + ", from " + r.Supplier
	}
	return r.Item
}

// InFile is what is written into the file: the price with its pack, the pack alone, or nothing that a column beside does not say.
func InFile(r takeover.Repriced) string {
	switch {
	case strings.Contains(r.Price, " for "):
		return r.Price
	case r.Pack != "" && r.Price != "":
		return r.Price + ", pack " + r.Pack
	case r.Pack != "":
		return "pack " + r.Pack
	}
	return ""
}

// PriceChange is a change of a price as a share, in whole percent where it is one or more: "+13%", "-0.4%".
func PriceChange(r takeover.Repriced) string {
	if r.Change == nil {
		return ""
	}
	percent, decimals := 100**r.Change, 0
	if math.Abs(percent) < 1 {
		decimals = 1
	}
	text := strconv.FormatFloat(percent, 'f', decimals, 64) + "%"
	switch {
	case strings.Trim(text, "-0.%") == "":
		return "0%"
	case percent > 0:
		return "+" + text
	}
	return text
}

// TakingSheet has a row for each price and recipe, then for each amount that is not said and what was left out.
func TakingSheet(a *takeover.Taking) (s Sheet) {
	s.add("kind", "name", "was", "is", "change", "pack", "lines", "written", "why", "where")
	for _, r := range a.Prices {
		s.add("price", item(r), r.Was, r.Is, r.Change, r.Pack, "", r.Written, "", "")
	}
	for _, r := range a.Recipes {
		s.add(r.As, r.Name, "", r.Is, "", "", r.Lines, "", "", "")
	}
	for _, u := range a.Unsaid {
		s.add("not said", u.Line, "", "", "", "", "", u.Text, u.Why, u.Where)
	}
	for _, l := range a.Left {
		s.add("left out", "", "", "", "", "", "", l.Text, l.Why, l.Where)
	}
	return s
}

package show

// A whole piece broken down: what the parts weigh and cost.

import (
	"fmt"

	"kettletree/graph/measure"
	"kettletree/menu"
)

// Share is a part of the whole by weight.
func Share(grams, whole float64) string {
	if whole <= 0 || grams <= 0 {
		return ""
	}
	return fmt.Sprintf("%.1f%%", 100*grams/whole)
}

// CutSoFar says what is off the knife, what is still on the board, and what the last parts cost by now.
func CutSoFar(p Page, b *menu.BrokenDown) string {
	m := MoneyOf(b.Money)
	text := fmt.Sprintf("%s of %s on the board still.", b.Weight(b.Trim), b.Weight(b.Grams))
	for _, part := range b.Parts {
		if !part.Card {
			text += fmt.Sprintf(" %s %s, %s a %s.", capital(part.Name), Share(part.Grams, b.Grams), m.Show(part.Each), part.Unit)
		}
	}
	return p.text(2, text)
}

// BrokenDown lays out what a piece comes to.
func BrokenDown(p Page, b *menu.BrokenDown) string {
	m := MoneyOf(b.Money)
	t := table{columns: append(words("part"), append(numbers("weighed", "of the whole", "costs"+m.in(), "a unit"), words("")...)...)}
	card := false
	for _, part := range b.Parts {
		note := ""
		if part.Card {
			note, card = "by the card", true
		}
		t.add(part.Name, part.Amount, Share(part.Grams, b.Grams), m.Show(part.Cost), m.Show(part.Each)+"/"+part.Unit, note)
	}
	if !card {
		t.add("lost", b.Weight(b.Trim), Share(b.Trim, b.Grams), "", "", "")
	}
	var head string
	if b.Grams == 0 {
		head = b.Step + ":"
	} else if b.Batches == 1 {
		head = fmt.Sprintf("%s of %s, one batch of %s.", b.Weight(b.Grams), b.Whole, b.Step)
	} else {
		head = fmt.Sprintf("%s of %s, %s batches of %s.", b.Weight(b.Grams), b.Whole, measure.FormatNumber(b.Batches), b.Step)
	}
	if card {
		head += " What nobody weighed is by the card, so what is lost is not known yet."
	}
	if b.Ahead {
		head += " By the card the rest would be more than is left of it: weigh that too before you keep it."
	}
	if b.Level {
		head += " All parts cost the same by weight so far. To have the good parts bear more than the bones, say of each what it would cost to buy in, such as: " +
			fmt.Sprintf("kettletree change set %q worth 12/%s", b.Parts[0].Name, b.Scale)
	}
	said := p.text(0, head) + "\n" + t.on(p)
	if b.Unsaid {
		said += "\n" + p.text(0, "To look at: say which of what is new is raw meat, fish or egg (raw: yes), and what its labels say of allergens.")
	}
	return said
}

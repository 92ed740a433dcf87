package show

// Entries of the log book as sentences.

import (
	"fmt"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/logbook"
)

// story tells an entry: what was written, then what is by the card.
func story(l logbook.Line) string {
	switch l.Kind {
	case logbook.Undone:
		return fmt.Sprintf("Entry %d is undone.", l.Corrects)
	case logbook.Received:
		return "Received " + typedParts(l.Gives) + behind(" from ", l.Supplier) + behind(" for ", paidWords(l)) + behind(", lot ", l.Mark) + "."
	case logbook.NotCome:
		return capital(missed(l)) + " did not come."
	case logbook.Late:
		return capital(missed(l)) + " is late, until " + l.Until + "."
	case logbook.Lit:
		return "Lit " + batchWords(l) + behind(": ", typedParts(l.Takes)) + "." + byTheCard(" By the card: ", l.Takes)
	case logbook.PutIn:
		return "Put " + typedParts(l.Takes) + " into " + batchWords(l) + "."
	case logbook.Out:
		return "Took " + typedParts(l.Gives) + " out of " + batchWords(l) + "."
	case logbook.Done:
		return capital(batchWords(l)) + " is done." + byTheCard(" In by the card: ", l.Takes) + byTheCard(" Out by the card: ", l.Gives)
	case logbook.Cooked:
		return "Cooked " + batchWords(l) + behind(": ", strings.Join(someOf(behind("in ", typedParts(l.Takes)), behind("out ", typedParts(l.Gives))), "; ")) + "." +
			byTheCard(" In by the card: ", l.Takes) + byTheCard(" Out by the card: ", l.Gives)
	case logbook.Skipped:
		return capital(batchWords(l)) + " is skipped."
	case logbook.Lost:
		share := ""
		if l.Share < 1 {
			share = measure.FormatNumber(100*l.Share) + "% of "
		}
		return "Lost " + share + batchWords(l) + "."
	case logbook.Sold, logbook.Gave, logbook.Dropped:
		return fmt.Sprintf("%s %d %s", capital(string(l.Kind)), l.Portions, l.Dish) + behind(" to ", l.To) + behind(" at ", l.Service) +
			behind(", lot ", l.Mark) + behind(": ", l.Reason) + "."
	case logbook.Binned:
		return "Binned " + typedParts(l.Takes) + behind(": ", l.Reason) + "."
	case logbook.Counted:
		return "Counted " + typedParts(l.Gives) + "."
	case logbook.Struck:
		return "Struck off " + l.Dish + behind(" at ", strings.Join(someOf(l.Day, l.Service), " ")) + "."
	case logbook.Offered:
		return fmt.Sprintf("Offered %d %s at %s.", l.Portions, l.Dish, strings.Join(someOf(l.Day, l.Service), " "))
	case logbook.Temperature:
		return readWords(l)
	case logbook.Measured:
		return capital(behind("", batchWords(l))+l.Of) + behind(": ", tasteWords(l)) + "."
	}
	return capital(string(l.Kind)) + " " + l.Text + "."
}

// readWords tells a temperature: what was read of what, the limit beside it, and what was done.
func readWords(l logbook.Line) string {
	text := l.Of + behind(" lot ", l.Mark)
	switch l.Reading {
	case logbook.OfPlace:
	case logbook.OfDelivery:
		text = "delivery of " + text
	default:
		text += behind(", ", l.Reading)
	}
	text = capital(text) + ": " + l.Degrees
	if l.Limit != "" {
		text += ", limit " + l.Limit + ": " + strings.ToUpper(l.State)
	}
	text += behind("; ", l.Reason) + "." + behind(" Did: ", l.Did)
	if l.Did != "" {
		text += "."
	} else if l.State == logbook.LimitBroken {
		text += " What was done about it is not logged."
	}
	return text
}

// tasteWords are what was measured, then the note.
func tasteWords(l logbook.Line) string {
	var list []string
	for _, t := range l.Tastes {
		if t.Value == nil {
			list = append(list, t.Name+" "+t.Word)
			continue
		}
		list = append(list, strings.ReplaceAll(strings.TrimSpace(t.Name+" "+measure.FormatNumber(*t.Value)+" "+t.Unit), " %", "%"))
	}
	return strings.Join(append(list, someOf(l.Reason)...), ", ")
}

// ByTheCard says which amounts of an entry nobody wrote, and which limit stands beside what was read; "" for none.
func ByTheCard(l logbook.Line) string {
	if l.Kind == logbook.Temperature {
		if l.Limit == "" {
			return ""
		}
		return "limit " + l.Limit + ": " + strings.ToUpper(l.State)
	}
	in, out := strings.TrimSuffix(byTheCard("in ", l.Takes), "."), strings.TrimSuffix(byTheCard("out ", l.Gives), ".")
	return behind("by the card: ", strings.Join(someOf(in, out), "; "))
}

// behind is words with what stands before them, or nothing.
func behind(before, words string) string {
	if words == "" {
		return ""
	}
	return before + words
}

// someOf leaves out what is empty.
func someOf(list ...string) (some []string) {
	for _, s := range list {
		if s != "" {
			some = append(some, s)
		}
	}
	return some
}

func paidWords(l logbook.Line) string {
	if l.Paid == nil {
		return ""
	}
	return fmt.Sprintf("%.2f", *l.Paid)
}

// batchWords names a batch: with its number of batches where it was written, and its day where that is another.
func batchWords(l logbook.Line) string {
	text := l.Step
	if l.Batches > 0 && l.Batches != 1 {
		text += " x" + measure.FormatNumber(l.Batches)
	}
	if l.Begins != "" && l.Begins != l.At[:10] {
		text += " of " + weekday(l.Begins)
	}
	return text
}

// missed is what did not come, or comes late.
func missed(l logbook.Line) string {
	if parts := typedParts(l.Gives); parts != "" {
		return parts
	}
	return l.Of
}

// typedParts are the amounts that somebody wrote.
func typedParts(parts []logbook.Part) string {
	var list []string
	for _, a := range parts {
		if a.Typed != "" {
			text := a.Typed + " " + a.Item
			if strings.Contains(a.Typed, " in ") { // a dip
				text = a.Item + " " + a.Typed
			}
			list = append(list, text+behind(" lot ", a.Mark))
		}
	}
	return strings.Join(list, ", ")
}

// byTheCard are the amounts that nobody wrote.
func byTheCard(before string, parts []logbook.Part) string {
	var list []string
	for _, a := range parts {
		if a.Typed == "" {
			list = append(list, cardAmount(a)+" "+a.Item)
		}
	}
	if len(list) == 0 {
		return ""
	}
	return before + strings.Join(list, ", ") + "."
}

// cardAmount is an amount that nobody typed as its card has it or, where there is none, in kg and L from a thousand on.
func cardAmount(a logbook.Part) string {
	if a.Shown != "" {
		return a.Shown
	}
	amount, unit := a.Amount, a.Unit
	if larger := map[string]string{"g": "kg", "mL": "L"}[unit]; larger != "" && amount >= 1000 {
		amount, unit = amount/1000, larger
	}
	return measure.FormatNumber(amount) + " " + unit
}

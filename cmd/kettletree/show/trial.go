package show

// Trials: what is laid out, which batch is next, and what it told.

import (
	"math"
	"strings"

	"kettletree/menu/clock"
	"kettletree/menu/taste"
)

// trialTable lays out a trial.
func trialTable(p Page, trial *taste.Trial) string {
	var names []string
	for _, v := range trial.Things {
		names = append(names, v.Thing)
	}
	t := &table{columns: append(numbers("batch"), words(names...)...)}
	for n, levels := range trial.Batches {
		cells := []string{count(n + 1)}
		for at, level := range levels {
			switch v := trial.Things[at]; {
			case level > 0 && v.More == "":
				cells = append(cells, "more than usual")
			case level > 0:
				cells = append(cells, "more: "+v.More)
			case v.Less == "":
				cells = append(cells, "less than usual")
			default:
				cells = append(cells, "less: "+v.Less)
			}
		}
		t.add(cells...)
	}
	return p.text(0, "To find out, vary these in the next eight batches, in this order, and keep all else as it is (--begin keeps it, and tells each batch in its turn):") + "\n" + t.on(p)
}

// Trialled tells how far a trial is: the next batch first, then what it told.
func (t Teller) Trialled(tr *taste.Trialled) (says []string) {
	head := t.several(len(tr.Runs), "Trial of %[1]s batch, begun %[2]s", "Trial of %[1]s batches, begun %[2]s", t.day(tr.Begun))
	begun := 0
	for _, r := range tr.Runs {
		if r.Day != "" {
			begun++
		}
	}
	switch {
	case tr.Next > 0:
		says = append(says, t.Say("%[1]s: %[2]s begun. Next, batch %[3]s: %[4]s.", head, count(begun), count(tr.Next), TriedText(t, tr.Runs[tr.Next-1].Tried)))
	case tr.Measured < len(tr.Runs):
		says = append(says, t.Say("%[1]s: all begun, %[2]s measured. Measure the rest, and it tells.", head, count(tr.Measured)))
	case len(tr.Effects) == 0:
		says = append(says, t.Say("%[1]s: all measured, but nothing was measured of all of them, so it tells nothing.", head))
	default:
		says = append(append(says, t.Say("%[1]s: all measured.", head)), t.effects(tr)...)
	}
	for _, r := range tr.Runs {
		if len(r.Other) == 0 {
			continue
		}
		var other []string
		for _, one := range r.Other {
			other = append(other, t.Thing(one))
		}
		says = append(says, t.Say("Batch %[1]s (%[2]s) was made otherwise in %[3]s, and counts as it was made.", count(r.Number), t.day(r.Day), t.list(other)))
	}
	return says
}

// TriedText is how a batch of a trial is to be made: "onion less, 3.2 kg; to the boil longer, 66 min".
func TriedText(t Teller, tried []clock.Tried) string {
	var all []string
	for _, one := range tried {
		if one.Amount == "" {
			all = append(all, t.Say("%[1]s "+one.How+" than usual", t.Thing(one.Thing)))
			continue
		}
		all = append(all, t.Say("%[1]s "+one.How+", %[2]s", t.Thing(one.Thing), t.Amount(one.Amount)))
	}
	return strings.Join(all, t.Say("; "))
}

// effects say what each thing does.
func (t Teller) effects(tr *taste.Trialled) (says []string) {
	plain := 0
	for i := range tr.Effects {
		e := &tr.Effects[i]
		if !e.Plain() {
			continue
		}
		plain++
		form := "%[1]s: %[2]s higher with more %[3]s (mean %[4]s, against %[5]s); by chance %[6]s in 100."
		if e.Effect < 0 {
			form = "%[1]s: %[2]s lower with more %[3]s (mean %[4]s, against %[5]s); by chance %[6]s in 100."
		}
		text := t.Say(form, capital(t.name(e.Measure)), t.twoDigits(math.Abs(e.Effect)), t.Thing(e.Thing), t.twoDigits(e.More), t.twoDigits(e.Less), count(int(math.Ceil(100*e.Chance))))
		if len(e.Mixed) > 0 {
			var mixed []string
			for _, one := range e.Mixed {
				mixed = append(mixed, t.Thing(one))
			}
			text = t.Sentences(text, t.Say("Not told apart from %[1]s acting together.", t.list(mixed)))
		}
		says = append(says, text)
	}
	switch rest := len(tr.Effects) - plain; {
	case plain == 0:
		says = append(says, t.several(rest, "Nothing it varied shows more than chance would, of %[1]s effect looked at.", "Nothing it varied shows more than chance would, of %[1]s effects looked at."))
	case rest > 0:
		says = append(says, t.several(rest, "Of %[1]s effect more, none shows more than chance would. Of twenty looked at, chance shows one.",
			"Of %[1]s effects more, none shows more than chance would. Of twenty looked at, chance shows one."))
	}
	return says
}

func (t Teller) twoDigits(v float64) string { return t.number(math.Round(v*100) / 100) }

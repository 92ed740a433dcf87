package show

// What puts the last batch right.

import (
	"math"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/taste"
)

// Righted says what puts the measures right: first what is done for all of them at once, then one by one; where water puts one right and steam
// another, neither is said.
func (t Teller) Righted(a *taste.Answer) (says []string) {
	var strong, weak []string
	for _, r := range a.Right {
		switch r.Do {
		case "water":
			strong = append(strong, t.name(r.Measure))
		case "steam":
			weak = append(weak, t.name(r.Measure))
		}
		if after := r.Do == "salt" && r.Then != r.InPot(); len(a.Together) == 0 || !after { // it is part of what is done at once
			says = append(says, capital(t.righting(r, len(a.Together) > 0 && r.Much > 0)))
		}
	}
	if len(a.Together) > 0 {
		says = append([]string{t.together(a.Together)}, says...)
	}
	blend := t.Blended(a.Blend, strong == nil || weak == nil)
	if strong != nil && weak != nil {
		says = []string{t.Say("Neither water nor boiling puts it right: water would thin the %[1]s further, boiling would bring up the %[2]s.", t.list(weak), t.list(strong))}
		if blend == "" {
			says[0] = t.Sentences(says[0], t.Say("Mix it with a batch that lacks %[1]s, or leave %[1]s out of what is made of it.", t.list(strong)))
		}
	}
	if blend != "" {
		says = append(says, blend)
	}
	if a.Gone && slices.ContainsFunc(a.Measures, func(m taste.Measured) bool {
		return !m.Handling && m.Aim != nil && m.Last != nil && m.Points[len(m.Points)-1].Day == a.Last && (*m.Last < m.Aim.Low || *m.Last > m.Aim.High)
	}) {
		says = append(says, t.Word("Nothing of it is left within its date, so there is nothing to put right."))
	}
	return says
}

// together says what is done for all measures at once.
func (t Teller) together(list []taste.Righting) string {
	var parts []string
	for _, r := range list {
		switch much := t.Amount(measure.FormatNumber(r.Much) + " " + r.MuchIn); r.Do {
		case "water":
			parts = append(parts, t.Say("add %[1]s water or unsalted stock", much))
		case "salt":
			parts = append(parts, t.Say("add %[1]s %[2]s", much, t.name(r.Measure)))
		default:
			parts = append(parts, t.Say("boil off %[1]s", much))
		}
	}
	return t.Sentences(t.takenOut(list[0]), t.Say("All together: %[1]s (%[2]s); then taste again.", strings.Join(parts, t.Say(", then ")), t.rightedOf(list[0])))
}

// takenOut says what is taken out first, for the pot would not hold it; "" where it does.
func (t Teller) takenOut(r taste.Righting) string {
	if r.TakeOut == 0 {
		return ""
	}
	return t.Say("%[1]s has room for %[2]s: first take out %[3]s, or part it over two pots and thin both alike.", capital(t.name(r.Pot)), t.of(r.Holds, r.In), t.of(r.TakeOut, r.In))
}

// rightedOf says of how much a measure is put right.
func (t Teller) rightedOf(r taste.Righting) string {
	much := t.of(math.Round(r.Amount*10)/10, r.In) + " " + t.name(r.Of)
	of := t.Say("%[1]s by the card", much)
	if r.Weighed {
		of = t.Say("%[1]s as measured", much)
	}
	if r.TakeOut > 0 {
		of = t.Say("%[1]s, less the %[2]s taken out", of, t.of(r.TakeOut, r.In))
	}
	return of
}

// righting says what puts a measure right; alone where it is said beside what puts all of them right at once.
func (t Teller) righting(r taste.Righting, alone bool) string {
	name, of := t.name(r.Measure), t.rightedOf(r)
	if r.Held != "" && r.Much == 0 {
		if r.Do == "water" {
			return t.Say("%[1]s: leave it as it is, for water would thin the %[2]s below its aim.", name, t.name(r.Held))
		}
		return t.Say("%[1]s: leave it as it is, for boiling would bring the %[2]s over its aim.", name, t.name(r.Held))
	}
	if alone && r.Do != "salt" {
		return t.Sentences(t.rightingOf(r, t.Say("for %[1]s alone", name), of), t.held(r, name))
	}
	return t.Sentences(t.takenOut(r), t.rightingOf(r, name, of), t.held(r, name))
}

// held says what holds back what puts a measure right, and how far it comes; "" where nothing does.
func (t Teller) held(r taste.Righting, name string) string {
	figure := t.number(math.Round(r.ComesTo*100) / 100)
	switch {
	case r.Held == "":
		return ""
	case r.Do == "water":
		return t.Say("That brings the %[1]s to %[2]s; more would thin the %[3]s below its aim.", name, figure, t.name(r.Held))
	}
	return t.Say("That brings the %[1]s to %[2]s; more would bring the %[3]s over its aim.", name, figure, t.name(r.Held))
}

// rightingOf says what is to be done.
func (t Teller) rightingOf(r taste.Righting, name, of string) string {
	switch much := t.Amount(measure.FormatNumber(r.Much) + " " + r.MuchIn); r.Do {
	case "water":
		text := t.Say("%[1]s: add %[2]s water or unsalted stock (%[3]s); then taste again.", name, much, of)
		var as []string
		for _, u := range r.Use {
			as = append(as, t.Say("%[1]s (leave out %[2]s of its %[3]s %[4]s)", t.name(u.For), t.number(u.LeaveOut), t.of(u.Of, u.In), t.name(u.Salt)))
		}
		if as != nil {
			text = t.Sentences(text, t.Say("Or use it as it is for %[1]s.", t.list(as)))
		}
		return text
	case "salt":
		if r.Then != r.InPot() {
			return t.Say("%[1]s: then add %[2]s %[1]s to the %[3]s that there are; taste again.", name, much, t.of(math.Round(r.Then*10)/10, r.In))
		}
		return t.Say("%[1]s: add %[2]s %[1]s (%[3]s); then taste again.", name, much, of)
	default:
		if r.Minutes == nil {
			return t.Say("%[1]s: boil off %[2]s (%[3]s); then measure again.", name, much, of)
		}
		by := t.Say("by the card")
		if r.Dips > 0 {
			by = t.several(r.Dips, "by %[1]s pair of dips", "by %[1]s pairs of dips")
		}
		text := t.Say("%[1]s: boil off %[2]s (%[3]s), about %[4]s at this pot's %[5]s/h %[6]s; then measure again.", name, much, of, t.about(*r.Minutes),
			t.of(math.Round(*r.Rate*10)/10, r.In), by)
		return t.Sentences(append([]string{text}, t.instead(r)...)...)
	}
}

// about is a time as a cook takes it: to five minutes.
func (t Teller) about(minutes float64) string { return t.Lasts(max(5, int(5*math.Round(minutes/5)))) }

// instead says what there is to do about a pot that would boil for hours.
func (t Teller) instead(r taste.Righting) (says []string) {
	l := r.Long
	if l == nil {
		return nil
	}
	if l.Least > 0 && l.Least < r.Much {
		says = append(says, t.Say("%[1]s off would just do: about %[2]s.", t.Amount(measure.FormatNumber(l.Least)+" "+r.In), t.about(l.LeastMinutes)))
	}
	if len(l.Pots) > 0 {
		says = append(says, t.Say("In %[1]s together: about %[2]s.", t.list(t.names(l.Pots)), t.about(l.PotsMinutes)))
	}
	if l.Into != "" {
		says = append(says, t.Say("Or leave it as it is, and begin the next %[1]s with up to %[2]s of it in place of %[3]s, within its date.", t.name(l.Into),
			t.of(math.Round(min(l.UpTo, r.Amount)*10)/10, r.In), t.name(l.InsteadOf)))
	}
	return says
}

// Blended says what to mix; "" where nothing is to be mixed. Else is whether it is another way beside one that was said.
func (t Teller) Blended(b *taste.Blend, another bool) string {
	if b == nil {
		return ""
	}
	jugs := func(v float64) string { return t.of(math.Round(v*100)/100, b.In) }
	var with, reads []string
	for n, part := range b.Parts {
		switch {
		case n == 0:
		case part.Day == "":
			with = append(with, t.Say("%[1]s water", jugs(part.Amount)))
		default:
			with = append(with, t.Say("%[1]s of %[2]s", jugs(part.Amount), t.day(part.Day)))
		}
	}
	for _, r := range b.Reads {
		figure := t.number(math.Round(r.Value*100) / 100)
		if r.Unit != "%" {
			figure += " "
		}
		reads = append(reads, strings.TrimSpace(t.name(r.Measure)+" "+figure+r.Unit))
	}
	form := "Or blend %[1]s of it with %[2]s: %[3]s, %[4]s. It keeps the date of its oldest part."
	if !another {
		form = "Blend %[1]s of it with %[2]s: %[3]s, %[4]s. It keeps the date of its oldest part."
	}
	text := t.Say(form, jugs(b.Parts[0].Amount), t.list(with), jugs(b.Makes), t.List(reads))
	if b.Left >= 0.5 {
		text = t.Sentences(text, t.Say("%[1]s are left as they are.", jugs(b.Left)))
	}
	return text
}

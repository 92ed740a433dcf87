package show

// Labels: as a table, and as a page to print.

import (
	"bytes"
	"cmp"
	_ "embed"
	"html/template"
	"strings"
	"time"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// Labels lays the labels out as a table, day by day.
func Labels(p Page, a *clock.Labels) string {
	var b strings.Builder
	say := p.Voice.Say
	t := table{columns: words(say("made at"), say("item"), say("amount"), say("use by"), say("allergens"), say("lot")), name: 1}
	day := ""
	for _, l := range a.Labels {
		if l.Made != day {
			day = l.Made
			t.heading(p.labelDay(day))
		}
		t.add(p.labelTime(l), l.Item, p.labelAmount(l), p.lastDay(l), p.labelAllergens(l), cmp.Or(l.Lot, blankLot))
		t.remark(p.brief(a, capital(l.Because)))
		if len(l.Raw) > 0 {
			t.remark(p.rawIn(l))
		}
		if l.Burns {
			t.remark(say(tongue.Burns))
		}
		for _, text := range p.fish(a, l) {
			t.remark(text)
		}
		if len(l.InOil) > 0 {
			t.remark(capital(inOil(p.Voice, l.InOil, a.Cold, "")))
		}
		if l.Approved != "" {
			t.remark(say("Date mark approved by %[1]s, per kitchen file", l.Approved))
		}
		if l.From != "" {
			t.remark(say("Day 1 is %[1]s, from %[2]s", p.labelDay(l.DayOne), l.From))
			if l.Guess {
				t.remark(capital(say(presumed)))
			}
		} else if l.DayOne < l.Made { // begun the day before, out today
			t.remark(say("Day 1: %[1]s", p.labelDay(l.DayOne)))
		}
		if text := p.frozenDays(l); text != "" {
			t.remark(text)
		}
		if cool := p.coolWords(a, l); cool != "" {
			t.remark(cool)
		}
	}
	b.WriteString(p.text(0, p.labelHead(a)) + "\n")
	b.WriteString(t.on(p))
	b.WriteString(notes(p, a.Says))
	b.WriteString("\n" + p.text(0, p.Voice.Sentences(p.Voice.Section(a.Code)+say("."), a.Caution)))
	b.WriteString(p.unreviewed())
	return b.String()
}

// labelHead is what stands above labels: their days, for a weekday is the next one.
func (p Page) labelHead(a *clock.Labels) string {
	days := p.labelDays(a)
	switch {
	case days == "":
		return p.Voice.Say("Nothing is made.")
	case len(a.Labels) == 0:
		return capital(p.Voice.Say("%[1]s: nothing is made.", days))
	}
	return capital(p.Voice.Say("%[1]s: labels for what is made.", days))
}

// labelDays are the days of labels: one, from the first to the last, or each where some between are left out.
func (p Page) labelDays(a *clock.Labels) string {
	if len(a.Days) == 0 {
		return ""
	}
	first, last := a.Days[0], a.Days[len(a.Days)-1]
	from, _ := time.Parse(time.DateOnly, first) // [clock.LabelsOn] wrote them
	if n := len(a.Days); n > 2 && from.AddDate(0, 0, n-1).Format(time.DateOnly) == last {
		return p.Voice.Say("%[1]s to %[2]s", p.labelDay(first), p.labelDay(last))
	}
	var days []string
	for _, d := range a.Days {
		days = append(days, p.labelDay(d))
	}
	return p.Voice.List(days)
}

// rawIn says what is raw in a lot, and that nobody has said whether its eggs are pasteurised.
func (p Page) rawIn(l clock.Label) string {
	return p.Voice.Say("RAW: %[1]s", p.Voice.List(l.Raw)) + rawEggs(p.Voice, l.Eggs)
}

// fish says what is to be said of raw fish: the supplier's letter where it is served raw, and the cold where histamine forms.
func (p Page) fish(a *clock.Labels, l clock.Label) (lines []string) {
	say, kept := p.Voice.Say, ""
	if a.Letter != "" && len(l.Fish)+len(l.Letters) > 0 {
		kept = say("; ") + say("the letter is kept (%[1]s, from memory)", a.Letter)
	}
	if len(l.Fish) > 0 {
		lines = append(lines, capital(say("raw fish, NOT STATED whether it was frozen against parasites or needs no freezing; see the supplier's letter: %[1]s", p.Voice.List(l.Fish)))+kept)
		kept = ""
	}
	if len(l.Letters) > 0 {
		lines = append(lines, capital(say("supplier's letter on parasites: %[1]s", p.Voice.List(l.Letters)))+kept)
	}
	if len(l.Histamine) > 0 {
		lines = append(lines, capital(say(tongue.Histamine, p.Voice.List(l.Histamine), p.Voice.Degrees(both(a.Cold.Value, a.Cold.Scale)))))
	}
	return lines
}

// frozenDays says on which days a lot, or what it is made of, lay frozen.
func (p Page) frozenDays(l clock.Label) string {
	first, err := time.Parse(time.DateOnly, l.Froze)
	last, err2 := time.Parse(time.DateOnly, l.Thaws)
	switch {
	case err != nil || err2 != nil:
		return ""
	case l.Ice > int(last.Sub(first).Hours()/24)+1:
		return capital(p.Voice.Say("frozen %[1]s, the last time until %[2]s: these days do not count", p.Voice.Days(l.Ice), p.Voice.Day(last)))
	}
	if first.Equal(last) {
		return capital(p.Voice.Say("frozen %[1]s: this day does not count", p.Voice.Day(first)))
	}
	return capital(p.Voice.Say("frozen %[1]s to %[2]s: these days do not count", p.Voice.Day(first), p.Voice.Day(last)))
}

// labelDay is a date as a label shows it: "Tue 24 Nov".
func (p Page) labelDay(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return p.Voice.Day(t)
}

// lastDay is until when a lot may be used.
func (p Page) lastDay(l clock.Label) string {
	switch {
	case l.UseBy != nil:
		return p.labelDay(*l.UseBy)
	case l.Frozen:
		return p.Voice.Say("frozen")
	}
	return p.Voice.Say("NOT KNOWN")
}

func (p Page) labelAllergens(l clock.Label) string {
	return p.Voice.Stated(kitchen.Stated{Has: l.Allergens, May: l.May, Unknown: l.Unstated})
}

// labelTime is when a lot is made.
func (p Page) labelTime(l clock.Label) string {
	if l.ToOrder {
		return p.Voice.Say("to order")
	}
	return l.At
}

// madeOn is the day on which a lot is made, and when where that is known.
func (p Page) madeOn(l clock.Label) string {
	day, err := time.Parse(time.DateOnly, l.Made)
	if at := p.labelTime(l); err == nil && at != "" {
		return p.Voice.On(day, at)
	}
	return p.labelDay(l.Made)
}

// blankLot is what stands for the lot of what is not written down yet.
const blankLot = "____"

// labelAmount is how much there is of a lot.
func (p Page) labelAmount(l clock.Label) string {
	text := weighed(l.Quantity, cmp.Or(l.As, l.Unit))
	switch {
	case l.Unit == "each" && tongue.Chinese(p.Voice.Language()):
		text = p.Voice.Pieces(quarters(l.Pieces), l.Item)
	case l.Unit == "each":
		text = p.Voice.Amount(quarters(l.Pieces) + " each")
	default:
		text = p.Voice.Amount(text)
	}
	if l.Card {
		text = p.Voice.Say("%[1]s by the card", text)
	}
	return text
}

// brief leaves the title of the code out where it stands on the same page.
func (p Page) brief(a *clock.Labels, text string) string {
	return strings.ReplaceAll(text, p.Voice.Say("%[1]s, %[2]s", p.Voice.Section(a.Code), ""), "")
}

// coolWords say what limits on cooling there are, and when they are due.
func (p Page) coolWords(a *clock.Labels, l clock.Label) string {
	var parts []string
	for _, c := range l.Cool {
		section := p.Voice.Section(strings.TrimPrefix(c.Section, a.Code+", "))
		from, to, within := p.Voice.Degrees(both(c.From, c.Scale)), p.Voice.Degrees(both(c.To, c.Scale)), p.Voice.Lasts(c.Within)
		if c.By != nil {
			if by, err := time.Parse("2006-01-02 15:04", *c.By); err == nil {
				if begins := by.Add(-time.Duration(c.Within) * time.Minute); begins.Format(time.DateOnly) != l.Made || by.Format(time.DateOnly) != l.Made { // it cools before it is taken out, or over midnight
					parts = append(parts, p.Voice.Say("%[1]s to %[2]s within %[3]s, by %[4]s if cooling begins on %[5]s (%[6]s)", from, to, within,
						p.Voice.On(by, clockOf(*c.By)), p.Voice.On(begins, begins.Format("15:04")), section))
					continue
				}
			}
			parts = append(parts, p.Voice.Say("%[1]s to %[2]s within %[3]s, by %[4]s if cooling begins at %[5]s (%[6]s)", from, to, within, (*c.By)[11:], l.Cools, section))
			continue
		}
		parts = append(parts, p.Voice.Say("%[1]s to %[2]s within %[3]s (%[4]s)", from, to, within, section))
	}
	if len(parts) == 0 {
		return ""
	}
	return p.Voice.Say("To cool: %[1]s", strings.Join(parts, p.Voice.Say("; ")))
}

// both is a limit on both scales.
func both(at float64, scale string) string { return (&kitchen.Code{Scale: scale}).Both(at) }

// LabelSheet has a row for each label.
func LabelSheet(a *clock.Labels) (s Sheet) {
	s.add("item", "lot", "quantity", "unit", "by_card", "made", "at", "to_order", "day_one", "day_one_of", "use_by", "because", "raw", "date_approved_by", "frozen", "days_left_when_thawed",
		"allergens", "may_contain", "allergens_unstated", "raw_eggs", "in_oil", "raw_fish", "parasite_letters", "histamine", "frozen_from", "frozen_to", "frozen_days", "day_one_presumed", "burns")
	for _, l := range a.Labels {
		left := ""
		if l.LeftDays != nil {
			left = count(*l.LeftDays)
		}
		s.add(l.Item, l.Lot, l.Quantity, l.Unit, l.Card, l.Made, l.At, l.ToOrder, l.DayOne, l.From, l.UseBy, l.Because, strings.Join(l.Raw, "; "), l.Approved, l.Frozen, left,
			strings.Join(l.Allergens, "; "), strings.Join(l.May, "; "), strings.Join(l.Unstated, "; "), strings.Join(l.Eggs, "; "), strings.Join(l.InOil, "; "),
			strings.Join(l.Fish, "; "), strings.Join(l.Letters, "; "), strings.Join(l.Histamine, "; "), l.Froze, l.Thaws, l.Ice, l.Guess, l.Burns)
	}
	return s
}

// titled is the title of a page, with the kitchen behind it where it has a name.
func (p Page) titled(title, kitchen string) string {
	if kitchen == "" {
		return title
	}
	return p.Voice.Say("%[1]s, %[2]s", title, kitchen)
}

//go:embed page/labels.html
var labelHTML string

var labelPage = template.Must(template.New("labels").Parse(labelHTML))

// printedLabel is a label in words.
type printedLabel struct {
	Item, Amount, Lot, Made, DayOne, Last, Allergens, Raw, Approved string
	Frozen                                                          string
	Because, Cool, InOil                                            template.HTML
	Fish                                                            []template.HTML
}

// LabelPage is one HTML page with a label for each lot, which needs nothing else and prints without a browser's help.
func LabelPage(p Page, a *clock.Labels) ([]byte, error) {
	say := p.Voice.Say
	page := struct {
		Lang, Title, Head, Code, Caution, Unreviewed string
		Labels                                       []printedLabel
	}{Lang: p.Voice.Lang(), Title: p.titled(say("Labels"), a.Kitchen), Head: p.labelHead(a), Code: p.Voice.Section(a.Code) + say("."), Caution: a.Caution}
	if days := p.labelDays(a); days != "" {
		page.Title = p.titled(say("%[1]s, %[2]s", say("Labels"), days), a.Kitchen)
	}
	if !p.Voice.English() {
		page.Unreviewed = say(tongue.Unreviewed)
	}
	for _, s := range a.Says {
		page.Code = p.Voice.Sentences(page.Code, capital(s)+say("."))
	}
	for _, l := range a.Labels {
		v := printedLabel{Item: l.Item, Amount: p.labelAmount(l), Lot: say("lot %[1]s", cmp.Or(l.Lot, "________")),
			Made:    say("Made %[1]s", p.madeOn(l)),
			Because: tongue.Unbroken(capital(l.Because)), Cool: tongue.Unbroken(p.coolWords(a, l)), Last: say("Use by NOT KNOWN")}
		if l.UseBy != nil {
			v.Last = say("Use by %[1]s, end of day", p.lastDay(l))
		}
		if l.Frozen {
			parts := []string{say("Frozen")}
			if l.UseBy != nil {
				parts = append(parts, v.Last)
			}
			if l.LeftDays != nil {
				parts = append(parts, say("once thawed %[1]s, that day counted", p.Voice.Days(*l.LeftDays)))
			}
			v.Last = strings.Join(parts, say("; "))
		}
		if len(l.Raw) > 0 {
			v.Raw = p.rawIn(l)
		}
		if len(l.InOil) > 0 {
			v.InOil = tongue.Unbroken(capital(inOil(p.Voice, l.InOil, a.Cold, "")))
		}
		if l.Burns {
			v.Fish = append(v.Fish, tongue.Unbroken(say(tongue.Burns)))
		}
		for _, text := range p.fish(a, l) {
			v.Fish = append(v.Fish, tongue.Unbroken(text))
		}
		v.Frozen = p.frozenDays(l)
		if l.Approved != "" {
			v.Approved = say("Date mark approved by %[1]s, per kitchen file", l.Approved)
		}
		if l.From != "" {
			v.DayOne = say("Day 1: %[1]s (%[2]s)", p.labelDay(l.DayOne), l.From)
			if l.Guess {
				v.DayOne += say("; ") + say(presumed)
			}
		} else if l.DayOne < l.Made {
			v.DayOne = say("Day 1: %[1]s", p.labelDay(l.DayOne))
		}
		v.Allergens = say("ALLERGENS: %[1]s", p.labelAllergens(l))
		if len(l.Allergens)+len(l.May)+len(l.Unstated) == 0 {
			v.Allergens = p.labelAllergens(l)
		}
		page.Labels = append(page.Labels, v)
	}
	var b bytes.Buffer
	err := labelPage.Execute(&b, page)
	return b.Bytes(), err
}

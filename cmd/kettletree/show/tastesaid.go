package show

// How batches came out, and why, sentence by sentence, in a language.

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/taste"
	"kettletree/menu/tongue"
)

// mostGoes is how many things that go with a measure are named.
const mostGoes = 5

// Teller says how batches came out in a language, with the names of a kitchen as that has them.
type Teller struct {
	tongue.Voice
	Year   int                 // in which it is said: days of others are said with theirs; 0 for none is
	Called func(string) string // what something of the kitchen file is called in the language; nil for as it stands there
}

func (t Teller) name(of string) string {
	if t.Called == nil {
		return of
	}
	return t.Called(of)
}

func (t Teller) names(of []string) (all []string) {
	for _, one := range of {
		all = append(all, t.name(one))
	}
	return all
}

// list is "a, b and c".
func (t Teller) list(all []string) string {
	if t.English() {
		return measure.FormatList(all)
	}
	return t.List(all)
}

// several is a sentence for one or for several; how many is what is put in first.
func (t Teller) several(n int, one, many string, args ...any) string {
	if n == 1 {
		return t.Say(one, append([]any{"1"}, args...)...)
	}
	return t.Say(many, append([]any{count(n)}, args...)...)
}

func (t Teller) batches(n int) string { return t.several(n, "%[1]s batch", "%[1]s batches") }

func (t Teller) number(v float64) string { return t.Figure(measure.FormatNumber(v)) }

// value is a measured value.
func (t Teller) value(m *kitchen.Measure, v float64) string {
	switch {
	case t.English():
		return m.Value(v)
	case m.Sort == kitchen.Judged:
		return t.Say("%[1]s on a scale to %[2]s", t.number(v), t.number(m.High))
	case m.Unit == "" || m.Unit == "%":
		return t.number(math.Round(v*1000)/1000) + m.Unit
	}
	return t.Amount(measure.FormatNumber(math.Round(v*1000)/1000) + " " + m.Unit)
}

func (t Teller) aim(m *kitchen.Measure) string { return AimFigures(t.Voice, taste.AimOf(m)) }

func (t Teller) day(date string) string {
	at, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	if t.Year != 0 && at.Year() != t.Year {
		return t.Date(at)
	}
	return t.Day(at)
}

// Head says how the last one came out.
func (t Teller) Head(a *taste.Answer) string {
	var off, plain []string
	aims := false
	for i := range a.Measures {
		m := &a.Measures[i]
		if m.Handling || m.Last == nil || m.Points[len(m.Points)-1].Day != a.Last {
			continue
		}
		reads := t.name(m.Name) + " " + t.value(m.Kind(), *m.Last)
		switch {
		case m.Aim != nil && *m.Last > m.Aim.High:
			off = append(off, t.Say("%[1]s is above its aim, %[2]s", reads, t.aim(m.Kind())))
		case m.Aim != nil && *m.Last < m.Aim.Low:
			off = append(off, t.Say("%[1]s is below its aim, %[2]s", reads, t.aim(m.Kind())))
		default:
			aims = aims || m.Aim != nil
			plain = append(plain, reads)
		}
	}
	of, day := capital(t.name(a.Of)), t.day(a.Last)
	switch {
	case len(off) == 0 && aims:
		return t.Say("%[1]s of %[2]s is as it should be: %[3]s.", of, day, t.List(plain))
	case len(off) == 0:
		return t.Say("%[1]s of %[2]s: %[3]s; the kitchen file gives no aim.", of, day, t.List(plain))
	}
	return t.Say("%[1]s of %[2]s: %[3]s.", of, day, strings.Join(off, t.Say("; ")))
}

// mostOut is how many batches out of line are said one by one of a measure.
const mostOut = 5

// outOfLine says how many batches are outside the aim, whether the measure drifts, and of batches out of line the newest, those first with which
// something was not as usual. A drift that is said of the pot is not said again. The rest is for who wants to see them: where there is something to say one by one, else in one line.
func (t Teller) outOfLine(m *taste.Measured, mother *taste.Mother) (says, more []string, rest string) {
	if m.Outside > 0 {
		says = append(says, t.several(m.Outside, "%[1]s batch outside the aim", "%[1]s batches outside the aim"))
	}
	var odd, plain []int
	for n := range m.Points {
		switch pt := &m.Points[n]; {
		case pt.Side == "":
		case len(pt.Odd) > 0:
			odd = append(odd, n)
		default:
			plain = append(plain, n)
		}
	}
	newest := func(list []int, most int) (old, young []int) {
		at := max(0, len(list)-most)
		return list[:at], list[at:]
	}
	odd, shown := newest(odd, mostOut)
	if m.Drift == nil {
		var also []int
		plain, also = newest(plain, mostOut-len(shown))
		shown = slices.Sorted(slices.Values(slices.Concat(shown, also)))
	} else if mother == nil || !slices.ContainsFunc(mother.Drifts, func(d taste.MotherDrift) bool { return d.Measure == m.Name && d.Plain() }) {
		form := "rises by %[1]s a day since %[2]s"
		if m.Drift.ByDay < 0 {
			form = "falls by %[1]s a day since %[2]s"
		}
		by := math.Abs(significant(m.Drift.ByDay))
		pace := t.number(by)
		if m.Kind().Sort != kitchen.Judged {
			pace = t.value(m.Kind(), by)
		}
		says = append(says, t.Say(form, pace, t.day(m.Drift.Since)))
	}
	one, many := "%[1]s batch out of line", "%[1]s batches out of line"
	if len(shown) > 0 {
		one, many = "%[1]s more batch out of line", "%[1]s more batches out of line"
	}
	if n := len(odd) + len(plain); n > 0 {
		rest = t.several(n, one, many)
	}
	for _, n := range shown {
		says = append(says, t.out(m, &m.Points[n]))
	}
	for _, n := range odd {
		more = append(more, t.out(m, &m.Points[n]))
	}
	var values []string
	for _, n := range plain {
		values = append(values, t.Say("%[1]s: %[2]s", t.day(m.Points[n].Day), t.number(m.Points[n].Value)))
	}
	if values != nil {
		more = append(more, strings.Join(values, t.Say("; ")))
	}
	return says, more, rest
}

// out says how a batch is out of line, and what was not as usual with it.
func (t Teller) out(m *taste.Measured, pt *taste.Point) string {
	side := t.Word(map[string]string{logbook.Above: "above its limits", logbook.Below: "below its limits", logbook.Jump: "too far from the one before"}[pt.Side])
	why := t.Word("nothing else was unusual, as far as it was written")
	if len(pt.Odd) > 0 {
		var odd []string
		for _, o := range pt.Odd {
			odd = append(odd, t.odd(o))
		}
		why = strings.Join(odd, t.Say("; "))
	}
	return t.Say("%[1]s: %[2]s, %[3]s; %[4]s", t.day(pt.Day), t.value(m.Kind(), pt.Value), side, why)
}

// odd says what was not as usual.
func (t Teller) odd(o taste.Odd) string {
	if t.English() {
		return o.String()
	}
	if o.Word != "" {
		if item, is := strings.CutSuffix(o.Name, logbook.WentIn); is {
			return t.Say("%[1]s for %[2]s", t.name(o.Word), t.name(item))
		}
		return t.Say("%[1]s: %[2]s", t.Thing(o.Name), t.name(o.Word))
	}
	return t.Say("%[1]s, usually %[2]s", t.Say("%[1]s: %[2]s", t.Thing(o.Name), t.of(o.Value, o.Unit)), t.of(o.Usual, o.Unit))
}

// of is a figure of a thing, such as 0.8 of the card.
func (t Teller) of(v float64, unit string) string {
	switch figure := measure.FormatNumber(math.Round(v*100) / 100); unit {
	case "of the card":
		return t.Say("%[1]s of the card", t.Figure(figure))
	case "o'clock":
		return measure.FormatClock((int(math.Round(v*60))%(24*60) + 24*60) % (24 * 60))
	case "days", "batches", "times":
		if figure == "1" {
			unit = map[string]string{"days": "day", "batches": "batch", "times": "time"}[unit]
		}
		return t.Say("%[1]s "+unit, t.Figure(figure))
	default:
		return t.Amount(strings.TrimSpace(figure + " " + unit))
	}
}

// Thing is what something that is known of batches is called: "age of stewing hen".
func (t Teller) Thing(name string) string {
	if t.English() {
		return name
	}
	for _, form := range []string{"age of %[1]s", "%[1]s from", "%[1]s in at", "%[1]s in for", "%[1]s drawn", "%[1]s out"} {
		before, after, _ := strings.Cut(form, "%[1]s")
		if item, is := strings.CutPrefix(name, before); is {
			if item, is = strings.CutSuffix(item, after); is {
				return t.Say(form, t.name(item))
			}
		}
	}
	switch name {
	case "lit at", "time on the fire", "batches", "date":
		return t.Word(name)
	}
	return t.name(name)
}

// Why says what goes with what, or that nothing can be told.
func (t Teller) Why(a *taste.Answer) (says []string) {
	found := false
	for _, m := range a.Measures {
		for told, g := range m.Goes {
			if !g.Found || told == mostGoes {
				break
			}
			found = true
			says = append(says, capital(t.GoesWith(m.Name, g)))
		}
	}
	few := ""
	if a.TooFew != nil {
		var things []string
		for _, one := range a.TooFew.Things {
			if item, is := strings.CutSuffix(one, logbook.WentIn); is {
				one = item
			}
			things = append(things, t.Thing(one))
		}
		few = t.Say("Too few batches to tell, however plain: %[1]s. It takes %[2]s, half of them one way.", t.List(things), count(a.TooFew.Batches))
	}
	last := ""
	switch {
	case a.Batches < a.Enough:
		return []string{t.several(a.Batches, "Not enough to tell why: %[1]s batch measured, and it takes %[2]s. Measure each batch, and log what goes in and when.",
			"Not enough to tell why: %[1]s batches measured, and it takes %[2]s. Measure each batch, and log what goes in and when.", count(a.Enough))}
	case a.Held == 0:
		return []string{t.Say("Nothing can be told of why: the log book knows nothing that was not the same for nearly all batches. Log what is weighed in, and when.")}
	case !found:
		last = t.several(a.Held, "Nothing explains the differences: %[1]s comparison with what was measured does not go beyond chance.",
			"Nothing explains the differences: of %[1]s comparisons with what was measured, none goes beyond chance.")
		if a.FoundIn > 0 {
			last = t.Sentences(last, t.Say("So many batches tell about %[1]s in 10 of the causes that make two thirds of the difference; more batches tell more.", count(a.FoundIn)))
		}
	default:
		last = t.several(a.Held, "From %[1]s comparison with what was measured. What goes together need not be the cause: a trial tells.",
			"From %[1]s comparisons with what was measured. What goes together need not be the cause: a trial tells.")
	}
	if few != "" {
		last = t.Sentences(last, few)
	}
	return append(says, last)
}

// GoesWith says what goes with a measure.
func (t Teller) GoesWith(name string, g taste.Goes) string {
	form, puts := g.ClauseForm()
	args := make([]any, len(puts))
	for i, p := range puts {
		args[i] = t.name(p)
	}
	odds := t.Say("less than 1 in %[1]s", t.Figure("1,000"))
	if g.Chance >= 0.001 {
		odds = t.Say("%[1]s in %[2]s", count(int(math.Ceil(1000*g.Chance))), t.Figure("1,000"))
	}
	sentence := "%[1]s is higher %[2]s (%[3]s, rank correlation %[4]s; by chance %[5]s)."
	if g.Rank < 0 {
		sentence = "%[1]s is lower %[2]s (%[3]s, rank correlation %[4]s; by chance %[5]s)."
	}
	return t.Say(sentence, t.name(name), t.Say(form, args...), t.batches(g.Batches), t.Figure(fmt.Sprintf("%+.2f", g.Rank)), odds)
}

// Notes are what was written about batches.
func (t Teller) Notes(a *taste.Answer) (says []string) {
	for _, n := range a.Notes {
		says = append(says, t.Say("%[1]s: %[2]s", t.day(n.Day), n.Text))
	}
	return says
}

// MeasureSaid is a measure over the batches, figure by figure; "" where there is none.
type MeasureSaid struct {
	Name, Last, Aim, Mean, Limits, Batches string
	Says                                   []string
	Rest                                   string   // how many batches out of line are left; "" for none
	More                                   []string // those
}

// Measured is a measure over the batches.
func (t Teller) Measured(p Page, a *taste.Answer, i int) MeasureSaid {
	m := &a.Measures[i]
	figure := func(v *float64) string {
		if v == nil {
			return ""
		}
		return t.number(math.Round(*v*100) / 100)
	}
	s := MeasureSaid{Name: t.name(m.Name), Last: figure(m.Last), Mean: figure(m.Mean), Batches: count(m.Batches)}
	s.Says, s.More, s.Rest = t.outOfLine(m, a.Mother)
	if m.Unit != "" {
		s.Name = t.Say("%[1]s, %[2]s", s.Name, UnitSaid(t.Voice, m.Unit))
	}
	switch {
	case m.Aim == nil:
	case m.Aim.Low == m.Aim.High:
		s.Aim = figure(&m.Aim.High)
	default:
		s.Aim = t.Say("%[1]s to %[2]s", t.number(m.Aim.Low), t.number(m.Aim.High))
	}
	if m.Spread != nil {
		s.Mean = t.Figure(p.spread(math.Round(*m.Mean*100)/100, *m.Spread))
	}
	if m.Limits != nil {
		s.Limits = t.Say("%[1]s to %[2]s", figure(&m.Limits.Lower), figure(&m.Limits.Upper))
	}
	return s
}

package clock

// What is said in the language of the week: moments, days, names of batches, lists.

import (
	"fmt"

	"golang.org/x/text/language"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

// voice speaks the language of the week.
func (t *table) voice() tongue.Voice { return tongue.In(t.Tongue) }

// DayName, Moment, Span, OfDay and SittingName are those of the week, in its language.

// DayName is a day: "Wed 25 Nov", "mié 25 nov".
func (t *table) DayName(day int) string {
	if v := t.voice(); !v.English() {
		return v.Day(t.Date(day))
	}
	return t.Week.DayName(day)
}

// Moment is a minute: "Wed 25 Nov 07:30".
func (t *table) Moment(minute int) string {
	v := t.voice()
	if v.English() {
		return t.Week.Moment(minute)
	}
	day := dayOf(minute)
	return v.On(t.Date(day), measure.FormatClock(minute-day*1440))
}

// Span is from one minute to another: "Wed 25 Nov 07:30 to 09:00".
func (t *table) Span(from, to int) string {
	v := t.voice()
	if v.English() {
		return t.Week.Span(from, to)
	}
	if from == to {
		return t.Moment(from)
	}
	if day := dayOf(from); day == dayOf(to) {
		return v.Say("%[1]s to %[2]s", t.Moment(from), measure.FormatClock(to-day*1440))
	}
	return v.Say("%[1]s to %[2]s", t.Moment(from), t.Moment(to))
}

// OfDay is a day's own of something: "Tuesday's night kettle", "olla de la noche del mar 24 nov".
func (t *table) OfDay(day int, name string) string {
	if v := t.voice(); !v.English() {
		return v.Say("%[1]s of day %[2]s", name, t.DayName(day))
	}
	return t.Week.OfDay(day, name)
}

// SittingName is a service of a day: "Wed 25 Nov lunch".
func (t *table) SittingName(slot int) string {
	sit := t.Sittings[slot]
	if v := t.voice(); !v.English() && sit.Service >= 0 {
		return v.On(t.Date(sit.Day), t.word(t.Services[sit.Service].Name))
	}
	return t.Week.SittingName(slot)
}

// word is a word of the file, such as a service, an act or a person, as it is called in the language.
func (t *table) word(name string) string {
	v := t.voice()
	if v.English() {
		return name
	}
	if said, ok := t.WordIn(name, v.Language()); ok {
		return said
	}
	if name == kitchen.PutInAct {
		return v.Say("putting in") // what is to be done: "put in" is what was
	}
	if kitchen.InLanguage(t.Language, language.English) {
		return v.Trade(name)
	}
	return name
}

// list puts texts one after another: "a, b and c".
func (t *table) list(texts []string) string {
	if v := t.voice(); !v.English() {
		return v.List(texts)
	}
	return measure.FormatList(texts)
}

// count is a number of batches, burners or people.
func (t *table) count(n float64) string { return t.voice().Figure(measure.FormatNumber(n)) }

// litres is what a vessel holds.
func (t *table) litres(millilitres float64) string {
	q := t.InPot(millilitres)
	return t.count(q.Amount) + " " + q.Unit.Name
}

// clash says what cannot be in one vessel.
func (t *table) clash(x *week.Clash) string {
	v := t.voice()
	if v.English() {
		return x.Text
	}
	name := t.Vessels[x.Vessel].Name
	var called []string
	for _, st := range x.Works {
		called = append(called, t.OfDay(st.Day, t.Graph.Steps[st.Step].Name))
	}
	switch st := x.Works[0]; {
	case x.Overfull:
		if st.Batches > 1+kitchen.Slack {
			called[0] = v.Say("%[1]s (%[2]s)", called[0], v.Say("%[1]s batches at once", t.count(st.Batches)))
		}
		holds := t.Vessels[x.Vessel].Holds
		return v.Say("%[1]s comes to %[2]s at %[3]s, but the %[4]s holds %[5]s: %[6]s too much", called[0], t.litres(st.Peak), t.Moment(x.From), name, t.litres(holds),
			t.litres(st.Peak-holds))
	case x.Needed > 0:
		return v.Say("%[1]s need the %[2]s for %[3]s before %[4]s, but it is free for %[5]s", t.list(called), name, v.Lasts(x.Needed), t.Moment(x.To), v.Lasts(x.Free))
	}
	return v.Say("%[1]s are both in the %[2]s, %[3]s", t.list(called), name, t.Span(x.From, x.To))
}

// lacks says how many of the batches that are written there are, and what of is lacking; "" for nothing that is known.
func (t *table) lacks(day int, step, of string, done, wanted float64) string {
	v := t.voice()
	switch batch := t.OfDay(day, step); {
	case v.English() && of == "":
		return batch + ": " + ask.OfBatches(done, wanted)
	case v.English():
		return fmt.Sprintf("not enough %s for %s: %s", of, batch, ask.OfBatches(done, wanted))
	case of == "":
		return v.Say("%[1]s: %[2]s of %[3]s batches", batch, t.count(done), t.count(wanted))
	default:
		return v.Say("not enough %[1]s for %[2]s: %[3]s of %[4]s batches", of, batch, t.count(done), t.count(wanted))
	}
}

// heads is how many are there: "1 person has", "3 people have".
func (t *table) heads(n int) string {
	if v := t.voice(); n != 1 {
		return v.Say("%[1]s people have", fmt.Sprint(n))
	}
	return t.voice().Say("1 person has")
}

package show

// Words and sentences of the answers, for the board's pages: they say the same as the terminal's.

import (
	"strings"

	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan"
	"kettletree/menu/specials"
	"kettletree/menu/tongue"
)

// Amount is a quantity in its unit, or in a smaller one where it is little: "450 mL".
func Amount(x float64, unit string) string { return amount(x, unit) }

// Count is a whole number with commas: "1,024".
func Count(n int) string { return count(n) }

// Percent is a share of 1: "17.5%".
func Percent(share float64) string { return percent(share) }

// Weekday is a date, as 2006-01-02, in words: "Wed 25 Nov".
func Weekday(date string) string { return weekday(date) }

// Capital begins a text with a capital letter.
func Capital(text string) string { return capital(text) }

// List joins names: "a, b and c".
func List(names []string) string { return list(names) }

// AllergensText is what is stated, and of what nothing is: "WHEAT; UNKNOWN: stock cubes. Read the package".
func AllergensText(s kitchen.Stated) string { return tongue.Voice{}.Stated(s) }

// Chain is a chain of causes in words.
func Chain(links []string) string { return chain(links) }

// WhatIfAnswer is what follows from shocks, in a sentence or two.
func WhatIfAnswer(a *ask.Consequences) string { return whatIfAnswer(a, MoneyOf(a.Money)) }

// Doing is what a row of the timetable says is to be done.
func Doing(r *clock.Row) string { return doing(r) }

// ForWhom is who rests on a row of the timetable.
func ForWhom(r *clock.Row) string { return forWhom(r) }

// HowMuch is what goes in and comes out by a row of the timetable.
func HowMuch(r *clock.Row) string { return howMuch(r) }

// Overdue names a batch that is overdue, and says what counts as planned of it.
func Overdue(o clock.Overdue) (name, counts string) { return named(&o), countsOf(&o) }

// ClockOf is the clock time of a moment such as 2026-11-24T22:30.
func ClockOf(at string) string { return clockOf(at) }

// Servings are portions by day and service: "24 on Fri 27 Nov at lunch and 12 at dinner".
func Servings(all []specials.Serving) string { return servings(all) }

// WhenOf is a moment such as 2026-11-25T02:30 with its day: "Wed 25 Nov 02:30".
func WhenOf(at string) string { return whenOf(at) }

// PlanAnswer is what a plan earns, in a sentence or two.
func PlanAnswer(a *plan.Answer) string { return planAnswer(a, MoneyOf(a.Money)) }

// SpecialsAnswer is what is over and what to offer first, in a sentence or two.
func SpecialsAnswer(a *specials.Offers) string { return specialsAnswer(a, MoneyOf(a.Money)) }

// ClockAnswer is what a timetable says, in a sentence or two.
func ClockAnswer(a *clock.Timetable) string { return clockAnswer(a) }

// UnitPrice is a price as it stands on a label: with more decimals than the currency has only where there are more.
func UnitPrice(m Money, price float64) string { return unitPrice(m, price) }

// Figure is a number of a derivation with its unit: "0.9017 USD"; "" for a line that has none.
func (m Money) Figure(x float64, unit string) string {
	number, in := m.figure(x, unit)
	return strings.TrimSpace(number + " " + in)
}

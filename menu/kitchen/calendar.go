package kitchen

// The calendar: which services a day has and when, whether anybody works on it, and what it sells.

import (
	"math"
	"slices"
	"time"

	"kettletree/graph/measure"
)

// Service is a meal period of the house.
type Service struct {
	Name  string
	Hours [7]Hours // by weekday, whether or not the house is open on it; none on a day without the service
}

// Hours are from and to, in minutes after midnight; To may pass 24:00. The zero value is none.
type Hours struct{ From, To int }

// None tells whether there are no hours.
func (h Hours) None() bool { return h == Hours{} }

func (h Hours) String() string { return measure.FormatClock(h.From) + "-" + measure.FormatClock(h.To) }

// Meal is a service as it is on one day.
type Meal struct {
	Service int // of Kitchen.Services
	Hours
	Factor float64 // of the forecast that the weekday has; 1 on a usual day
}

// Date is a day that differs from the standing week.
type Date struct {
	Day   time.Time // at midnight, UTC
	Meals []Meal    // by start
	Works bool      // whether anybody works
	Pos   Pos

	differs []int // the services that the file names
}

// calendar is what a kitchen knows of its days beside what [Kitchen] shows.
type calendar struct {
	standing [7][]Meal // by weekday and start: those of the standing week
	usual    [7][]Meal // the same, as if the house were open every day
}

// lay fills the calendar's standing week in, when the services and the open days are read.
func (k *Kitchen) lay() {
	for d := range 7 {
		k.calendar.usual[d], k.calendar.standing[d] = nil, nil
		for n, s := range k.Services {
			if h := s.Hours[d]; !h.None() {
				k.calendar.usual[d] = append(k.calendar.usual[d], Meal{n, h, 1})
			}
		}
		sortMeals(k.calendar.usual[d])
		if k.Open[d] {
			k.calendar.standing[d] = k.calendar.usual[d]
		}
	}
}

func sortMeals(meals []Meal) {
	slices.SortStableFunc(meals, func(a, b Meal) int { return a.From - b.From })
}

// DateOn is what the file says of a day alone; nil where it says nothing. Days are midnights, in UTC.
func (k *Kitchen) DateOn(day time.Time) *Date {
	at, found := slices.BinarySearchFunc(k.Dates, day, func(d Date, day time.Time) int { return d.Day.Compare(day) })
	if !found {
		return nil
	}
	return &k.Dates[at]
}

// Usual is the kitchen as if no day differed from the standing week.
func (k *Kitchen) Usual() *Kitchen {
	if len(k.Dates) == 0 {
		return k
	}
	usual := *k
	usual.Dates = nil
	return &usual
}

// MealsOn are the services of a day, by start; none when the house is closed. The caller must not change them.
func (k *Kitchen) MealsOn(day time.Time) []Meal {
	if d := k.DateOn(day); d != nil {
		return d.Meals
	}
	return k.calendar.standing[day.Weekday()]
}

// Standing are the services of a weekday in the standing week, by start. The caller must not change them.
func (k *Kitchen) Standing(weekday int) []Meal { return k.calendar.standing[weekday] }

// MealOn is a service on a day; ok is false when the day does not have it.
func (k *Kitchen) MealOn(day time.Time, service int) (m Meal, ok bool) {
	for _, m := range k.MealsOn(day) {
		if m.Service == service {
			return m, true
		}
	}
	return Meal{}, false
}

// WorksOn tells whether anybody works on a day: batches begin and deliveries are taken in on no other.
func (k *Kitchen) WorksOn(day time.Time) bool {
	if d := k.DateOn(day); d != nil {
		return d.Works
	}
	return k.Works[day.Weekday()]
}

// BatchesOn is how many batches of a step the standing week has on a day.
func (k *Kitchen) BatchesOn(step int, day time.Time) float64 {
	if !k.WorksOn(day) {
		return 0
	}
	return k.Steps[step].Batches[day.Weekday()]
}

// SellsOn is what the file forecasts of a dish at a service of a day, in whole portions, and how far that strays; 0 where the
// day does not have the service, or no forecast is written.
func (k *Kitchen) SellsOn(dish int, day time.Time, service int) (portions, spread float64) {
	m, ok := k.MealOn(day, service)
	d, weekday := &k.Dishes[dish], day.Weekday()
	if !ok || service >= len(d.Sells[weekday]) {
		return 0, 0
	}
	return math.Round(m.Factor * float64(d.Sells[weekday][service])), m.Factor * d.Spread[weekday][service]
}

// Differs tells whether a service of a day is not as the standing week has it: it has other hours, another forecast, or
// is closed or opened for once.
func (k *Kitchen) Differs(day time.Time, service int) bool {
	d := k.DateOn(day)
	return d != nil && slices.Contains(d.differs, service)
}

// DayAt is the kitchen's day at a moment, at midnight: a day goes on past midnight until its last service has ended. Batches and
// deliveries go by the date all the same.
func (k *Kitchen) DayAt(at time.Time) time.Time {
	day := midnight(at)
	before := day.AddDate(0, 0, -1)
	for _, m := range k.MealsOn(before) {
		if before.Add(time.Duration(m.To) * time.Minute).After(at) {
			return before
		}
	}
	return day
}

// DayBegins is the moment from which on a day is the kitchen's: its midnight, or when the last service of the day before ends.
func (k *Kitchen) DayBegins(day time.Time) time.Time {
	begins, before := day, day.AddDate(0, 0, -1)
	for _, m := range k.MealsOn(before) {
		if ends := before.Add(time.Duration(m.To) * time.Minute); ends.After(begins) {
			begins = ends
		}
	}
	return begins
}

// Daybreak is the hour before which what was sold or counted may still belong to the night before.
const Daybreak = 5

// ServedAt is the service at which something was sold at a moment, and the day of it: the one that is named; else the one
// that began last. A moment at midnight is a date alone, which tells no service where there are several. Where a service of the
// day before goes on past midnight, and none has begun since, it is that one, until daybreak or its end. On a day without
// services they are those that its weekday would have.
func (k *Kitchen) ServedAt(at time.Time, name string) (day time.Time, service int, ok bool) {
	day = midnight(at)
	minute := int(at.Sub(day).Minutes())
	if minute == 0 && (name != "" || len(k.Services) > 1) { // a date alone
		service = slices.IndexFunc(k.Services, func(s Service) bool { return s.Name == name })
		return day, service, service >= 0
	}
	meant := func(m Meal) bool { return name == "" || k.Services[m.Service].Name == name }
	for _, m := range slices.Backward(k.servedOn(day)) {
		if m.From <= minute && meant(m) {
			return day, m.Service, true
		}
	}
	before := day.AddDate(0, 0, -1)
	for _, m := range slices.Backward(k.servedOn(before)) {
		if late := minute + 24*60; m.To > 24*60 && m.From <= late && late <= max(m.To, (24+Daybreak)*60) && meant(m) {
			return before, m.Service, true
		}
	}
	if name != "" {
		day = k.DayAt(at)
	}
	for n, s := range k.Services {
		if s.Name == name || name == "" && len(k.Services) == 1 {
			return day, n, true
		}
	}
	return day, -1, false
}

// servedOn are the services of a day, or, where it has none, those that its weekday would have.
func (k *Kitchen) servedOn(day time.Time) []Meal {
	if meals := k.MealsOn(day); len(meals) > 0 {
		return meals
	}
	return k.calendar.usual[day.Weekday()]
}

// ServiceNow is the service that goes on at a moment or ended last on its day; before the first of the day, that one.
func (k *Kitchen) ServiceNow(at time.Time) (service int) {
	if _, service, ok := k.ServedAt(at, ""); ok {
		return service
	}
	if meals := k.servedOn(k.DayAt(at)); len(meals) > 0 {
		return meals[0].Service
	}
	return 0
}

// HoursOn are the hours of a service on a day; where the day does not have it, those of the nearest weekday that has.
func (k *Kitchen) HoursOn(day time.Time, service int) Hours {
	if m, ok := k.MealOn(day, service); ok {
		return m.Hours
	}
	for ahead := range 7 {
		if h := k.Services[service].Hours[(int(day.Weekday())+ahead)%7]; !h.None() {
			return h
		}
	}
	return onlyHours
}

package logbook

// What the code of the kitchen has beside a temperature that was read.

import (
	"math"

	"kettletree/menu/kitchen"
)

// States of a limit, beside a reading.
const (
	LimitMet    = "met"
	LimitBroken = "broken"
)

// Beside is the limit of a code beside a reading. It is empty where the code names none, and for an item as it lies or cools: limits
// on cooling go by time, see [Book.CoolingLogs].
type Beside struct {
	Limit   string // "41 °F (5 °C) or colder", the scale of the reading first
	Section string // "US FDA Food Code 2022, 3-501.16(A)"
	State   string // [LimitMet] or [LimitBroken]
}

// read is the temperature as it was typed, with the other scale beside it where a limit is.
func (e *Entry) read(b Beside) string {
	if b.Limit == "" {
		return e.degrees().String()
	}
	return e.degrees().Beside()
}

// sameDegree guards comparisons against what turning scales rounds.
const sameDegree = 1e-9

// Beside finds the limit beside a temperature. A reading in the other scale is held against the limit as codes print it there, in
// whole degrees: 57 °C beside 135 °F. It says what was recorded and which limit that meets, not that food is safe.
func (e *Entry) Beside(code *kitchen.Code) Beside {
	if e.Kind != Temperature {
		return Beside{}
	}
	d := e.degrees()
	at := func(hold *kitchen.Hold, hot bool) Beside {
		if hold == nil {
			return Beside{}
		}
		limit := kitchen.Degrees{Value: hold.At, Scale: code.Scale}
		text := limit.Beside()
		if code.Scale == "F" { // as the code prints it, in whole °C
			text = limit.String() + " (" + kitchen.Degrees{Value: math.Round(limit.In("C")), Scale: "C"}.String() + ")"
		}
		if d.Scale != code.Scale {
			of := limit.String()
			limit = kitchen.Degrees{Value: math.Round(limit.In(d.Scale)), Scale: d.Scale}
			text = limit.String() + " (" + of + ")"
		}
		b := Beside{Limit: text + " or colder", Section: code.Cite(hold.Section), State: LimitMet}
		over := d.Value - limit.Value
		if hot {
			b.Limit, over = text+" or hotter", -over
		}
		if hold.Above {
			b.Limit = "above " + text
		}
		if over > sameDegree || hold.Above && over > -sameDegree {
			b.State = LimitBroken
		}
		return b
	}
	switch e.Reading {
	case HotHolding:
		return at(code.Hot, true)
	case ColdHolding:
		return at(code.Cold, false)
	case Reheating:
		return at(code.Reheat, true)
	case OfDelivery:
		if hot := at(code.ComesHot, true); hot.State == LimitMet { // cooked food that comes in hot
			return hot
		}
		return at(code.Receive, false)
	case OfPlace:
		switch places := placeKind(e.Of); {
		case len(places) > 0 && places[0] == hotPlaces[0]:
			return at(code.Hot, true)
		case len(places) > 0 && places[0] == coldPlaces[0]:
			return at(code.Cold, false)
		}
	}
	return Beside{}
}

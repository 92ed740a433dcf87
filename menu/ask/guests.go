package ask

// Guests behind a figure: whom another dish takes, and who finds no seat.

// asking derives how many portions of a dish are asked for at a service.
func (y *deriving) asking(a *Derivation, dish, slot int, asked float64) {
	s := y.p.Case.Schedule
	forecast := s.Wants[dish].Forecast[slot]
	a.line(0, asked, "portion", "forecast")
	if forecast == asked {
		return
	}
	a.line(1, forecast, "portion", "as the file, or what was changed, has it")
	if taken := min(forecast, s.Taken(dish, slot)); taken > 0 {
		a.line(1, -taken, "portion", "ordered something else that is in place of it")
		forecast -= taken
	}
	if forecast > asked {
		a.line(1, asked-forecast, "portion", "found no seat")
	}
}

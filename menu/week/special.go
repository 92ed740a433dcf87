package week

// Specials: what one is expected to sell where it is offered, and when it rests.

import (
	"math"
	"slices"
	"time"
)

// Seen is what is known of a special from the days that went by.
type Seen struct {
	Offered, Sold int         // portions at services that are over: those on the board, and of them those that were sold
	On            []time.Time // days near the week's, and not of it, on which it is or was on the board
}

// Basis says what an expectation goes by.
type Basis string

const (
	ByFile  Basis = "sells"   // the file says what it sells
	BySeen  Basis = "seen"    // its "at most", times the share of what was offered that sold, by the log book
	Assumed Basis = "assumed" // its "at most", times [AssumedShare]
)

// AssumedShare is which share of its "at most" a special is taken to sell where nobody has seen what it sells: a choice of this program,
// no source.
const AssumedShare = 0.5

// Expectation is what a special is expected to sell at one service.
type Expectation struct {
	Portions int // 0 where it is not worth offering: fewer than its "at least", or the file says that it sells none
	By       Basis
	Share    float64 // of its "at most"; 0 by the file
}

// Expected is what a special is expected to sell at a service, where it is offered.
func (w *Week) Expected(dish, slot int) (e Expectation) {
	d, sit := &w.Dishes[dish], w.Sittings[slot]
	if sit.Service < 0 {
		return e
	}
	if typed := slices.ContainsFunc(d.Sells[:], func(of []int) bool { return slices.ContainsFunc(of, func(n int) bool { return n > 0 }) }); typed {
		sells, _ := w.SellsOn(dish, w.Date(sit.Day), sit.Service)
		e = Expectation{Portions: int(sells), By: ByFile}
		if d.AtMost > 0 {
			e.Portions = min(e.Portions, d.AtMost)
		}
	} else {
		if e.By, e.Share = Assumed, AssumedShare; w.Specials != nil && w.Specials[dish].Offered > 0 {
			e.By, e.Share = BySeen, float64(w.Specials[dish].Sold)/float64(w.Specials[dish].Offered)
		}
		e.Portions = int(math.Round(float64(d.AtMost) * e.Share))
	}
	if e.Portions < max(1, d.AtLeast) {
		e.Portions = 0
	}
	return e
}

// WorthOffering tells whether a special is worth its line on the board at a service: it brings the price of a portion, at least.
func (w *Week) WorthOffering(dish int, brings float64) bool {
	return brings > 0 && brings >= w.Dishes[dish].Price
}

// Rests tells whether a special has to rest on a day: it is or was on the board on the day before or after, which is of another week.
func (w *Week) Rests(dish, day int) bool {
	if w.Specials == nil {
		return false
	}
	for _, on := range w.Specials[dish].On {
		if apart := int(on.Sub(w.From).Hours())/24 - day; -1 <= apart && apart <= 1 {
			return true
		}
	}
	return false
}

package taste

// What puts a batch right now, by mass balance: what is dissolved stays when water is added or goes off as steam.

import "math"

// Thin is how much water thins so much of what reads "reads" to "aim", in the unit of the amount: what is dissolved stays, so
// amount * reads = (amount + water) * aim. It is 0 where it is thin enough.
func Thin(amount, reads, aim float64) float64 { return max(0, amount*(reads/aim-1)) }

// Reduce is how much must go off as steam: amount * reads = (amount - steam) * aim. It is 0 where it is strong enough.
func Reduce(amount, reads, aim float64) float64 { return max(0, amount*(1-reads/aim)) }

// Add is how much of what is dissolved itself brings it up, reading as parts of the whole (0.01 for 1 %): amount * reads + x =
// (amount + x) * aim, all by weight.
func Add(amount, reads, aim float64) float64 { return max(0, amount*(aim-reads)/(1-aim)) }

// kitchenRound rounds an amount down to what a cook measures: half a litre or kilo below ten, whole ones above; too little can be put right
// again, too much can't.
func kitchenRound(amount float64) float64 {
	switch {
	case amount < 1:
		return math.Floor(amount*20) / 20
	case amount < 10:
		return math.Floor(amount*2) / 2
	}
	return math.Floor(amount)
}

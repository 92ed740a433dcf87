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

// Blended tells which shares of a first batch, from a least to a most, bring all that was measured within its aim when a second makes up
// the rest; ok is false where none does. Each measure bounds the share by low <= x first + (1-x) second <= high: a linear program of one
// unknown, so its corners are all there is.
func Blended(first, second, low, high []float64) (least, most float64, ok bool) {
	least, most = 0, 1
	const hair = 1e-12
	for i := range first {
		slope, at0 := first[i]-second[i], second[i]
		if math.Abs(slope) < hair {
			if at0 < low[i]-hair || at0 > high[i]+hair {
				return 0, 0, false
			}
			continue
		}
		from, to := (low[i]-at0)/slope, (high[i]-at0)/slope
		least, most = max(least, min(from, to)), min(most, max(from, to))
	}
	return least, most, least <= most
}

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

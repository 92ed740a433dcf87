package taste

// What puts the last batch right.

import (
	"context"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Righting is what puts a measure right.
type Righting struct {
	Measure string   `json:"measure"`
	Reads   float64  `json:"reads"`
	Unit    string   `json:"unit"`
	Aim     float64  `json:"aim"`    // that is worked to: the middle of the aim
	Of      string   `json:"of"`     // the item
	Amount  float64  `json:"amount"` // of it
	In      string   `json:"in"`     // "L", or "gal" or "qt" where the kitchen file writes it so
	Weighed bool     `json:"weighed"`
	Do      string   `json:"do"`       // "water", "steam" or "salt"
	Much    float64  `json:"much"`     // of water and steam as Amount
	MuchIn  string   `json:"much_in"`  // the unit of Much: In, or of salt "g", "kg", "oz" or "lb"
	Minutes *float64 `json:"minutes"`  // of steam; null where nothing says how fast it goes off
	Rate    *float64 `json:"rate"`     // of steam: how much goes off in an hour, as Amount
	Dips    int      `json:"dips"`     // between how many pairs of depths the rate was read; 0 where it is by the card
	Pot     string   `json:"pot"`      // the vessel that it has to fit into; "" where the file names none
	Holds   float64  `json:"holds"`    // what that holds, as Amount; of more than it holds, in so many of them
	TakeOut float64  `json:"take_out"` // of Amount, to be taken out first, for with the water it would not fit
	Then    float64  `json:"then"`     // how much there is afterwards in the pot
	ComesTo float64  `json:"comes_to"` // what it reads afterwards
	Held    string   `json:"held"`     // the measure that more water or steam would take out of its aim; "" where none holds it back
	Long    *Long    `json:"long"`     // of steam that takes hours: what there is to do instead; else null
	Use     []Use    `json:"use"`      // of what is too salt: what can be made of it as it is
}

// Long is what there is to do about a pot that would boil for hours.
type Long struct {
	Least        float64  `json:"least"`         // how much has to go off to come to the nearer end of the aim, as Amount
	LeastMinutes float64  `json:"least_minutes"` // how long that takes
	Pots         []string `json:"pots"`          // all pots of known width together, that of the step first; empty where there is no other
	PotsMinutes  float64  `json:"pots_minutes"`  // how long Much takes in all of them
	Into         string   `json:"into"`          // the step that can take it as it is; "" where there is none
	InsteadOf    string   `json:"instead_of"`    // in place of this
	UpTo         float64  `json:"up_to"`         // so much of it, as Amount
}

// longBoil is how many minutes a cook boils something down without being asked whether it is worth it. Common practice, no source.
const longBoil = 3 * 60

// longer says what there is to do about a pot that would boil for hours: less of it, more pots (steam goes off by the width of what is open: common practice, no
// source), or the next batch begun with it in place of water.
func (r *Righting) longer(k *kitchen.Kitchen, step int, jug measure.Unit, off wanted) {
	if r.Minutes == nil || *r.Minutes < longBoil {
		return
	}
	l := &Long{Pots: []string{}, Least: jugWithin(jug, off.low, off.low, off.high)}
	l.LeastMinutes = *r.Minutes * l.Least / r.Much
	if own := k.Steps[step].Vessel; own >= 0 && k.Vessels[own].Diameter > 0 {
		l.Pots = append(l.Pots, k.Vessels[own].Name)
		open := 1.0
		for v := range k.Vessels {
			if wide := k.Vessels[v].Diameter / k.Vessels[own].Diameter; v != own && wide > 0 {
				l.Pots, open = append(l.Pots, k.Vessels[v].Name), open+wide*wide
			}
		}
		if l.PotsMinutes = *r.Minutes / open; len(l.Pots) == 1 {
			l.Pots = []string{}
		}
	}
	if filler, _ := fillerOf(k, step, -1); filler >= 0 {
		c := k.Graph.Steps[step].Takes[filler].Choices[0]
		l.Into, l.InsteadOf, l.UpTo = k.Graph.Steps[step].Name, k.Graph.Items[c.Item].Name, jugRound(jug, c.Amount/jug.Factor)
	}
	r.Long = l
}

// said is the amount as it is said: to a tenth.
func (r *Righting) said() float64 { return math.Round(r.Amount*10) / 10 }

// InPot is how much of it is put right: all but what is taken out first.
func (r *Righting) InPot() float64 { return r.Amount - r.TakeOut }

// between are the least that must be added or go off, and the most that may, by the amount that there is and by that which is said: whoever
// works it out from what is said comes to within the limits as well.
func (r *Righting) between(least, most func(amount float64) float64) wanted {
	is, said := r.InPot(), r.said()-r.TakeOut
	return wanted{max(least(is), least(said)), min(most(is), most(said))}
}

// fits takes out so much first that what is left fits the pot with the water that it takes; water says how much that is. What is more than the pot
// holds from the first lies in several of them.
func (r *Righting) fits(k *kitchen.Kitchen, step int, jug measure.Unit, water func()) {
	water()
	if r.Holds = roomFor(k, step, jug, r.said()); math.IsInf(r.Holds, 1) {
		r.Holds = 0
		return
	}
	r.Pot = k.Vessels[k.Steps[step].Vessel].Name
	for r.said()-r.TakeOut+r.Much > r.Holds+1e-9 {
		over := r.said() - r.TakeOut + r.Much - r.Holds
		out := over * (r.said() - r.TakeOut) / (r.said() - r.TakeOut + r.Much) // and the water that this takes stays out as well
		step := jugStep(jug, r.TakeOut+out)
		r.TakeOut = max(r.TakeOut+jugStep(jug, 0), math.Ceil((r.TakeOut+out)/step-1e-9)*step)
		water()
	}
}

// reading is a measure of what is dissolved, as it reads now.
type reading struct {
	*kitchen.Measure
	reads, salt float64 // salt: which share of the weight one of its unit is; 0 for sugar
}

func (r reading) aims() float64 { return (r.Aim.Low + r.Aim.High) / 2 }

// righted is what puts the last batch right: of each measure of what is dissolved that is outside its aim. What one takes goes for all:
// water and steam go only as far as every other measure that is within its aim stays there, and salt is added to what there is then.
func righted(k *kitchen.Kitchen, of Subject, measures []kitchen.Measure, last *logbook.Tasting, falls []logbook.Fall) []Righting {
	list := []Righting{}
	item, amount, weighed := liquid(k, of, last)
	it := &k.Graph.Items[max(item, 0)]
	if amount <= 0 || it.Unit.Kind != measure.Volume { // nobody thins what is no liquid
		return list
	}
	jug := jugOf(k, of.Step, item)
	var all []reading
	for i := range measures {
		m := &measures[i]
		for _, t := range last.Tastes {
			if (m.Salt() > 0 || m.Sugar()) && m.Aim != nil && t.Name == m.Name && t.Value != nil {
				all = append(all, reading{m, *t.Value, m.Salt()})
			}
		}
	}
	begin := func(r reading) Righting {
		return Righting{Measure: r.Name, Reads: r.reads, Unit: r.Unit, Aim: r.aims(), ComesTo: r.aims(), Of: it.Name, Amount: amount / jug.Factor,
			In: jug.Name, MuchIn: jug.Name, Weighed: weighed, Use: []Use{}}
	}

	// Water and steam, each as far as the others let it go.
	now, out := amount/jug.Factor, 0.0
	then := now
	for _, m := range all {
		r := begin(m)
		switch {
		case m.reads > m.Aim.High:
			r.Do = "water"
			r.fits(k, of.Step, jug, func() {
				r.Much, r.Held = Thin(r.InPot(), m.reads, r.Aim), ""
				for _, other := range all {
					if most := Thin(r.InPot(), other.reads, other.Aim.Low); other.salt == 0 && other.reads >= other.Aim.Low && other.reads <= other.Aim.High && most < r.Much {
						r.Much, r.Held = most, other.Name // of salt some can be added
					}
				}
				add := r.between(func(amount float64) float64 { return Thin(amount, m.reads, m.Aim.High) }, func(amount float64) float64 {
					most := Thin(amount, m.reads, m.Aim.Low)
					for _, other := range all {
						if other.salt == 0 && other.reads >= other.Aim.Low && other.reads <= other.Aim.High {
							most = min(most, Thin(amount, other.reads, other.Aim.Low))
						}
					}
					return most
				})
				r.Much = jugWithin(jug, min(r.Much, add.high), add.low, add.high)
			})
			r.Then = r.InPot() + r.Much
			if m.salt > 0 {
				r.Use = uses(k, item, m.salt*(m.reads-r.Aim))
			}
		case m.reads < m.Aim.Low && m.Sugar() && m.reads > 0: // a refractometer that reads too little wants less water
			r.Do, r.Much = "steam", Reduce(r.Amount, m.reads, r.Aim)
			for _, other := range all {
				if most := Reduce(r.Amount, other.reads, other.Aim.High); other.reads <= other.Aim.High && other.Name != m.Name && most < r.Much {
					r.Much, r.Held = most, other.Name
				}
			}
			off := r.between(func(amount float64) float64 { return Reduce(amount, m.reads, m.Aim.Low) }, func(amount float64) float64 {
				most := Reduce(amount, m.reads, m.Aim.High)
				for _, other := range all {
					if other.reads <= other.Aim.High {
						most = min(most, Reduce(amount, other.reads, other.Aim.High))
					}
				}
				return most
			})
			r.Much = jugWithin(jug, min(r.Much, off.high), off.low, off.high)
			r.Then = r.Amount - r.Much
			r.steam(k, of.Step, jug, falls)
			r.longer(k, of.Step, jug, off)
		default:
			continue
		}
		if r.Much > 0 || r.Held != "" {
			r.ComesTo = m.reads * r.InPot() / r.Then
		}
		if r.Much > 0 || r.Held != "" {
			list = append(list, r)
			if math.Abs(r.Then/r.InPot()-1) > math.Abs(then/now-1) { // what one takes is part of what another takes
				then, now, out = r.Then, r.InPot(), r.TakeOut
			}
		}
	}
	if slices.ContainsFunc(list, func(r Righting) bool { return r.Do != list[0].Do }) {
		now, out = amount/jug.Factor, 0 // neither is done
		then = now
	}

	// Salt, into what there is then: a millilitre of thin stock is a gram.
	for _, m := range all {
		reads := m.reads * now / then
		if m.salt == 0 || reads >= m.Aim.Low || m.salt*m.aims() >= 1 {
			continue
		}
		r := begin(m)
		r.Do, r.Then, r.TakeOut = "salt", then, out
		to := func(aim float64) float64 { return Add(then*jug.Factor, m.salt*reads, m.salt*aim) }
		if r.Much, r.MuchIn = scaleWithin(jug, to(r.Aim), to(m.Aim.Low), to(m.Aim.High)); r.Much > 0 {
			u, _ := measure.UnitNamed(r.MuchIn) // one that there is
			grams := r.Much * u.Factor
			r.ComesTo = (m.salt*reads*then*jug.Factor + grams) / (then*jug.Factor + grams) / m.salt
			list = append(list, r)
		}
	}
	return list
}

// roomFor is how much of a step's liquid has room where so much of it lies: in its pot, or in several of them; infinite where the file says of none.
func roomFor(k *kitchen.Kitchen, step int, jug measure.Unit, lies float64) float64 {
	if step < 0 || k.Steps[step].Vessel < 0 || k.Vessels[k.Steps[step].Vessel].Holds <= 0 {
		return math.Inf(1)
	}
	holds := k.Vessels[k.Steps[step].Vessel].Holds / jug.Factor
	return holds * max(1, math.Ceil(lies/holds-1e-9))
}

// together is what is done at once where several measures are to be put right: the most water or steam, of which what the others take is a part, then
// salt; none where one thing is all, or where water and steam shut each other out.
func together(list []Righting) []Righting {
	does := []Righting{}
	wet, acts := -1, 0
	for n, r := range list {
		switch {
		case r.Much == 0:
			continue
		case r.Do != "salt" && wet >= 0 && list[wet].Do != r.Do:
			return []Righting{}
		case r.Do != "salt" && (wet < 0 || math.Abs(r.Then/r.InPot()-1) > math.Abs(list[wet].Then/list[wet].InPot()-1)):
			wet = n
		}
		acts++
	}
	if acts < 2 {
		return does
	}
	for n, r := range list {
		if r.Much > 0 && (n == wet || r.Do == "salt") {
			does = append(does, r)
		}
	}
	return does
}

// left is a batch with what is left of what was weighed of it; nil where nothing is, or where that is past its date: then there is nothing to
// put right.
func left(ctx context.Context, k *kitchen.Kitchen, book *logbook.Book, of Subject, last logbook.Tasting, asOf time.Time) (*logbook.Tasting, error) {
	if of.Step < 0 {
		return &last, nil
	}
	item := liquidOf(k, of.Step).Item
	gave, weighed := last.Gave[item]
	if !weighed {
		return &last, nil
	}
	rests, err := book.Rests(ctx, k, of.Step, item, asOf)
	if err != nil {
		return nil, err
	}
	for _, r := range rests {
		if r.Begins.Equal(last.Begins) {
			last.Gave = map[int]float64{item: min(gave, r.Amount)}
			return &last, nil
		}
	}
	return nil, nil
}

// liquid is what is put right: of a step the first liquid that it gives, else what it gives first, and how much there was, in base units.
func liquid(k *kitchen.Kitchen, of Subject, last *logbook.Tasting) (item int, amount float64, weighed bool) {
	if of.Step < 0 {
		return of.Item, 0, false
	}
	out := liquidOf(k, of.Step)
	if gave, ok := last.Gave[out.Item]; ok {
		return out.Item, gave, true
	}
	return out.Item, out.Amount * last.Batches, false
}

// liquidOf is the first liquid that a step gives, for that is what is measured; else what it gives first.
func liquidOf(k *kitchen.Kitchen, step int) graph.Output {
	for _, o := range k.Graph.Steps[step].Gives {
		if k.Graph.Items[o.Item].Unit.Kind == measure.Volume {
			return o
		}
	}
	return k.Graph.Steps[step].Gives[0]
}

// Strained is what is measured of a step, when it comes out.
func Strained(k *kitchen.Kitchen, step int) string { return k.Graph.Items[liquidOf(k, step).Item].Name }

// steam says how long it takes to boil down: by how fast the step's pot fell between its dips, else by the card.
func (r *Righting) steam(k *kitchen.Kitchen, step int, jug measure.Unit, falls []logbook.Fall) {
	if step < 0 {
		return
	}
	rate, pairs := steamOf(falls, k.Steps[step].Vessel)
	if pairs == 0 {
		rate = k.Graph.Steps[step].BoilsOff / 1000
	}
	if rate <= 0 {
		return
	}
	r.Dips = pairs
	r.Rate, r.Minutes = new(1000*rate/jug.Factor), new(60*r.Much*jug.Factor/1000/rate)
}

// steamOf is how many litres an hour go off from a vessel, by all that it fell in all the hours between its dips; pairs is 0 where there
// are none.
func steamOf(falls []logbook.Fall, vessel int) (rate float64, pairs int) {
	litres, hours := 0.0, 0.0
	for _, f := range falls {
		if f.Vessel == vessel {
			litres, hours, pairs = litres+f.Litres, hours+f.Hours, pairs+1
		}
	}
	if pairs == 0 {
		return 0, 0
	}
	return litres / hours, pairs
}

// Use is something that can be made of what is too salt, as it is.
type Use struct {
	For      string  `json:"for"`  // the step or dish
	Salt     string  `json:"salt"` // the item that it takes
	LeaveOut float64 `json:"leave_out"`
	Of       float64 `json:"of"` // what the card says
	In       string  `json:"in"` // unit of both
}

// mostUses is how many are named.
const mostUses = 3

// uses are the steps and dishes that take the liquid and, beside it, at least as much salt as it has too much: over is how much that is, as a
// share of its weight.
func uses(k *kitchen.Kitchen, item int, over float64) []Use {
	list := []Use{}
	for s := range k.Graph.Steps {
		st := &k.Graph.Steps[s]
		takes, salt := 0.0, graph.Choice{Item: -1}
		for _, l := range st.Takes {
			c := l.Choices[0]
			if it := &k.Graph.Items[c.Item]; c.Item == item {
				takes += c.Amount
			} else if kitchen.IsSalt(it.Name) && it.Unit.Kind == measure.Weight {
				salt = c
			}
		}
		leave := over * takes // grams, of millilitres
		if takes == 0 || salt.Item < 0 || salt.Amount < leave || len(list) == mostUses {
			continue
		}
		card := k.QuantityOn(s, salt.Item, salt.Amount)
		list = append(list, Use{st.Name, k.Graph.Items[salt.Item].Name, k.QuantityOn(s, salt.Item, leave).OnScale().Amount, card.Amount, card.Unit.Name})
	}
	return list
}

package kitchen

// Whether what was read can be: yields, vessels, shares, loops, and what stands loose.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// Slack is the relative error that sums of converted amounts may carry without being told as a fault.
const Slack = 1e-9

// checkTwice refuses an item that fills two lines of a step when one of the two has a substitute: which line is served
// first could not be told. Two plain lines of an item are two stages of the work.
func (r *reader) checkTwice(rec *recipe, st graph.Step) {
	first := map[int]int{} // line by item
	for l, line := range st.Takes {
		for c, choice := range line.Choices {
			before, seen := first[choice.Item]
			if !seen {
				first[choice.Item] = l
				continue
			}
			if len(line.Choices) == 1 && len(st.Takes[before].Choices) == 1 {
				continue
			}
			ration := rec.uses[l].choices[c]
			r.fault(r.part(rec.uses[l].node, ration.at, ration.length), "used-twice",
				"remove it from one of the two lines", "%q takes %q twice, once with a substitute", rec.name, ration.item).
				note(r.span(rec.uses[before].node).Pos, "also taken here")
		}
	}
	if st.Mode == graph.AllOf && (len(st.Takes[0].Choices) > 1 || st.Takes[0].Optional || st.Takes[0].Without > 0) {
		r.fault(r.span(rec.uses[0].node), "all-of-what", `put a line without "or", "optional", "to taste" and "give or take" first`,
			"%q takes all of its first line, so that must be one item", rec.name)
	}
	if first := st.Takes[0].Choices; st.Mode == graph.AllOf && len(first) == 1 && r.items[first[0].Item].Role == graph.Bought {
		r.warn(r.span(rec.uses[0].node), "all-of-bought", `give it set days or "to order", or put an item first that a step gives`,
			"%q takes all there is of %q, but nothing is bought for that", rec.name, r.items[first[0].Item].Name)
	}
	made := "made to order"
	if st.AsNeeded() {
		made = "made as needed"
	}
	for l, line := range st.Takes {
		if line.Carried && st.Mode == graph.ToOrder {
			r.fault(r.span(rec.uses[l].node), "carried-to-order", "give the step set days, or remove the note",
				"%q is %s, so it can't take anything from yesterday", rec.name, made)
		}
		if line.Without > 0 && !line.Optional && st.Mode == graph.ToOrder {
			r.fault(r.span(rec.uses[l].node), "part-to-order", `write "to taste", or give the step set days: then it has a batch that goes on with less`,
				"%q is %s, for the portions that are asked for, so it can't give or take a part of anything", rec.name, made)
		}
	}
}

// checkYield refuses a step that gives more weight than it takes. It judges only when the weight of all that goes in is
// known.
func (r *reader) checkYield(rec *recipe, st graph.Step) {
	in, out := 0.0, 0.0
	if rec.unsaid() {
		return
	}
	for _, line := range st.Takes {
		heaviest := 0.0
		for _, c := range line.Choices {
			grams, ok := r.items[c.Item].Grams(c.Amount)
			if !ok || r.guessedDensity(c.Item) {
				return
			}
			heaviest = max(heaviest, grams)
		}
		in += heaviest
	}
	for _, o := range st.Gives {
		if grams, ok := r.items[o.Item].Grams(o.Amount); ok && !r.guessedDensity(o.Item) {
			out += grams
		}
	}
	if out > in*(1+Slack) {
		r.fault(r.span(rec.key), "yield", "add what is missing from \"takes\" (water too), or give less",
			"%q gives %s out of %s: %s too much, a yield of %s", rec.name, kilos(out), kilos(in), kilos(out-in),
			FormatPercent(out/in))
	}
}

func kilos(grams float64) string { return measure.FormatNumber(grams/1000) + " kg" }

// checkVessel refuses a batch that does not fit in its vessel at some time. A volume is counted as it is, all else by
// its weight, at the item's density or at 1 kg/L; what has no known weight is left out.
func (r *reader) checkVessel(rec *recipe, st graph.Step, v int) {
	if v < 0 || r.k.Vessels[v].Holds == 0 {
		return
	}
	vessel := r.k.Vessels[v]
	fullest, when := Fullest(loads(r.items, st))
	if fullest <= vessel.Holds*(1+Slack) {
		return
	}
	at := ""
	if when > 0 {
		at = " at " + measure.FormatDuration(when)
	}
	r.fault(r.span(rec.key), "overfull",
		"make the batch smaller; solids count by weight at 1 kg/L unless they have a density",
		"a batch of %q fills %s%s, but %q holds %s: %s too much", rec.name, r.k.inPot(fullest), at, vessel.Name,
		r.k.inPot(vessel.Holds), r.k.inPot(fullest-vessel.Holds)).
		note(vessel.Pos, "%q is here", vessel.Name)
}

// Volume is how much room an amount of an item takes, in millilitres: as it is, or by its weight, at its density or at
// 1 kg/L; 0 when no weight is known.
func (k *Kitchen) Volume(item int, amount float64) (millilitres float64) {
	return volume(k.Graph.Items[item], amount)
}

// Load is what goes into a vessel, or comes out of it when it is below zero.
type Load struct {
	Minutes     int // after the start
	Millilitres float64
}

// InAndOut are the loads of a line that takes so much room.
func InAndOut(line graph.Line, millilitres float64) []Load {
	if line.OutAt > 0 {
		return []Load{{line.InAt, millilitres}, {line.OutAt, -millilitres}}
	}
	return []Load{{line.InAt, millilitres}}
}

// Loads are those of a batch of a step, its lines filled by their first choices.
func (k *Kitchen) Loads(step int) []Load { return loads(k.Graph.Items, k.Graph.Steps[step]) }

func loads(items []graph.Item, st graph.Step) (list []Load) {
	for _, line := range st.Takes {
		list = append(list, InAndOut(line, volume(items[line.Choices[0].Item], line.Choices[0].Amount))...)
	}
	for _, o := range st.Gives {
		list = append(list, Load{o.OutAt, -volume(items[o.Item], o.Amount)})
	}
	return list
}

// Fullest is the most that stands in a vessel, in millilitres, and the minutes after the start when it first does: all
// that has gone in by then, less all that was out before. What boils off is not taken away. It puts loads in order.
func Fullest(loads []Load) (millilitres float64, when int) {
	// What goes in goes in before what is out at the same minute.
	slices.SortStableFunc(loads, func(a, b Load) int {
		return cmp.Or(cmp.Compare(a.Minutes, b.Minutes), -cmp.Compare(a.Millilitres, b.Millilitres))
	})
	level := 0.0
	for _, l := range loads {
		if level += l.Millilitres; level > millilitres {
			millilitres, when = level, l.Minutes
		}
	}
	return millilitres, when
}

func volume(it graph.Item, amount float64) float64 {
	if ml, ok := it.Bridge().Convert(amount, it.Unit.Kind, measure.Volume); ok {
		return ml
	}
	grams, _ := it.Grams(amount) // at 1 kg/L
	return grams
}

// shareRule is how a step's bill is shared, as written or by default, and refuses a rule that its outputs cannot bear.
func (r *reader) shareRule(rec *recipe, st graph.Step) flow.Rule {
	if len(st.Gives) == 1 {
		return flow.ByMain // there is nothing to share
	}
	unpriced, worths := -1, 0.0 // the first output without a worth, and the sum of all
	for o, out := range st.Gives {
		if worth := r.k.Terms.Worth[out.Item]; worth >= 0 {
			worths += worth
		} else if unpriced < 0 {
			unpriced = o
		}
	}
	n := r.value(rec.body, "share cost by")
	rule := flow.ByWeight
	if n != nil {
		rule = flow.Rule(slices.Index(shareWords, n.Value)) // one of them, or the step would not be read
	} else if unpriced < 0 && worths > 0 {
		rule = flow.ByWorth
	}
	switch {
	case rule == flow.ByWorth && unpriced >= 0:
		for o, out := range st.Gives {
			if it := r.items[out.Item]; !(r.k.Terms.Worth[out.Item] >= 0) && !r.unsure[out.Item] {
				c := rec.gives[o].choices[0]
				hint := fmt.Sprintf(`add "worth: .../%s" to %q under "made"; 0 if nobody would buy it`, it.Unit.Name, it.Name)
				r.fault(r.part(rec.gives[o].node, c.at, c.length), "no-worth", hint,
					"%q shares its cost by worth, but %q has none", rec.name, it.Name).
					note(r.span(n).Pos, "asked for here")
			}
		}
	case rule == flow.ByWorth && worths == 0:
		r.fault(r.span(n), "no-worth", "give at least one a worth above 0, or share by weight",
			"%q shares its cost by worth, but all that it gives is worth 0", rec.name)
	case rule == flow.ByWeight && !r.countedAlike(st.Gives):
		if r.weighable(st.Gives) {
			break
		}
		if n == nil { // nobody asked for weights
			r.unshared = append(r.unshared, r.stepAt[rec.name])
			return flow.ByMain
		}
		for o, out := range st.Gives {
			it := r.items[out.Item]
			if _, ok := it.Grams(out.Amount); !ok && !r.unsure[out.Item] {
				c := rec.gives[o].choices[0]
				r.fault(r.part(rec.gives[o].node, c.at, c.length), "no-bridge", bridgeHint(it, measure.Weight),
					"%q shares its cost by weight, but the weight of %q is not known", rec.name, it.Name)
			}
		}
	case rule == flow.ByWeight && unpriced >= 0:
		r.warnOfWeight(rec, st)
	}
	return rule
}

// warnOfWeight warns of co-products without a worth that bear a bill by weight: kilo for kilo what the step is for, bones as dear as
// meat.
func (r *reader) warnOfWeight(rec *recipe, st graph.Step) {
	for o, out := range st.Gives[1:] {
		if it := r.items[out.Item]; !(r.k.Terms.Worth[out.Item] >= 0) && !r.unsure[out.Item] {
			c := rec.gives[o+1].choices[0]
			r.advise(r.part(rec.gives[o+1].node, c.at, c.length), "dear-by-weight",
				fmt.Sprintf(`add "worth: .../%s" to it under "made", 0 if nobody would buy it, and write "share cost by: main" or "worth"`, it.Unit.Name),
				"%q has no worth, and bears its part of the bill of %q by weight: kilo for kilo it is as dear as %q", it.Name, rec.name,
				r.items[st.Gives[0].Item].Name)
		}
	}
}

// countedAlike tells whether outputs are all counted by weight, all by volume or all by number. Then their amounts can be
// set against each other, litres against litres, even where a weight is not known.
func (r *reader) countedAlike(gives []graph.Output) bool {
	kind := r.items[gives[0].Item].Unit.Kind
	return !slices.ContainsFunc(gives, func(o graph.Output) bool { return r.items[o.Item].Unit.Kind != kind })
}

// checkLoops refuses every loop that is not carried over time and names it whole.
func (r *reader) checkLoops(g *graph.Graph) {
	for _, loop := range g.Loops() {
		var way strings.Builder
		for _, a := range loop {
			line := g.Steps[a.Step].Takes[a.Line]
			fmt.Fprintf(&way, "%s -> %s -> ", g.Items[line.Choices[a.Choice].Item].Name, g.Steps[a.Step].Name)
		}
		first := g.Steps[loop[0].Step].Takes[loop[0].Line].Choices[loop[0].Choice].Item
		way.WriteString(g.Items[first].Name)
		at := r.k.StepPos[loop[0].Step].Takes[loop[0].Line]
		d := r.fault(r.at(at.Line, at.Col, 1), "loop",
			`if one of these is left over from the day before, write ", from yesterday" on its line`,
			"%q is needed to make itself: %s", g.Items[first].Name, way.String())
		for _, a := range loop {
			st, pos := g.Steps[a.Step], r.k.StepPos[a.Step]
			d.note(pos.Takes[a.Line], "%q takes %q", st.Name, g.Items[st.Takes[a.Line].Choices[a.Choice].Item].Name)
			d.note(pos.Gives[a.Output], "and gives %q", g.Items[st.Gives[a.Output].Item].Name)
		}
	}
}

// checkLoose tells what leads nowhere or comes from nowhere.
func (r *reader) checkLoose(g *graph.Graph) {
	where := func(i int) span {
		at := r.k.ItemPos[i]
		return r.at(at.Line, at.Col, len([]rune(g.Items[i].Name)))
	}
	for _, i := range g.Groundless() {
		r.fault(where(i), "groundless", "follow what it takes: each line must lead back to something bought",
			"%q is made from nothing that is bought", g.Items[i].Name)
	}
	for i, par := range r.k.Par {
		if par > 0 && g.Items[i].Role == graph.Made && !slices.ContainsFunc(g.Steps, func(st graph.Step) bool {
			return st.Mode != graph.ToOrder && slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == i })
		}) {
			r.fault(where(i), "par-to-order", "give its step set days, or remove the par",
				"%q is made when it is asked for, so there is no par to leave", g.Items[i].Name)
		}
	}
	if len(r.k.Dishes) == 0 {
		return // a bare flow: its ends are what it is for
	}
	for _, i := range g.Unused() {
		if r.takenAside(g.Items[i].Name) {
			continue
		}
		r.warn(where(i), "unused-item", "sell it, or take it in a step or dish; until then all of it is left over", "nothing takes %q yet",
			g.Items[i].Name)
	}
}

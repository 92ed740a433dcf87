package clock

// The usual cautions, where they matter, and what the timetable does not know.

import (
	"fmt"
	"slices"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// BigPot is the volume from which one person cannot carry a full pot: common practice, no source.
const BigPot = 20_000.0 // millilitres

// The night, in which nobody tends a fire alone: common practice, no source. Where the file says who is there, the check tells of it.
const nightBegins, nightEnds = 22 * 60, 6 * 60

// AtNight tells whether a minute of a day, or of the days after it, lies in the night.
func AtNight(minute int) bool { return minute%1440 >= nightBegins || minute%1440 < nightEnds }

func (t *table) cautions() {
	pots, big, night, lime, lye := false, false, false, false, false
	for _, r := range t.Rows {
		lime = lime || r.work >= 0 && t.Lime(t.night.works[r.work].step)
		lye = lye || r.work >= 0 && t.Lye(t.night.works[r.work].step)
		if r.work < 0 || r.Vessel == "" {
			continue
		}
		pots = true
		big = big || t.Vessels[t.Steps[t.night.works[r.work].step].Vessel].Holds >= BigPot
		night = night || !r.Latest && AtNight(r.minute) && t.OnFire(t.night.works[r.work].step)
	}
	say := func(is bool, text string) {
		if is {
			t.Cautions = append(t.Cautions, text)
		}
	}
	say(pots, "hot stock scalds and hot fat burns: dry tools, a clear path, a lid at hand, never water into hot fat")
	say(big, tongue.FullPot)
	say(lime, tongue.Lime)
	say(lye, tongue.Lye)
	say(night && len(t.Shifts) == 0, "nobody tends a fire alone at night, and no fire is left unattended; mind the fire code")
	say(len(t.Rows) > 0,
		"cool what comes out, or hold it hot, within the time in your local code; this list does not judge whether food is safe")
}

// mind are the usual cautions on what stands on a sheet: what is done to hot food and pots, by whom or wherever that is.
func (t *table) mind(s *Sheet) (list []string) {
	steam, fat, boils, heavy, lime, lye := false, false, false, false, false, false
	tasks := slices.Clone(s.Tasks)
	for _, r := range s.Tasks {
		if r.Do != Serve {
			continue
		}
		for _, o := range t.Rows { // what is cooked to order has nobody of its own: who serves cooks it
			if o.Do == Make && len(o.Who) == 0 && o.At == r.At {
				tasks = append(tasks, o)
			}
		}
		for d, dish := range t.Kitchen.Dishes {
			fat = fat || t.HotFat(len(t.Steps)+d) && slices.ContainsFunc(r.Out, func(p Part) bool { return p.Item == dish.Name })
		}
	}
	for _, r := range tasks {
		step, err := t.FindStep(r.Step)
		if err != nil || step >= len(t.Steps) || r.Do == Read || r.Do == Serve || r.Cold || r.Act == kitchen.WashAct {
			continue
		}
		lime, lye = lime || t.Lime(step), lye || t.Lye(step)
		steam = steam || t.Hot(step)
		fat = fat || t.HotFat(step)
		boils = boils || r.Do == PutIn && t.OnBurner(step)
		heavy = heavy || r.Vessel != "" && t.OnBurner(step) && t.Vessels[t.Steps[step].Vessel].Holds >= BigPot
	}
	list = []string{}
	for _, c := range []struct {
		is   bool
		text string
	}{{steam, tongue.Steam}, {fat, tongue.HotFat}, {boils, tongue.Lower}, {heavy, tongue.FullPot}, {lime, tongue.Lime}, {lye, tongue.Lye}} {
		if c.is {
			list = append(list, c.text)
		}
	}
	return list
}

// guesses notes which minutes are not the file's.
func (t *table) guesses() {
	for i := range t.Rows {
		if r := &t.Rows[i]; r.Guessed && (len(r.Who) > 0 || r.Do == Make) {
			t.Timetable.Notes = append(t.Timetable.Notes, t.voice().Say(`what takes "about" so long is guessed, by common practice: write "work" on the step`))
			return
		}
	}
}

// untimed notes what the file does not say: which vessels are shared by work without a clock, so that nobody can tell
// whether it meets in them.
func (t *table) untimed() {
	for v, vessel := range t.Vessels {
		var without, all []string
		for s, card := range t.Steps {
			if card.Vessel != v || !slices.ContainsFunc(t.night.works, func(w work) bool { return w.step == s }) {
				continue
			}
			name := t.Graph.Steps[s].Name
			all = append(all, name)
			if t.Graph.Steps[s].Length() == 0 { // all else is scheduled one after the other
				without = append(without, name)
			}
		}
		if len(all) > 1 && len(without) > 0 {
			t.Timetable.Notes = append(t.Timetable.Notes,
				fmt.Sprintf("%s share the %s, and the file does not say when %s: they may clash there; write \"starts\" and \"out at\"",
					measure.FormatList(all), vessel.Name, begins(without)))
		}
	}
}

func begins(names []string) string {
	if len(names) == 1 {
		return names[0] + " is done"
	}
	return measure.FormatList(names) + " are done"
}

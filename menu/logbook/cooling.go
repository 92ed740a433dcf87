package logbook

// Cooling logs from the temperatures that were written down.

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// Cooling is how long ago a reading may be to count as one of food that cools: the codes give it some hours.
const Cooling = 24 * time.Hour

// A new log begins with a reading that is warmer by this than the one before, and hot: what is below has not been reheated, and
// a probe that is held elsewhere must not make a late limit look like an early one. In °C.
const (
	warmer = 1.0
	hot    = 57.0 // just below the lowest temperature at which the codes begin, 135 F
)

// coolsFor is how far back what came off the heat is looked for while it is still on hand: longer than the date mark of any code.
const coolsFor = 8 * 24 * time.Hour

// CoolingLogs are what was read of food that cools, up to a moment, by lot: of what came off the heat as it was written down, or by the
// mark that the reading names. A lot is among them while it is on hand and was not read in time, or for a day after its last reading.
// Food that was heated again begins again: only what was read since then is in its log. What was read of an item without its lot is of
// the lot that came out last. Logs come in the order of what was written first.
func (j *Book) CoolingLogs(ctx context.Context, k *kitchen.Kitchen, asOf time.Time) ([]kitchen.CoolingLog, error) {
	list, err := j.standing(ctx, byMoment, between(asOf.Add(time.Second-coolsFor), asOf, Temperature, Lit, Out, Done, Cooked))
	if err != nil {
		return nil, err
	}
	var logs []kitchen.CoolingLog
	recent := asOf.Add(time.Second - Cooling)
	for i := range list {
		e := &list[i]
		if e.Kind != Temperature {
			logs = append(logs, e.comeHot(k)...)
			continue
		}
		at := ofReading(logs, e)
		if e.Reading != "" {
			if at >= 0 && e.Of == logs[at].Of && (e.Reading == HotHolding || e.Reading == Reheating) && e.Celsius >= hot { // it does not cool yet
				logs[at].Out, logs[at].Readings = e.At, nil
			}
			continue
		}
		if at < 0 && e.At.Before(recent) {
			continue
		}
		if at < 0 {
			at = len(logs)
			logs = append(logs, kitchen.CoolingLog{Item: lotNamed(e.Of, e.Mark), Of: e.Of, Lot: e.Mark})
		}
		l, r := &logs[at], kitchen.Reading{At: e.At, Degrees: e.degrees()}
		if n := len(l.Readings); n > 0 {
			switch last := l.Readings[n-1]; {
			case r.Degrees.In("C") > last.Degrees.In("C")+warmer && r.Degrees.In("C") >= hot:
				l.Readings = nil
			case !r.At.After(last.At): // of one minute, the later entry
				l.Readings = l.Readings[:n-1]
			}
		}
		l.Readings = append(l.Readings, r)
	}
	if logs, err = j.stillCool(ctx, k, logs, asOf); err != nil {
		return nil, err
	}
	return apart(logs), nil
}

// comeHot are the logs of what an entry brought off the heat, and must be cooled: ready food that was cooked or reheated, and that the
// date mark binds.
func (e *Entry) comeHot(k *kitchen.Kitchen) (logs []kitchen.CoolingLog) {
	step := slices.IndexFunc(k.Graph.Steps, func(st graph.Step) bool { return st.Name == e.Step })
	if step < 0 || !k.ComesHot(step) {
		return nil
	}
	for _, a := range e.Gives {
		item, _, err := k.ItemNamed(a.Item, nil)
		if err != nil || a.Base <= 0 || k.Undated[item] {
			continue
		}
		l := kitchen.CoolingLog{Of: a.Item, Lot: cmp.Or(a.Mark, e.Mark), Entry: e.ID, Step: e.Step, Begins: cmp.Or(e.Begins, k.DayAt(e.At)), Amount: a.Base}
		l.Out = e.At.Add(-time.Duration(k.OffBefore(step, item)) * time.Minute)
		l.Item = lotNamed(l.Of, l.Lot)
		logs = append(logs, l)
	}
	return logs
}

// ofReading is the log that a reading belongs to; -1 for none yet.
func ofReading(logs []kitchen.CoolingLog, e *Entry) int {
	for n, l := range slices.Backward(logs) {
		if l.Of == e.Of && (e.Mark == "" && l.Entry > 0 || e.Mark == l.Lot || l.Entry > 0 && e.Mark == strconv.FormatInt(l.Entry, 10)) {
			return n
		}
	}
	return -1
}

// stillCool are the logs that count at a moment: those read in the last day, and those of what is still on hand and was not read since
// its last limit was due, nor cold.
func (j *Book) stillCool(ctx context.Context, k *kitchen.Kitchen, logs []kitchen.CoolingLog, asOf time.Time) (_ []kitchen.CoolingLog, err error) {
	within, cold := time.Duration(0), math.Inf(-1)
	for _, s := range k.Code.Cooling {
		within = max(within, time.Duration(s.Within)*time.Minute)
		cold = (kitchen.Degrees{Value: s.To, Scale: k.Code.Scale}).In("C")
	}
	var held map[lotOf]bool
	recent := asOf.Add(time.Second - Cooling)
	var kept []kitchen.CoolingLog
	for _, l := range logs {
		lately := len(l.Readings) > 0 && !l.Readings[len(l.Readings)-1].At.Before(recent)
		read := slices.ContainsFunc(l.Readings, func(r kitchen.Reading) bool {
			return r.Degrees.In("C") <= cold+sameDegree || !r.At.Before(l.Out.Add(within))
		})
		if l.Entry > 0 && (lately || !read) {
			if held == nil { // asked for only where something has come out hot
				if held, err = j.stillHeld(ctx, k, asOf); err != nil {
					return nil, err
				}
			}
			item, _, err := k.ItemNamed(l.Of, nil)
			l.Gone = err != nil || !held[lotOf{l.Entry, item}]
		}
		if lately || l.Entry > 0 && !read && !l.Gone {
			kept = append(kept, l)
		}
	}
	return kept, nil
}

// stillHeld are the lots on hand that are not past their date.
func (j *Book) stillHeld(ctx context.Context, k *kitchen.Kitchen, asOf time.Time) (map[lotOf]bool, error) {
	stock, err := j.OnHand(ctx, k, asOf)
	if err != nil {
		return nil, err
	}
	held, days := map[lotOf]bool{}, k.DayOnes()
	for _, l := range stock.Lots {
		if _, past := l.past(days, k, asOf); !past {
			held[lotOf{l.Entry, l.Item}] = true
		}
	}
	return held, nil
}

// apart gives lots of one name the numbers of the entries that brought them.
func apart(logs []kitchen.CoolingLog) []kitchen.CoolingLog {
	named := map[string]int{}
	for _, l := range logs {
		named[l.Item]++
	}
	for n := range logs {
		if l := &logs[n]; named[l.Item] > 1 && l.Entry > 0 && l.Lot == "" {
			l.Lot = strconv.FormatInt(l.Entry, 10)
			l.Item = lotNamed(l.Of, l.Lot)
		}
	}
	return logs
}

// lotNamed is an item with its lot.
func lotNamed(item, lot string) string {
	if lot == "" {
		return item
	}
	return item + " lot " + lot
}

// degrees is the reading of a temperature on the scale on which it was written.
func (e *Entry) degrees() kitchen.Degrees {
	head, _, _ := strings.Cut(e.Text, ",")
	if strings.HasSuffix(strings.ToUpper(strings.TrimSpace(head)), "F") {
		const tiny = 1e9 // what turning scales leaves behind
		return kitchen.Degrees{Value: math.Round((e.Celsius*1.8+32)*tiny) / tiny, Scale: "F"}
	}
	return kitchen.Degrees{Value: e.Celsius, Scale: "C"}
}

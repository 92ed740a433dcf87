package logbook

// Cooling logs from the temperatures that were written down.

import (
	"context"
	"math"
	"slices"
	"strings"
	"time"

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

// CoolingLogs are the readings of the last day up to a moment, by item and, where one was named, lot. Food that was
// heated again begins again: only what was read since then is in its log. Logs come in the order of their first readings.
func (j *Book) CoolingLogs(ctx context.Context, asOf time.Time) ([]kitchen.CoolingLog, error) {
	list, err := j.standing(ctx, byMoment, between(asOf.Add(time.Second-Cooling), asOf, Temperature))
	if err != nil {
		return nil, err
	}
	list = slices.DeleteFunc(list, func(e Entry) bool { return e.Reading != "" })
	var logs []kitchen.CoolingLog
	for _, e := range list {
		name := e.Of
		if e.Mark != "" {
			name += " lot " + e.Mark
		}
		at := slices.IndexFunc(logs, func(l kitchen.CoolingLog) bool { return l.Item == name })
		if at < 0 {
			at = len(logs)
			logs = append(logs, kitchen.CoolingLog{Item: name, Of: e.Of, Lot: e.Mark})
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
	return logs, nil
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

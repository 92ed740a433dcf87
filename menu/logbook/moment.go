package logbook

// When entries count. Clocks are set back in autumn, and some are wrong. An entry that was written without a time of its own happened
// when it was written, and those were written in the order of their numbers, whatever the clocks said.

import (
	"context"
	"fmt"
	"strconv"
	"sync"
	"time"
)

// Here is the zone of the clock by which the kitchen goes. The program sets it to the machine's; until then no zones are kept.
var Here = time.UTC

// wrong is how far a clock that went back may have been wrong to be put right by the order of writing: all the zones there are. One
// that was further off says nothing about the entries beside it.
const wrong = 26 * 60 * 60

// settle finds the moment at which each entry counts: its own time; of one written by a clock that was ahead, as what was written
// after it shows, the time of that. So what was written first counts first.
func (r *register) settle() {
	const never = int64(1) << 62
	first, lowest := r.settled, never // of what is new
	corrected := false
	for i := first; i < len(r.list); i++ {
		n := &r.list[i]
		if n.moment, n.place = n.at, int64(i+1); n.clocked {
			lowest = min(lowest, n.at)
		}
		corrected = corrected || n.corrects > 0
	}
	if first == 0 || lowest < r.latest { // then it may move what is older
		first, r.latest = 0, -never
	}
	if corrected {
		r.gone = nil
	}
	off := false
	lowest = never // of those written later; the one before had a time far off
	for i := len(r.list) - 1; i >= first; i-- {
		n := &r.list[i]
		n.moment, n.place = n.at, int64(i+1)
		if !n.clocked {
			continue
		}
		r.latest = max(r.latest, n.at)
		switch {
		case n.at <= lowest:
			lowest, off = n.at, false
		case n.at-lowest <= wrong:
			n.moment, off = lowest, false
		case off: // it was the later one whose clock was far off
			lowest, off = n.at, false
		default:
			off = true
		}
	}
	for i := first; i < len(r.list); i++ { // what stands in for another counts where that does, unless it has a time of its own
		if n := &r.list[i]; n.corrects > 0 && n.kind != Undone {
			if old := r.of(n.corrects); old.at == n.at {
				n.moment, n.place = old.moment, old.place
			}
		}
	}
	if first == 0 {
		r.sorted = nil
	}
	for id := int64(len(r.sorted)) + 1; r.sorted != nil && id <= r.last(); id++ {
		if r.compare(r.sorted[id-2], id) > 0 {
			r.sorted = nil
			break
		}
		r.sorted = append(r.sorted, id)
	}
	r.settled = len(r.list)
}

// instant is the second since 1970 of a time by the clock here. Of an hour that the clock goes through twice it is the later.
func instant(wall time.Time) int64 {
	if Here == time.UTC {
		return wall.Unix()
	}
	return wall.Unix() - int64(offsetAt(wall))
}

// offsets remembers a stretch of time in which the zone stays the same: most times that are asked about lie in one.
var offsets struct {
	sync.Mutex
	zone     *time.Location
	from, to int64 // by the clock
	east     int
}

// offsetAt is how many seconds east of UTC the clock here is at a time that it shows.
func offsetAt(wall time.Time) int {
	o := &offsets
	o.Lock()
	defer o.Unlock()
	if o.zone == Here && o.from <= wall.Unix() && wall.Unix() < o.to {
		return o.east
	}
	t := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), 0, Here)
	if _, ends := t.ZoneBounds(); !ends.IsZero() { // the same time once more, after the clock was set back?
		_, before := t.Zone()
		_, after := ends.Zone()
		if again := t.Add(time.Duration(before-after) * time.Second); before > after && !again.Before(ends) && again.Before(ends.Add(time.Duration(before-after)*time.Second)) {
			t = again
		}
	}
	_, east := t.Zone()
	const margin = 3 * 60 * 60 // within which the clock may be set
	from, to := t.ZoneBounds()
	o.zone, o.east = Here, east
	if o.from, o.to = -1<<62, 1<<62; !from.IsZero() {
		o.from = from.Unix() + int64(east) + margin
	}
	if !to.IsZero() {
		o.to = to.Unix() + int64(east) - margin
	}
	return east
}

// shownHere is a second since 1970 by the clock here.
func shownHere(second int64) time.Time {
	t := time.Unix(second, 0).In(Here)
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
}

// instant is the second since 1970 at which an entry happened.
func (e *Entry) instant() int64 {
	if east, ok := zoneMinutes(e.Zone); ok {
		return e.At.Unix() - int64(east)*60
	}
	return instant(e.At)
}

// here turns an entry's times to the clock here, where it was written by another.
func (e *Entry) here() {
	east, ok := zoneMinutes(e.Zone)
	if !ok {
		return
	}
	at := shownHere(e.At.Unix() - int64(east)*60)
	e.At, e.Written = at, e.Written.Add(at.Sub(e.At))
}

// ZoneOf names the zone of a time: "+01:00".
func ZoneOf(t time.Time) string {
	_, seconds := t.Zone()
	return zoneText(seconds / 60)
}

// ZoneHere names the zone of the clock here at a time that it shows.
func ZoneHere(wall time.Time) string { return zoneText(offsetAt(wall) / 60) }

func zoneText(east int) string {
	sign := '+'
	if east < 0 {
		sign, east = '-', -east
	}
	return fmt.Sprintf("%c%02d:%02d", sign, east/60, east%60)
}

// zoneMinutes is how many minutes east of UTC a zone is that [ZoneOf] names.
func zoneMinutes(zone string) (east int, ok bool) {
	if zone == "" {
		return 0, false
	}
	t, err := time.Parse("-07:00", zone)
	if err != nil {
		return 0, false
	}
	_, seconds := t.Zone()
	return seconds / 60, true
}

// Clocks says which entries were written by a clock that was wrong, as far as it matters now: those that are dated after now, which
// do not count yet, and those of the last days that count at another time than their own.
func (j *Book) Clocks(ctx context.Context, now time.Time) (list []string, err error) {
	const back = 2 * 24 * 60 * 60
	err = j.ask(ctx, func(r *register) error {
		var ahead, moved []string
		gone, second := r.fates(), instant(now)
		for i := range r.list {
			n, id := &r.list[i], int64(i+1)
			if _, is := gone[id]; is || n.kind == Undone {
				continue
			}
			switch {
			case n.moment > second:
				ahead = append(ahead, strconv.FormatInt(id, 10))
			case n.moment != n.at && n.moment > second-back:
				moved = append(moved, strconv.FormatInt(id, 10))
			}
		}
		switch len(ahead) {
		case 0:
		case 1:
			list = append(list, fmt.Sprintf("entry %s is dated after now, so it does not count yet: was a clock wrong?", ahead[0]))
		default:
			list = append(list, fmt.Sprintf("%d entries are dated after now, so they do not count yet: %s; was a clock wrong?", len(ahead), some3(ahead)))
		}
		switch len(moved) {
		case 0:
		case 1:
			list = append(list, fmt.Sprintf("the clock went back: entry %s is dated later than what was logged after it, and counts before it", moved[0]))
		default:
			list = append(list, fmt.Sprintf("the clock went back: entries %s are dated later than what was logged after them, and count before it", some3(moved)))
		}
		return nil
	})
	return list, err
}

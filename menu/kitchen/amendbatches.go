package kitchen

// Changes of the standing week in a kitchen file: how many batches of a step there are on which weekday.

import (
	"fmt"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Standing is how many batches of a step the standing week has, by [time.Weekday].
type Standing struct {
	Step    int
	Batches [7]float64
}

// String is how it is written behind "batches": "{tue-thu: 2, sat: 1}".
func (s Standing) String() string {
	var parts []string
	at := func(n int) (day int, batches float64) {
		day = (int(time.Monday) + n) % 7
		return day, s.Batches[day]
	}
	for n := 0; n < 7; {
		day, batches := at(n)
		last, end := day, n+1
		for ; end < 7; end++ {
			next, same := at(end)
			if same != batches {
				break
			}
			last = next
		}
		days := Weekdays[day]
		if last != day {
			days += "-" + Weekdays[last]
		}
		if batches > 0 {
			parts = append(parts, fmt.Sprintf("%s: %s", days, measure.FormatNumber(batches)))
		}
		n = end
	}
	if parts == nil {
		return "{daily: 0}"
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// AmendBatches gives the text of the kitchen file with other batches in the standing week, as [Kitchen.Amend] does.
func (k *Kitchen) AmendBatches(src []byte, standing ...Standing) ([]byte, error) {
	var edits []Edit
	for _, s := range standing {
		step := k.Graph.Steps[s.Step].Name
		if k.Graph.Steps[s.Step].Mode != graph.OnDays {
			return nil, &AmendError{Msg: fmt.Sprintf("%q has no set days", step), Hint: fmt.Sprintf("write them by hand: batches: %s", s)}
		}
		edits = append(edits, Set(InSteps, step, "batches", s.String()))
	}
	return k.changed(src, edits)
}

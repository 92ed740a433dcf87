package board

// Cooling: what is due by the limits of the food code, each with a bell, then the readings as they were written down.

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/clock"
	"kettletree/menu/logbook"
)

var coolingPage = &page{Path: "/cooling", Name: "Cooling", File: "cooling", EveryMinute: true, Answer: theCooling}

// coolingAnswer is what the page shows.
type coolingAnswer struct {
	Due     []coolingDue // the next first
	Text    string       // the readings, judged; "" for none
	Caution string
}

// coolingDue is a limit that something that cools must meet.
type coolingDue struct {
	Item, To, By string // By is 2006-01-02T15:04
	Name         string // of the item, with its lot, as it is called
	Section      string
	Logged       bool // a reading of it was written down; else it is planned to cool then
	Late         bool
}

func theCooling(ctx context.Context, a *asked) (any, error) {
	c := &coolingAnswer{}
	type reading struct{ item, by string }
	read := map[reading]bool{} // that the log book asks for
	if logbook.Exists(a.board.LogBook) {
		_, err := a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
			logs, err := j.CoolingLogs(ctx, a.Kitchen, a.Now)
			if err != nil || len(logs) == 0 {
				return "", err
			}
			own := slices.Clone(logs)
			for n, l := range logs {
				logs[n].Item = a.voice.Logged(l, a.Called)
			}
			judged := clock.JudgeCooling(a.Kitchen.Code, logs, nil, nil, a.Now, a.voice)
			c.Text, c.Caution = show.Cooling(a.spokenOn(), judged), judged.Caution
			for n, it := range judged.Items {
				now := clock.ReadNow(a.Kitchen, it.Stages, a.Now)
				for k, v := range it.Stages {
					read[reading{own[n].Of, v.DueAt.Format(logbook.Minutes)}] = true
					if k == now || v.State == clock.LimitOpen && !v.DueAt.IsZero() {
						c.Due = append(c.Due, coolingDue{own[n].Item, a.degrees(v.To, judged.Scale), v.DueAt.Format("2006-01-02T15:04"), it.Item, v.Section, len(own[n].Readings) > 0, v.Unread})
					}
				}
			}
			return "", nil
		})
		if err != nil {
			return nil, err
		}
	}
	table, err := a.rows(ctx)
	if err != nil {
		return nil, err
	}
	for i := range table.Rows {
		r := &table.Rows[i]
		if r.Do != clock.Read || r.Minute() < a.Minute() || r.Minute() > a.Minute()+1440 {
			continue
		}
		for _, of := range r.Of {
			for _, l := range r.Limits {
				if l.By == nil || read[reading{of.Item, *l.By}] {
					continue
				}
				if by, err := time.Parse(logbook.Minutes, *l.By); err == nil {
					due := coolingDue{of.Item, a.degrees(l.To, l.Scale), by.Format("2006-01-02T15:04"), a.Called(of.Item), l.Section, false, false}
					if !slices.Contains(c.Due, due) {
						c.Due = append(c.Due, due)
					}
				}
			}
		}
	}
	slices.SortStableFunc(c.Due, func(x, y coolingDue) int {
		return slices.Compare([]string{x.By, x.Item}, []string{y.By, y.Item})
	})
	return c, nil
}

// degrees is a temperature of the code on both scales, in whole degrees as codes print the other.
func (a *asked) degrees(x float64, scale string) string {
	c, f := x, math.Round(x*9/5+32)
	if scale == "F" {
		c, f = math.Round((x-32)*5/9), x
	}
	return fmt.Sprintf("%g °C (%g °F)", c+0, f+0) // no thermometer shows -0
}

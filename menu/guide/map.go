package guide

// The pictures: the map with words of the guide's language, and the lanes of a day.

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/draw"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
)

// draw makes the map, and picks the day that the lanes show: the first open one on which a
// vessel is lit at a set time.
func (b *builder) draw(ctx context.Context) error {
	p, err := ask.Map(ctx, b.Week, nil, "", ask.ByWeight)
	if err != nil {
		return err
	}
	b.guide.Map = b.picture(p)
	for i := range b.times.Rows {
		r := &b.times.Rows[i]
		day := r.Minute() / 1440
		if r.Do == clock.Start && !r.Latest && r.Vessel != "" && r.Minute() >= 0 && b.OpenDay(day) {
			b.guide.lanes = rowsOf(b.times.Rows, day)
			return nil
		}
	}
	return nil
}

// rowsOf are those of a day: what is done on it, and to the end all that begins on it.
func rowsOf(rows []clock.Row, day int) (list []clock.Row) {
	for i := range rows {
		r := &rows[i]
		if minute := r.Minute(); minute >= day*1440 && minute-r.Since() < (day+1)*1440 {
			list = append(list, *r)
		}
	}
	return list
}

// picture leaves the boxes their names, and the name of the step where an item and its step share a box.
func (b *builder) picture(p draw.Picture) draw.Picture {
	t := newTeller(b.guide)
	shown := map[int]bool{} // steps with a box of their own
	for _, n := range p.Nodes {
		if n.Kind == draw.Step {
			shown[n.Step] = true
		}
	}
	for i := range p.Nodes {
		n := &p.Nodes[i]
		n.Lines = nil
		switch n.Kind {
		case draw.Made:
			for s, st := range b.Graph.Steps[:len(b.Steps)] {
				if !shown[s] && st.Name != n.Name && slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == n.Item }) {
					n.Lines = append(n.Lines, st.Name)
				}
			}
		case draw.Step:
			if days := b.runs(n.Step); len(days) > 0 {
				n.Lines = append(n.Lines, t.days(weekdays(days)))
			}
		}
	}
	for i := range p.Edges {
		e := &p.Edges[i]
		if e.Substitute || e.Carried {
			e.Label = "" // the looks of the line tell it, in any language
		}
		e.Label = strings.TrimSuffix(e.Label, " each")
	}
	p.Caption = t.plain("From what is bought, at the left, to what is sold, at the right. Amounts are for one batch or portion. " +
		"What is bought in small amounts has no box.")
	p.WidthMeans, p.ToneMeans = "", ""
	for i := range p.Edges {
		p.Edges[i].Share = 0
	}
	p.Words = func(english string) string { return t.plain(english) }
	return p
}

// weekdays are the days of some runs.
func weekdays(runs []Run) (days []int) {
	for _, r := range runs {
		days = append(days, r.Weekday)
	}
	return days
}

// lanesOf draws the vessels over a day.
func lanesOf(g *Guide) (l draw.Lanes, ok bool) {
	if g.lanes == nil {
		return l, false
	}
	t := newTeller(g)
	sheet := draw.LaneSheet{From: 1 << 30}
	at := map[string]int{}
	bars := map[string]int{}
	for i := range g.lanes {
		r := &g.lanes[i]
		if r.Do == clock.Serve {
			sheet.Marks = append(sheet.Marks, draw.LaneMark{At: r.Minute(), Name: r.Step})
			continue
		}
		if r.Latest || r.Vessel == "" || r.Do == clock.Work {
			continue
		}
		lane, known := at[r.Vessel]
		if !known {
			lane = len(sheet.Lanes)
			at[r.Vessel] = lane
			sheet.Lanes = append(sheet.Lanes, draw.Lane{Name: r.Vessel})
		}
		sheet.From, sheet.To = min(sheet.From, r.Minute()), max(sheet.To, r.Minute())
		key := r.Step + "\n" + r.Begun
		bar, drawn := bars[key]
		if !drawn {
			bar = len(sheet.Lanes[lane].Bars)
			bars[key] = bar
			sheet.Lanes[lane].Bars = append(sheet.Lanes[lane].Bars, draw.LaneBar{From: r.Minute() - r.Since(), Name: r.Step})
		}
		sheet.Lanes[lane].Bars[bar].To = r.Minute()
		act := draw.LaneAct{At: r.Minute(), When: clockOf(r.At), Sign: draw.InSign, Text: t.parts(r.In).plain()}
		switch {
		case r.Do == clock.TakeOut && len(r.Out) > 0:
			act.Sign, act.Text = draw.OutSign, t.parts(r.Out).plain()
		case r.Do == clock.TakeOut:
			act.Sign, act.Text = draw.OutSign, t.plain("End of %[1]s.", r.Step)
		case r.Do == clock.Turn:
			act.Sign, act.Text = draw.NoSign, r.Phase
		}
		sheet.Lanes[lane].Acts = append(sheet.Lanes[lane].Acts, act)
	}
	if len(sheet.Lanes) == 0 {
		return l, false
	}
	sheet.From, sheet.To = sheet.From/60*60, (sheet.To/60+1)*60
	sheet.Marks = slices.DeleteFunc(sheet.Marks, func(m draw.LaneMark) bool { return m.At < sheet.From || m.At > sheet.To })
	l = draw.Lanes{Title: fmt.Sprintf("%s: %s", g.Kitchen, t.weekdayOf(g.lanes[0].At)), Sheets: []draw.LaneSheet{sheet},
		Caption: t.plain("Filled triangle: into the vessel. Empty triangle: out of it. Thick line: a service begins.")}
	return l, true
}

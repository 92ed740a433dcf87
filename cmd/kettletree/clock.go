package main

// clock: what to do at what hour, and what is late when a kettle is.

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/draw"
	"kettletree/menu/clock"
	"kettletree/menu/guide"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

func clockCommand() *cli.Command {
	return &cli.Command{
		Name: "clock", Usage: "what to do when, where, with how much and for what; what is late",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "on", Usage: option("DAY",
				"only one day, and what starts on it to its end")},
			&cli.StringFlag{Name: "ready", Usage: option("SERVICE",
				"how late everything for one service can start, such as \"fri dinner\"")},
			&cli.StringSliceFlag{Name: "lit", Usage: option("STEP[@DAY]=TIME",
				"a batch starts at another time: what is late then, and what to do")},
			&cli.StringFlag{Name: "for", Usage: option("PERSON", "the sheet of one person's shift, with boxes to tick")},
			&cli.StringFlag{Name: "station", Usage: option("STATION", "the sheet of one station")},
			&cli.StringFlag{Name: "html", Usage: option("FILE",
				"write sheets as one page to print, a page each: all of the day, or one with --for or --station")},
			langFlag(),
			&cli.StringFlag{Name: "svg", Usage: option("FILE", "also draw it: one lane for each vessel and station")},
			&cli.StringFlag{Name: "ical", Usage: option("FILE",
				"also write a calendar whose alarms ring on a phone")},
		}, output(), framing()),
		Action: tellTime,
	}
}

func tellTime(c *cli.Context) error {
	for _, other := range []string{"on", "lit"} {
		if c.IsSet("ready") && c.IsSet(other) {
			return &usageError{"--ready and --" + other + " can't be used together", "ask them one at a time"}
		}
	}
	sheets := c.IsSet("for") || c.IsSet("station") || c.IsSet("html")
	for _, other := range []string{"ready", "lit", "svg", "ical"} {
		if sheets && c.IsSet(other) {
			return &usageError{"sheets are of a day as it is planned, so they can't be had with --" + other, "ask them one at a time"}
		}
	}
	switch {
	case c.IsSet("for") && c.IsSet("station"):
		return &usageError{"--for and --station can't be used together", "ask them one at a time"}
	}
	o, err := options(c, c.Args().Slice())
	if err != nil {
		return err
	}
	k, err := open(c, o)
	if err != nil {
		return err
	}
	k.faults = slices.DeleteFunc(k.faults, week.IsClash) // they are among what is answered
	week, err := k.sound(c)
	if err != nil {
		return err
	}
	if sheets {
		return giveSheets(c, week)
	}
	own := week
	voice, week, err := toldIn(c, week)
	if err != nil {
		return err
	}
	a, err := timetable(c, own, week)
	if err != nil {
		return err
	}
	told, err := atTheStove(c, week.Kitchen)
	if err != nil {
		return err
	}
	a.Rows = told.Marked(week.Kitchen, a.Rows)
	phrases(c, week.Kitchen, a.Notes)
	if name := c.String("svg"); name != "" {
		if err := save(name, draw.RenderLanes(show.Lanes(a))); err != nil {
			return err
		}
	}
	if name := c.String("ical"); name != "" {
		if err := save(name, show.Calendar(a)); err != nil {
			return err
		}
	}
	worded(c, voice, a.Cautions)
	return give(c, a, show.ClockIn(week.Kitchen), show.ClockSheet)
}

// giveSheets gives the sheets that the options ask for, of the day that --on names, else of today.
func giveSheets(c *cli.Context, w *week.Week) error {
	own := w.Vessels
	voice, w, err := toldIn(c, w)
	if err != nil {
		return err
	}
	day, err := todayOf(w)
	if err != nil {
		return err
	}
	if text := c.String("on"); c.IsSet("on") {
		if day, err = clock.Day(w, text); err != nil {
			return &usageError{msg: fmt.Sprintf("--on %q: %v", text, err)}
		}
	}
	a, err := clock.SheetsOn(c.Context, w, day)
	if err != nil {
		return err
	}
	told, err := atTheStove(c, w.Kitchen)
	if err != nil {
		return err
	}
	for i := range a.Sheets {
		a.Sheets[i].Tasks = told.Marked(w.Kitchen, a.Sheets[i].Tasks)
	}
	for _, kind := range []string{"for", "station"} {
		if !c.IsSet(kind) {
			continue
		}
		name := c.String(kind)
		if at := slices.IndexFunc(own, func(v kitchen.Vessel) bool { return v.Name == name }); at >= 0 && kind == "station" {
			name = w.Vessels[at].Name // as the sheet calls it
		}
		if err := a.Only(name, kind == "station"); err != nil {
			return &usageError{msg: fmt.Sprintf("--%s: %v", kind, err)}
		}
	}
	if file := c.String("html"); file != "" {
		photos, faults, err := photosOf(w.Kitchen)
		if err != nil {
			return err
		}
		if len(faults) > 0 {
			fmt.Fprintln(c.App.ErrWriter, faults)
		}
		page, err := show.SheetsPage(show.Page{Voice: voice}, a, w.Kitchen, guide.Embedded(photos))
		if err != nil {
			return err
		}
		if err := save(file, page); err != nil {
			return err
		}
	}
	worded(c, voice, a.Cautions)
	for i := range a.Sheets {
		worded(c, voice, a.Sheets[i].Mind)
	}
	return give(c, a, show.SheetsText(w.Kitchen), show.SheetsSheet)
}

// timetable asks what the options ask.
func timetable(c *cli.Context, own, told *week.Week) (*clock.Timetable, error) {
	if text := c.String("ready"); c.IsSet("ready") {
		slot, err := inEither(own, told, func(w *week.Week) (int, error) { return clock.Slot(w, text) })
		if err != nil {
			return nil, &usageError{msg: fmt.Sprintf("--ready %q: %v", text, err)}
		}
		return clock.ToBeReady(c.Context, told, slot)
	}
	var on *int
	if text := c.String("on"); c.IsSet("on") {
		day, err := clock.Day(told, text)
		if err != nil {
			return nil, &usageError{msg: fmt.Sprintf("--on %q: %v", text, err)}
		}
		on = &day
	}
	var begin []clock.Beginning
	for _, text := range c.StringSlice("lit") {
		b, err := inEither(own, told, func(w *week.Week) (clock.Beginning, error) { return clock.Lit(w, text) })
		if err != nil {
			return nil, &usageError{msg: fmt.Sprintf("--lit %q: %v", text, err)}
		}
		begin = append(begin, b)
	}
	if len(begin) == 0 {
		return clock.Of(c.Context, told, on)
	}
	return clock.IfLit(c.Context, told, begin, on)
}

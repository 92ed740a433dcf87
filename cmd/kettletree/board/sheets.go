package board

// Sheets: what one person does in a shift, or what is done at one station on a day, each act with a tick that the device keeps or, where
// that is an entry of the log book, with the button that writes it.

import (
	"context"
	"slices"
	"strings"
	"time"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

var sheetsPage = &page{Path: "/sheets", Name: "Sheets", File: "sheets", EveryMinute: true, Takes: []string{"on", "for"}, Answer: theSheets}

// sheetsAnswer is what the page shows.
type sheetsAnswer struct {
	Dates  []string
	Day    string
	People []string
	Places []string // stations
	For    string   // "person anna" or "station grill"; "" while none is chosen
	Own    []sheetOf
	NoSuch []string // those that there are, where the kitchen knows no such person or station
	Kept   []string // cautions
}

// sheetOf is one sheet with its rows.
type sheetOf struct {
	clock.Sheet
	Told  bool // what does not fit is in the language of the page
	Rows  []todayRow
	Later []todayRow // behind those, folded
}

// Tick names an act of a sheet, for the device to keep its tick.
func (r todayRow) Tick() string { return strings.Join([]string{r.At, r.Do, r.Act, r.Step}, " ") }

// sheets are those of the day that is asked for, and the kitchen, both in the words of the page: a step is found under its name there.
func (a *asked) sheets(ctx context.Context) (*clock.Sheets, *kitchen.Kitchen, error) {
	w, _ := a.Week.InLanguage(a.voice.Language())
	day := a.today()
	if text := a.Query.Get("on"); text != "" {
		var err error
		if day, err = clock.Day(w, text); err != nil {
			return nil, nil, &Refusal{Msg: err.Error(), Hint: "choose one of the days on the Sheets page"}
		}
	}
	s, err := clock.SheetsOn(ctx, w, day)
	if err != nil {
		return nil, nil, err
	}
	for i := range s.Sheets {
		if s.Sheets[i].Tasks, err = a.marked(ctx, w.Kitchen, s.Sheets[i].Tasks); err != nil {
			return nil, nil, err
		}
	}
	return s, w.Kitchen, nil
}

// noSheet names the people or the stations that there are, where none is called as the sheet that is asked for; nil where there only is
// nothing to do on that day.
func (a *asked) noSheet(s *sheetsAnswer) (there []string) {
	name, station := strings.CutPrefix(s.For, "station ")
	if station {
		there = slices.Clone(s.Places)
		for n := range a.Kitchen.Steps {
			there = append(there, a.Kitchen.StationOf(n))
		}
	} else {
		name = strings.TrimPrefix(s.For, "person ")
		there = slices.Clone(s.People)
		for _, shift := range a.Week.Shifts {
			there = append(there, shift.Names...)
		}
	}
	if slices.Contains(there, name) {
		return nil
	}
	slices.Sort(there)
	return slices.Compact(there)
}

// Wanted is the name of the person or the station that is asked for.
func (s *sheetsAnswer) Wanted() string {
	if _, name, ok := strings.Cut(s.For, " "); ok {
		return name
	}
	return s.For
}

// IsStation tells that a station is asked for.
func (s *sheetsAnswer) IsStation() bool { return strings.HasPrefix(s.For, "station ") }

func theSheets(ctx context.Context, a *asked) (any, error) {
	// The rows stay under the file's own names: the page says them, and forms send them.
	day := a.today()
	if text := a.Query.Get("on"); text != "" {
		var err error
		if day, err = clock.Day(a.Week, text); err != nil {
			return nil, &Refusal{Msg: err.Error(), Hint: "choose one of the days on the Sheets page"}
		}
	}
	all, err := clock.SheetsOn(ctx, a.Week, day)
	if err != nil {
		return nil, err
	}
	s := &sheetsAnswer{Day: all.Day, For: a.Query.Get("for"), Kept: all.Cautions}
	for d := range a.Week.Days {
		s.Dates = append(s.Dates, a.Week.Date(d).Format(time.DateOnly))
	}
	of := a.allBatches()
	for _, one := range all.Sheets {
		list, kind := &s.People, "person "
		if one.Station {
			list, kind = &s.Places, "station "
		}
		if !slices.Contains(*list, one.For) {
			*list = append(*list, one.For)
		}
		if kind+one.For != s.For {
			continue
		}
		own := sheetOf{Sheet: one}
		if one.Tasks, err = a.marked(ctx, a.Week.Kitchen, one.Tasks); err != nil {
			return nil, err
		}
		for i := range one.Tasks {
			own.Rows = append(own.Rows, ofBatch(a.Week, &one.Tasks[i], of))
		}
		open := min(openRows, len(own.Rows))
		own.Rows, own.Later = own.Rows[:open], own.Rows[open:]
		own.Told = a.tell(own.Unfit, func(w *week.Week) (list []clock.Conflict, err error) {
			told, err := clock.SheetsOn(ctx, w, day)
			if err == nil {
				for _, o := range told.Sheets {
					list = append(list, o.Unfit...)
				}
			}
			return list, err
		})
		s.Own = append(s.Own, own)
	}
	if s.For != "" && len(s.Own) == 0 {
		s.NoSuch = a.noSheet(s)
	}
	return s, nil
}

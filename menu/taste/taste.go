package taste

// How the batches of a step, or an item from time to time, came out.

import (
	"context"
	"slices"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Answer is what was measured of a step's batches, or of an item.
type Answer struct {
	LogBook  string     `json:"log_book"`        // its file
	Of       string     `json:"of"`              // the step or item
	AsOf     string     `json:"as_of"`           // 2006-01-02 15:04:05
	Batches  int        `json:"batches"`         // of which something was measured; of an item, how often
	Last     string     `json:"last"`            // the day of the last one, 2006-01-02; "" where there is none
	Right    []Righting `json:"right"`           // what puts the last one right
	Gone     bool       `json:"gone"`            // nothing of the last one is left within its date, so there is nothing to put right
	Together []Righting `json:"together"`        // what is done for all of them at once, in this order; empty where one thing is all
	Blend    *Blend     `json:"blend"`           // of what is on hand, that puts it right as well; null where none does
	Measures []Measured `json:"measures"`        // in the order of the kitchen file
	Enough   int        `json:"enough"`          // how many batches it takes to say what goes with what
	Held     int        `json:"held"`            // how many times a thing was compared with a measure
	FoundIn  int        `json:"found_in"`        // of ten figures that make two thirds of how a measure varies, how many so many batches tell; 0 of too few
	TooFew   *TooFew    `json:"too_few"`         // what is one way or the other and takes more batches to be told; null where there is none
	Mother   *Mother    `json:"mother"`          // of a step that carries its stock from batch to batch; else null
	Under    *Trialled  `json:"trial_under_way"` // null where none is of this step
	CanVary  []string   `json:"can_vary"`        // what is proposed to be varied: what the cook sets, be it known of any batch or not; no line that was filled otherwise than with its first choice last
	Trial    *Trial     `json:"trial"`           // what to vary to find out; null where nothing that the cook sets is known
	Photos   []Photo    `json:"photos"`          // the latest batch first
	Notes    []Note     `json:"notes"`           // as they were written, the latest first, at most ten

	asked bool
}

// Measured is a measure over the batches.
type Measured struct {
	Name     string          `json:"name"`
	Unit     string          `json:"unit"` // "" of a scale
	Top      float64         `json:"top"`  // of a scale; 0 of what is read off an instrument
	Aim      *kitchen.Range  `json:"aim"`  // null where the file gives none
	Handling bool            `json:"handling"`
	Batches  int             `json:"batches"`
	Mean     *float64        `json:"mean"`
	Spread   *float64        `json:"spread"` // sample standard deviation; null of fewer than two
	Last     *float64        `json:"last"`
	Outside  int             `json:"outside"` // batches outside the aim
	Limits   *logbook.Limits `json:"limits"`  // within the scale, and not below 0 where nothing was; null of fewer than five batches, or where all are alike
	Points   []Point         `json:"points"`  // in the order of time
	Drift    *Drift          `json:"drift"`   // where so many batches are out of line that it moves plainly from batch to batch; else null
	Goes     []Goes          `json:"goes"`    // what was held against it: what was found, then the rest, the least likely chance first

	of *kitchen.Measure
}

// Drift is how a measure moves by day, in a straight line through all batches (least squares).
type Drift struct {
	Since string  `json:"since"` // 2006-01-02, the first batch
	ByDay float64 `json:"by_day"`
}

// Asked tells whether it was said what the trial is to vary.
func (a *Answer) Asked() bool { return a.asked }

// Point is a batch as it was measured.
type Point struct {
	Entry   int64    `json:"entry"`
	Day     string   `json:"day"` // 2006-01-02
	Value   float64  `json:"value"`
	Side    string   `json:"side"`    // "above", "below" or "jump" where it is out of line, see [logbook.Limits.Side]
	Unusual []string `json:"unusual"` // of one out of line: what was not as usual with it

	Odd []Odd `json:"-"` // what Unusual says, in its parts
}

// Odd is something that was not as usual with a batch.
type Odd struct {
	logbook.Fact
	Usual float64 // of a figure
}

func (o Odd) String() string {
	if o.Word != "" {
		return o.Fact.String()
	}
	return o.Said(o.Usual)
}

// Note is what was written about a batch.
type Note struct {
	Day  string `json:"day"` // 2006-01-02
	Text string `json:"text"`
}

// Subject is what is asked about: a step of the kitchen, or an item where Step is negative.
type Subject struct{ Step, Item int }

// name is what it is called in the kitchen file.
func (s Subject) name(k *kitchen.Kitchen) (string, kitchen.Named) {
	if s.Step >= 0 {
		return k.Graph.Steps[s.Step].Name, kitchen.NamedStep
	}
	return k.Graph.Items[s.Item].Name, kitchen.NamedItem
}

// mostNotes is how many notes are shown.
const mostNotes = 10

// Ask is what is asked beside how a subject came out.
type Ask struct {
	Vary []string // what a trial is to vary; of none, those that go with a measure most are proposed
	Kept *Kept    // the trial under way; nil for none

	Folder string // of photos; "" for none
}

// Of tells how a subject came out up to a moment.
func Of(ctx context.Context, k *kitchen.Kitchen, book *logbook.Book, of Subject, asOf time.Time, ask Ask) (*Answer, error) {
	batches, err := book.Tastings(ctx, k, of.Step, of.Item, asOf)
	if err != nil {
		return nil, err
	}
	name, _ := of.name(k)
	measures := k.Measures[max(of.Item, 0)]
	if of.Step >= 0 {
		measures = k.Steps[of.Step].Measures
	}
	a := &Answer{Of: name, AsOf: asOf.Format(time.DateTime), Batches: len(batches), Enough: Enough, asked: len(ask.Vary) > 0, Right: []Righting{}, Together: []Righting{}, Notes: []Note{}}
	if a.Batches > 0 {
		a.Last = batches[a.Batches-1].When().Format(time.DateOnly)
	}
	handling := handled(measures)
	if a.Measures, a.Held, err = measuredOver(ctx, measures, batches); err != nil {
		return nil, err
	}
	a.FoundIn = foundIn(a.Batches)
	a.TooFew = tooFew(a.Measures)
	// What was written, what puts the last one right, and what to vary.
	for i := len(batches) - 1; i >= 0 && len(a.Notes) < mostNotes; i-- {
		for _, text := range batches[i].Notes {
			a.Notes = append(a.Notes, Note{batches[i].When().Format(time.DateOnly), text})
		}
	}
	if a.Batches > 0 {
		falls, err := book.Falls(ctx, k, asOf)
		if err != nil {
			return nil, err
		}
		last, err := left(ctx, k, book, of, batches[a.Batches-1], asOf)
		if err != nil {
			return nil, err
		}
		if a.Gone = last == nil; !a.Gone {
			a.Right = righted(k, of, measures, last, falls)
			a.Together = together(a.Right)
		}
		if a.Blend, err = blended(ctx, k, book, of, measures, batches, asOf); err != nil {
			return nil, err
		}
	}
	if a.Photos = []Photo{}; ask.Folder != "" {
		if a.Photos, err = Photos(ask.Folder, k, of); err != nil {
			return nil, err
		}
	}
	if of.Step >= 0 {
		if a.Mother, err = motherOf(ctx, k, book, of.Step, measures, batches, asOf); err != nil {
			return nil, err
		}
	}
	noted := factorsKnown(batches, handling)
	unknown := factorsUnknown(k, of.Step, measures, noted)
	a.CanVary = []string{}
	for _, f := range notOf(slices.Concat(noted, unknown), batches) {
		a.CanVary = append(a.CanVary, f.name)
	}
	a.Trial, err = a.trial(k, of.Step, noted, unknown, ask.Vary)
	if err == nil && ask.Kept != nil && of.Step >= 0 && k.Now(kitchen.NamedStep, ask.Kept.Of) == name {
		a.Under, err = ask.Kept.Trialled(ctx, k, book, asOf)
	}
	return a, err
}

// measuredOver is what was measured, batch by batch, and what goes with it; held is how many things were held against it.
func measuredOver(ctx context.Context, measures []kitchen.Measure, batches []logbook.Tasting) (list []Measured, held int, err error) {
	list = []Measured{}
	handling := handled(measures)
	things, known := factorsOf(batches, handling), knownOf(batches, handling)
	for i := range measures {
		m := &measures[i]
		if m.Sort == kitchen.InWords {
			continue
		}
		measured, values := overBatches(m, batches, known)
		if !m.Handling {
			if measured.Goes = goesWith(things, values); measured.Goes == nil {
				measured.Goes = []Goes{}
			}
			held += len(measured.Goes)
		}
		list = append(list, measured)
		if ctx.Err() != nil {
			return nil, 0, context.Cause(ctx)
		}
	}
	bound(list)
	return list, held, nil
}

// handled are the units of what is noted of how a batch is handled, by name.
func handled(measures []kitchen.Measure) map[string]string {
	units := map[string]string{}
	for _, m := range measures {
		if m.Handling {
			units[m.Name] = m.Unit
		}
	}
	return units
}

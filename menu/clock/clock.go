package clock

// The answer: the timetable, and how it is put together.

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Timetable is the whole night and day as one ordered list. Times are by the kitchen's own clock; quantities are in the
// unit in which the step's card writes the item.
type Timetable struct {
	Title     string        `json:"kitchen"` // its name
	From      string        `json:"from"`    // 2006-01-02
	Days      int           `json:"days"`
	On        *string       `json:"on"`      // 2006-01-02, the only day that is shown; null for all
	Ready     *Service      `json:"ready"`   // with --ready: the service that all is to be ready for; null without
	Lit       []string      `json:"lit"`     // what was typed behind --lit
	Latest    []Latest      `json:"latest"`  // with --ready: the latest start of all that the service rests on, by time
	Late      []Late        `json:"late"`    // with --lit: what comes too late for what it was meant for
	Short     []Short       `json:"short"`   // with --lit: dishes that sell less than without, by service
	Instead   []Instead     `json:"instead"` // with --lit: substitutes that are taken more than without
	Overdue   []Overdue     `json:"overdue"` // what was to be done by now and nobody wrote down, by time
	Rows      []Row         `json:"rows"`    // by time: what was done today and written down, then what is to be done
	Conflicts []Conflict    `json:"conflicts"`
	Cautions  []string      `json:"cautions"`
	Code      string        `json:"code"`              // the food code of the limits on heat
	Without   []ask.Missing `json:"without,omitempty"` // what batches and dishes go without, as the file lets them
	Notes     []string      `json:"notes,omitempty"`
}

// Service is one service of one day.
type Service struct {
	Name   string `json:"name"`
	Begins string `json:"begins"` // 2006-01-02T15:04
}

// What a row says is to be done.
const (
	Start   = "start"    // a step begins
	PutIn   = "put in"   // something goes into a batch
	TakeOut = "take out" // something comes out of a batch
	Turn    = "turn"     // a phase begins: from a rolling boil to a simmer
	Make    = "make"     // all of a step at once: its file says nothing of how long it takes, or it was written so
	Work    = "work"     // an act of a batch that moves nothing: to skim, to pull, to strain, to cool, to wash
	Read    = "read"     // the temperature of what cools is to be read
	Serve   = "serve"    // a service begins

	// Only of what was done.
	AllOut  = week.Done
	Skipped = week.Skipped
	Lost    = week.Lost
)

// Row is one thing to do.
type Row struct {
	At       string   `json:"at"`                     // 2006-01-02T15:04
	Card     string   `json:"card_at,omitempty"`      // 2006-01-02T15:04, the time by the card, where hands come to it at another
	TooLate  string   `json:"too_late_for,omitempty"` // of what comes out later than its card says, for its batch was begun late: the first service that rests on it, where that has begun by then
	Latest   bool     `json:"latest"`                 // the file sets no time: at is when hands begin, as late as they can; with --ready, the latest moment
	By       string   `json:"by,omitempty"`           // 2006-01-02T15:04, by when it is to be done, of what is made at once; until when, of what is done every hour
	Minutes  int      `json:"minutes,omitempty"`      // that it keeps hands busy
	Hourly   bool     `json:"hourly,omitempty"`       // so many minutes in every hour
	People   int      `json:"people,omitempty"`       // that it needs at once
	Who      []string `json:"who,omitempty"`          // who does it, by name or as "cook 2 (06:00)", of the shift that begins then; several where it needs them, or one hands over
	Guessed  bool     `json:"guessed,omitempty"`      // the minutes are by common practice: the file does not say
	Act      string   `json:"act,omitempty"`          // of "work": as the file calls it, such as "pull"
	Cold     bool     `json:"once_cold,omitempty"`    // of "work": it waits until what it is done to is cold
	Overdue  bool     `json:"overdue,omitempty"`      // of "read": it was due by then, and nobody wrote down what was read
	Of       []Part   `json:"of,omitempty"`           // of "work" and "read": what it is done to
	Nobody   *Nobody  `json:"nobody_there,omitempty"` // of "read", where the file says who is there when, and nobody is then
	Limits   []CoolBy `json:"limits,omitempty"`       // of the code, of what cools
	Needed   bool     `json:"as_needed,omitempty"`    // it is made as needed
	Unsaid   string   `json:"unsaid,omitempty"`       // what of its hours nobody has said yet: at is then by when it is needed, not when it is done
	Earliest *string  `json:"earliest,omitempty"`     // 2006-01-02T15:04, when all that it takes is there, where that is known
	Station  string   `json:"station"`                // the vessel, or "bench", where the file names none
	Vessel   string   `json:"vessel"`                 // "" for none
	Step     string   `json:"step"`                   // or the service
	Begun    string   `json:"begun"`                  // 2006-01-02T15:04, when the step begins; with the step, it tells works apart
	Day      string   `json:"day,omitempty"`          // 2006-01-02, on which the batch was to begin, of one that is under way or of which something was done
	Do       string   `json:"do"`                     // "start", "put in", "take out", "turn" (a phase begins), "make" (all of a step without times), "work" (an act that moves nothing), "read" (the temperature of what cools) or "serve"; of what was done also "done", "skipped" and "lost"
	Entry    int64    `json:"entry,omitempty"`        // of the log book, that says it was done; left out of what is to be done
	Share    float64  `json:"share,omitempty"`        // that was lost
	Phase    string   `json:"phase,omitempty"`        // that begins now
	Batches  float64  `json:"batches"`
	In       []Part   `json:"in"`
	Out      []Part   `json:"out"`
	Litres   *float64 `json:"litres"`         // about what the vessel then holds; null without a vessel or a set time
	Ends     bool     `json:"ends"`           // the step is done, its vessel free
	For      []string `json:"for"`            // the dishes with the most portions that rest on it, three at most; steps where no dish does
	More     int      `json:"more"`           // further dishes
	First    string   `json:"first"`          // the first service that rests on it, as "Wed 25 Nov lunch"; "" for none
	Heat     []Heat   `json:"heat,omitempty"` // the food code's limits on cooking, reheating and holding hot that bind here, where it names any
	Until    string   `json:"until"`          // of what is made as needed, the last service that it is enough for; "" where that is the first, where it lasts beyond the days asked about, and for all else

	Try   []string `json:"try,omitempty"`  // of the beginning of a batch of a trial: at which level each thing is to be
	Tried []Tried  `json:"-"`              // what Try says, in its parts
	Aims  []Aim    `json:"aims,omitempty"` // of what is to be measured now: where it should be, and where it was in the last days

	InPot measure.Quantity `json:"-"` // what Litres say, as the kitchen measures

	work   int // -1 for a service
	minute int
	turns  []shiftTurn // who does which part of it
}

// Nobody says between whom a temperature is due that nobody is there to read. Both are empty where nobody is there before, or comes after, in the
// days that are looked at.
type Nobody struct {
	Leaves string `json:"last_leaves"` // 2006-01-02T15:04, when the last of those who are there before leaves
	Opens  string `json:"opens"`       // who comes next
	At     string `json:"opens_at"`    // 2006-01-02T15:04, when
}

// Tried is a thing that a trial varies, and how it is to be in a batch: "less", "more", "sooner", "later", "shorter" or "longer", and how much that is,
// "" for nobody knows: than usual.
type Tried struct{ Thing, How, Amount string }

func (t Tried) String() string {
	if t.Amount == "" {
		return t.Thing + " " + t.How + " than usual"
	}
	return t.Thing + " " + t.How + ", " + t.Amount
}

// Aim is where a measure should be, and where it was of late.
type Aim struct {
	Measure string         `json:"measure"`
	Unit    string         `json:"unit"`
	Text    string         `json:"text"`  // "3 to 4 of 5"; "" where the file gives none
	Scale   *kitchen.Range `json:"scale"` // its ends; null of what is read off an instrument
	Aim     *kitchen.Range `json:"aim"`   // null where the file gives none
	Week    []float64      `json:"week"`  // what was measured in the last seven days, in the order of time
	Side    string         `json:"side"`  // "above" or "below" where the mean of these is outside the aim
}

// Part is a quantity of an item.
type Part struct {
	Item   string  `json:"item"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
	Lot    string  `json:"lot,omitempty"`     // its mark, where one was written down
	Card   bool    `json:"by_card,omitempty"` // nobody measured it: it is by the card

	Many   string  `json:"-"` // what several of the item are called, where it is counted
	As     string  `json:"-"` // how its unit is shown, where that is not Unit: "lb oz"
	Pieces float64 `json:"-"` // of what is counted: how many a cook speaks of; 0 where none are named
}

// ShownIn is the unit in which it is shown, as the card has it.
func (p Part) ShownIn() string { return cmp.Or(p.As, p.Unit) }

// Minute is the row's moment, in minutes after the midnight before day 0.
func (r *Row) Minute() int { return r.minute }

// Since is how long the work has gone on at the row's moment, in minutes.
func (r *Row) Since() int {
	at, errAt := time.Parse(minutely, r.At)
	begun, errBegun := time.Parse(minutely, r.Begun)
	if errAt != nil || errBegun != nil {
		panic("mistake: a row has no time")
	}
	return int(at.Sub(begun).Minutes())
}

// Due is by when what is to be read must be as cold as its limit asks.
func (r *Row) Due() time.Time {
	at, err := time.Parse(readLayout, *r.Limits[0].By)
	if err != nil {
		panic("mistake: a limit has no time")
	}
	return at
}

// minutely is how moments are written.
const minutely = "2006-01-02T15:04"

// table is a timetable being put together.
type table struct {
	*week.Week
	*Timetable
	night  *night
	memory *Memory
	times  []int                 // by work: when it begins
	early  []int                 // by work: when all that it takes is there
	made   []bool                // by work: another work's giving decides that
	lit    map[ofBatch]time.Time // when the batches began of which something happened
	due    []int                 // by work: its time as late as it may, before work was given to hands
	given  *day                  // the work given to hands; nil with --ready
	asked  flow.Case             // that was played
	trial  bool                  // nobody asks what would help: it may be played to see whether something would
	extra  extra                 // than the kitchen has, in a trial
}

// Of is the timetable of a week, or of one of its days: what is done on it, and to the end all that begins on it. A nil
// day asks for the whole period.
func Of(ctx context.Context, w *week.Week, on *int) (*Timetable, error) {
	t, err := newTable(ctx, w, w.Case)
	if err != nil {
		return nil, err
	}
	return t.Timetable, t.fill(ctx, func(int) bool { return true }, on)
}

// Rows is the timetable without what would help where something cannot be: to find that takes most of the time of [Of].
func Rows(ctx context.Context, w *week.Week, on *int) (*Timetable, error) {
	t, err := newTable(ctx, w, w.Case)
	if err != nil {
		return nil, err
	}
	t.trial = true
	return t.Timetable, t.fill(ctx, func(int) bool { return true }, on)
}

// Day finds the one day of the week that a text names.
func Day(w *week.Week, text string) (int, error) {
	days, err := w.DaysNamed(text)
	if err != nil {
		return 0, err
	}
	if len(days) > 1 {
		return 0, fmt.Errorf("%q names %d days: write one of them as a date, such as %s", text, len(days),
			w.Date(days[0]).Format(time.DateOnly))
	}
	return days[0], nil
}

func newTable(ctx context.Context, w *week.Week, c flow.Case) (*table, error) {
	n, err := follow(ctx, w, c)
	if err != nil {
		return nil, err
	}
	t := tableOf(w, c, n)
	t.memory = memoryOf(ctx)
	return t, nil
}

// tableOf begins a table of what was followed of a case.
func tableOf(w *week.Week, c flow.Case, n *night) *table {
	early, made := n.earliest(byCard)
	t := &table{Week: w, night: n, asked: c, times: n.times(early), early: early, made: made,
		Timetable: &Timetable{Title: w.Name, Code: w.Code.Title, From: w.From.Format(time.DateOnly), Days: w.Days,
			Lit: []string{}, Latest: []Latest{}, Late: []Late{}, Short: []Short{}, Instead: []Instead{}, Overdue: []Overdue{}, Rows: []Row{},
			Conflicts: []Conflict{}, Cautions: []string{}}}
	t.lit = t.begins()
	return t
}

// fill writes what is overdue and was done, the rows of the works that are kept, the services, the conflicts and the cautions.
func (t *table) fill(ctx context.Context, keep func(work int) bool, on *int) error {
	from, to := 0, t.night.schedule.Ends()
	if on != nil {
		from, to = *on*1440, (*on+1)*1440
		if t.Date(*on).Equal(t.DayAt(t.moment(t.Now))) { // what has begun since midnight, while the day is still served
			to = max(to, t.Now+1)
		}
		t.On = new(t.Date(*on).Format(time.DateOnly))
	}
	if t.due = slices.Clone(t.times); t.Timetable.Ready == nil {
		t.giveWork()
	}
	for i := range t.night.works {
		if t.night.works[i].kind != plate && !t.night.works[i].over && keep(i) && t.times[i] < to {
			for _, r := range t.byHand(i, t.rows(i)) {
				if r.minute >= from {
					t.Rows = append(t.Rows, r)
				}
			}
		}
	}
	for k, slot := range t.night.schedule.Slots {
		if r, ok := t.serving(k); ok && (on == nil || slot.Day == *on) {
			t.Rows = append(t.Rows, r)
		}
	}
	if t.Now >= from {
		t.overdue()
		t.past(from, t.Now+1) // what is written down just now is done
		t.begun(to)
		t.following(to)
		t.cools(to)
	}
	t.Rows = inTime(t.Rows)
	t.Without = ask.GoesWithout(t.Week, t.night.schedule, t.night.outcome, on)
	t.conflicts(from, to)
	if err := t.helpTight(ctx, from, to); err != nil {
		return err
	}
	t.cautions()
	t.untimed()
	t.guesses()
	if t.given != nil {
		t.given.waiting()
	}
	return nil
}

// stamp writes a moment.
func stamp(w *week.Week, minute int) string {
	return w.From.Add(time.Duration(minute) * time.Minute).Format(minutely)
}

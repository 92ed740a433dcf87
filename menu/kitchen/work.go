package kitchen

// The work of a step that needs hands: which acts, when, how long, by how many people; and what is guessed where the file is silent.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// When is the moment of a batch at which an act is done.
type When uint8

const (
	AtMinute   When = iota // some minutes after the step starts, as the file says
	AtStart                // when it is lit
	AtPutIn                // each time that something goes in
	AtTakeOut              // each time that something comes out
	Meanwhile              // while it is on
	AfterOut               // when the first of what it gives is out
	AfterEnd               // when the last is out; of acts on pieces, the last that is no liquid
	AfterAll               // when the last is out and all else is done: the pot is washed
	WhenCooled             // when something is out that must be cooled
	AtBench                // it is the whole step: one that has no length
)

// Act is a piece of work on a batch that needs hands.
type Act struct {
	Name    string
	Base    int  // minutes, however many batches are made at once
	Each    int  // minutes more for each batch
	Hourly  bool // so much in every hour that the batch is on
	When    When
	At      int  // of AtMinute: minutes after the step starts
	People  int  // hands that it needs
	Wait    Wait // whether what must cool is cooled before
	Guessed bool // by common practice: the file does not say

	waits bool // the file says so
}

// Wait says of an act on what must be cooled whether it is done before that or once it is cold.
type Wait uint8

const (
	WarmFirst  Wait = iota // before it is set to cool
	WarmOrCold             // before, unless it would then be set to cool too late: then once it is cold
	OnceCold               // when it has been read cold
)

// The words of the file for them, behind the minutes. Unless it says otherwise, what is portioned, sliced, packed or wrapped may be so
// cold as well (common practice, no source); meat is pulled and picked, and liquid strained, while warm.
var waitWords = map[string]Wait{"while warm": WarmFirst, "warm or cold": WarmOrCold, "once cold": OnceCold}

var coldToo = []string{"portion", "slice", "pack", "wrap"}

// OfPieces tells whether an act parts or packs what has come out, which is none of the liquid that runs off beside it.
func (a Act) OfPieces() bool { return a.When == AfterEnd && slices.Contains(coldToo, a.Name) }

// Minutes is how long it takes for so many batches made at once. What a part of a batch adds is in steps of five minutes.
func (a Act) Minutes(batches float64) int {
	each := float64(a.Each) * batches
	if batches != math.Round(batches) {
		each = 5 * math.Ceil(each/5-1e-6)
	}
	return a.Base + int(math.Round(each))
}

// The acts that stand at a stage of the batch by their names; any other says "at" which minute.
const (
	PutInAct, TakeOutAct, CoolAct, WashAct = "put in", "take out", "cool", "wash"

	lightAct, makeAct, workAct = "light", "make", "work"
)

var actStages = []struct {
	name string
	when When
}{
	{lightAct, AtStart}, {"load", AtStart}, {"fill", AtStart}, {workAct, AtStart}, {PutInAct, AtPutIn}, {TakeOutAct, AtTakeOut},
	{"skim", Meanwhile}, {"stir", Meanwhile}, {"turn", Meanwhile}, {"baste", Meanwhile}, {"tend", Meanwhile},
	{"pull", AfterOut}, {"pick", AfterOut}, {"bone out", AfterOut},
	{"strain", AfterEnd}, {"drain", AfterEnd}, {"press", AfterEnd}, {"slice", AfterEnd}, {"portion", AfterEnd}, {"pack", AfterEnd}, {"wrap", AfterEnd},
	{"chill", AfterEnd}, {CoolAct, WhenCooled}, {WashAct, AfterAll},
}

// Minutes that are guessed where a file says nothing: common practice, no source. To light is to fill and light; to cool is to
// part into shallow pans or set into ice water, and to read the first temperature; bench work is weighing, cutting and cooking.
const (
	guessedLight, guessedHandling, guessedCool, guessedWash = 15, 15, 15, 15
	guessedMake, guessedMakeEach                            = 15, 10
)

func stageOf(name string) (When, bool) {
	for _, s := range actStages {
		if s.name == name {
			return s.when, true
		}
	}
	return 0, false
}

func actNames() (names []string) {
	for _, s := range actStages {
		if s.name != workAct {
			names = append(names, s.name)
		}
	}
	return names
}

// Acts are the acts of a step: those of the file, then what is guessed of what it does not say, in the order in which they come.
// Of a step that is made to order, at the pass, nothing is guessed: that is the work of the service.
func (k *Kitchen) Acts(step int) (acts []Act) {
	st, card := k.Graph.Steps[step], &k.Steps[step]
	acts = slices.Clone(card.Work)
	guess := func(name string, when When, base, each int) {
		stated := func(a Act) bool { return a.When == when }
		if !slices.ContainsFunc(acts, stated) {
			acts = append(acts, Act{Name: name, Base: base, Each: each, When: when, People: 1, Guessed: true})
		}
	}
	if st.Length() == 0 {
		if st.Mode != graph.ToOrder || st.AsNeeded() {
			guess(makeAct, AtBench, guessedMake, guessedMakeEach)
		}
	} else {
		guess(lightAct, AtStart, guessedLight, 0)
		guess(PutInAct, AtPutIn, guessedHandling, 0)
		guess(TakeOutAct, AtTakeOut, guessedHandling, 0)
	}
	guess(CoolAct, WhenCooled, guessedCool, 0)
	if card.Vessel >= 0 {
		guess(WashAct, AfterAll, guessedWash, 0)
	}
	return acts
}

// Minutes of an act as they are written: "20 min + 5 min a batch", "5 min an hour", each with "at 3 h", "with 2 people" and "once cold" behind.
const (
	workPattern = measure.DurationPattern + "(?: a batch| an hour| *[+] *" + measure.DurationPattern + " a batch)?" +
		"(?: at " + measure.DurationPattern + ")?(?: with [1-9][0-9]? (?:people|person))?(?: while warm| warm or cold| once cold)?"
	workExample = "20 min + 5 min a batch"
)

var workForm = regexp.MustCompile(`^(` + measure.DurationPattern + `)( a batch| an hour|(?: *[+] *)(` + measure.DurationPattern + `) a batch)?` +
	`(?: at (` + measure.DurationPattern + `))?(?: with ([1-9][0-9]?) (?:people|person))?(?: (while warm|warm or cold|once cold))? *$`)

var actForm = &form{shape: text, what: "minutes such as " + workExample, pattern: workPattern}

var workKey = key{"work", &form{shape: text, what: "minutes such as " + workExample, pattern: workPattern,
	or: &form{shape: entries, what: "minutes by act such as {light: 20 min, pull: 15 min + 5 min a batch}", pattern: namePattern, of: actForm}}, may,
	"How long it keeps hands busy, by act: 45 min; 20 min + 5 min a batch; 5 min an hour; behind that \"at 3 h\", when it is not at the act's own " +
		"stage, \"with 2 people\", and of what must be cooled \"once cold\", \"warm or cold\" or \"while warm\". Acts with a stage of their own: " + strings.Join(actNames(), ", ") + ". What is not written is guessed, and told so."}

// parseAct reads the minutes of an act.
func parseAct(s string) (a Act, err error) {
	m := workForm.FindStringSubmatchIndex(s)
	if m == nil {
		hint := "write 45 min, " + workExample + ", or 5 min an hour; then \"at 3 h\" and \"with 2 people\" where they apply"
		if _, number := Digits(s); number {
			hint = fmt.Sprintf("write %q", s+" min")
		}
		return a, &measure.Error{Msg: fmt.Sprintf("%q does not say how long the work takes", s), Len: len(s), Hint: hint}
	}
	part := func(n int) string {
		if m[2*n] < 0 {
			return ""
		}
		return s[m[2*n]:m[2*n+1]]
	}
	minutes := func(n int) (value int) {
		if m[2*n] < 0 || err != nil {
			return 0
		}
		value, wrong := measure.ParseDuration(part(n))
		if wrong != nil {
			err = shifted(wrong, m[2*n])
		}
		return value
	}
	a = Act{Base: minutes(1), People: 1, When: AtMinute, At: minutes(4)}
	switch tail := part(2); {
	case tail == " a batch":
		a.Base, a.Each = 0, a.Base
	case tail == " an hour":
		a.Hourly = true
	case tail != "":
		a.Each = minutes(3)
	}
	if part(4) == "" {
		a.At = notTimed
	}
	if n := part(5); n != "" {
		a.People, _ = strconv.Atoi(n)
	}
	if words := part(6); words != "" {
		a.Wait, a.waits = waitWords[words], true
	}
	return a, err
}

// work reads the acts of a step, in the order of the file.
func (r *reader) work(body *yaml.Node) (acts []Act) {
	read := func(name string, n *yaml.Node) {
		a, err := parseAct(n.Value)
		if err != nil {
			r.misread(n, "bad-work", err)
			return
		}
		a.Name = name
		if !a.waits && slices.Contains(coldToo, name) {
			a.Wait = WarmOrCold
		}
		acts = append(acts, a)
	}
	n := r.value(body, workKey.name)
	if n == nil {
		return nil
	}
	if n.Kind == yaml.ScalarNode {
		read(workAct, n)
		return acts
	}
	for key, v := range r.pairs(n) {
		read(key.Value, v)
	}
	return acts
}

// checkWork holds the acts of a step against how long it takes, and finds the stage of each.
func (r *reader) checkWork(rec *recipe, st graph.Step, step int) {
	card := &r.k.Steps[step]
	length := st.Length()
	written := r.value(rec.body, workKey.name)
	for i := range card.Work {
		a := &card.Work[i]
		where := r.span(written)
		if written.Kind == yaml.MappingNode {
			where = r.span(r.value(written, a.Name))
		}
		stage, known := stageOf(a.Name)
		switch {
		case length == 0 && a.Hourly:
			r.fault(where, "work-when", `write how long it takes, such as 45 min, or when the step's work is out: ", out at 2 h"`,
				"%q says how long %q takes in an hour, but not how long it is on", rec.name, a.Name)
		case length == 0 && a.At != notTimed:
			r.fault(where, "work-when", `leave "at" out, or write when the step's work is out: ", out at 2 h"`,
				"%q says when %q is done, but not how long the step takes", rec.name, a.Name)
		case length == 0 && known && (stage == WhenCooled || stage == AfterAll): // after the work itself
			a.When = stage
		case length == 0:
			a.When = AtBench
		case a.At > length:
			r.fault(where, "work-late", "write a time before the last of the step is out", "%q of %q is at %s, but the last of the step is out at %s",
				a.Name, rec.name, measure.FormatDuration(a.At), measure.FormatDuration(length))
		case a.Hourly && a.At != notTimed:
			r.fault(where, "work-when", "write one of the two", "%q of %q is done every hour, so it has no time", a.Name, rec.name)
		case a.Hourly:
			a.When = Meanwhile
		case a.At != notTimed:
			a.When = AtMinute
		case !known:
			r.fault(where, "work-when", fmt.Sprintf("write when, such as %q, or call it one of %s", asWrittenAct(a)+" at 2 h",
				strings.Join(actNames(), ", ")), "%q does not say when %q is done", rec.name, a.Name)
		default:
			a.When = stage
		}
		if stage := a.When; a.waits && (stage != AfterOut && stage != AfterEnd && (stage != AtBench || a.Wait == WarmOrCold)) {
			r.fault(where, "work-when", fmt.Sprintf("leave it out, or call it one of %s", strings.Join(afterActs(), ", ")),
				"%q of %q is not done on what has come out, so it can't say whether that is warm or cold", a.Name, rec.name)
		}
		r.checkRoom(step, a, where)
	}
}

// afterActs are the names of acts on what has come out.
func afterActs() (names []string) {
	for _, s := range actStages {
		if s.when == AfterOut || s.when == AfterEnd {
			names = append(names, s.name)
		}
	}
	return names
}

// asWrittenAct is the act's own minutes, as an example.
func asWrittenAct(a *Act) string { return a.Name + ": " + measure.FormatDuration(max(a.Base, a.Each)) }

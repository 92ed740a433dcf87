package show

// Sheets: what one person does in a shift and what is done at one station, on one page each, with boxes to tick.

import (
	"bytes"
	_ "embed"
	"html/template"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"golang.org/x/text/language"

	"kettletree/graph/measure"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// sheetView is a sheet in words.
type sheetView struct {
	Title, When, Below     string // below the tasks: to what food is cooked
	Elsewhere              string // where how things are made stands
	Limits, Unfit, Overdue []string
	Mind                   []string // cautions
	Tasks                  []taskView
	Station                bool
	Pictured               bool // there is room for the pictures on paper
	Brief                  bool // paper has none for how things are made, and says where that stands; a phone has
	Size                   int  // in print: place among sheetSizes
}

// taskView is one thing to do.
type taskView struct {
	At, What, Amounts, How, Note string
	Tick                         bool // it has a box
	Photo                        *photoView
	Marks                        []sheetScale // of what is measured then
}

// sheetScale is a scale to measure on, by the name of what is measured.
type sheetScale struct {
	Measure string
	Marks   []AimMark
}

// Photos are the pictures that a page can show, by the name that the file gives them: where each is found, and how many dots it has, 0 where
// that is not known.
type Photos = func(name string) (address string, wide, high int, ok bool)

// photoView is a picture of how a step should look.
type photoView struct {
	Address    template.URL
	Wide, High int
	Alt        string
}

// sheetWords puts a sheet into words, with the file's own words for places, people and acts in the language of the page.
type sheetWords struct {
	Page
	kitchen *kitchen.Kitchen
	brief   bool // without what a task is for
	photos  Photos
}

// word is a station, a phase, an act, a person or a service.
func (s sheetWords) word(name string) string {
	if said, ok := s.kitchen.WordIn(name, s.Voice.Language()); ok {
		return said
	}
	if m := unnamed.FindStringSubmatch(name); m != nil {
		return strings.TrimSpace(s.Voice.Word("cook")+m[1]) + m[2]
	}
	if kitchen.InLanguage(s.kitchen.Language, language.English) {
		return s.Voice.Trade(name)
	}
	return name
}

// unnamed is one of the people of a shift of whom the file gives the number only, as [kitchen.Shift] calls them.
var unnamed = regexp.MustCompile(`^cook( \d+)?( \(\d\d:\d\d\))$`)

// part is an amount of something: "14 stewing hens", "88 L de agua", "鸡蛋 40 个".
func (s sheetWords) part(x clock.Part) string {
	if s.Voice.English() {
		return parts([]clock.Part{x})
	}
	counted := x.Unit == "each"
	name := x.Item
	if counted && x.Amount > 1 && x.Many != "" {
		name = x.Many
	}
	figure := s.Voice.Amount(weighed(x.Amount, x.ShownIn()))
	if counted {
		figure = s.Voice.Pieces(quarters(partPieces(x)), name)
	}
	switch {
	case tongue.Chinese(s.Voice.Language()):
		return s.Voice.Say("%[1]s %[2]s", name, figure)
	case counted:
		return s.Voice.Say("%[1]s %[2]s", figure, name)
	}
	return s.Voice.Say("%[1]s of %[2]s", figure, name)
}

// quarters is a count with its quarter as a cook writes it.
func quarters(x float64) string { return measure.FormatPieces(x) }

func (s sheetWords) parts(list []clock.Part) string {
	var texts []string
	for _, x := range list {
		texts = append(texts, s.part(x))
	}
	return s.Voice.List(texts)
}

// view puts a sheet into words.
func (s sheetWords) view(a *clock.Sheet) sheetView {
	say := s.Voice.Say
	v := sheetView{Title: capital(s.word(a.For)), When: s.labelDay(a.Day), Station: a.Station,
		Elsewhere: say("How each is made stands in the guide: there is no room for it here.")}
	if !a.Station {
		v.When = s.Voice.Sentences(v.When, say("%[1]s to %[2]s", clockOf(a.From), clockOf(a.To)))
	}
	for i := range a.Limits {
		r := &a.Limits[i]
		v.Limits = append(v.Limits, say("%[1]s: %[2]s or colder by %[3]s", capital(s.parts(r.Of)), both(r.Limits[0].To, r.Limits[0].Scale), s.at(a, r.At)))
	}
	v.Below = CookText(s.Voice, &clock.Timetable{Rows: a.Tasks})
	for _, c := range a.Unfit {
		v.Unfit = append(v.Unfit, capital(c.Text))
	}
	for n := range a.Overdue {
		v.Overdue = append(v.Overdue, capital(say("%[1]s (%[2]s)", s.word(a.Overdue[n].Step), s.labelDay(a.Overdue[n].Day))))
	}
	for _, text := range a.Mind {
		text = capital(say(text))
		if !strings.HasSuffix(text, say(".")) {
			text += say(".")
		}
		v.Mind = append(v.Mind, text)
	}
	v.Tasks = s.tasks(a)
	return v
}

func (s sheetWords) tasks(a *clock.Sheet) (list []taskView) {
	for i := range a.Tasks {
		list = append(list, s.task(a, &a.Tasks[i]))
	}
	return list
}

// fitted puts a sheet into words that fit a page; what no page holds goes on on further ones, for nothing to do may be left off. A page
// ends where nothing that came out of a pot still waits to be cooled, if that fits.
func (s sheetWords) fitted(a *clock.Sheet) []sheetView {
	for parts := 1; ; parts++ {
		for _, cuts := range [][]int{clearCuts(a.Tasks, parts), evenCuts(a.Tasks, parts)} {
			list, fit := []sheetView{}, true
			for n, part := range divided(a, cuts) {
				v, fits := s.onPage(&part)
				if fit = fit && fits; parts > 1 {
					v.When = s.Voice.Say("%[1]s, %[2]s", v.When, s.Voice.Say("page %[1]s of %[2]s", count(n+1), count(parts)))
				}
				list = append(list, v)
			}
			if fit || parts >= len(a.Tasks) {
				return list
			}
		}
	}
}

// evenCuts are the tasks before which pages end that have as many tasks each.
func evenCuts(tasks []clock.Row, parts int) (cuts []int) {
	for n := 1; n <= parts; n++ {
		cuts = append(cuts, len(tasks)*n/parts)
	}
	return cuts
}

// clearCuts are those nearest to them that part nothing that comes out from its being worked on, such as cooled, pulled or strained.
func clearCuts(tasks []clock.Row, parts int) []int {
	parted := make([]bool, len(tasks)+1)
	out := map[string]int{}
	for i, r := range tasks {
		for _, x := range r.Of {
			if from, ok := out[x.Item]; ok && r.Do == clock.Work {
				for cut := from + 1; cut <= i; cut++ {
					parted[cut] = true
				}
			}
		}
		for _, x := range r.Out {
			out[x.Item] = i
		}
	}
	cuts, last := evenCuts(tasks, parts), 0
	for n, even := range cuts[:parts-1] {
		for off := range len(tasks) {
			if cut := even + off; cut < len(tasks) && !parted[cut] {
				cuts[n] = cut
				break
			}
			if cut := even - off; cut > last && !parted[cut] {
				cuts[n] = cut
				break
			}
		}
		cuts[n] = max(cuts[n], last)
		last = cuts[n]
	}
	return cuts
}

// divided is a sheet in parts, by the clock. Each has the limits that are met in its time; what holds for the day stands on the first.
func divided(a *clock.Sheet, cuts []int) (list []clock.Sheet) {
	limits, from := a.Limits, 0
	for n, to := range cuts {
		part := *a
		part.Tasks, part.Limits = a.Tasks[from:to], limits
		if n > 0 {
			part.Unfit, part.Overdue = nil, nil
		}
		if to < len(a.Tasks) {
			if met := slices.IndexFunc(limits, func(r clock.Row) bool { return r.At >= a.Tasks[to].At }); met >= 0 {
				part.Limits, limits = limits[:met], limits[met:]
			} else {
				limits = nil
			}
		}
		list, from = append(list, part), to
	}
	return list
}

// onPage puts a sheet into words, in letters as large as a page allows, and says whether one holds it.
func (s sheetWords) onPage(a *clock.Sheet) (v sheetView, fits bool) {
	v = s.view(a)
	v.Pictured = true
	if v.Size, fits = sheetSize(&v); fits && v.Size <= smallestPictured {
		return v, true
	}
	v.Pictured = false                           // letters that can be read go before pictures
	for _, s.brief = range []bool{false, true} { // what it is for is left off first
		v.Tasks = s.tasks(a)
		v.Brief = s.brief && slices.ContainsFunc(v.Tasks, func(t taskView) bool { return t.How != "" })
		if v.Size, fits = sheetSize(&v); fits {
			return v, true
		}
	}
	return v, false
}

// at is the time of a moment, with its day where that is not the sheet's.
func (s sheetWords) at(a *clock.Sheet, moment string) string {
	if moment[:10] == a.Day || !a.Station {
		return clockOf(moment)
	}
	day, err := time.Parse(time.DateOnly, moment[:10])
	if err != nil {
		return clockOf(moment)
	}
	return s.Voice.Weekday(day) + " " + clockOf(moment)
}

// task is what a row says to do.
func (s sheetWords) task(a *clock.Sheet, r *clock.Row) taskView {
	say := s.Voice.Say
	v := taskView{At: s.at(a, r.At), Tick: r.Do != clock.Serve}
	if byThen(r) {
		v.At = say("by %[1]s", v.At)
	}
	var notes []string
	note := func(text string) { notes = append(notes, text) }
	step := r.Step
	switch r.Do {
	case clock.Start:
		v.What = say("Start %[1]s", step)
		if r.Batches > 1 && !r.Latest {
			v.What = say("Start %[1]s, %[2]s batches", step, measure.FormatNumber(r.Batches))
		}
		if v.Amounts = s.parts(r.In); r.Phase != "" {
			note(s.word(r.Phase))
		}
		if r.Vessel != "" && r.Vessel != a.For && len(r.In) > 0 {
			note(say("into the %[1]s", r.Vessel))
		}
	case clock.PutIn:
		v.What = say("Put in %[1]s", s.parts(r.In))
		note(step)
	case clock.TakeOut:
		if v.What = say("Take out %[1]s", s.parts(r.Out)); len(r.Out) == 0 {
			v.What = say("End of %[1]s", step)
		} else {
			note(step)
		}
	case clock.Turn:
		v.What = say("Now: %[1]s (%[2]s)", s.word(r.Phase), step)
	case clock.Serve:
		v.What = say("Service: %[1]s", s.word(step))
	case clock.Read:
		v.What = say("Read the temperature of %[1]s: %[2]s or colder", s.parts(r.Of), both(r.Limits[0].To, r.Limits[0].Scale))
	case clock.Work:
		act := capital(s.word(r.Act))
		if r.Cold {
			act = say("%[1]s, once cold", act)
		}
		switch {
		case r.Act == kitchen.WashAct && r.Vessel != "":
			v.What = say("%[1]s the %[2]s", act, r.Vessel)
		case len(r.Of) > 0:
			v.What = say("%[1]s: %[2]s", act, s.parts(r.Of))
			note(step)
		default:
			v.What = say("%[1]s: %[2]s", act, step)
		}
		for _, l := range r.Limits {
			if l.By != nil {
				note(say("%[1]s (%[2]s)", say("%[1]s by %[2]s", both(l.To, l.Scale), (*l.By)[11:]), strings.TrimPrefix(l.Section, s.kitchen.Code.Title+", ")))
			}
		}
	default: // make
		v.What = say("Make %[1]s", s.parts(r.Out))
		v.Amounts = say("from %[1]s", s.parts(r.In))
		note(step)
	}
	if r.Hourly && !a.Station {
		v.Tick, v.Amounts = false, hours(r.At, min(r.By, a.To), a.From)
	}
	if !a.Station && r.At < a.From { // it goes on from the shift before
		v.At = clockOf(a.From)
	}
	v.How, v.Photo = s.how(a, r), s.photo(a, r)
	for _, text := range StoveText(s.Voice, s.word, r) {
		note(text)
	}
	for _, aim := range r.Aims {
		if marks := AimMarks(aim); marks != nil && a.Station {
			v.Marks = append(v.Marks, sheetScale{s.word(aim.Measure), marks})
		}
	}
	s.notes(a, r, note)
	v.Note = strings.Join(notes, say("; "))
	if r.Do == clock.Read {
		write := say("Write it down: ______")
		if v.Note != "" {
			write = s.Voice.Sentences(v.Note+say("."), write)
		}
		v.Note = write
	}
	return v
}

// how is how a step is done and how it should look then, as the file says, on a station's sheet.
func (s sheetWords) how(a *clock.Sheet, r *clock.Row) string {
	if !a.Station || r.Do != clock.Start && r.Do != clock.Make {
		return ""
	}
	step, err := s.kitchen.FindStep(r.Step)
	if err != nil || step >= len(s.kitchen.Tellings) {
		return ""
	}
	of := s.kitchen.Tellings[step]
	texts := []string{}
	if of.Method.Text != "" {
		texts = append(texts, of.Method.Text)
	}
	if of.Looks.Text != "" {
		texts = append(texts, s.Voice.Say("Looks like: %[1]s", of.Looks.Text))
	}
	return s.Voice.Sentences(texts...)
}

// photo is the picture of a step, where the file has one, on a station's sheet.
func (s sheetWords) photo(a *clock.Sheet, r *clock.Row) *photoView {
	if !a.Station || r.Do != clock.Start && r.Do != clock.Make {
		return nil
	}
	step, err := s.kitchen.FindStep(r.Step)
	if err != nil || step >= len(s.kitchen.Tellings) {
		return nil
	}
	name := s.kitchen.Tellings[step].Photo
	if name == "" || s.photos == nil {
		return nil
	}
	address, wide, high, ok := s.photos(name)
	if !ok {
		return nil
	}
	return &photoView{template.URL(address), wide, high, r.Step}
}

// hours are the times of what is done every hour, each with room for a tick: from its beginning to its end or that of the shift.
func hours(from, to, shift string) string {
	const moment = "2006-01-02T15:04"
	at, err := time.Parse(moment, from)
	if err != nil {
		panic("mistake: a row has no time")
	}
	var texts []string
	for ; at.Format(moment) < to; at = at.Add(time.Hour) {
		if at.Format(moment) >= shift {
			texts = append(texts, at.Format("15:04")+" __")
		}
	}
	return strings.Join(texts, "  ")
}

// notes are what else a task says: with whom, how long, by when, for what.
func (s sheetWords) notes(a *clock.Sheet, r *clock.Row, note func(string)) {
	say := s.Voice.Say
	with := slices.DeleteFunc(slices.Clone(r.Who), func(who string) bool { return who == a.For })
	for n := range with {
		with[n] = s.word(with[n])
	}
	switch {
	case a.Station && len(with) > 0:
		note(s.Voice.List(with))
	case len(with) > 0 && r.People > 1:
		note(say("with %[1]s", s.Voice.List(with)))
	}
	if heat := HeatText(s.Voice, r, true); heat != "" {
		note(heat)
	}
	if r.Card != "" {
		note(say("the card says %[1]s", clockOf(r.Card)))
	}
	if r.TooLate != "" {
		note(say("too late for %[1]s", r.TooLate))
	}
	if r.Minutes > 0 {
		lasts := s.Voice.Lasts(r.Minutes)
		if r.Guessed {
			lasts = say("about %[1]s", lasts)
		}
		if r.Hourly {
			lasts = say("%[1]s an hour until %[2]s", lasts, clockOf(r.By))
		}
		note(lasts)
	}
	if r.Do == clock.Make && r.By != "" && r.By != r.At {
		note(say("done by %[1]s", clockOf(r.By)))
	}
	if r.Until != "" {
		note(say("enough until %[1]s", r.Until))
	}
	if r.Ends && r.Vessel != "" {
		note(say("%[1]s is free", r.Vessel))
	}
	if !s.brief && len(r.For) > 0 && (r.Do == clock.Start || r.Do == clock.TakeOut || r.Do == clock.Make) {
		whom := s.Voice.List(r.For)
		if r.More > 0 {
			whom = s.Voice.List([]string{whom, say("and %[1]s more", count(r.More))})
		}
		note(say("for %[1]s", whom))
	}
}

// sheetSizes are those in which a sheet is tried, in points and columns; what is smaller is not read in a kitchen.
var sheetSizes = []struct {
	points  float64
	columns int
}{{12, 1}, {11, 1}, {10, 1}, {9, 1}, {9, 2}, {8, 2}}

// smallestPictured is the place among them of the smallest in which pictures are printed, and photoHigh how high they then are with
// what is about them, in points.
const (
	smallestPictured = 3
	photoHigh        = 85.0 + 6
)

// A page of A4 or US letter paper less its margins, in points, by the smaller of the two, and of letters and lines, of their size.
const (
	sheetWide, sheetHigh = 533.0, 729.0
	letterWide, lineHigh = 0.54, 1.28
	inset, insetStation  = 5.2, 6.2 // of boxes and times: a station's say "by" and name days
	noteSize, boldWide   = 0.9, 1.1
	footHigh             = 26.0 // two lines or three of small letters, less what lines are counted too high
)

// sheetSize is the largest size in which a sheet is one page, or the smallest, in which it is not.
func sheetSize(v *sheetView) (size int, fits bool) {
	before := inset
	if v.Station {
		before = insetStation
	}
	for n, size := range sheetSizes {
		wide := (sheetWide - 14*float64(size.columns-1)) / float64(size.columns)
		lines := func(in float64, text string) float64 {
			if text == "" {
				return 0
			}
			return math.Ceil(float64(width(text))*letterWide*size.points/in) * size.points * lineHigh
		}
		high := size.points*4.5 + 8
		for _, list := range [][]string{v.Limits, v.Unfit, v.Overdue} {
			if len(list) > 0 {
				high += size.points*lineHigh + 10
			}
			for _, text := range list {
				high += lines(sheetWide-24, text)
			}
		}
		tasks := 0.0
		below := append([]string{v.Below}, v.Mind...) // those in bold letters, indented
		if v.Brief {
			below = append(below, v.Elsewhere)
		}
		for _, text := range below {
			high += lines((sheetWide-16)/boldWide, text)
		}
		for _, t := range v.Tasks {
			in := wide - before*size.points
			if v.Brief {
				t.How = ""
			}
			tasks += lines(in/boldWide, t.What) + lines(in, t.Amounts) + lines(in, t.How) + lines(in/noteSize, t.Note)*noteSize + 5
			if v.Pictured && t.Photo != nil {
				tasks += photoHigh
			}
		}
		if high+tasks/float64(size.columns)*(1+0.04*float64(size.columns-1))+footHigh <= sheetHigh {
			return n, true
		}
	}
	return len(sheetSizes) - 1, false
}

//go:embed page/sheets.html
var sheetsHTML string

var sheetsPage = template.Must(template.New("sheets").Funcs(template.FuncMap{"unbroken": tongue.Unbroken}).Parse(sheetsHTML))

// SheetsPage is one HTML page with all sheets, each on a page of its own in print, with those pictures of steps that it is given.
func SheetsPage(p Page, a *clock.Sheets, k *kitchen.Kitchen, photos Photos) ([]byte, error) {
	say, words := p.Voice.Say, sheetWords{Page: p, kitchen: k, photos: photos}
	page := struct {
		Lang, Title, Kitchen, Must, Unfit, Open, Nothing, Caution string
		Sheets                                                    []sheetView
	}{Lang: p.Voice.Lang(), Title: say("Sheets"), Kitchen: a.Kitchen, Must: say("Must be met"), Unfit: say("Does not fit"),
		Open: say("Not logged yet"), Nothing: say("Nothing to do."), Caution: p.Voice.Sentences(a.Code+say("."), say(kitchen.Caution))}
	if !p.Voice.English() {
		page.Caution = p.Voice.Sentences(page.Caution, say(tongue.Unreviewed))
	}
	for n := range a.Sheets {
		for _, v := range words.fitted(&a.Sheets[n]) {
			if a.Kitchen != "" {
				v.When = say("%[1]s, %[2]s", v.When, a.Kitchen)
			}
			page.Sheets = append(page.Sheets, v)
		}
	}
	var b bytes.Buffer
	err := sheetsPage.Execute(&b, page)
	whole := strings.NewReplacer(" °", "\u00a0°", " ___", "\u00a0___") // a blank to fill in stays with its word
	return []byte(whole.Replace(b.String())), err
}

// SheetsText lays sheets out for a terminal, one under the other.
func SheetsText(k *kitchen.Kitchen) func(Page, *clock.Sheets) string {
	return func(p Page, a *clock.Sheets) string {
		say, words := p.Voice.Say, sheetWords{Page: p, kitchen: k}
		var b strings.Builder
		for n := range a.Sheets {
			v := words.view(&a.Sheets[n])
			if n > 0 {
				b.WriteByte('\n')
			}
			b.WriteString(p.bold(v.Title+", "+v.When) + "\n")
			for _, of := range []struct {
				title string
				list  []string
			}{{say("Must be met"), v.Limits}, {say("Does not fit"), v.Unfit}, {say("Not logged yet"), v.Overdue}} {
				if len(of.list) > 0 {
					b.WriteString("\n" + of.title + "\n")
				}
				for _, text := range of.list {
					b.WriteString(p.text(2, text))
				}
			}
			b.WriteByte('\n')
			wide := 0
			for _, t := range v.Tasks {
				wide = max(wide, width(t.At)+1)
			}
			for _, t := range v.Tasks {
				box := "[ ] "
				if !t.Tick {
					box = "    "
				}
				b.WriteString(box + pad(t.At, wide, false) + strings.TrimLeft(p.text(4+wide, t.What), " "))
				for _, text := range []string{t.Amounts, t.How, t.Note} {
					if text != "" {
						b.WriteString(p.text(4+wide, text))
					}
				}
			}
			if len(v.Tasks) == 0 {
				b.WriteString(say("Nothing to do.") + "\n")
			}
			if v.Below != "" {
				b.WriteString("\n" + p.text(0, v.Below))
			}
			for n, text := range v.Mind {
				if n == 0 {
					b.WriteByte('\n')
				}
				b.WriteString(p.text(0, text))
			}
		}
		b.WriteString("\n" + p.text(0, p.Voice.Sentences(a.Code+say("."), say(kitchen.Caution))) + p.unreviewed())
		return b.String()
	}
}

// SheetsSheet has a row for each task.
func SheetsSheet(a *clock.Sheets) (s Sheet) {
	s.add("for", "station", "day", "at", "do", "step", "act", "minutes", "item", "quantity", "unit", "goes")
	for _, of := range a.Sheets {
		for i := range of.Tasks {
			r := &of.Tasks[i]
			row := func(x clock.Part, goes string) {
				s.add(of.For, of.Station, of.Day, r.At, r.Do, r.Step, r.Act, r.Minutes, x.Item, x.Amount, x.Unit, goes)
			}
			if len(r.In)+len(r.Out)+len(r.Of) == 0 {
				s.add(of.For, of.Station, of.Day, r.At, r.Do, r.Step, r.Act, r.Minutes, "", "", "", "")
			}
			for _, x := range r.In {
				row(x, "in")
			}
			for _, x := range append(slices.Clone(r.Out), r.Of...) {
				row(x, "out")
			}
		}
	}
	return s
}

package show

// Sheets: what one person does in a shift and what is done at one station, on one page each, with boxes to tick.

import (
	"bytes"
	_ "embed"
	"html/template"
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
	v.Limits = s.limits(a)
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

// limits says what must be met, what it is of once: "2 kg pulled hen: 21 °C (70 °F) or colder by 11:45; 5 °C (41 °F) or colder by 15:45".
func (s sheetWords) limits(a *clock.Sheet) (list []string) {
	type of struct {
		what string
		to   float64 // the last limit of it: what is no colder is of another batch
		by   []string
	}
	var all []*of
	for i := range a.Limits {
		r := &a.Limits[i]
		what, to := capital(s.parts(r.Of)), r.Limits[0].To
		by := s.Voice.Say("%[1]s or colder by %[2]s", s.Voice.Degrees(both(to, r.Limits[0].Scale)), s.at(a, r.At))
		if n := slices.IndexFunc(all, func(o *of) bool { return o.what == what && to < o.to }); n >= 0 {
			all[n].to, all[n].by = to, append(all[n].by, by)
			continue
		}
		all = append(all, &of{what, to, []string{by}})
	}
	for _, o := range all {
		list = append(list, s.Voice.Say("%[1]s: %[2]s", o.what, strings.Join(o.by, s.Voice.Say("; "))))
	}
	return list
}

func (s sheetWords) tasks(a *clock.Sheet) (list []taskView) {
	for i := range a.Tasks {
		list = append(list, s.task(a, &a.Tasks[i]))
	}
	return list
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
		v.What = say("Read the temperature of %[1]s: %[2]s or colder", s.parts(r.Of), s.Voice.Degrees(both(r.Limits[0].To, r.Limits[0].Scale)))
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
	if r.Overdue {
		note(say("it had to be so by %[1]s, and no reading tells", s.Voice.Moment(r.Due())))
	} else if r.Card != "" {
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

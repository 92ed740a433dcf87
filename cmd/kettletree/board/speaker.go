package board

// A speaker says what a page says in the language of who reads it, with the kitchen's own names as the file has them there.

import (
	"cmp"
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/language"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan"
	"kettletree/menu/tongue"
)

type speaker struct {
	tag     language.Tag
	voice   tongue.Voice
	kitchen *kitchen.Kitchen  // nil where a page shows nothing of one
	own     map[string]bool   // names of the kitchen, as the file has them
	dishes  map[string]bool   // those of them that are of dishes
	names   map[string]string // of items, steps and vessels, by the file's own; nil where those are the language's
	found   found
}

// newSpeaker speaks a language about a kitchen.
func newSpeaker(tag language.Tag, k *kitchen.Kitchen) *speaker {
	money := ""
	if k != nil {
		money = k.Money
	}
	s := &speaker{tag: tag, voice: tongue.In(tongue.Region(tag, money)), kitchen: k}
	if k == nil || s.voice.English() {
		return s
	}
	s.own, s.dishes = map[string]bool{k.Name: true}, map[string]bool{}
	for _, d := range k.Dishes {
		s.dishes[d.Name] = true
	}
	for _, it := range k.Graph.Items {
		s.own[it.Name], s.own[it.Many] = true, true
	}
	for _, st := range k.Graph.Steps {
		s.own[st.Name] = true
	}
	for _, name := range k.Waiting() {
		s.own[name] = true
	}
	for _, v := range k.Vessels {
		s.own[v.Name] = true
	}
	for _, b := range k.Bought {
		s.own[b.From] = true
	}
	for _, list := range k.Sources {
		for _, from := range list {
			s.own[from.From] = true
		}
	}
	if kitchen.InLanguage(k.Language, s.voice.Language()) {
		return s
	}
	s.names = map[string]string{}
	told, _ := k.Told(s.voice.Language())
	name := func(own, said string) {
		if _, ok := s.names[own]; !ok { // an item keeps its name, the same in both languages or not, where a step is called like it
			s.names[own] = said
		}
	}
	for i, it := range k.Graph.Items {
		name(it.Name, told.Graph.Items[i].Name)
	}
	for n := range k.Steps {
		name(k.Graph.Steps[n].Name, told.Graph.Steps[n].Name)
	}
	for v, vessel := range k.Vessels {
		name(vessel.Name, told.Vessels[v].Name)
	}
	for i, it := range k.Graph.Items { // what several are called
		name(it.Many, told.Graph.Items[i].Many)
	}
	return s
}

// Lang is the language, for an attribute.
func (s *speaker) Lang() string { return s.voice.Lang() }

// T is a sentence, named by its English, with what is put into it in the place of %[1]s, %[2]s and so on.
func (s *speaker) T(english string, args ...any) string {
	said := english
	if tongue.Known(english) { // a test finds what is not; better English than nothing
		said = s.voice.Word(english)
	}
	return tongue.Fill(said, texts(args)...)
}

// texts are what is put into a sentence, as it is put there.
func texts(args []any) []string {
	all := make([]string, len(args))
	for i, a := range args {
		all[i] = fmt.Sprint(a)
	}
	return all
}

// Many is the sentence for one or for several; how many is what is put in first.
func (s *speaker) Many(n int, one, several string, args ...any) string {
	args = slices.Concat([]any{s.count(n)}, args)
	if n == 1 {
		return s.T(one, args...)
	}
	return s.T(several, args...)
}

// Called is what something of the kitchen is called: an item, a step, a vessel, a service, a station, a supplier. What has no other
// name keeps its own.
func (s *speaker) Called(name string) string {
	if said, ok := s.names[name]; ok {
		return said
	}
	if s.kitchen == nil {
		return name
	}
	if said, ok := s.kitchen.WordIn(name, s.voice.Language()); ok {
		return said
	}
	if kitchen.InLanguage(s.kitchen.Language, language.English) {
		return s.voice.Trade(name)
	}
	return name
}

// called are [speaker.Called] of names; nil of nil.
func (s *speaker) called(names []string) (all []string) {
	for _, n := range names {
		all = append(all, s.Called(n))
	}
	return all
}

// List joins names of the kitchen: "a, b and c", "a, b y c", "a、b、c".
func (s *speaker) List(names []string) string {
	all := s.called(names)
	last := len(all) - 1
	switch {
	case s.voice.English() || last < 1:
		return show.List(all)
	case s.voice.Language() == language.Spanish:
		return strings.Join(all[:last], ", ") + and(all[last]) + all[last]
	}
	return s.voice.List(all)
}

// written is a number as answers write it in English, where other places write it in another way: not the hours and minutes of a time. The
// section of a code is found whole, for it stays as it is.
var written = regexp.MustCompile(`\d-\d{3}\.\d+|\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+`)

// Figure writes the number in a short text, such as "1,024.5 kg", as it is written where the kitchen is: "1.024,5 kg".
func (s *speaker) Figure(text string) string {
	if s.voice.English() {
		return text
	}
	return written.ReplaceAllStringFunc(text, s.voice.Figure)
}

// soMany is an amount behind the name of what it is of: "9.5 kg", or "1" where English would say "1 each".
func (s *speaker) soMany(x float64, unit string) string {
	text := s.Amount(x, unit)
	if s.voice.English() {
		return strings.TrimSuffix(text, " each")
	}
	return text
}

func (s *speaker) count(n int) string { return s.Figure(show.Count(n)) }

// Amount is a quantity in its unit: "450 mL", "14 个".
func (s *speaker) Amount(x float64, unit string) string {
	text := show.Amount(x, unit)
	if figure, of, ok := strings.Cut(text, " "); ok && !s.voice.English() && countedIn[of] != "" {
		return s.counted(figure, of)
	}
	return s.voice.Amount(text)
}

// counted is a count: "1 pieza", "31 piezas", "2 porciones".
func (s *speaker) counted(figure, unit string) string {
	if unit == measure.Each.Name {
		return s.voice.Amount(figure + " " + unit)
	}
	return s.Figure(figure) + " " + s.voice.Word(countedIn[unit])
}

// guestsOf are the dishes from which a special takes guests, with how many: "2 porciones de sopa", "汤 2 份".
func (s *speaker) guestsOf(o plan.Offered) string {
	if s.voice.English() {
		return show.TakesFrom(o)
	}
	var all []string
	for _, g := range o.Takes {
		unit := "portions"
		if g.Portions == 1 {
			unit = "portion"
		}
		many, dish := s.counted(show.Count(g.Portions), unit), s.Called(g.Dish)
		if tongue.Chinese(s.voice.Language()) {
			all = append(all, s.T("%[1]s %[2]s", dish, many))
		} else {
			all = append(all, s.T("%[1]s of %[2]s", many, dish))
		}
	}
	return s.List(all)
}

// countedIn are the units of what is counted, as sentences have them.
var countedIn = map[string]string{"each": "each", "portion": "a portion", "portions": "portions"}

// Day is a date, as 2006-01-02, in words: "Wed 25 Nov", "mié 25 nov", "11月25日（周三）".
func (s *speaker) Day(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return s.voice.Day(t)
}

// WhenOf is a moment such as 2026-11-25T02:30 with its day: "Wed 25 Nov 02:30".
func (s *speaker) WhenOf(stamp string) string {
	if len(stamp) < len("2006-01-02T15:04") {
		return s.Day(stamp)
	}
	return s.Day(stamp[:10]) + " " + stamp[11:16]
}

// At is [speaker.WhenOf] of a time.
func (s *speaker) At(t time.Time) string { return s.WhenOf(t.Format("2006-01-02T15:04")) }

// phrases are what templates may call to say something.
func (s *speaker) phrases() template.FuncMap {
	return template.FuncMap{
		// t "English %[1]s" arg: a sentence. What is bold, of b, stays so.
		"t": func(english string, args ...any) template.HTML {
			return s.within(args, func(args []any) string { return s.T(english, args...) })
		},
		// many 3 "1 dish" "%[1]s dishes": one sentence for one, another for several.
		"many": func(n int, one, several string, args ...any) template.HTML {
			return s.within(args, func(args []any) string { return s.Many(n, one, several, args...) })
		},
		"quoted": func(all []string) template.HTML { return template.HTML("<q>" + escaped(show.List(all)) + "</q>") }, // of the log book
		"b":      func(x any) template.HTML { return template.HTML("<b>" + escaped(fmt.Sprint(x)) + "</b>") },

		"q":          func(text string) template.HTML { return template.HTML(`<q lang="en">` + escaped(text) + "</q>") }, // as it is typed
		"asTyped":    s.asTyped,
		"filed":      s.filed,
		"batchCount": func(n string) template.HTML { return template.HTML("<span data-batches>" + escaped(n) + "</span>") },
		"doing":      func(r *clock.Row) string { what, _ := s.row(r); return what },
		"howMuch":    func(r *clock.Row) string { _, how := s.row(r); return how },
		"heat":       s.heat,
		"stove":      func(r *clock.Row) []string { return show.StoveText(s.voice, s.Called, r) },
		"aimMarks":   show.AimMarks,
		"aimSaid":    func(a clock.Aim) string { return show.AimSaid(s.voice, s.Called, a) },
		"brief":      s.brief,
		"cooking":    func(t *clock.Timetable) string { return show.CookText(s.voice, t) },
		"chain":      func(links []string) template.HTML { return s.Said(show.Chain(links)) },
		"hearOf":     s.of,
		"code":       code,
		"of":         s.Of,
		"unit":       s.Unit,
		"unitBehind": s.UnitBehind,
		"forWhom":    func(r *clock.Row) string { return s.Phrase(show.ForWhom(r)) },
		"called":     s.Called,
		"entry":      s.Entry,
		"list":       s.List,
		"guestsOf":   s.guestsOf,
		"batchesMade": func(c plan.Cook) string {
			made, planned, cut := strings.Cut(show.Cooked(c), " of ")
			if cut {
				made += " " + s.T("of %[1]s", planned)
			}
			return s.Figure(made)
		},
		"said":        s.Said,
		"phrase":      s.Phrase,
		"sentence":    func(text string) template.HTML { return s.Said(sentence(text)) },
		"figure":      s.Figure,
		"guesses":     s.guesses,
		"amount":      s.Amount,
		"soMany":      s.soMany,
		"count":       s.count,
		"percent":     func(share float64) string { return s.Figure(show.Percent(share)) },
		"weekday":     s.Day,
		"shortDay":    s.Day,
		"dayOnly":     s.dayOnly,
		"day":         func(t time.Time) string { return s.voice.Day(t) },
		"whenOf":      s.WhenOf,
		"at":          s.At,
		"duration":    s.voice.Lasts,
		"lang":        s.Lang,
		"scriptWords": s.scriptWords,
		"guestChange": s.guestChange,
		"stated": func(has, may, unknown []string) string {
			return s.voice.Stated(kitchen.Stated{Has: has, May: may, Unknown: unknown})
		},
	}
}

// guestChange is what guests with an allergy must hear of a dish, by the file.
func (s *speaker) guestChange(g ask.GuestChange) string {
	var says []string
	if len(g.Has) > 0 {
		says = append(says, s.T("now has %[1]s", s.voice.Allergens(g.Has)))
	}
	if len(g.May) > 0 {
		says = append(says, s.T("may now contain %[1]s", s.voice.Allergens(g.May)))
	}
	if len(g.Lost) > 0 {
		says = append(says, s.T("no longer has %[1]s", s.voice.Allergens(g.Lost)))
	}
	if len(g.Unknown) > 0 {
		says = append(says, s.T("is now UNKNOWN for %[1]s", s.List(g.Unknown)))
	}
	return strings.Join(says, s.voice.Word("; ")) + s.voice.Word(".")
}

// guesses are the open questions that an answer rests on, in a line; "" for none.
func (s *speaker) guesses(k *kitchen.Kitchen) template.HTML {
	notes, more := k.Guesses(true)
	var all []string
	for _, n := range notes {
		all = append(all, string(s.Said(n)))
	}
	if more > 0 {
		all = append(all, escaped(s.T("and %[1]s more", s.count(more))))
	}
	return template.HTML(strings.Join(all, escaped(s.voice.Word("; "))))
}

// dayOnly is a date in few letters, for a row of buttons: "Tue 24", "mar 24", "周二 24".
func (s *speaker) dayOnly(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return s.voice.Weekday(t) + " " + strconv.Itoa(t.Day())
}

// asTyped is a text that stays as it was written into the log book or the kitchen file, quoted in a page of another language.
func (s *speaker) asTyped(text string) template.HTML {
	if s.voice.English() {
		return template.HTML(escaped(text))
	}
	return template.HTML(`<q lang="en">` + escaped(text) + "</q>")
}

// filed is a word of the kitchen file, or what its description says of one: where the table does not have it, it stays as it is.
func (s *speaker) filed(text string) template.HTML {
	said, ok := s.phrase(text, 0)
	if !ok && !s.voice.English() {
		return template.HTML(`<span class="filed" lang="en">` + escaped(text) + "</span>")
	}
	return template.HTML(escaped(said))
}

// escaped is a text as HTML.
func escaped(text string) string { return escapes.Replace(text) }

// code is what somebody types elsewhere: it breaks between words, not at the hyphens of one.
func code(text string) template.HTML {
	words := strings.Fields(escaped(text))
	for n, w := range words {
		if strings.Contains(w, "-") {
			words[n] = `<span class="whole">` + w + `</span>`
		}
	}
	return template.HTML("<code>" + strings.Join(words, " ") + "</code>")
}

// escapes leaves out apostrophes, which need it in attributes only: there, package template does it.
var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "\x00", "\uFFFD")

// unmarked is HTML without its marks.
func unmarked(html string) string {
	text := ""
	for {
		before, behind, found := strings.Cut(html, "<")
		_, after, ends := strings.Cut(behind, ">")
		if !found || !ends {
			return text + html
		}
		text, html = text+before, after
	}
}

// within puts a sentence together of which parts may be HTML.
func (s *speaker) within(args []any, say func([]any) string) template.HTML {
	// Markup goes through the sentence between signs of the private use area, which no name can hold.
	plain, markup := slices.Clone(args), []template.HTML{}
	for i, a := range args {
		if text, ok := a.(*string); ok && text != nil { // as a template shows one by itself
			plain[i] = *text
		}
		if html, ok := a.(template.HTML); ok {
			plain[i] = "\uE000" + string(rune('\uE100'+len(markup)))
			markup = append(markup, html)
		}
	}
	text := escaped(say(plain))
	for i, html := range markup {
		sign := "\uE000" + string(rune('\uE100'+i))
		seen := unmarked(string(html))
		for before, after, found := strings.Cut(text, sign); found; before, after, found = strings.Cut(text, sign) {
			text = before + tongue.Blank(before, seen) + string(html) + tongue.Blank(seen, after) + after
		}
	}
	return template.HTML(text)
}

// row is what a row of the timetable says is to be done, and of what. In other languages than English it is as sheets say it, with the
// temperatures.
func (s *speaker) row(r *clock.Row) (what, how string) {
	if s.voice.English() {
		return show.Doing(r), show.HowMuch(r)
	}
	told := *r
	told.Step, told.Vessel, told.Until = s.Called(r.Step), s.Called(r.Vessel), s.Phrase(r.Until)
	parts := func(list []clock.Part) []clock.Part {
		list = slices.Clone(list)
		for i := range list {
			list[i].Item, list[i].Many = s.Called(list[i].Item), s.Called(list[i].Many)
		}
		return list
	}
	told.In, told.Out, told.Of = parts(r.In), parts(r.Out), parts(r.Of)
	told.Heat = slices.Clone(r.Heat)
	for i := range told.Heat {
		h := &told.Heat[i]
		if h.On == clock.InOil { // else it is a kind of food that a limit is for
			h.Food = s.Called(h.Food)
		}
		h.Dishes, h.Raw, h.Eggs = s.called(h.Dishes), s.called(h.Raw), s.called(h.Eggs)
	}
	told.Tried, told.Aims, told.Nobody = nil, nil, nil // the page says them by itself, with their marks
	what, how = show.RowText(s.voice, s.kitchen, &told)
	return what, s.Figure(how)
}

// heat are the temperatures of a row, where what it says does not have them already.
func (s *speaker) heat(r *clock.Row, below bool) string {
	if s.voice.English() {
		return show.HeatText(s.voice, r, below)
	}
	return ""
}

// money is an amount of money as it is written where the kitchen is.
type money struct {
	show.Money
	s *speaker
}

func (m money) Show(x float64) string     { return m.s.Figure(m.Money.Show(x)) }
func (m money) Name(x float64) string     { return m.s.Figure(m.Money.Name(x)) }
func (m money) NameUnits(n int64) string  { return m.s.Figure(m.Money.NameUnits(n)) }
func (m money) Change(units int64) string { return m.s.Figure(m.Money.Change(units)) }

// Of is so much of an item: "3 kg lard", "3 kg de manteca", "猪油 3 kg".
func (s *speaker) Of(amount float64, unit, item string) string {
	text := s.Amount(amount, unit)
	if s.voice.English() {
		return text + " " + item
	}
	if u, err := measure.UnitNamed(unit); err != nil || u != measure.Each || s.kitchen == nil {
		return s.part(text, s.Called(item))
	}
	figure, _, _ := strings.Cut(text, " ")
	if i, err := s.kitchen.FindItem(item); err == nil && figure != "1" && s.kitchen.Graph.Items[i].Many != "" {
		item = s.kitchen.Graph.Items[i].Many
	}
	return s.pieces(figure, s.Called(item))
}

// PricePer is the label of a price for a unit, and Scaled that of what came in it: what is counted is on no scale.
func (s *speaker) PricePer(unit string) string {
	if unit == "each" {
		return s.T("Price of one")
	}
	return s.T("Price per %[1]s", s.Unit(unit))
}

func (s *speaker) Scaled(unit string) string {
	if unit == "each" {
		return s.T("Count")
	}
	if u, err := measure.UnitNamed(unit); err == nil && u.Kind == measure.Count {
		return s.T("Count, %[1]s", s.voice.Unit(cmp.Or(u.Many, u.Name)))
	}
	return s.T("Scale says, %[1]s", s.Unit(unit))
}

// Unit is a unit as it stands beside a number or a price.
func (s *speaker) Unit(name string) string {
	if name == "each" && !s.voice.English() {
		return s.T("each, on a label")
	}
	return s.voice.Unit(name)
}

// UnitBehind is a unit behind an amount of it: "case" behind 1, "cases" behind 2. Chinese counts hens otherwise than lemons.
func (s *speaker) UnitBehind(amount, name, of string) string {
	if name == "each" && tongue.Chinese(s.voice.Language()) {
		return strings.TrimSpace(s.voice.Pieces("", s.Called(of)))
	}
	u, err := measure.UnitNamed(name)
	x, err2 := strconv.ParseFloat(amount, 64)
	if err != nil || err2 != nil {
		return s.Unit(name)
	}
	return s.Unit(u.Of(x))
}

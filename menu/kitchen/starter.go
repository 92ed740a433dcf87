package kitchen

// The first kitchen file, written from what a few questions bring. Whatever is not answered is left out: it is an open question then.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph/measure"
)

// Starter is what was answered, as it was typed. Nothing must be: "" is skipped.
type Starter struct {
	Name          string
	Open          string // days, such as tue-sat
	Lunch, Dinner string // hours, such as 11:30-14:30
	Pot           string // what the step is called
	Days          string // on which it is lit
	Lit           string // at which time
	Holds         string // what the biggest pot holds, such as 60 L
	Pots          string // how many of that size there are
	Cooks         string // whether what goes in raw is cooked through when it is out: "yes" or "no"
	In            []StartIn
	Out           []StartOut
	Sold          []StartDish
}

// StartIn is one thing that goes into the pot.
type StartIn struct {
	What  string // "20 kg beef shank", with the price behind it or not; "onions" where nobody knows how much
	Price string // "9.50", of a kg, litre or piece, or "190 for 20 kg"
	Raw   bool
}

// StartOut is one thing that comes out of it.
type StartOut struct {
	What string // "30 L stock", or "stock" where nobody has measured it; "30 L stock, 8 h"
	At   string // after how many hours, where What does not say: "8"
}

// StartDish is one thing that is sold.
type StartDish struct {
	Name, Price string
	Takes       string // "400 mL stock, 120 g meat"
	Sells       string // portions a service
}

// StarterError says what can't be understood, and in which answer: "in 2 what", "name".
type StarterError struct{ Field, Msg, Hint string }

func (e *StarterError) Error() string { return e.Msg }

// potName is what the pot is called where nobody says.
const potName = "kettle"

// PotName is what the step is called.
func (s Starter) PotName() string {
	if strings.TrimSpace(s.Pot) == "" {
		return potName
	}
	return strings.TrimSpace(s.Pot)
}

// Upto are the answers to the questions of the first pages: the kitchen, the pot, what is sold.
func (s Starter) Upto(page int) Starter {
	if page < 3 {
		s.Sold = nil
	}
	if page < 2 {
		s = Starter{Name: s.Name, Open: s.Open, Lunch: s.Lunch, Dinner: s.Dinner}
	}
	return s
}

// Page is the page, from 1, of the question whose answer can't be understood.
func (e *StarterError) Page() int {
	switch field, _, _ := strings.Cut(e.Field, " "); field {
	case "name", "open", "lunch", "dinner":
		return 1
	case "dish":
		return 3
	}
	return 2
}

// Text is the kitchen file that the answers make; said is when they were given, such as "Tue 24 Nov 2026". The error is a [*StarterError] for an
// answer that can't be understood, or the [Diagnostics] of what does not go together.
func (s Starter) Text(said string) ([]byte, error) { return s.written(said, "") }

// written is the file, with what the pot holds by guess, "" where that is answered or not guessed.
func (s Starter) written(said, guess string) ([]byte, error) {
	w := &startWriter{Starter: s, known: map[string]string{}, guess: guess}
	w.head(said)
	inputs := w.inputs()
	outputs := w.outputs()
	dishes := w.dishes()
	potted := inputs != nil || outputs != nil || w.Pot != "" || w.Days != "" || w.Lit != "" || w.Cooks != ""
	if inputs == nil {
		inputs = []string{somethingWord}
	}
	if outputs == nil {
		outputs = []string{somethingWord}
	}
	if potted || w.Holds != "" || w.Pots != "" {
		w.vessels()
	}
	if w.err != nil {
		return nil, w.err
	}
	w.list("# What comes from outside. \"allergens: [milk, wheat]\" says what the label says, [] that it has none; \"raw: yes\" is raw meat, fish or egg.",
		InBought, w.bought)
	if potted {
		w.line("")
		w.line("# What one batch takes, and what it gives. \"some time\", \"some kg\" and \"something\" are what nobody has said yet.")
		w.line("steps:")
		w.line("  " + Words(w.PotName()) + ":")
		w.line("    vessel: " + biggestPot)
		if w.Lit != "" {
			w.line("    starts: \"" + w.Lit + "\"")
		} else {
			w.line("    starts: " + someTimeWords)
		}
		w.line("    takes:")
		for _, l := range inputs {
			w.line("      - " + l)
		}
		w.line("    gives:")
		for _, l := range outputs {
			w.line("      - " + l)
		}
		if w.raw || w.Cooks != "" {
			w.line("    # Whether what goes in raw is cooked through when it is out: cooks through: yes, or no. As long as nobody says, it counts as raw.")
		}
		if w.Cooks != "" {
			w.line("    " + cooksKey + ": " + w.Cooks)
		}
		w.line("    batches: " + w.batches())
		if w.Days == "" {
			w.line("    guessed: batches")
		}
		w.list("# What is known of what the pot gives: keeps, density (of a litre), worth (what it would cost to buy in).", InMade, w.made)
	}
	w.list("# What is sold. \"sells\" is the forecast of a service, or by service: {lunch: 22, fri dinner: 60}.", InDishes, dishes)
	text := []byte(strings.Join(w.text, "\n") + "\n")
	k, faults := Read("kitchen.yaml", text)
	if k == nil {
		return nil, tooSmall(faults)
	}
	if w.Holds != "" || w.guess != "" || len(k.Steps) == 0 {
		return text, nil
	}
	// Nobody said how big the pot is: it holds what one batch fills, so that no answer lights two at once in it.
	full, _ := Fullest(k.Loads(0))
	if full == 0 { // of pieces that nobody has weighed
		return text, nil
	}
	return s.written(said, measure.FormatNumber(5*math.Ceil(full/5000))+" L")
}

// biggestPot is what the vessel is called.
const biggestPot = "big pot"

// tooSmall says of the pot's size that a batch does not fit, where that is the first thing wrong.
func tooSmall(faults Diagnostics) error {
	for _, f := range faults {
		if f.Severity == Error {
			if f.ID == "overfull" {
				return &StarterError{"holds", f.Msg, "write what the pot holds, or a smaller batch"}
			}
			break
		}
	}
	return faults
}

// vessels writes the pots. One is enough for a file; others are there for what is cooked beside it.
func (w *startWriter) vessels() {
	body := "{}"
	if holds := measure.Pointed(strings.TrimSpace(w.Holds)); holds != "" {
		if _, rest, err := measure.Number(holds); err == nil && rest == "" {
			holds += " L"
		}
		if _, err := parseHolds(holds); err != nil {
			w.fault("holds", "write what it holds, such as 60 L or 16 gal", "%q is no size of a pot", w.Holds)
		}
		body = "{holds: " + holds + "}"
	} else if w.guess != "" {
		body = "{holds: " + w.guess + ", guessed: holds}"
	}
	many := 1
	if w.Pots != "" {
		var ok bool
		if many, ok = Digits(w.Pots); !ok || many < 1 || many > 20 {
			w.fault("pots", "write a number such as 2", "%q is no number of pots", w.Pots)
		}
	}
	var pots []string
	for n := 1; n <= many && n <= 20; n++ {
		name := biggestPot
		if n > 1 {
			name += fmt.Sprintf(" %d", n)
		}
		pots = append(pots, name+": "+body)
	}
	w.list("# The pots. Each holds one batch at a time: a step in another one is cooked beside it.", "vessels", pots)
}

// startWriter writes the file line by line; the first answer that can't be understood ends it.
type startWriter struct {
	Starter
	text         []string
	bought, made []string
	known        map[string]string // names by their small letters: what goes in and what comes out
	raw          bool
	guess        string // what the pot holds by guess
	err          error
}

func (w *startWriter) line(s string) { w.text = append(w.text, s) }

func (w *startWriter) list(about, name string, entries []string) {
	if len(entries) == 0 {
		return
	}
	w.line("")
	w.line(about)
	w.line(name + ":")
	for _, e := range entries {
		w.line("  " + e)
	}
}

func (w *startWriter) fault(field, hint, format string, args ...any) {
	if w.err == nil {
		w.err = &StarterError{field, fmt.Sprintf(format, args...), hint}
	}
}

// head writes what the kitchen is called, and when it is open.
func (w *startWriter) head(said string) {
	for _, p := range []*string{&w.Name, &w.Open, &w.Pot, &w.Lunch, &w.Dinner, &w.Days, &w.Lit, &w.Holds, &w.Pots, &w.Cooks} {
		*p = strings.TrimSpace(*p)
	}
	w.Open, w.Days = daysTyped(w.Open), daysTyped(w.Days)
	w.line("# Begun on " + said + ". Change it as you like: kettletree check says what does not add up, and")
	w.line("# kettletree check --open lists what is not known yet. kettletree help kitchen has every word.")
	if w.Name == "" {
		w.Name = "My Kitchen"
	}
	w.line("kitchen: " + Words(w.Name))
	if w.Lit != "" {
		lit, ok := timeTyped(w.Lit)
		if !ok {
			w.fault("lit", "write a time such as 22:00", "%q is no time", w.Lit)
		}
		w.Lit = measure.FormatClock(lit)
	}
	if w.Open != "" {
		if _, err := parseDays(w.Open); err != nil {
			w.fault("open", "write days such as tue-sat, or mon wed fri", "%q are no days", w.Open)
		}
		w.line("open: " + w.Open)
	}
	var services []string
	for _, s := range []struct{ name, hours, such string }{{"lunch", w.Lunch, "11:30-14:30"}, {"dinner", w.Dinner, "17:30-22:00"}} {
		if none(s.hours) {
			continue
		}
		hours, ok := hoursTyped(s.hours)
		if !ok || s.name == "dinner" && hours.From < 10*60 { // "6-10" is no dinner, and may be meant for the evening
			w.fault(s.name, "write them as "+s.such, "%q are no hours of a "+s.name, s.hours)
		}
		services = append(services, s.name+": "+hours.String())
	}
	if services != nil {
		w.line("services: {" + strings.Join(services, ", ") + "}")
	}
}

// lineFault tells what is wrong with a line.
func (w *startWriter) lineFault(field string, err error) {
	if e, ok := errors.AsType[*measure.Error](err); ok {
		w.fault(field, e.Hint, "%s", e.Msg)
		return
	}
	w.fault(field, "write it as 20 kg beef shank", "%s", err)
}

// inputs are the lines of what goes into the pot; they are bought.
func (w *startWriter) inputs() (lines []string) {
	var unsaid []string // without an amount
	for n, in := range w.In {
		if strings.TrimSpace(in.What) == "" {
			continue
		}
		field := fmt.Sprintf("in %d", n+1)
		what, price := in.Apart()
		if price != "" && strings.TrimSpace(in.Price) != "" {
			w.fault(field+" price", "write it once", "%q has its price, %s, behind it already", what, price)
		}
		name := unmeasuredName(what)
		var line string
		var c card
		var err error
		if name != "" {
			_, c, err = w.unmeasured(name, "1 kg", used)
		} else {
			line, c, err = w.told(what, used)
		}
		if err != nil {
			w.lineFault(field+" what", err)
			return nil
		}
		if name != "" {
			unsaid = append(unsaid, name)
		} else {
			lines = append(lines, dashed(line))
		}
		at := field + " price"
		if price != "" {
			at = field + " what"
		}
		w.buy(c.choices[0], cmp.Or(price, in.Price), at, in.Raw)
		w.raw = w.raw || in.Raw
	}
	if unsaid != nil {
		lines = append(lines, somethingWord+" # "+measure.FormatList(unsaid)+": nobody has said how much")
	}
	return lines
}

// buy notes something that is bought, once.
func (w *startWriter) buy(r ration, price, field string, raw bool) {
	name := r.item
	if w.known[strings.ToLower(name)] != "" {
		return
	}
	w.known[strings.ToLower(name)] = name
	unit := map[measure.Kind]string{measure.Weight: "kg", measure.Volume: "L", measure.Count: "each"}[r.Unit.Kind]
	if r.Unit.Kind == measure.Weight && r.Unit.Name != "g" {
		unit = r.Unit.Name
	}
	price = bare(price)
	var keys []string
	switch {
	case price == "" && strings.EqualFold(name, "water"):
		keys = []string{"price: 0/L", "density: 1 kg/L", "allergens: []"}
	case price != "":
		if !strings.ContainsAny(price, "/") && !strings.Contains(price, " for ") {
			price += "/" + unit
		}
		if _, err := parsePrice(price); err != nil {
			e := err.(*measure.Error)
			w.fault(field, "write what a "+unit+" costs, such as 9.50, or 190 for 20 kg", "%s", e.Msg)
		}
		keys = []string{"price: " + price}
	}
	if raw {
		keys = append(keys, "raw: yes")
	}
	w.bought = append(w.bought, Words(name)+": {"+strings.Join(keys, ", ")+"}")
}

// potLiquids are words for what is measured by the litre.
var potLiquids = []string{"stock", "broth", "fumet", "soup", "jus", "sauce", "gravy", "whey", "milk", "liquor", "consommé", "caldo"}

// outputs are the lines of what comes out of the pot.
func (w *startWriter) outputs() (lines []string) {
	timed := slices.ContainsFunc(w.Out, func(o StartOut) bool {
		what, at := o.Apart()
		return what != "" && strings.TrimSpace(at+o.At) != ""
	})
	for n, out := range w.Out {
		what, at := out.Apart()
		if what == "" {
			continue
		}
		field := fmt.Sprintf("out %d", n+1)
		atField := field + " at"
		if at != "" {
			atField = field + " what"
		}
		line, c, err := w.told(what, given)
		if name := unmeasuredName(what); err != nil && name != "" { // nobody has measured it
			unit := "kg"
			if Liquid(name) {
				unit = "L"
			}
			line, c, err = w.unmeasured(name, unweighedWord+" "+unit, given)
		}
		if err != nil {
			w.lineFault(field+" what", err)
			return nil
		}
		if at = measure.Pointed(strings.TrimSpace(cmp.Or(at, out.At))); at != "" {
			if _, err := measure.ParseDuration(at); err != nil {
				at += " h"
			}
			if _, err := measure.ParseDuration(at); err != nil {
				w.fault(atField, "write after how many hours it comes out, such as 8", "%q is no time", out.At)
			}
			line += ", out at " + at
		} else if !timed { // what is not said to be out earlier is out with the last, where that is known
			line += ", out at " + someTimeWords
		}
		lines = append(lines, dashed(line))
		name := c.choices[0].item
		if w.known[strings.ToLower(name)] != "" {
			w.fault(field+" what", "give what comes out a name of its own, such as boiled "+name, "%q goes in and comes out", name)
		}
		w.known[strings.ToLower(name)] = name
		w.made = append(w.made, Words(name)+": {}")
	}
	return lines
}

// dashed writes a line of a list with dashes: plainly, where nothing in it means something else to YAML.
func dashed(line string) string {
	if strings.Contains(line, ": ") || strings.Contains(line, " #") {
		return Words(line)
	}
	return line
}

// batches are the days on which the pot is lit: those that were told, or the open ones.
func (w *startWriter) batches() string {
	days := w.Days
	if days == "" {
		days = w.Open
	}
	if days == "" {
		return "{daily: 1}"
	}
	if _, err := parseDays(days); err != nil {
		w.fault("days", "write days such as tue fri, or mon-sat", "%q are no days", days)
	}
	return "{" + days + ": 1}"
}

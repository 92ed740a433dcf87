package menu

// Read: from the text of a kitchen file to a Kitchen, or to all that is wrong with it.

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"
	"golang.org/x/text/currency"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// mostDepth is how deep mappings and lists may lie in each other.
const mostDepth = 100

// Read reads a kitchen file. The name is only used to say where things stand. All faults are told at once; the kitchen is
// nil exactly when one of them is of severity [Error].
func Read(name string, src []byte) (*Kitchen, Diagnostics) {
	text, clean, ok := newSource(name, src, "\r\n", "\r", "\u0085", "\u2028", "\u2029")
	if !ok {
		return nil, text.found
	}
	r := &reader{
		source:   text,
		unfit:    map[*yaml.Node]bool{},
		head:     map[*yaml.Node]*yaml.Node{},
		k:        &Kitchen{File: name},
		vesselAt: map[string]int{},
		stepAt:   map[string]int{},
		itemAt:   map[string]int{},
		unsure:   map[int]bool{},
	}
	if root := r.decode(clean); root != nil {
		r.shaped(root, kitchenForm, "the file")
		if !r.unfit[root] {
			r.kitchen(root)
		}
	}
	faults := r.found.sort()
	if faults.Err() != nil {
		return nil, faults
	}
	return r.k, faults
}

// reader is the state of one reading.
type reader struct {
	*source
	unfit map[*yaml.Node]bool       // keys and values that are not of the right shape: they have been told and are not read
	head  map[*yaml.Node]*yaml.Node // the key that a mapping stands behind

	k        *Kitchen
	vesselAt map[string]int // by name, as the next two
	stepAt   map[string]int
	itemAt   map[string]int
	items    []graph.Item
	unsure   map[int]bool // items of which the unit or a bridge could not be read: nothing follows from their amounts
	recipes  []*recipe    // steps, then dishes, then specials
}

// decode decodes the file to its outermost mapping; nil when a fault leaves nothing to read.
func (r *reader) decode(src []byte) *yaml.Node {
	loader, err := yaml.NewLoader(bytes.NewReader(src), yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(mostDepth))))
	if err != nil {
		panic("mistake: " + err.Error())
	}
	var doc, next yaml.Node
	switch err := loader.Load(&doc); {
	case errors.Is(err, io.EOF):
		r.refuse("empty", firstWords, "file is empty")
		return nil
	case err != nil:
		r.syntax(err)
		return nil
	}
	switch err := loader.Load(&next); {
	case err == nil:
		r.fault(r.at(next.Line, next.Column, 3), "several-documents", `take the line "---" out, or keep each kitchen in its own file`,
			"a second document starts here")
		return nil
	case !errors.Is(err, io.EOF):
		r.syntax(err)
		return nil
	}
	root := doc.Content[0]
	if root.Kind == yaml.ScalarNode && root.Tag == "!!null" {
		r.refuse("empty", firstWords, "file is empty")
		return nil
	}
	return root
}

const firstWords = `begin with "kitchen: NAME", then "bought:" with what you buy and its prices`

// syntax records what the decoder refused.
func (r *reader) syntax(err error) {
	e, ok := errors.AsType[*yaml.LoadError](err)
	if !ok {
		panic(fmt.Sprintf("mistake: the decoder failed with a %T: %v", err, err))
	}
	mark := e.Mark
	if mark.Line == 0 || e.ContextMark.Line > 0 && r.blankFrom(mark.Line) {
		mark = e.ContextMark // at the end of the file there is nothing to point at
	}
	id, hint, msg := "not-yaml", "", e.Message
	switch {
	case strings.Contains(msg, "exceeded max depth"):
		id, msg, hint = "too-deep", fmt.Sprintf("brackets or indents lie more than %d deep", mostDepth), "is this a kitchen file?"
	case strings.Contains(msg, "mapping values are not allowed"):
		hint = "a colon and a space start a value: put text that holds them in quotes"
	case strings.Contains(msg, "cannot start any token"):
		hint = "indent with spaces, not tabs; put text that begins with a sign in quotes"
	case strings.Contains(msg, "unexpected end of stream"), strings.Contains(msg, "did not find expected"):
		hint = "close the quotes or brackets, and indent what belongs together alike"
	case strings.Contains(msg, "control characters"):
		msg, hint = "the file holds a control character", "save the kitchen file as plain text in UTF-8"
	}
	if e.ContextMsg != "" && id == "not-yaml" {
		msg += " (" + e.ContextMsg + ")"
	}
	if mark.Line == 0 {
		r.refuse(id, hint, "%s", msg)
		return
	}
	r.fault(r.at(mark.Line, mark.Column, 1), id, hint, "%s", msg)
}

// blankFrom tells whether nothing is written from a line on.
func (r *reader) blankFrom(line int) bool {
	return strings.TrimSpace(strings.Join(r.lines[min(len(r.lines), line-1):], "")) == ""
}

// pairs walks the keys and values of a mapping, leaving out what is unfit to be read.
func (r *reader) pairs(n *yaml.Node) iter.Seq2[*yaml.Node, *yaml.Node] {
	return func(yield func(k, v *yaml.Node) bool) {
		if n == nil {
			return
		}
		for i := 0; i+1 < len(n.Content); i += 2 {
			k, v := n.Content[i], n.Content[i+1]
			if !r.unfit[k] && !r.unfit[v] && !yield(k, v) {
				return
			}
		}
	}
}

// value is what stands behind a key of a mapping; nil when the key is not written or its value is unfit.
func (r *reader) value(n *yaml.Node, name string) *yaml.Node {
	for k, v := range r.pairs(n) {
		if k.Value == name {
			return v
		}
	}
	return nil
}

// written tells whether a key stands in a mapping, fit or not.
func written(n *yaml.Node, name string) bool {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return true
		}
	}
	return false
}

// scalar reads the value behind a key with one of the parsers. ok is false when there is none or it is at fault.
func scalar[T any](r *reader, n *yaml.Node, name string, parse func(string) (T, error)) (v T, ok bool) {
	at := r.value(n, name)
	if at == nil {
		return v, false
	}
	read, err := parse(at.Value)
	if err != nil {
		r.misread(at, "bad-"+strings.ReplaceAll(name, " ", "-"), err)
		return v, false
	}
	return read, true
}

// words reads text as it stands.
func words(s string) (string, error) { return s, nil }

// count reads a whole number whose shape has been checked.
func count(s string) (int, error) {
	n, _ := digits(s)
	return n, nil
}

// kitchen reads the file's outermost mapping.
func (r *reader) kitchen(root *yaml.Node) {
	k := r.k
	k.Name, _ = scalar(r, root, "kitchen", words)
	r.money(r.value(root, "money"))
	k.Open = everyDay
	if open, ok := scalar(r, root, "open", parseDays); ok {
		k.Open = open
	}
	r.services(r.value(root, "services"))
	r.vessels(r.value(root, "vessels"))
	r.bought(r.value(root, "bought"))
	for key, body := range r.pairs(r.value(root, "steps")) {
		r.card(key, body, &recipe{})
	}
	r.given()
	r.made(r.value(root, "made"))
	for _, list := range []string{"dishes", "specials"} {
		for key, body := range r.pairs(r.value(root, list)) {
			r.dish(key, body, list == "specials")
		}
	}
	r.connect()
}

func (r *reader) money(n *yaml.Node) {
	if n == nil {
		return
	}
	if _, err := currency.ParseISO(n.Value); err != nil || n.Value != strings.ToUpper(n.Value) {
		r.fault(r.span(n), "bad-money", "write the ISO 4217 code in capitals, such as USD, EUR or MXN", "%q is not a currency code", n.Value)
		return
	}
	r.k.Money = n.Value
}

// onlyService stands for the meal periods of a kitchen that names none but forecasts sales.
var onlyService = Service{Name: "service", Start: 12 * 60, End: 22 * 60}

// mostServices bounds the services of one day.
const mostServices = 24

func (r *reader) services(n *yaml.Node) {
	places := map[string]Pos{}
	for key, v := range r.pairs(n) {
		if days, _ := leadingDays(key.Value); days.count() > 0 {
			r.fault(r.span(key), "bad-name", "forecasts name a day and a service as in fri dinner, so a service needs a name of its own",
				"service %q begins with a day", key.Value)
			continue
		}
		from, to, _ := strings.Cut(v.Value, "-")
		start, err := measure.ParseClock(strings.TrimSpace(from))
		if err == nil {
			var end int
			end, err = measure.ParseClock(strings.TrimSpace(to))
			if err == nil {
				s := Service{Name: key.Value, Start: start, End: end}
				if r.sane(s, v) {
					places[s.Name] = r.span(key).Pos
					r.k.Services = append(r.k.Services, s)
				}
				continue
			}
		}
		r.fault(r.span(v), "bad-service", "write from and to as 11:30-14:30; after midnight goes on to 30:00",
			"%q is not a time from and to", v.Value)
	}
	if len(r.k.Services) > mostServices {
		r.fault(r.owner(n), "bad-service", "write the meal periods, not single tables",
			"%d services in a day are more than %d", len(r.k.Services), mostServices)
	}
	slices.SortStableFunc(r.k.Services, func(a, b Service) int { return cmp.Compare(a.Start, b.Start) })
	for i, s := range r.k.Services {
		if i > 0 && r.k.Services[i-1].End > s.Start {
			r.overlap(r.k.Services[i-1], s, "", places)
		}
	}
	if last := len(r.k.Services) - 1; last > 0 && r.k.Services[last].End-24*60 > r.k.Services[0].Start {
		r.overlap(r.k.Services[last], r.k.Services[0], " of the next day", places)
	}
}

// sane tells whether a service ends after it starts and within a day.
func (r *reader) sane(s Service, v *yaml.Node) bool {
	switch {
	case s.End <= s.Start:
		hint := "write the earlier time first"
		if late := s.End + 24*60; late <= measure.LatestClock {
			hint = fmt.Sprintf("past midnight the hours go on: write %s-%s", measure.FormatClock(s.Start), measure.FormatClock(late))
		}
		r.fault(r.span(v), "bad-service", hint, "service %q ends at %s, before it starts at %s", s.Name,
			measure.FormatClock(s.End), measure.FormatClock(s.Start))
		return false
	case s.End-s.Start > 24*60:
		r.fault(r.span(v), "bad-service", "a service lasts at most 24 h", "service %q lasts %s", s.Name,
			measure.FormatDuration(s.End-s.Start))
		return false
	}
	return true
}

func (r *reader) overlap(a, b Service, when string, places map[string]Pos) {
	where := places[b.Name]
	r.fault(r.at(where.Line, where.Col, utf8.RuneCountInString(b.Name)), "bad-service", "let one end before the other starts",
		"service %q ends at %s, after %q%s starts at %s", a.Name, measure.FormatClock(a.End), b.Name, when,
		measure.FormatClock(b.Start)).note(places[a.Name], "%q stands here", a.Name)
}

func (r *reader) vessels(n *yaml.Node) {
	for key, body := range r.pairs(n) {
		v := Vessel{Name: key.Value, Pos: r.span(key).Pos}
		v.Holds, _ = scalar(r, body, "holds", parseHolds)
		v.Diameter, _ = scalar(r, body, "inside diameter", parseLength)
		r.vesselAt[v.Name] = len(r.k.Vessels)
		r.k.Vessels = append(r.k.Vessels, v)
	}
}

// add registers an item and makes room for its terms.
func (r *reader) add(it graph.Item, at Pos) (index int) {
	index = len(r.items)
	r.items = append(r.items, it)
	r.itemAt[it.Name] = index
	r.k.ItemPos = append(r.k.ItemPos, at)
	t := &r.k.Terms
	t.Price = append(t.Price, 0)
	t.Worth = append(t.Worth, math.NaN())
	t.Keeps = append(t.Keeps, 0)
	return index
}

func (r *reader) bought(n *yaml.Node) {
	t := &r.k.Terms
	for key, body := range r.pairs(n) {
		p, ok := scalar(r, body, "price", parsePrice)
		i := r.add(graph.Item{Name: key.Value, Role: graph.Bought, Unit: p.per.Unit}, r.span(key).Pos)
		r.bridges(i, body)
		if ok {
			t.Price[i] = p.perBase()
			t.Worth[i] = t.Price[i] // it would be bought in at its own price
		} else {
			r.unsure[i] = true
		}
		t.Keeps[i], _ = scalar(r, body, "keeps", parseKeeps)

		b := Bought{Arrives: everyDay}
		if days, ok := scalar(r, body, "arrives", parseDays); ok {
			b.Arrives = days
		}
		if pack, ok := scalar(r, body, "pack", measure.Parse); ok {
			at := r.value(body, "pack")
			if pack.Amount == 0 {
				r.fault(r.span(at), "bad-pack", "write the smallest amount sold, or take the key out", "pack %q is nothing", at.Value)
			}
			b.Pack, _ = r.base(i, pack, r.span(at))
		}
		if list := r.value(body, "allergens"); list != nil {
			b.Allergens = []string{}
			for _, a := range list.Content {
				if !r.unfit[a] {
					b.Allergens = append(b.Allergens, a.Value)
				}
			}
		}
		b.From, _ = scalar(r, body, "from", words)
		r.k.Bought = append(r.k.Bought, b)
	}
}

// bridges reads density and each of an item.
func (r *reader) bridges(i int, body *yaml.Node) {
	var dense, each bool
	r.items[i].Density, dense = scalar(r, body, "density", parseDensity)
	r.items[i].Each, each = scalar(r, body, "each", parseEach)
	if !dense && written(body, "density") || !each && written(body, "each") {
		r.unsure[i] = true
	}
}

// made reads what is known of items that steps give.
func (r *reader) made(n *yaml.Node) {
	t := &r.k.Terms
	for key, body := range r.pairs(n) {
		i, ok := r.itemAt[key.Value]
		switch {
		case !ok:
			r.fault(r.span(key), "unknown-item", r.meant(key.Value, r.itemNames(graph.Made), "add it to what a step gives"),
				"no step gives %q", key.Value)
			continue
		case r.items[i].Role == graph.Bought:
			r.fault(r.span(key), "bought-and-made", "what is known about bought items stands under \"bought\"",
				"%q is bought, not made", key.Value).note(r.k.ItemPos[i], "bought here")
			continue
		}
		r.bridges(i, body)
		t.Keeps[i], _ = scalar(r, body, "keeps", parseKeeps)
		if worth, ok := scalar(r, body, "worth", parsePrice); ok {
			if per, ok := r.base(i, worth.per, r.span(r.value(body, "worth"))); ok {
				t.Worth[i] = worth.money / per
			}
		} else if written(body, "worth") {
			r.unsure[i] = true
		}
	}
}

// itemNames walks the items of some roles, for hints.
func (r *reader) itemNames(roles ...graph.Role) iter.Seq[named] {
	return func(yield func(named) bool) {
		for i, it := range r.items {
			if slices.Contains(roles, it.Role) && !yield(named{it.Name, r.k.ItemPos[i]}) {
				return
			}
		}
	}
}

// base is a quantity of an item in base units of the item. What stands in its way is told at the place where the quantity
// is written.
func (r *reader) base(i int, q measure.Quantity, where span) (amount float64, ok bool) {
	it := r.items[i]
	if r.unsure[i] {
		return 0, false
	}
	if amount, ok = it.Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind); ok {
		return amount, true
	}
	r.fault(where, "no-bridge", bridgeHint(it, q.Unit.Kind), "%s of %q is %s, but it is counted in %s, which is %s",
		q, it.Name, q.Unit.Kind, it.Unit.Name, it.Unit.Kind).note(r.k.ItemPos[i], "%q stands here", it.Name)
	return 0, false
}

// bridgeHint says what to write so that an item can be converted from its own kind to another.
func bridgeHint(it graph.Item, to measure.Kind) string {
	var missing []string
	if it.Density == 0 && (it.Unit.Kind == measure.Volume || to == measure.Volume) {
		missing = append(missing, `"density: ... kg/L"`)
	}
	if it.Each == 0 && (it.Unit.Kind == measure.Count || to == measure.Count) {
		missing = append(missing, `"each: ... kg"`)
	}
	list := "made"
	if it.Role == graph.Bought {
		list = "bought"
	}
	return fmt.Sprintf("add %s to %q under %q", strings.Join(missing, " and "), it.Name, list)
}

// connect turns the recipes into the graph and checks what only the whole can show.
func (r *reader) connect() {
	steps := make([]graph.Step, 0, len(r.recipes))
	for _, rec := range r.recipes {
		steps = append(steps, r.resolve(rec))
	}
	for s, rec := range r.recipes {
		if rec.holed {
			continue
		}
		st := steps[s]
		r.checkTwice(rec, st)
		if !rec.dish {
			r.checkYield(rec, st)
			r.checkVessel(rec, st, r.k.Steps[s].Vessel)
			r.checkShares(rec, st)
			r.k.Terms.Share[s] = r.shareRule(rec, st)
		}
	}
	g, err := graph.New(r.items, steps)
	if err != nil {
		if r.found.Err() == nil {
			panic("mistake: a sound kitchen gives no graph: " + err.Error())
		}
		return
	}
	r.k.Graph = g
	r.checkLoops(g)
	if r.found.Err() == nil {
		r.checkLoose(g)
	}
}

package kitchen

// Read: from the text of a kitchen file to a Kitchen, or to all that is wrong with it.

import (
	"crypto/sha256"
	"fmt"
	"iter"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/currency"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Read reads a kitchen file. The name is only used to say where things stand. All faults are said at once; the kitchen
// is nil exactly when one of them is of severity [Error].
func Read(name string, src []byte) (*Kitchen, Diagnostics) {
	text, clean, ok := newSource(name, src, "\r\n", "\r", "\u0085", "\u2028", "\u2029")
	if !ok {
		return nil, text.found
	}
	r := &reader{
		source:     text,
		unfit:      map[*yaml.Node]bool{},
		head:       map[*yaml.Node]*yaml.Node{},
		k:          &Kitchen{File: name, Digest: fmt.Sprintf("%x", sha256.Sum256(src))},
		vesselAt:   map[string]int{},
		stepAt:     map[string]int{},
		itemAt:     map[string]int{},
		keepsAt:    map[int]*yaml.Node{},
		approvedAt: map[int]*yaml.Node{},
		unsure:     map[int]bool{},
		countedAs:  map[int]measure.Unit{},
		unfinished: unfinished{densities: map[int]bool{}, doubted: map[int]bool{}},
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
	r.k.showIn()
	return r.k, faults
}

// reader is the state of one reading.
type reader struct {
	*source
	unfit map[*yaml.Node]bool       // keys and values that are not of the right shape: they have been told and are not read
	head  map[*yaml.Node]*yaml.Node // the key that a mapping stands behind

	k           *Kitchen
	stationKeys []*yaml.Node // of Kitchen.Stations, as they are written

	vesselAt   map[string]int // by name, as the next two
	stepAt     map[string]int
	itemAt     map[string]int
	items      []graph.Item
	keepsAt    map[int]*yaml.Node // what stands behind "keeps" of an item that a step gives
	approvedAt map[int]*yaml.Node // what stands behind "date approved by"
	unfinished
	countedAs map[int]measure.Unit // by item that is weighed or poured: in what it is counted
	unsure    map[int]bool         // items of which the unit or a bridge could not be read: nothing follows from their amounts
	otherAt   []span               // by Kitchen.OtherNames: where the name stands
	soldAsAt  []span               // by the names that dishes have on the till, in the order of the dishes
	recipes   []*recipe            // steps, then dishes, then specials
	takes     []inPlaceOf          // by dish that says so

	aside   map[*yaml.Node]*aside // what is set aside, by what stands behind its name
	formers []former              // as they are written
	asides  []*aside              // in the order of the file
	waiting map[string]bool       // items that only such steps give
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

// scalarOr is the value behind a key, or another when there is none or it is at fault.
func scalarOr[T any](r *reader, n *yaml.Node, name string, parse func(string) (T, error), otherwise T) T {
	if v, ok := scalar(r, n, name, parse); ok {
		return v
	}
	return otherwise
}

// says tells whether a word stands behind a key.
func (r *reader) says(n *yaml.Node, name, word string) bool {
	said, _ := scalar(r, n, name, words)
	return said == word
}

// words reads text as it stands.
func words(s string) (string, error) { return s, nil }

// count reads a whole number whose shape has been checked.
func count(s string) (int, error) {
	n, _ := Digits(s)
	return n, nil
}

// kitchen reads the file's outermost mapping.
func (r *reader) kitchen(root *yaml.Node) {
	k := r.k
	r.root = root
	k.Name, _ = scalar(r, root, "kitchen", words)
	r.tongue(r.value(root, "language"))
	r.money(r.value(root, "money"))
	k.systems = scalarOr(r, root, "units", words, asWritten)
	k.FoodCost = scalarOr(r, root, "food cost", parsePercent, usualFoodCost)
	k.Terms.Disposal, _ = scalar(r, root, "disposal", parseDisposal)
	k.Code = &Codes[0]
	if name, ok := scalar(r, root, "food code", words); ok {
		k.Code = &Codes[slices.Index(codeNames(), name)] // one of them, or it would not be read
	}
	r.allergenLists(r.value(root, "allergen list"))
	k.Open = scalarOr(r, root, "open", parseDays, EveryDay)
	r.services(r.value(root, "services"))
	r.dates(root)
	r.seats(root)
	r.vessels(r.value(root, "vessels"))
	k.Burners, _ = scalar(r, root, "burners", count)
	r.hands(r.value(root, "hands"))
	r.stations(r.value(root, "stations"))
	r.suppliers(r.value(root, "suppliers"))
	r.bought(r.value(root, "bought"))
	r.setAside(root)
	for key, body := range r.pairs(r.value(root, "steps")) {
		if r.aside[body] == nil {
			r.card(key, body, &recipe{})
		}
	}
	r.given()
	r.made(r.value(root, "made"))
	for _, list := range []string{"dishes", "specials"} {
		for key, body := range r.pairs(r.value(root, list)) {
			if r.aside[body] == nil {
				r.dish(key, body, list == "specials")
			}
		}
	}
	r.checkAside()
	r.takings()
	r.priceDishes()
	r.full(root)
	r.checkOtherNames()
	r.checkFormers()
	r.k.waits = r.waits()
	r.wordsIn(r.value(root, "also"))
	r.checkSoldAs()
	r.checkStations()
	r.connect()
}

// usualFoodCost is the share of the price that goes into food in many kitchens: common practice, no source.
const usualFoodCost = 0.30

func (r *reader) money(n *yaml.Node) {
	if n == nil {
		return
	}
	if _, err := currency.ParseISO(n.Value); err != nil || n.Value != strings.ToUpper(n.Value) {
		r.fault(r.span(n), "bad-money", "write the ISO 4217 code in capitals, such as USD, EUR or MXN",
			"%q is not a currency code", n.Value)
		return
	}
	r.k.Money = n.Value
}

func (r *reader) vessels(n *yaml.Node) {
	for key, body := range r.pairs(n) {
		v := Vessel{Name: key.Value, Pos: r.span(key).Pos, Burners: scalarOr(r, body, "burners", count, 1)}
		if holds, ok := scalar(r, body, "holds", parseHolds); ok {
			q, _ := measure.Parse(r.value(body, "holds").Value) // it was read
			v.Holds, v.Unit = holds, q.Unit
		}
		v.Diameter, _ = scalar(r, body, "inside diameter", parseLength)
		r.vesselAt[v.Name] = len(r.k.Vessels)
		r.also(NamedVessel, len(r.k.Vessels), body)
		r.was(NamedVessel, v.Name, body)
		r.k.Vessels = append(r.k.Vessels, v)
	}
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
			r.steam(rec, &steps[s], &r.k.Steps[s])
			r.checkShares(rec, steps[s])
			r.checkPhases(rec, st, &r.k.Steps[s])
			r.checkOffHeat(rec, st, &r.k.Steps[s])
			r.checkWork(rec, st, s)
			r.unattended(rec, st, &r.k.Steps[s])
			r.fireAlone(rec, st, s)
			r.k.Terms.Share[s] = r.shareRule(rec, st)
		}
	}
	r.manyOf()
	g, err := graph.New(r.items, steps)
	if err != nil {
		if r.found.Err() == nil {
			panic("mistake: a sound kitchen gives no graph: " + err.Error())
		}
		return
	}
	r.k.Graph = g
	r.checkLoops(g)
	r.k.findRaw()
	r.k.findInOil(r.namedOf)
	r.k.findHistamine(r.namedOf)
	r.k.findLime(r.namedOf)
	r.findHotFat()
	if r.found.Err() == nil {
		r.checkRaw()
		r.limitInOil()
		r.checkOilChains()
		r.checkAllergenNames()
		r.checkLoose(g)
		r.checkApprovals()
		r.checkDateMarks()
		r.checkSuppliers(g)
		r.ask()
	}
}

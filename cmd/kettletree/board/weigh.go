package board

// Break down: a whole piece, then each part as it comes off the knife. What is typed stands in the address, so that each field that is
// left shows at once what is still on the board and what the parts cost; it is kept as a batch, as what the step gives, or as a new step.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

var weighPage = &page{Path: "/weigh", Name: "Break down", File: "weigh", Takes: []string{"step", "new", "called", "whole", "price", "part", "rows", "changed"}, Studies: true,
	Answer: func(ctx context.Context, a *asked) (any, error) { return a.breakdown(ctx) }}

// breakdown is what the page shows.
type breakdown struct {
	amending
	Cuts, Others []string // steps to choose from: those that give several things, and the rest
	Step         string
	New          bool
	Called       string // the new one
	Item         string // the whole piece
	Scale        string
	Whole, Price string
	CardWhole    string // as the card has it
	CardPrice    string // of a unit of Scale, as the file has it
	Parts        []weighPart
	Rows         int // of a new step
	Done         bool
	Wrong        map[string]*fault // by field
	Broken       *brokenDown
	Kept         []weighKept
	Tests        int // kept
	Learned      bool

	cut  menu.Cut
	text []byte
}

// weighPart is a field for a part.
type weighPart struct {
	Name, Typed, Card string
	At                int
	Wrong             *fault
}

// brokenDown is what it comes to, as it is said.
type brokenDown struct {
	*menu.BrokenDown
	Whole, Left, LeftShare string
	Rows                   []brokenPart
	AllWeighed             bool
}

// brokenPart is a part of it.
type brokenPart struct {
	Name, Amount, Share, Each, Unit string
	Card                            bool
}

// weighKept is what the tests that are kept say of a part.
type weighKept struct{ Name, Unit, Mean, Spread, Limits, File string }

// Number is the part's, as a label says it.
func (p weighPart) Number() int { return p.At + 1 }

const (
	usualParts = 4
	mostParts  = 24
)

// breakdown makes the page.
func (a *asked) breakdown(ctx context.Context) (*breakdown, error) {
	a.passing = true
	src, err := a.board.kitchenText()
	if err != nil {
		return nil, err
	}
	m := &breakdown{Step: a.Query.Get("step"), New: a.Query.Get("new") != "", Called: trimmed(a.Query.Get("called")), Whole: trimmed(a.Query.Get("whole")),
		Price: trimmed(a.Query.Get("price")), Wrong: map[string]*fault{}}
	m.Digest = digestOf(src)
	if err := m.changed(a.board.Kitchen.Name, a.Query.Get("changed")); err != nil {
		return nil, err
	}
	m.Done = m.Changed != nil || a.Query.Has("wrote")
	if m.Step == "" && !m.New {
		m.choose(a.Kitchen)
		return m, nil
	}
	if m.Step != "" {
		step, err := a.Kitchen.FindStep(m.Step)
		if err != nil {
			return nil, &Refusal{Msg: err.Error(), Hint: "it may have been renamed or taken away since"}
		}
		m.fields(a, step)
		if err := m.tests(ctx, a, step); err != nil {
			return nil, err
		}
	} else {
		m.fresh(a)
	}
	if m.cut.Whole == "" || m.New && (m.Called == "" || len(m.cut.Parts) == 0) {
		return m, nil
	}
	if err := m.breakDown(ctx, a, src); err != nil || m.text == nil {
		return m, err
	}
	m.Proposal = &proposal{}
	return m, a.propose(ctx, m.Proposal, a.board.Kitchen.Name, src, m.text)
}

// MoreRows are more fields for a new step's parts.
func (m *breakdown) MoreRows() string { return strconv.Itoa(min(mostParts, m.Rows+usualParts)) }

// choose names the steps.
func (m *breakdown) choose(k *kitchen.Kitchen) {
	for s := range k.Steps {
		st := k.Graph.Steps[s]
		if len(st.Gives) > 1 && len(st.Takes) == 1 {
			m.Cuts = append(m.Cuts, st.Name)
		} else {
			m.Others = append(m.Others, st.Name)
		}
	}
}

// fields are those of a step of the file, filled with what was typed.
func (m *breakdown) fields(a *asked, step int) {
	k := a.Kitchen
	st := k.Graph.Steps[step]
	line := st.Takes[0].Choices[0]
	whole := k.Graph.Items[line.Item]
	m.Step, m.Item, m.CardWhole = st.Name, whole.Name, k.QuantityOn(step, line.Item, line.Amount).String()
	m.Scale = menu.ScaleOf(whole, m.Whole)
	if scale, err := measure.UnitNamed(m.Scale); err == nil && line.Item < len(k.Bought) {
		if base, ok := whole.Bridge().Convert(scale.Factor, scale.Kind, whole.Unit.Kind); ok {
			m.CardPrice = show.MoneyOf(k.Money).Show(k.Terms.Price[line.Item] * base)
		}
	}
	scale := "" // what has a weight is weighed, be it counted in pieces
	if _, ok := whole.Grams(1); ok {
		scale = m.Scale
	}
	m.cut = menu.Cut{Step: m.Step, Whole: withUnit(m.Whole, cmp.Or(scale, m.unitOf(whole.Unit))), Price: m.Price}
	typed := a.Query["part"]
	for n, out := range st.Gives {
		it := k.Graph.Items[out.Item]
		p := weighPart{Name: it.Name, Card: k.QuantityOn(step, out.Item, out.Amount).String(), At: n}
		if n < len(typed) {
			p.Typed = trimmed(typed[n])
		}
		if text := withUnit(p.Typed, m.unitOf(it.Unit)); text != "" {
			m.cut.Parts = append(m.cut.Parts, text+" "+it.Name)
		}
		m.Parts = append(m.Parts, p)
	}
}

// fresh are the fields of a new step: each part with its name.
func (m *breakdown) fresh(a *asked) {
	rows, _ := strconv.Atoi(a.Query.Get("rows"))
	typed := a.Query["part"]
	m.Rows = min(mostParts, max(rows, usualParts, len(typed)))
	q, _, err := measure.ParsePrefix(m.Whole)
	if m.Scale = "kg"; err == nil && (q.Unit.Name == "lb" || q.Unit.Name == "oz") {
		m.Scale = "lb"
	}
	m.cut = menu.Cut{Step: m.Called, New: true, Whole: m.Whole, Price: m.Price}
	for n := range m.Rows {
		p := weighPart{At: n}
		if n < len(typed) {
			p.Typed = trimmed(typed[n])
		}
		if p.Typed != "" {
			m.cut.Parts = append(m.cut.Parts, p.Typed)
		}
		m.Parts = append(m.Parts, p)
	}
}

// unitOf is the unit of a number that was typed alone: what is weighed is weighed on one scale.
func (m *breakdown) unitOf(u measure.Unit) string {
	if u.Kind == measure.Weight {
		return m.Scale
	}
	return u.Name
}

// withUnit is an amount as it was typed, with a unit where it is a number alone.
func withUnit(typed, unit string) string {
	typed = measure.Pointed(typed)
	if _, rest, err := measure.Number(typed); err == nil && strings.TrimSpace(rest) == "" {
		return strings.TrimSpace(typed) + " " + unit
	}
	return typed
}

// breakDown asks what it comes to; what can't be told is put beside its field.
func (m *breakdown) breakDown(ctx context.Context, a *asked, src []byte) error {
	o := a.board.Options
	o.Kitchen.Text, o.Now, o.LogBook, o.Plan = src, a.Now, "", menu.Source{}
	answer, err := a.board.slow.do(ctx, a.Device, false, func(ctx context.Context) (any, error) {
		broken, text, err := menu.BreakDown(ctx, o, m.cut)
		if err == nil {
			m.text = text
		}
		return broken, err
	})
	if err != nil {
		return m.misread(ctx, o, a, err)
	}
	broken := answer.(*menu.BrokenDown)
	money := show.MoneyOf(a.Kitchen.Money)
	b := &brokenDown{BrokenDown: broken, Whole: broken.Weight(broken.Grams), Left: broken.Weight(broken.Trim), LeftShare: show.Share(broken.Trim, broken.Grams), AllWeighed: true}
	for _, p := range broken.Parts {
		b.Rows = append(b.Rows, brokenPart{p.Name, p.Amount, show.Share(p.Grams, broken.Grams), money.Show(p.Each), p.Unit, p.Card})
		b.AllWeighed = b.AllWeighed && !p.Card
	}
	m.Broken = b
	return nil
}

// misread finds the field that a fault is about: the first part without which there is none, or else the whole.
func (m *breakdown) misread(ctx context.Context, o menu.Options, a *asked, err error) error {
	f := &fault{}
	var faults kitchen.Diagnostics
	if e, ok := errors.AsType[*measure.Error](err); ok {
		f.Msg, f.Hint = e.Msg, e.Hint
	} else if stuck, ok := errors.AsType[*kitchen.AmendError](err); ok {
		f.Msg, f.Hint, faults = stuck.Msg, stuck.Hint, stuck.Faults
	} else if !errors.As(err, &faults) {
		return err
	}
	if len(faults) > 0 {
		f.Msg, f.Hint = faults[0].Msg, faults[0].Hint
	}
	m.text = nil
	var typed []int // the fields in which parts stand
	for i := range m.Parts {
		if m.Parts[i].Typed != "" {
			typed = append(typed, i)
		}
	}
	for n := len(typed) - 1; n >= 0; n-- {
		less := m.cut
		less.Parts = slices.Delete(slices.Clone(m.cut.Parts), n, n+1)
		if _, _, err := menu.BreakDown(ctx, o, less); err == nil {
			m.Parts[typed[n]].Wrong = f
			return nil
		}
	}
	if m.cut.Begins(ctx, o) == nil && len(typed) > 0 { // the whole is right
		m.Parts[typed[len(typed)-1]].Wrong = f
		return nil
	}
	m.Wrong["whole"] = f
	return nil
}

// tests are what the log book's batches say of the step's parts.
func (m *breakdown) tests(ctx context.Context, a *asked, step int) error {
	if !logbook.Exists(a.board.LogBook) {
		return nil
	}
	_, err := a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
		y, err := j.Yields(ctx, a.Kitchen, logbook.About{Step: step, Output: -1})
		if err != nil || len(y.Steps) == 0 {
			return "", err
		}
		for _, l := range y.Steps[0].Outputs {
			if l.Mean == nil {
				continue
			}
			kept := weighKept{Name: l.Output, Unit: l.Unit, Mean: measure.FormatNumber(*l.Mean), File: measure.FormatNumber(l.File)}
			if l.Spread != nil {
				kept.Spread = kitchen.FormatSpread(*l.Spread)
			}
			if l.Limits != nil {
				kept.Limits = measure.FormatNumber(max(0, l.Limits.Lower)) + " to " + measure.FormatNumber(l.Limits.Upper)
			}
			m.Tests = max(m.Tests, l.Batches)
			m.Kept = append(m.Kept, kept)
		}
		m.Learned = m.Tests >= logbook.LeastBatches
		return "", nil
	})
	return err
}

// weighed answers the forms of the page that write into the kitchen file: what this piece gave, or the mean of those that are kept.
func (b *Board) weighed(r *http.Request, a *asked) (number int, to url.Values, err error) {
	number, err = b.weighedInto(r, a)
	to = url.Values{"changed": {strconv.Itoa(number)}, "step": {a.Query.Get("step")}}
	if a.Query.Get("new") != "" {
		to.Set("step", trimmed(a.Query.Get("called")))
	}
	a.Form.Faults = []fault{{Msg: "the kitchen file has changed since you opened this", Hint: "look again, then write it"}}
	return number, to, err
}

// weighedInto writes what was seen, and gives the number of the change; 0 where the page is to be shown again.
func (b *Board) weighedInto(r *http.Request, a *asked) (number int, err error) {
	src, err := b.kitchenText()
	if err != nil {
		return 0, err
	}
	var text []byte
	var says string
	if r.PostFormValue("do") == "mean" {
		text, says, err = a.meanOf(r.Context(), src)
	} else {
		m := &breakdown{Step: a.Query.Get("step"), New: a.Query.Get("new") != "", Called: trimmed(a.Query.Get("called")), Whole: trimmed(a.Query.Get("whole")),
			Price: trimmed(a.Query.Get("price")), Wrong: map[string]*fault{}}
		if step, err := a.Kitchen.FindStep(m.Step); err == nil && !m.New {
			m.fields(a, step)
		} else {
			m.fresh(a)
		}
		err = m.breakDown(r.Context(), a, src)
		if text = m.text; m.New {
			says = "new step, as it was weighed: " + m.Called
		} else {
			says = "as it was weighed: " + m.Step
		}
		if r.PostFormValue("seen") != digestOf(text) {
			return 0, err
		}
	}
	if err != nil || text == nil || r.PostFormValue("digest") != digestOf(src) {
		return 0, err
	}
	return b.store(r, src, text, kitchen.Kept{Says: says})
}

// meanOf is the kitchen file with the means of a step's batches, and their spreads.
func (a *asked) meanOf(ctx context.Context, src []byte) (text []byte, says string, err error) {
	if a.Kitchen.Digest != digestOf(src) {
		return nil, "", nil
	}
	step, err := a.Kitchen.FindStep(a.Query.Get("step"))
	if err != nil {
		return nil, "", nil
	}
	_, err = a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
		y, err := j.Yields(ctx, a.Kitchen, logbook.About{Step: step, Output: -1})
		if err != nil {
			return "", err
		}
		_, text, err = logbook.Propose(a.Kitchen, src, y)
		return "", err
	})
	return text, fmt.Sprintf("yields of %s, as its batches gave", a.Kitchen.Graph.Steps[step].Name), err
}

package board

// Keeping a plan: the one that the Plan page shows becomes what every page and command goes by, or the last one is taken back.

import (
	"crypto/sha256"
	"fmt"
	"net/http"
	"path/filepath"

	"kettletree/graph/measure"
	"kettletree/menu/plan"
)

// foundPlan is what a study of the Plan page finds.
type foundPlan struct {
	*plan.Answer
	kept *plan.Kept
}

// Mark tells one plan from another, for the form that keeps the one that was seen.
func (f *foundPlan) Mark() string {
	text, err := f.kept.Text()
	if err != nil {
		return ""
	}
	return fmt.Sprintf("%x", sha256.Sum256(text))[:16]
}

// keeping is what the Plan page says of the plan that is kept.
type keeping struct {
	Can   bool   // a plan can be kept: the board does not go without one
	Is    bool   // the plan that is shown is kept
	At    string // when it was
	Other string // on which days another plan is kept; "" for none
	Frame string // of the plan that is shown
	Mark  string
}

// keeping compares what is kept with a plan.
func (b *Board) keeping(f *foundPlan, frame string) (k keeping, err error) {
	if k.Can = b.Plan.Name != ""; !k.Can {
		return k, nil
	}
	k.Frame, k.Mark = frame, f.Mark()
	kept, err := plan.ReadFile(b.Plan.Name)
	if err != nil || kept == nil {
		return k, err
	}
	if at, is := kept.Has(f.kept); is {
		k.Is, k.At = true, measure.FormatMoment(at)
	} else {
		k.Other = kept.Span()
	}
	return k, nil
}

// keep keeps the plan that a form has seen, or takes the last one back, and leads back to the page. The fields are do (keep or
// drop), frame and mark (which plan) and back.
func (b *Board) keep(w http.ResponseWriter, r *http.Request) {
	if b.mayWrite(w, r) {
		b.end(w, r, b.keptBy(r))
	}
}

// keptBy does what a form asks for.
func (b *Board) keptBy(r *http.Request) error {
	if b.Plan.Name == "" {
		return goesByNone()
	}
	b.keeps.Lock()
	defer b.keeps.Unlock()
	if r.PostFormValue("do") == "drop" {
		_, dropped, err := plan.Drop(b.Plan.Name)
		if err == nil && !dropped {
			return &Refusal{Msg: "no plan is kept", Hint: "somebody has taken it back already"}
		}
		return err
	}
	now, err := b.Clock()
	if err != nil {
		return err
	}
	found := b.foundPlan(r.PostFormValue("frame"))
	if found == nil || found.Mark() != r.PostFormValue("mark") {
		return &Refusal{Msg: "that plan is no longer the latest one", Hint: "look at the Plan page again, and keep the plan that it shows"}
	}
	return found.kept.Keep(b.Plan.Name, now, b.Save)
}

// foundPlan is the plan that the Plan page shows for a frame; nil when it shows none.
func (b *Board) foundPlan(frame string) *foundPlan {
	st, ok := b.studies.peek(planPage.Path + " " + frame)
	if !ok {
		return nil
	}
	st.mu.Lock()
	defer st.mu.Unlock()
	if st.found == nil {
		return nil
	}
	found, _ := st.found.answer.(*foundPlan)
	return found
}

// goesByNone refuses to keep a plan where none is kept.
func goesByNone() *Refusal {
	return &Refusal{Msg: "this board goes by no plan", Hint: "start it without --plan none"}
}

// unreadable words why the plan that is kept can't be read.
func unreadable(e *plan.FileError) *Refusal {
	named := *e
	named.File = filepath.Base(e.File) // devices need not know where it lies
	return &Refusal{Msg: "the plan that is kept can't be read: " + named.Error(), Hint: e.Hint}
}

package logbook

// What was learned, proposed as a change of the kitchen file.

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/aymanbagabas/go-udiff"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Proposal is a change of a kitchen file: the mean of what was learned, and its standard deviation behind "±".
type Proposal struct {
	Kitchen string   `json:"kitchen"` // the kitchen file
	Changes []Change `json:"changes"`
	Left    []Left   `json:"left"`    // what stays as it is
	Diff    string   `json:"diff"`    // unified; "" when nothing changes
	Written bool     `json:"written"` // whether the file was changed
}

// Change is a figure that changes, in the item's unit.
type Change struct {
	Step      string  `json:"step"`
	Output    string  `json:"output"`
	Unit      string  `json:"unit"`
	Was       float64 `json:"was"`         // the figure in the file
	Becomes   float64 `json:"becomes"`     // the mean
	Spread    float64 `json:"spread"`      // the standard deviation; 0 for none
	Batches   int     `json:"batches"`     // measured
	Trend     string  `json:"trend"`       // as in [Learned]; where there is one, the mean lies behind it
	OutOfLine int     `json:"out_of_line"` // batches that count all the same
	Line      int     `json:"line"`        // of the kitchen file
}

// Left is a figure that stays, and why.
type Left struct {
	Step   string `json:"step"`
	Output string `json:"output"`
	Why    string `json:"why"`
}

// Propose proposes to write what was learned into the kitchen file, and gives the text that the file would have; it
// is nil when nothing changes. src is the text that k was read from. A yield with fewer than [LeastBatches] measured
// batches is left, and so is one that stands in the file as it was learned. Errors are of type [*menu.AmendError],
// also when no yield has enough batches.
func Propose(k *kitchen.Kitchen, src []byte, y *Yields) (*Proposal, []byte, error) {
	p := &Proposal{Kitchen: k.File, Changes: []Change{}, Left: []Left{}}
	var figures []kitchen.Figure
	enough := false
	for _, s := range y.Steps {
		for _, l := range s.Outputs {
			out := k.Graph.Steps[l.step].Gives[l.place]
			if l.Batches < LeastBatches {
				p.Left = append(p.Left, Left{s.Step, l.Output, few(l.Batches)})
				continue
			}
			enough = true
			if measure.FormatNumber(*l.Mean) == measure.FormatNumber(l.File) &&
				kitchen.FormatSpread(*l.Spread) == kitchen.FormatSpread(l.FileSpread) {
				p.Left = append(p.Left, Left{s.Step, l.Output, "the file has it as it was learned"})
				continue
			}
			unit := k.Graph.Items[out.Item].Unit.Factor
			f := kitchen.Figure{Step: l.step, Output: l.place, Amount: *l.Mean * unit, Spread: *l.Spread * unit}
			if f.Spread <= slack*f.Amount { // all alike, but for the rounding of sums
				f.Spread = 0
			}
			figures = append(figures, f)
			p.Changes = append(p.Changes, Change{Step: s.Step, Output: l.Output, Unit: l.Unit, Was: l.File, Becomes: *l.Mean,
				Spread: f.Spread / unit, Batches: l.Batches, Trend: l.Trend, OutOfLine: l.OutOfLine,
				Line: k.StepPos[l.step].Gives[l.place].Line})
		}
	}
	if !enough {
		return nil, nil, tooFew(k, p.Left)
	}
	if len(figures) == 0 {
		return p, nil, nil
	}
	text, err := k.Amend(src, figures...)
	if err != nil {
		return nil, nil, err
	}
	p.Diff = udiff.Unified(k.File, k.File, string(src), string(text))
	return p, text, nil
}

// few says how many batches there are where there are too few.
func few(batches int) string {
	return fmt.Sprintf("%s measured, %d are needed", cmp.Or(map[int]string{0: "no batch was", 1: "1 batch was"}[batches],
		fmt.Sprintf("%d batches were", batches)), LeastBatches)
}

// tooFew is the fault when no yield has enough batches.
func tooFew(k *kitchen.Kitchen, left []Left) error {
	e := &kitchen.AmendError{Msg: "no batch was logged whose yields could be used",
		Hint: "log what comes out: " + string(Cooked) + " " + Form(k, Cooked)}
	if len(left) > 0 {
		var list []string
		for _, l := range left[:min(len(left), 5)] {
			list = append(list, fmt.Sprintf("%s of %s: %s", l.Output, l.Step, l.Why))
		}
		e.Msg = "there are too few batches; " + strings.Join(list, "; ")
	}
	return e
}

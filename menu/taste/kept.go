package taste

// A trial that is under way: kept in a file beside the kitchen's, until it is given up or another is begun.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
)

// Kept is a trial that was begun.
type Kept struct {
	Of      string   `yaml:"of"`     // the step
	Begun   string   `yaml:"begun"`  // 2006-01-02 15:04:05; batches lit or cooked after it are its own
	Things  []Varied `yaml:"things"` // what is varied
	Batches [][]int  `yaml:"batches,flow"`
}

// Path is where the trial of a kitchen file is kept: kitchen.trial beside kitchen.yaml.
func Path(kitchenFile string) string {
	return strings.TrimSuffix(kitchenFile, filepath.Ext(kitchenFile)) + ".trial"
}

// Begin is a trial as it is kept from a moment on.
func (t *Trial) Begin(of string, at time.Time) *Kept {
	return &Kept{of, at.Format(time.DateTime), t.Things, t.Batches}
}

// Text is the trial as its file has it.
func (t *Kept) Text() ([]byte, error) {
	text, err := yaml.Marshal(t)
	return append([]byte("# A trial under way. \"kettletree taste\" tells its next batch; \"kettletree taste --give-up\" ends it.\n"), text...), err
}

// FileError says why the file of a trial can't be read.
type FileError struct{ File, Msg string }

func (e *FileError) Error() string { return e.File + ": " + e.Msg }

// mostTrial is how many bytes of a trial's file are read.
const mostTrial = 1 << 16

// Read reads the trial that is kept in a file; it is nil where there is none.
func Read(file string) (*Kept, error) {
	info, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case info.Size() > mostTrial:
		return nil, &FileError{file, "it is too long for the file of a trial"}
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	t := &Kept{}
	if err := yaml.Unmarshal(text, t); err != nil {
		return nil, &FileError{file, "it can't be read: " + err.Error()}
	}
	if fault := t.fault(); fault != "" {
		return nil, &FileError{file, fault}
	}
	return t, nil
}

// calledNow is the trial under the names that the kitchen file has today.
func (t *Kept) calledNow(k *kitchen.Kitchen) *Kept {
	now := *t
	now.Of, now.Things = k.Now(kitchen.NamedStep, t.Of), slices.Clone(t.Things)
	for i, v := range now.Things {
		for _, end := range []string{"", " in at", " in for"} { // see the names of facts in package logbook
			if item, is := strings.CutSuffix(v.Thing, end); is && k.Now(kitchen.NamedItem, item) != item {
				now.Things[i].Thing = k.Now(kitchen.NamedItem, item) + end
			}
		}
	}
	return &now
}

// fault says what is wrong with a trial, "" when nothing is.
func (t *Kept) fault() string {
	if _, err := time.Parse(time.DateTime, t.Begun); err != nil {
		return fmt.Sprintf("begun: %q is not a moment such as 2026-11-24 14:05:00", t.Begun)
	}
	if t.Of == "" || len(t.Things) < 2 || len(t.Things) > MostVaried || len(t.Batches) != TrialBatches {
		return fmt.Sprintf("a trial is of one step, varies 2 to %d things and has %d batches", MostVaried, TrialBatches)
	}
	for n, levels := range t.Batches {
		if len(levels) != len(t.Things) || slices.ContainsFunc(levels, func(l int) bool { return l != -1 && l != 1 }) {
			return fmt.Sprintf("batch %d does not have -1 or 1 for each thing", n+1)
		}
	}
	for _, v := range t.Things {
		if v.Thing == "" || !v.unread() && !(v.Lower < v.Upper) { // so that what is not a number is one too
			return fmt.Sprintf("the levels of %q do not go up", v.Thing)
		}
	}
	return ""
}

// tried are the levels of a batch as a cook hears them: "onion less, 3.2 kg".
func (t *Kept) tried(levels []int) (list []clock.Tried) {
	for at, level := range levels {
		v := t.Things[at]
		how, amount := "less", v.Less
		if level > 0 {
			how, amount = "more", v.More
		}
		switch v.Unit {
		case "h", "o'clock", "min":
			how = map[string]string{"less": "sooner", "more": "later"}[how]
			if v.Unit == "min" || strings.HasSuffix(v.Thing, " in for") || v.Thing == "time on the fire" {
				how = map[string]string{"sooner": "shorter", "later": "longer"}[how]
			}
		}
		list = append(list, clock.Tried{Thing: v.Thing, How: how, Amount: amount})
	}
	return list
}

package kitchen

// Changes of a kitchen file on disk, so that nobody's are lost: each is written only over the text that it was made for, is kept beside the
// file, and can be taken back.

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// Kept is a change that was made, as a line of JSON in the file that lies beside the kitchen file.
type Kept struct {
	When   string   `json:"when"` // 2006-01-02 15:04:05
	Who    string   `json:"who"`
	Says   string   `json:"says"`
	Line   int      `json:"line"`             // the first that differs, from 1
	Before []string `json:"before"`           // up to three lines before those that differ
	Was    []string `json:"was"`              // the lines that differ, with their ends
	Is     []string `json:"is"`               // what stands in their place
	After  []string `json:"after"`            // up to three lines behind
	Undoes int      `json:"undoes,omitempty"` // the number of the change that this one takes back, from 1
}

// ChangesPath is the file that keeps the changes of a kitchen file: kitchen.changes, beside the file itself and not beside a link to it.
func ChangesPath(file string) string {
	if target, err := filepath.EvalSymlinks(file); err == nil {
		file = target
	}
	return strings.TrimSuffix(file, filepath.Ext(file)) + ".changes"
}

// context is how many lines beside a change are kept, to find its place by.
const context = 3

// differing is the change from one text to another.
func differing(from, to []byte) Kept {
	was, is := strings.SplitAfter(string(from), "\n"), strings.SplitAfter(string(to), "\n")
	first := 0
	for first < len(was) && first < len(is) && was[first] == is[first] {
		first++
	}
	same := 0 // at the end
	for same < len(was)-first && same < len(is)-first && was[len(was)-1-same] == is[len(is)-1-same] {
		same++
	}
	end := len(was) - same
	return Kept{Line: first + 1, Before: was[max(0, first-context):first], Was: was[first:end], Is: is[first : len(is)-same], After: was[end:min(len(was), end+context)]}
}

// ErrChanged says that a file is not the one any more that a change was made for.
var ErrChanged = errors.New("the kitchen file was changed in the meantime")

// Store writes a changed text over the one that it was made from, and keeps the change beside it. It fails with [ErrChanged] and writes
// nothing where the file holds something else by now. save must write a file whole or not at all. Whoever else stores a change waits.
// Editors do not: the text is compared once more right before it is replaced, and what one writes into it in that instant is put beside
// the file, which is an [*AmendError].
func Store(file string, from, to []byte, kept Kept, save func(name string, text []byte) error) (err error) {
	if target, err := filepath.EvalSymlinks(file); err == nil {
		file = target
	}
	h, err := holdOf(file)
	if err != nil {
		return err
	}
	defer h.free()
	list, err := os.ReadFile(ChangesPath(file))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	change := differing(from, to)
	change.When, change.Who, change.Says, change.Undoes = kept.When, kept.Who, kept.Says, kept.Undoes
	line, err := json.Marshal(change)
	if err != nil {
		return err
	}
	if err := unchanged(file, from); err != nil {
		return err
	}
	if err := save(ChangesPath(file), append(list, append(line, '\n')...)); err != nil { // first: what is written can be taken back
		return err
	}
	takeBack := func(err error) error {
		if list == nil {
			return errors.Join(err, os.Remove(ChangesPath(file)))
		}
		return errors.Join(err, save(ChangesPath(file), list))
	}
	old := filepath.Join(filepath.Dir(file), "."+filepath.Base(file)+".was") // the same file under another name: who writes into it now is seen
	_ = os.Remove(old)
	linked := os.Link(file, old) == nil // not every disk can
	defer func() { _ = os.Remove(old) }()
	if err := unchanged(file, from); err != nil {
		return takeBack(err)
	}
	if !h.held() {
		return takeBack(ErrChanged)
	}
	if err := save(file, to); err != nil {
		return takeBack(err)
	}
	if theirs, err := os.ReadFile(old); linked && err == nil && !bytes.Equal(theirs, from) && !bytes.Equal(theirs, to) { // a save that writes in place is no other program
		beside := file + ".theirs"
		if err := save(beside, theirs); err != nil {
			return err
		}
		return &AmendError{Msg: fmt.Sprintf("the change is made, but another program wrote %s in the same instant", filepath.Base(file)),
			Hint: fmt.Sprintf("what it wrote is in %s: put both together by hand", beside)}
	}
	return nil
}

// unchanged is [ErrChanged] where a file holds another text.
func unchanged(file string, text []byte) error {
	now, err := os.ReadFile(file)
	if err == nil && !bytes.Equal(now, text) {
		err = ErrChanged
	}
	return err
}

// Changes are the changes that are kept beside a kitchen file, oldest first.
func Changes(file string) (list []Kept, err error) {
	src, err := os.ReadFile(ChangesPath(file))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if len(bytes.TrimSpace(src)) == 0 {
		return nil, nil
	}
	for n, line := range bytes.Split(bytes.TrimRight(src, "\n"), []byte("\n")) {
		var k Kept
		if err := json.Unmarshal(line, &k); err != nil {
			return nil, &AmendError{Msg: fmt.Sprintf("%s:%d is not a change that was kept", ChangesPath(file), n+1), Hint: "set the file aside: new changes begin a new one"}
		}
		list = append(list, k)
	}
	return list, nil
}

// TakenBack gives the text of a kitchen file without the change of a number, or, for 0, without the last one that still stands; and that change
// with its number, nil where there is none that stands. What was written elsewhere since stays. The error is an [*AmendError] where the place
// of the change can't be told any more.
func TakenBack(file string, src []byte, which int) (text []byte, last *Kept, number int, err error) {
	list, err := Changes(file)
	if err != nil {
		return nil, nil, 0, err
	}
	gone := map[int]bool{}
	for n, k := range list {
		if k.Undoes > 0 {
			gone[n+1], gone[k.Undoes] = true, true
		}
	}
	for number = len(list); number > 0 && gone[number]; number-- {
	}
	if which != 0 {
		number = which
	}
	if number < 1 || number > len(list) || gone[number] {
		return nil, nil, 0, nil
	}
	k := list[number-1]
	text, ok := k.back(src)
	if !ok {
		return nil, &k, number, k.overwritten(file)
	}
	if read, faults := Read(file, text); read == nil {
		return nil, &k, number, &AmendError{Msg: "taking that back would put a mistake in the kitchen file", Faults: faults, Hint: "change it by hand"}
	}
	return text, &k, number, nil
}

// back is a text without a change: where the change stands as it was made, with its neighbours, and nowhere else.
func (k Kept) back(src []byte) (text []byte, ok bool) {
	at := 0 // where it stood
	for n, line := range strings.SplitAfter(string(src), "\n") {
		if n+1 >= k.Line-len(k.Before) {
			break
		}
		at += len(line)
	}
	for _, beside := range []int{context, 1} {
		before, after := k.Before[max(0, len(k.Before)-beside):], k.After[:min(beside, len(k.After))]
		lead := strings.Join(before, "")
		is := lead + strings.Join(k.Is, "") + strings.Join(after, "")
		if here := beside == context && strings.HasPrefix(string(src[at:]), is); !here {
			if is == "" || strings.Count(string(src), is) != 1 {
				continue
			}
			at = strings.Index(string(src), is)
			if at > 0 && src[at-1] != '\n' {
				continue
			}
		}
		at += len(lead)
		return bytes.Join([][]byte{src[:at], []byte(strings.Join(k.Was, "")), src[at+len(strings.Join(k.Is, "")):]}, nil), true
	}
	return nil, false
}

// Earlier gives the text of a kitchen file as it was before the last changes that are kept: before the first of those made at a time or later,
// or, where since is "", before the last one; first is that change, nil where there is none. What was written by hand meanwhile stays. The
// error is an [*AmendError] where the place of a change can't be told any more.
func Earlier(file string, src []byte, since string) (text []byte, first *Kept, err error) {
	list, err := Changes(file)
	if err != nil {
		return nil, nil, err
	}
	text = src
	for n := len(list) - 1; n >= 0 && (since == "" && n == len(list)-1 || since != "" && list[n].When >= since); n-- {
		k := list[n]
		was, ok := k.back(text)
		if !ok {
			return nil, nil, k.overwritten(file)
		}
		text, first = was, &k
	}
	return text, first, nil
}

// overwritten says that a change was itself changed by hand.
func (k Kept) overwritten(file string) error {
	return &AmendError{Msg: fmt.Sprintf("what was changed at %s (%s) was changed again since", k.When, k.Says),
		Hint: fmt.Sprintf("take the later change back first, or change it by hand: it stood at line %d; %s has how it was", k.Line, ChangesPath(file))}
}

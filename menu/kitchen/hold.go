package kitchen

// Who may store a change: one at a time, by a file that says whose hold it is.

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// A hold is one of a program that came to a sudden end when it is older than any store takes. Whoever waits does so for longer, so that
// such an end holds nobody up.
const (
	stale    = 5 * time.Second
	patience = 8 * time.Second
)

// hold keeps others from storing until it is freed. Only whoever has claimed it, by a file of its token's name that can be made once,
// takes the hold away: its owner, or one of those who wait where it is stale. So none takes away the hold of the next.
type hold struct{ file, token string }

func holdOf(file string) (*hold, error) {
	h := &hold{filepath.Join(filepath.Dir(file), "."+filepath.Base(file)+".hold"), rand.Text()}
	for began := time.Now(); ; time.Sleep(5 * time.Millisecond) {
		err := h.take()
		if !errors.Is(err, fs.ErrExist) {
			return h, err
		}
		if info, err := os.Stat(h.file); err == nil && time.Since(info.ModTime()) > stale {
			if token, err := os.ReadFile(h.file); err == nil && len(token) < 100 && filepath.Base("."+string(token)) == "."+string(token) {
				(&hold{h.file, string(token)}).free()
			}
		}
		if time.Since(began) > patience {
			return nil, fmt.Errorf("somebody else is writing %s: try again, or remove %s* if nobody is", file, h.file)
		}
	}
}

// take takes the hold, token and all at once; the error is [fs.ErrExist] where somebody has it.
func (h *hold) take() error {
	own := h.file + "." + h.token + ".new"
	if err := os.WriteFile(own, []byte(h.token), 0o600); err != nil {
		return err
	}
	defer func() { _ = os.Remove(own) }()
	err := os.Link(own, h.file)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	f, err := os.OpenFile(h.file, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600) // a disk without links
	if err != nil {
		return err
	}
	_, err = f.WriteString(h.token)
	return errors.Join(err, f.Close())
}

// held tells whether it is still the owner's.
func (h *hold) held() bool {
	token, err := os.ReadFile(h.file)
	return err == nil && string(token) == h.token
}

// free takes the hold away, if it is still that of the token.
func (h *hold) free() {
	claim := h.file + "." + h.token
	f, err := os.OpenFile(claim, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return // another is taking it away
	}
	_ = f.Close()
	if h.held() {
		_ = os.Remove(h.file)
	}
	_ = os.Remove(claim)
}

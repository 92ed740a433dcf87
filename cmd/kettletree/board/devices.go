package board

// Devices that are paired: kept in a file beside the log book, so that nobody has to be paired again because a program was started again.
// The file has no cookie but its digest: who reads it can't come in by it.

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// paired is a device that was let in.
type paired struct {
	Digest string `json:"digest"` // of its cookie, SHA-256
	Role   Role   `json:"role"`
	Name   string `json:"name"`
	Since  string `json:"since"` // 2006-01-02 15:04
	Seen   string `json:"seen"`
}

const (
	deviceTime = "2006-01-02 15:04"
	// seenEvery is how old what the file says of a device's last visit may be.
	seenEvery = time.Hour
	// mostName bounds the name of a device, in letters.
	mostName = 40
)

// load reads the file; one that isn't there has none.
func (d *door) load() error {
	if d.Devices == "" {
		return nil
	}
	src, err := os.ReadFile(d.Devices)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	var list []paired
	if err == nil {
		err = json.Unmarshal(src, &list)
	}
	if err != nil {
		return fmt.Errorf("the list of devices %s can't be read; remove it, and pair them again: %w", filepath.Base(d.Devices), err)
	}
	for _, one := range list {
		digest, err := hex.DecodeString(one.Digest)
		if err != nil || len(digest) != sha256.Size || !slices.Contains(Roles, one.Role) {
			return fmt.Errorf("the list of devices %s has an entry that can't be right; remove it, and pair them again", filepath.Base(d.Devices))
		}
		d.devices[[sha256.Size]byte(digest)] = &one
	}
	return nil
}

// save writes the file, whole or not at all, for nobody else to read; the lock is held. A list that can't be kept lets devices in until the
// program ends.
func (d *door) save() {
	if d.Devices == "" {
		return
	}
	text, err := json.MarshalIndent(d.list(), "", "\t")
	if err != nil {
		return
	}
	f, err := os.CreateTemp(filepath.Dir(d.Devices), ".devices") // which makes it 0600
	if err != nil {
		return
	}
	_, err = f.Write(append(text, '\n'))
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), d.Devices)
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
}

// list are the devices, the last seen first; the lock is held.
func (d *door) list() []paired {
	list := []paired{}
	for _, one := range d.devices {
		list = append(list, *one)
	}
	slices.SortFunc(list, func(a, b paired) int {
		return cmp.Or(strings.Compare(b.Seen, a.Seen), strings.Compare(a.Name, b.Name), strings.Compare(a.Digest, b.Digest))
	})
	return list
}

// visited takes note of a visit; the lock is held.
func (d *door) visited(one *paired, now time.Time) {
	if now.IsZero() {
		return
	}
	seen, err := time.Parse(deviceTime, one.Seen)
	one.Seen = now.Format(deviceTime)
	if err != nil || now.Sub(seen) >= seenEvery {
		d.save()
	}
}

// putOut lets a device in no longer.
func (d *door) putOut(digest string) (was paired, ok bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for key, one := range d.devices {
		if one.Digest == digest {
			delete(d.devices, key)
			close(d.out)
			d.out = make(chan struct{})
			d.save()
			return *one, true
		}
	}
	return paired{}, false
}

// puttingOut is closed when some device is put out.
func (d *door) puttingOut() <-chan struct{} {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.out
}

// deviceName is the name of a device as it is kept: what was typed, or what its browser says that it is.
func deviceName(typed, agent string) string {
	name := strings.Join(strings.Fields(typed), " ")
	if kitchen.TextFault(name, mostName) != "" {
		name = string([]rune(name)[:min(mostName, len([]rune(name)))])
	}
	if name != "" {
		return name
	}
	for _, kind := range [][2]string{{"iPad", "tablet"}, {"iPhone", "phone"}, {"Android", "phone or tablet"}, {"Windows", "computer"}, {"Macintosh", "computer"}, {"Linux", "computer"}} {
		if strings.Contains(agent, kind[0]) {
			return kind[1]
		}
	}
	return "device"
}

var devicesPage = &page{Path: "/devices", Name: "Devices", File: "devices", Answer: func(_ context.Context, a *asked) (any, error) {
	a.passing = true // it changes without the kitchen
	d := a.board.door
	d.mu.Lock()
	defer d.mu.Unlock()
	l := &deviceList{LAN: d.LAN}
	for _, one := range d.list() {
		seen, err := time.Parse(deviceTime, one.Seen)
		if err == nil {
			one.Seen = measure.FormatMoment(seen)
		}
		l.Devices = append(l.Devices, one)
	}
	return l, nil
}}

type deviceList struct {
	LAN     bool
	Devices []paired
}

// takeOut puts a device out, and leads back to the list.
func (b *Board) takeOut(w http.ResponseWriter, r *http.Request) {
	if !b.mayWrite(w, r) {
		return
	}
	b.door.putOut(r.PostFormValue("device")) // one that was put out before is out
	http.Redirect(w, r, "/devices", http.StatusSeeOther)
}

package roster

// Plans that were made before. A schedule follows from its problem alone, and the same one comes again and again: after an entry that
// moved no work, for each page that tells of it, in each language.

import (
	"container/list"
	"crypto/sha256"
	"encoding/binary"
	"slices"
	"sync"
)

// mostKept is how many plans are kept; one is some kB.
const mostKept = 256

// Memory keeps the plans of problems that were scheduled last. A nil one keeps none. It may be shared between goroutines.
type Memory struct {
	mu   sync.Mutex
	at   map[[sha256.Size]byte]*list.Element
	used list.List // of *remembered, the last used first
	made int       // how many were not there
}

type remembered struct {
	key  [sha256.Size]byte
	plan *Plan
}

// Schedule is [Schedule], or what it gave before. Nobody changes the plan.
func (m *Memory) Schedule(p *Problem) *Plan {
	if m == nil {
		return Schedule(p)
	}
	key := p.sum()
	m.mu.Lock()
	el, ok := m.at[key]
	if ok {
		m.used.MoveToFront(el)
	}
	m.mu.Unlock()
	if ok {
		return el.Value.(*remembered).plan
	}
	plan := Schedule(p)
	m.mu.Lock()
	defer m.mu.Unlock()
	m.made++
	if m.at == nil {
		m.at = map[[sha256.Size]byte]*list.Element{}
	}
	if _, ok := m.at[key]; !ok {
		m.at[key] = m.used.PushFront(&remembered{key, plan})
	}
	for m.used.Len() > mostKept {
		delete(m.at, m.used.Remove(m.used.Back()).(*remembered).key)
	}
	return plan
}

// Made is how many plans had to be made.
func (m *Memory) Made() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.made
}

// sum tells one problem from another.
func (p *Problem) sum() [sha256.Size]byte {
	var b []byte
	put := func(numbers ...int) {
		for _, n := range numbers {
			b = binary.AppendVarint(b, int64(n))
		}
	}
	flag := map[bool]int{true: 1}
	put(p.Tries, len(p.Tasks))
	for i := range p.Tasks {
		t := &p.Tasks[i]
		put(t.Minutes, t.Release, t.Due, t.Limit, flag[t.Soon], len(t.Uses), len(t.After))
		for _, u := range t.Uses {
			put(u.Resource, u.From, u.To, u.Amount)
		}
		for _, l := range t.After {
			put(l.Task, l.Lag)
		}
	}
	for _, there := range p.There { // for hours on end there is as much
		put(len(there))
		for from := 0; from < len(there); {
			n := slices.IndexFunc(there[from:], func(units int) bool { return units != there[from] })
			if n < 0 {
				n = len(there) - from
			}
			put(there[from], n)
			from += n
		}
	}
	return sha256.Sum256(b)
}

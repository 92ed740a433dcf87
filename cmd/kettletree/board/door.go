package board

// The door: who may come in, by what name the board is called, and how a device is paired.
//
// From this machine (a loopback address, and a loopback name in the request) one comes in as a writer. Other devices
// are let in only when the board is open to the network ([Door.LAN]): they show a code that this machine has printed, once,
// and get a cookie in return. Codes live in memory; the digests of the cookies are kept in a file (devices.go).

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"maps"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"
)

// Role is what a device may do.
type Role string

const (
	Look  Role = "look"  // read all pages
	Write Role = "write" // and write the log book
)

// Roles are all of them.
var Roles = []Role{Look, Write}

// Door says for whom the board is open.
type Door struct {
	LAN    bool     // other devices may be paired
	Hosts  []string // names and addresses by which they know this machine, beside those of loopback
	Secure bool     // it is served by https
	Trust  []byte   // the authority behind its certificate, where it is this machine's own, as a device takes it

	Devices string // the file that keeps the devices that were paired; "" keeps them until the program ends
}

// visitor is who sent a request.
type visitor struct {
	Role   Role
	Device string // tells devices apart; "" of one that takes no cookie
}

// key tells devices apart, those that take no cookie by their addresses.
func (v visitor) key(r *http.Request) string {
	if v.Device != "" {
		return v.Device
	}
	return "at " + addressOf(r)
}

// called is the name of the device that sent a request, as it was paired.
func (d *door) called(r *http.Request) string {
	d.mu.Lock()
	defer d.mu.Unlock()
	if one, ok := d.devices[sha256.Sum256([]byte(visitorOf(r).Device))]; ok {
		return one.Name
	}
	return "the board's own machine"
}

// addressOf is where a request comes from.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

type door struct {
	Door
	mu      sync.Mutex
	codes   map[Role]string
	devices map[[sha256.Size]byte]*paired // by digest of the cookie
	clock   func() (time.Time, error)
	wrong   map[string]*tries // by address
	streams []*stream         // of events, the oldest first
	out     chan struct{}     // closed when a device is put out
}

// tries are wrong codes that came from an address.
type tries struct {
	count int
	since time.Time
}

func newDoor(d Door, clock func() (time.Time, error)) (*door, error) {
	made := &door{Door: d, clock: clock, codes: map[Role]string{}, devices: map[[sha256.Size]byte]*paired{},
		wrong: map[string]*tries{}, out: make(chan struct{})}
	return made, made.load()
}

const (
	cookieName  = "kettletree"
	mostDevices = 200
	// Of the 2^40 codes, so many wrong ones may be tried in a stretch of time from one address. Whoever has a thousand addresses
	// would still try for two hundred years.
	mostTries = 10
	stretch   = time.Minute
	mostWrong = 1000 // addresses that are remembered
)

// letters of codes: none that is taken for another.
const letters = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"

// Code makes a new code for a role. It lets one device in, and the one before it is void.
func (b *Board) Code(role Role) string {
	var raw [8]byte
	_, _ = rand.Read(raw[:]) // it never fails
	for i, x := range raw {
		raw[i] = letters[int(x)%len(letters)]
	}
	b.door.mu.Lock()
	defer b.door.mu.Unlock()
	b.door.codes[role] = string(raw[:])
	return string(raw[:4]) + "-" + string(raw[4:])
}

// knows tells whether a request calls the board by a name that it goes by. A page elsewhere that a name leads here, by DNS
// made up for it, does not.
func (d *door) knows(host string) bool {
	name := hostName(host)
	if isLoopback(name) {
		return true
	}
	for _, h := range d.Hosts {
		if d.LAN && strings.EqualFold(h, name) {
			return true
		}
	}
	return false
}

func hostName(host string) string {
	if name, _, err := net.SplitHostPort(host); err == nil {
		return name
	}
	return strings.Trim(host, "[]")
}

func isLoopback(name string) bool {
	ip := net.ParseIP(name)
	return strings.EqualFold(name, "localhost") || ip != nil && ip.IsLoopback()
}

// who finds out who sent a request; ok is false for a stranger.
func (d *door) who(r *http.Request) (v visitor, ok bool) {
	token := ""
	if c, err := r.Cookie(cookieName); err == nil && len(c.Value) <= 64 {
		token = c.Value
	}
	if from, _, err := net.SplitHostPort(r.RemoteAddr); err == nil && isLoopback(from) && isLoopback(hostName(r.Host)) {
		return visitor{Write, token}, true
	}
	if token == "" {
		return visitor{}, false
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	one, ok := d.devices[sha256.Sum256([]byte(token))]
	if !ok {
		return visitor{}, false
	}
	if now, err := d.clock(); err == nil {
		d.visited(one, now)
	}
	return visitor{one.Role, token}, true
}

// pair takes a code and gives the token of a cookie in return. Slow tells that too many wrong codes came from there of late.
func (d *door) pair(code, name, address string, now time.Time) (token string, ok, slow bool) {
	code = strings.Map(func(r rune) rune {
		if strings.ContainsRune(letters, r) {
			return r
		}
		return -1
	}, strings.ToUpper(code))
	d.mu.Lock()
	defer d.mu.Unlock()
	maps.DeleteFunc(d.wrong, func(_ string, t *tries) bool { return now.Sub(t.since) > stretch || now.Before(t.since) })
	if t := d.wrong[address]; t != nil && t.count >= mostTries {
		return "", false, true
	}
	for _, role := range Roles {
		want := d.codes[role]
		if want != "" && subtle.ConstantTimeCompare([]byte(code), []byte(want)) == 1 {
			if list := d.list(); len(list) >= mostDevices { // the one that was away longest has to be paired again
				maps.DeleteFunc(d.devices, func(_ [sha256.Size]byte, one *paired) bool { return one.Digest == list[len(list)-1].Digest })
			}
			delete(d.codes, role)
			token = rand.Text()
			digest, at := sha256.Sum256([]byte(token)), now.Format(deviceTime)
			d.devices[digest] = &paired{Digest: hex.EncodeToString(digest[:]), Role: role, Name: name, Since: at, Seen: at}
			d.save()
			return token, true, false
		}
	}
	t := d.wrong[address]
	if t == nil {
		for other := range d.wrong { // of so many, one may try again
			if len(d.wrong) < mostWrong {
				break
			}
			delete(d.wrong, other)
		}
		t = &tries{since: now}
		d.wrong[address] = t
	}
	t.count++
	return "", false, false
}

// A stream is one page that hears of changes.
type stream struct {
	device string
	away   chan struct{} // closed when it has to make room
}

// enter counts a stream of events. Of a device that has too many, or of all, the oldest makes room: it may be of a page that was left
// long ago, and nobody looks at two dozen. Who looks now always hears.
func (d *door) enter(device string) *stream {
	d.mu.Lock()
	defer d.mu.Unlock()
	own := slices.DeleteFunc(slices.Clone(d.streams), func(s *stream) bool { return s.device != device })
	switch {
	case len(own) >= mostTabs:
		d.leaves(own[0])
	case len(d.streams) >= mostStreams:
		d.leaves(d.streams[0])
	}
	s := &stream{device: device, away: make(chan struct{})}
	d.streams = append(d.streams, s)
	return s
}

// leaves ends a stream, if it has not ended.
func (d *door) leaves(s *stream) {
	if n := slices.Index(d.streams, s); n >= 0 {
		d.streams = slices.Delete(d.streams, n, n+1)
		close(s.away)
	}
}

func (d *door) leave(s *stream) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.leaves(s)
}

// giveCookie lets a device be known again. Scripts can't read it, and other sites can't send it along.
func (b *Board) giveCookie(w http.ResponseWriter, token string) {
	http.SetCookie(w, &http.Cookie{Name: cookieName, Value: token, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode,
		Secure: b.Door.Secure, MaxAge: 400 * 24 * 3600})
}

// authority gives a device what it is to trust. It is no secret: whoever asks may have it.
func (b *Board) authority(w http.ResponseWriter, _ *http.Request) {
	h := w.Header()
	h.Set("Content-Type", "application/x-x509-ca-cert")
	h.Set("Content-Disposition", `attachment; filename="kettletree-board.crt"`)
	h.Set("Cache-Control", "no-store")
	_, _ = w.Write(b.Door.Trust)
}

// askCode asks a stranger for the code. To open the address changes nothing, so a program that looks ahead at links
// uses no code up.
func (b *Board) askCode(w http.ResponseWriter, r *http.Request) {
	b.plain(w, r, http.StatusOK, "pair", struct{ Code, Wrong string }{r.URL.Query().Get("code"), ""})
}

func (b *Board) takeCode(w http.ResponseWriter, r *http.Request) {
	now, err := b.Clock()
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	token, ok, slow := b.door.pair(r.PostFormValue("code"), deviceName(r.PostFormValue("name"), r.UserAgent()), addressOf(r), now)
	switch {
	case ok:
		b.giveCookie(w, token)
		http.Redirect(w, r, "/", http.StatusSeeOther)
	case slow:
		b.plain(w, r, http.StatusTooManyRequests, "pair", struct{ Code, Wrong string }{"", "Too many wrong codes: wait a minute."})
	default:
		b.plain(w, r, http.StatusForbidden, "pair", struct{ Code, Wrong string }{"",
			"That code doesn't work. Each works once; the computer that runs the board prints a new one."})
	}
}

package board

// Recipes and price lists from files: a file is taken in, shown as a change of the kitchen file with what follows from it, and written once
// that was seen. What is to be said of its columns and names stands in the address, and is kept beside the kitchen file once it is written.

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/takeover"
)

var (
	recipesPage = takingPage("/recipes", "Recipes from a file", takeover.OfRecipes)
	pricesPage  = takingPage("/prices", "Prices from a list", takeover.OfPrices)
)

func takingPage(path, name string, kind takeover.Kind) *page {
	return &page{Path: path, Name: name, File: "takeover", Takes: []string{"file", "column", "means", "decimals", "supplier", "changed"}, Studies: true,
		Answer: func(ctx context.Context, a *asked) (any, error) { return a.takingOver(ctx, kind) }}
}

// takingOver is what the pages show.
type takingOver struct {
	amending
	Kind      takeover.Kind
	Head      string
	Suppliers []string
	Upload    string // stands for the file; "" for none
	File      string // its name
	Gone      bool   // the file is not here any more
	Stuck     []fault
	Asks      *takeover.Asks
	Taking    *takeover.Taking
	Says      string // in a sentence
	Late      bool   // something changed since it was shown

	text   []byte
	manner takeover.PriceManner
}

// Names are the columns that a file of this kind can have.
func (m *takingOver) Names() []string { return takeover.ColumnNames(m.Kind) }

// Label is what a column is called: to pack is another thing.
func (m *takingOver) Label(name string) string {
	if name == "pack" {
		return "pack size"
	}
	return name
}

// rowAt is where a row stands: book.xlsx, sheet "Soups", row 3.
var rowAt = regexp.MustCompile(`^(.*?)(?:, sheet "(.*)")?, row (\d+)$`)

// Row says where a row stands, in the language of the page.
func (s *speaker) Row(where string) string {
	switch m := rowAt.FindStringSubmatch(where); {
	case m == nil:
		return where
	case m[2] == "":
		return s.T("%[1]s, row %[2]s", m[1], m[3])
	default:
		return s.T("%[1]s, sheet \"%[2]s\", row %[3]s", m[1], m[2], m[3])
	}
}

// Change is how a price changes.
func (m *takingOver) Change(r takeover.Repriced) string { return show.PriceChange(r) }

// takingOver makes the page.
func (a *asked) takingOver(ctx context.Context, kind takeover.Kind) (*takingOver, error) {
	a.passing = true
	m := &takingOver{Kind: kind, Head: a.page.Name, Upload: a.Query.Get("file"), Late: a.Form.Values.Get("do") == "write"}
	for _, s := range a.Kitchen.Suppliers {
		m.Suppliers = append(m.Suppliers, s.Name)
	}
	if err := m.changed(a.board.Kitchen.Name, a.Query.Get("changed")); err != nil {
		return nil, err
	}
	m.Stuck = append(m.Stuck, a.Form.Faults...)
	file := a.board.uploads.named(m.Upload)
	if m.Gone = m.Upload != "" && file == nil; file == nil {
		return m, nil
	}
	m.File = file.name
	src, err := a.board.kitchenText()
	if err != nil {
		return nil, err
	}
	m.Digest = digestOf(src)
	if _, err = a.board.slow.do(ctx, a.Device, false, func(context.Context) (any, error) { return nil, a.take(m, file, src) }); err != nil || m.text == nil {
		return m, err
	}
	m.Proposal = &proposal{}
	return m, a.propose(ctx, m.Proposal, a.board.Kitchen.Name, src, m.text)
}

// take lays the file over the text of the kitchen file.
func (a *asked) take(m *takingOver, file *upload, src []byte) (err error) {
	kitchenFile := a.board.Kitchen.Name
	k, faults := kitchen.Read(kitchenFile, src)
	if k == nil {
		return a.board.broken(&kitchen.AmendError{Faults: faults})
	}
	if m.manner, err = a.manner(m.Kind, k); err != nil {
		return err
	}
	m.Taking, m.text, m.Asks, err = takeover.Take(m.Kind, kitchenFile, src, k, file.name, file.text, m.manner)
	if found, ok := errors.AsType[kitchen.Diagnostics](err); ok {
		for _, d := range found {
			m.Stuck = append(m.Stuck, fault{Msg: d.Msg, Hint: d.Hint, Excerpt: strings.TrimSpace(d.Excerpt)})
		}
		return nil
	}
	if err != nil {
		return a.board.broken(err)
	}
	if m.Taking != nil {
		m.Says, m.Taking.Diff = show.TakingAnswer(m.Taking), a.board.bare(m.Taking.Diff)
	}
	return nil
}

// manner is how the file is to be read: by what is kept, and by the address.
func (a *asked) manner(kind takeover.Kind, k *kitchen.Kitchen) (m takeover.PriceManner, err error) {
	kept, err := takeover.ReadKept(a.board.Kitchen.Name)
	if found, ok := errors.AsType[kitchen.Diagnostics](err); ok {
		return m, &Refusal{Msg: "what is kept of columns and names can't be read", Hint: "mend it in an editor, or set the file aside", Excerpt: a.board.plainly(found)}
	}
	if err != nil {
		return m, err
	}
	m = takeover.PriceManner{Manner: kept, From: a.Query.Get("supplier")}
	m.Decimals = a.Query.Get("decimals")
	refused := func(err error) error {
		if e, ok := errors.AsType[*measure.Error](err); ok {
			return &Refusal{Msg: e.Msg, Hint: e.Hint}
		}
		return err
	}
	for _, said := range a.Query["column"] {
		name, header, _ := strings.Cut(said, "=") // a header may have what parts columns
		if said == "" {
			continue
		}
		if !slices.Contains(takeover.ColumnNames(kind), name) || header == "" {
			return m, &Refusal{Msg: fmt.Sprintf("%q is no column", name)}
		}
		m.Columns = m.Columns.With(takeover.Column{Kind: kind, Name: name, Header: header})
	}
	for _, said := range a.Query["means"] {
		if said == "" {
			continue
		}
		naming, err := logbook.Meaning(k, said)
		if err != nil {
			return m, refused(err)
		}
		m.Names = m.Names.With(naming)
	}
	return m, nil
}

// takeFile answers the forms of these pages: one that brings a file, and one that writes what was seen.
func (b *Board) takeFile(p *page) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/") {
			b.upload(w, r, p)
			return
		}
		a, ok := b.mayAmend(w, r, p)
		if !ok {
			return
		}
		number, unkept, err := b.takenOver(r, a)
		if err != nil {
			b.fail(w, r, err)
			return
		}
		if unkept != nil {
			a.Query = url.Values{"changed": {fmt.Sprint(number)}}
			a.Form = &filled{Faults: []fault{{Msg: "columns and names could not be kept: " + b.plainly(unkept), Hint: "the change itself is written; they are asked again with the next file"}}}
			b.again(w, r, p, a)
			return
		}
		if number > 0 {
			http.Redirect(w, r, fmt.Sprintf("%s?changed=%d", p.Path, number), http.StatusSeeOther)
			return
		}
		a.Form = &filled{Values: r.PostForm}
		b.again(w, r, p, a)
	}
}

// takenOver writes what a file comes to, if it is what was seen, and gives the number of the change; 0 where the page is to be shown
// again. unkept is why the manner in which the file was read could not be kept for the next one, once the change was written.
func (b *Board) takenOver(r *http.Request, a *asked) (number int, unkept, err error) {
	kind := map[*page]takeover.Kind{recipesPage: takeover.OfRecipes, pricesPage: takeover.OfPrices}[a.page]
	file := b.uploads.named(a.Query.Get("file"))
	src, err := b.kitchenText()
	if err != nil || file == nil {
		return 0, nil, err
	}
	m := &takingOver{Kind: kind}
	_, err = b.slow.do(r.Context(), a.Device, false, func(context.Context) (any, error) { return nil, a.take(m, file, src) })
	if _, refused := errors.AsType[*Refusal](err); refused {
		return 0, nil, nil // the page says why
	}
	if err != nil || m.text == nil || r.PostFormValue("digest") != digestOf(src) || r.PostFormValue("seen") != digestOf(m.text) {
		return 0, nil, err
	}
	changes, err := kitchen.Alterations(b.Kitchen.Name, src, b.Kitchen.Name, m.text)
	if err != nil {
		return 0, nil, err
	}
	if number, err = b.store(r, src, m.text, kitchen.Kept{Says: fmt.Sprintf("from %s: %s", file.name, changesSaid(changes))}); err != nil || number == 0 {
		return 0, nil, err
	}
	_, unkept = m.manner.Keep(b.Kitchen.Name, b.Save)
	return number, unkept, nil
}

// upload takes a file in, and leads to what it comes to.
func (b *Board) upload(w http.ResponseWriter, r *http.Request, p *page) {
	if !b.writes(w, r) {
		return
	}
	_ = http.NewResponseController(w).SetReadDeadline(b.Until(uploadTime)) // where there is a connection
	name, text, q, err := received(r)
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		b.refuse(w, r, http.StatusRequestEntityTooLarge, &Refusal{Msg: fmt.Sprintf("the file is far too large: a list has at most %d MB", kitchen.MostBytes>>20),
			Hint: "choose the list itself, as .xlsx or .csv"})
		return
	}
	if err != nil {
		b.refuse(w, r, http.StatusBadRequest, &Refusal{Msg: "the file did not come whole", Hint: "send it again"})
		return
	}
	if len(text) == 0 {
		a, _, err := b.asked(r, p, q)
		if err != nil {
			b.fail(w, r, err)
			return
		}
		a.Form = &filled{Faults: []fault{{Msg: "no file was chosen, or there is nothing in it", Hint: "choose the file with the list, .xlsx or .csv"}}}
		b.again(w, r, p, a)
		return
	}
	q.Set("file", b.uploads.put(name, text))
	http.Redirect(w, r, p.Path+"?"+q.Encode(), http.StatusSeeOther)
}

const (
	uploadTime = 5 * time.Minute
	mostUpload = 96 << 20 // what is read to its end, so that the answer is heard; of it, what a kitchen file may have is kept
)

// received reads a form with a file in it. Of a file that is too large only so much is held that this can be told.
func received(r *http.Request) (name string, text []byte, q url.Values, err error) {
	q = url.Values{}
	parts, err := r.MultipartReader()
	if err != nil {
		return "", nil, nil, err
	}
	for range 8 {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return name, text, q, nil
		}
		if err != nil {
			return "", nil, nil, err
		}
		most := int64(kitchen.MostLetters * 4)
		if part.FormName() == "file" {
			most = kitchen.MostBytes + 1
		}
		got, err := io.ReadAll(io.LimitReader(part, most))
		if err == nil {
			_, err = io.Copy(io.Discard, part)
		}
		if err != nil {
			return "", nil, nil, err
		}
		switch value := trimmed(string(got)); {
		case part.FormName() == "file":
			name, text = path.Base(strings.ReplaceAll(part.FileName(), `\`, "/")), got
		case part.FormName() == "supplier" && value != "":
			q.Set("supplier", value)
		}
	}
	return name, text, q, nil
}

// upload is a file that was taken in.
type upload struct {
	digest, name string
	text         []byte
}

// uploads are the files that were taken in last. They are held in memory: what is written is in the kitchen file, and nothing else of them
// is anybody's.
type uploads struct {
	mu   sync.Mutex
	list []*upload
}

const mostUploads = 8

// put holds a file, and names it.
func (u *uploads) put(name string, text []byte) string {
	one := &upload{fmt.Sprintf("%x", sha256.Sum256(append([]byte(name+"\x00"), text...)))[:16], name, text}
	u.mu.Lock()
	defer u.mu.Unlock()
	u.list = slices.DeleteFunc(u.list, func(o *upload) bool { return o.digest == one.digest })
	u.list = append(u.list, one)
	if len(u.list) > mostUploads {
		u.list = u.list[1:]
	}
	return one.digest
}

// named is a file; nil where it is not held any more.
func (u *uploads) named(digest string) *upload {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, one := range u.list {
		if one.digest == digest {
			return one
		}
	}
	return nil
}

// mostOf bounds what a request may send.
func mostOf(r *http.Request) int64 {
	if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/") && (r.URL.Path == recipesPage.Path || r.URL.Path == pricesPage.Path || r.URL.Path == photoPath) {
		return mostUpload
	}
	return mostBody
}

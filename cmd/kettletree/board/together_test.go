package board

// Two devices and an editor at one file, in any order: what anybody wrote stands until somebody who saw it writes over it; what can't be
// written says why, and stays in its field.

import (
	"fmt"
	"html"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/kitchen"
)

// shared is a kitchen small enough to be asked a thousand times.
const shared = `# ours
kitchen: Shared
bought:
  chicken: {price: 8/kg, keeps: 2 days, allergens: []}   # from the hill
  roll:    {price: 0.45/each, allergens: [wheat]}
dishes:
  roll with chicken: {price: 6.50, takes: [90 g chicken, 1 each roll], sells: 4}
`

// spot is a field of a form that is filled, or a line that is drawn.
type spot struct {
	path, act, field string
	list, name, key  string
	good             string // with a number in it
}

var spots = []spot{
	{"/kitchen?list=bought&name=chicken", "save", "blank price", kitchen.InBought, "chicken", "price", "%d/kg"},
	{"/kitchen?list=bought&name=chicken", "save", "blank keeps", kitchen.InBought, "chicken", "keeps", "%d days"},
	{"/kitchen?list=bought&name=roll", "save", "blank price", kitchen.InBought, "roll", "price", "%d/each"},
	{"/kitchen?list=dishes&name=roll+with+chicken", "save", "blank price", kitchen.InDishes, "roll with chicken", "price", "%d"},
	{"/draw?pick=bought%2Froll&to=dishes%2Froll+with+chicken", "line", "amount", kitchen.InDishes, "roll with chicken", "takes", "%d each"},
}

// atWork is a device that has a form open.
type atWork struct {
	spot
	page, typed string
}

// table is what lies on it: the file, and who is at it.
type table struct {
	*served
	t       *rapid.T
	devices [2]atWork
	next    int // number that nobody used before
	pending int // a note that the editor writes while the board is about to; 0 for none
	faster  bool
	notes   []string // of the editor
	broken  string   // the file without the slip that is in it; "" for none
}

// said is what stands in each place of the file.
func (b *table) said() map[string]string {
	all := map[string]string{}
	for _, p := range spots {
		now, err := kitchen.Blanked("kitchen.yaml", []byte(b.file()), p.list, p.name)
		require.NoError(b.t, err)
		all[p.name+" "+p.key] = now[p.key]
	}
	return all
}

// opens has a device open a form.
func (b *table) opens(t *rapid.T) {
	d := &b.devices[rapid.IntRange(0, 1).Draw(t, "device")]
	p := spots[rapid.IntRange(0, len(spots)-1).Draw(t, "place")]
	status, page, _ := b.get(p.path)
	if b.broken == "" {
		require.Equal(t, http.StatusOK, status)
		*d = atWork{spot: p, page: page}
	}
}

// types has a device type something and look, or write what it looked at.
func (b *table) types(t *rapid.T) {
	d := &b.devices[rapid.IntRange(0, 1).Draw(t, "device")]
	if d.page == "" {
		b.opens(t)
		return
	}
	// Most look at what they typed, and then write that: nothing is written unseen.
	do := rapid.SampledFrom([]string{"look", "look", "look", "write"}).Draw(t, "do")
	if d.typed != "" {
		do = rapid.SampledFrom([]string{"look", "write", "write", "write"}).Draw(t, "do again")
	}
	if d.typed == "" || rapid.IntRange(0, 3).Draw(t, "more") == 0 {
		b.next++
		d.typed = fmt.Sprintf(d.good, b.next)
		if rapid.IntRange(0, 4).Draw(t, "bad") == 0 {
			d.typed = "dear"
		}
	}
	was, file := b.saidUnbroken(), b.file()
	page := b.sends(d.page, d.act, do, d.field, d.typed)
	now := b.file()
	held := strings.Contains(html.UnescapeString(page), d.typed)
	switch {
	case strings.Contains(page, "Written into the kitchen file:"):
		require.Equal(t, "write", do)
		require.Empty(t, b.broken)
		for at, stands := range b.said() {
			if mine := d.name + " " + d.key; at != mine {
				require.Equal(t, was[at], stands, "%s is nobody's business here", at)
			} else {
				require.Contains(t, stands, d.typed)
			}
		}
		*d = atWork{}
	case b.faster:
		b.faster = false
		require.NotEqual(t, file, now)
		require.True(t, held, "what was typed stays")
		d.page = page
	default:
		require.Equal(t, file, now, "nothing was written")
		require.True(t, held, "what was typed stays: %q", d.typed)
		if do == "write" {
			require.Regexp(t, `aria-invalid="true"|role="alert"|Nothing is written yet|Nothing changes`, page, "it is said why")
		}
		d.page = page
	}
}

func (b *table) saidUnbroken() map[string]string {
	if b.broken != "" {
		return nil
	}
	return b.said()
}

// edits has the editor save: another value, a note, a slip, or the slip mended; now or while the board is about to write.
func (b *table) edits(t *rapid.T) {
	b.next++
	text := b.file()
	switch what := rapid.SampledFrom([]string{"value", "note", "slip", "meanwhile"}).Draw(t, "what"); {
	case b.broken != "":
		text, b.broken = b.broken, ""
	case what == "value":
		text = regexp.MustCompile(`(roll: +\{price: )[\d.]+`).ReplaceAllString(text, fmt.Sprintf("${1}%d", b.next))
	case what == "note":
		text += b.note(b.next)
	case what == "slip":
		text, b.broken = text+"dishes: {", text
	default:
		b.pending = b.next
		return
	}
	b.puts(text)
}

// note is a line of the editor, that is to stand for good.
func (b *table) note(n int) string {
	b.notes = append(b.notes, fmt.Sprintf("# note %d\n", n))
	return b.notes[len(b.notes)-1]
}

func (b *table) puts(text string) {
	require.NoError(b.t, os.WriteFile(filepath.Join(b.folder, "kitchen.yaml"), []byte(text), 0o600))
}

func TestTogetherNothingIsLost(t *testing.T) {
	lawtest.Few(t, 25)
	folder := t.TempDir()
	file := filepath.Join(folder, "kitchen.yaml")
	require.NoError(t, os.WriteFile(file, []byte(shared), 0o600))
	o := openFolder(t, folder)
	save, wrote := o.board.Save, 0
	var now *table
	o.board.Save = func(name string, text []byte) error {
		if now.pending > 0 { // an editor saves while the board has the file in its hands
			now.puts(now.file() + now.note(now.pending))
			now.pending, now.faster = 0, true
		}
		return save(name, text)
	}
	rapid.Check(t, func(t *rapid.T) {
		now = &table{served: o, t: t}
		now.puts(shared)
		require.NoError(t, os.RemoveAll(kitchen.ChangesPath(file)))
		for range rapid.IntRange(3, 12).Draw(t, "moves") {
			rapid.SampledFrom([]func(*rapid.T){now.opens, now.types, now.types, now.types, now.types, now.edits}).Draw(t, "move")(t)
			for _, stays := range append([]string{"# ours", "# from the hill"}, now.notes...) {
				require.Contains(t, now.file(), stays)
			}
		}
		if now.broken == "" {
			list, err := kitchen.Changes(file)
			require.NoError(t, err)
			wrote += len(list)
		}
	})
	if !testing.Short() { // so few tries may all be refused
		assert.Positive(t, wrote, "some of them wrote")
	}
}

// Today and What to sell name the same as missing.
func TestTodayAndTonightMissTheSame(t *testing.T) {
	o := openBoard(t, "three-kettles")
	o.now = moments(t, "2026-11-24 09:00")
	_, _ = o.write("counted 24 kg cooked hominy", "counted 6 kg pulled hen", "counted 8 kg lard", "counted 5 L kettle stock")
	o.now = moments(t, "2026-11-24 14:05")
	missing := "out of pozole broth, because kettle stock ran out"
	says(t, o.found("/"), missing+", because no more kettle stock is out before Wed 25 Nov 07:30")
	says(t, o.found("/tonight"), missing)
	assert.NotContains(t, o.found("/tonight"), "brings more kettle stock", "there is a kettle tonight, for tomorrow")
}

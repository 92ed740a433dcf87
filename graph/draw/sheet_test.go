package draw

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// svg is what the tests look at in a sheet.
type svg struct {
	ids    []string
	title  map[string]string // of the group with an id; of the sheet under ""
	desc   string
	names  map[string]int // elements
	texts  []string
	points []float64 // sizes of the texts
}

// readSVG reads a sheet as XML and fails on whatever isn't well-formed.
func readSVG(t require.TestingT, sheet []byte) svg {
	s := svg{title: map[string]string{}, names: map[string]int{}}
	d := xml.NewDecoder(bytes.NewReader(sheet))
	var path []string // ids, "" for elements without
	var words strings.Builder
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			id := ""
			for _, a := range e.Attr {
				switch a.Name.Local {
				case "id":
					id = a.Value
					s.ids = append(s.ids, id)
				case "font-size":
					size, err := strconv.ParseFloat(a.Value, 64)
					require.NoError(t, err)
					s.points = append(s.points, size)
				}
			}
			path = append(path, id)
			s.names[e.Name.Local]++
			words.Reset()
		case xml.CharData:
			words.Write(e)
		case xml.EndElement:
			switch e.Name.Local {
			case "title":
				if len(path) == 2 {
					s.title[""] = words.String()
				} else if of := path[len(path)-2]; of != "" {
					s.title[of] = words.String()
				}
			case "desc":
				s.desc = words.String()
			case "text":
				s.texts = append(s.texts, words.String())
			}
			path = path[:len(path)-1]
		}
	}
	return s
}

func render(t testing.TB, p Picture) svg {
	t.Helper()
	sheet, err := Render(t.Context(), p)
	require.NoError(t, err)
	return readSVG(t, sheet)
}

func TestSheetTellsWhatItShows(t *testing.T) {
	p := shockedPicture(t)
	s := render(t, p)
	assert.Equal(t, p.Title, s.title[""])
	assert.Contains(t, s.desc, p.Caption)
	assert.Contains(t, s.desc, "bought 19, made 21, step 13, dish 10, special 2.")
	assert.Contains(t, s.desc,
		"Out: kettle stock (OUT from 19:10 Wed); cooked trotters (OUT from 19:10 Wed); night kettle (OUT")
	assert.Contains(t, s.title["item-kettle-stock"], "kettle stock (made)\nOUT from 19:10 Wed")
	for _, n := range p.Nodes {
		assert.Contains(t, s.ids, n.ID)
	}
	slices.Sort(s.ids)
	assert.Len(t, slices.Compact(slices.Clone(s.ids)), len(s.ids), "no id twice")
	assert.Contains(t, s.texts, "450 mL")
	assert.Contains(t, s.texts, "6 L from yesterday")
}

func TestLegendExplainsWhatIsThere(t *testing.T) {
	calm, shocked := render(t, cantinaPicture(t)), render(t, shockedPicture(t))
	for _, words := range []string{"After the shock", "untouched", "short", "out"} {
		assert.NotContains(t, calm.texts, words)
		assert.Contains(t, shocked.texts, words)
	}
	for _, words := range []string{"bought", "made", "step", "dish", "special", "from yesterday", "substitute",
		"optional"} {
		assert.Contains(t, calm.texts, words)
	}
	assert.NotContains(t, calm.texts, "Tone")
	p := cantinaPicture(t)
	p.ToneMeans, p.WidthMeans = "plate cost", ""
	p.Nodes = p.Nodes[:1]
	p.Edges = nil
	s := render(t, p)
	assert.Contains(t, s.texts, "darker: more plate cost")
	for _, words := range []string{"made", "step", "Lines", "substitute"} {
		assert.NotContains(t, s.texts, words)
	}
}

func TestStatesDifferWithoutColour(t *testing.T) {
	assert.Greater(t, borders[Short].width, 1.5*borders[Untouched].width)
	assert.Greater(t, borders[Out].width, 1.5*borders[Short].width)
	assert.NotEmpty(t, borders[Short].dash)
	assert.Empty(t, borders[Out].dash)
	p := Picture{Nodes: []Node{{ID: "a", Name: "lard", Kind: Made, State: Out}, {ID: "b", Name: "beans", Kind: Made,
		State: Short, StateWords: " "}}}
	s := render(t, p)
	assert.Contains(t, s.texts, "OUT", "the word is there when the caller gives none")
	assert.Equal(t, 2, strings.Count(strings.Join(s.texts, "\n")+"\n", "short\n"), "on the box and in the legend")
}

func TestWhereAShockBegan(t *testing.T) {
	p := shockedPicture(t)
	assert.NotContains(t, render(t, p).texts, "begins here")
	for i := range p.Nodes {
		p.Nodes[i].Origin = p.Nodes[i].Name == "night kettle"
	}
	sheet, err := Render(t.Context(), p)
	require.NoError(t, err)
	s := readSVG(t, sheet)
	assert.Contains(t, s.texts, "begins here")
	assert.Equal(t, 2, s.names["circle"], "on the box and in the legend")
	assert.Contains(t, s.title["step-night-kettle"], "the shock begins here")
	for _, g := range strings.Split(string(sheet), `<g class="line" `)[1:] {
		from, to := find(t, p, attribute(g, "data-from")), find(t, p, attribute(g, "data-to"))
		lost := strings.Contains(g, `stroke="`+lossInk+`"`)
		switch {
		case from.State == Untouched:
			assert.False(t, lost, "%s to %s stands out", from.Name, to.Name)
		case to.hit():
			assert.True(t, lost, "%s to %s does not stand out", from.Name, to.Name)
		}
	}
}

func attribute(element, name string) string {
	_, after, _ := strings.Cut(element, name+`="`)
	value, _, _ := strings.Cut(after, `"`)
	return value
}

func TestSamePictureSameBytes(t *testing.T) {
	p := shockedPicture(t)
	first, err := Render(t.Context(), p)
	require.NoError(t, err)
	_, err = Render(t.Context(), nastyPicture())
	require.NoError(t, err)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			again, err := Render(context.Background(), p)
			assert.NoError(t, err)
			assert.Equal(t, string(first), string(again))
		})
	}
	all.Wait()
}

func TestRenderGivesUpWithItsContext(t *testing.T) {
	engine.turn <- struct{}{} // another picture is being drawn
	before = nil              // and nobody drew this one
	ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
	defer cancel()
	_, err := Render(ctx, cantinaPicture(t))
	<-engine.turn
	require.ErrorIs(t, err, context.DeadlineExceeded)
	assert.ErrorContains(t, err, "waiting for another picture")

	ended, stop := context.WithCancelCause(t.Context())
	stop(errors.New("the page was closed"))
	_, err = Render(ended, cantinaPicture(t))
	require.ErrorContains(t, err, "the page was closed")
	_, err = Render(t.Context(), cantinaPicture(t))
	require.NoError(t, err, "the next picture is drawn")
}

// chain is a picture of one box after the other, with lines from the first to some of the last.
func chain(boxes, long int) (p Picture) {
	for i := range boxes {
		p.Nodes = append(p.Nodes, Node{ID: "n" + strconv.Itoa(i), Name: "made " + strconv.Itoa(i), Kind: Made})
		if i > 0 {
			p.Edges = append(p.Edges, Edge{From: p.Nodes[i-1].ID, To: p.Nodes[i].ID, Label: "1 L", Share: 1})
		}
	}
	for i := range long {
		p.Edges = append(p.Edges, Edge{From: "n0", To: p.Nodes[boxes-1-i].ID})
	}
	return p
}

func TestBounds(t *testing.T) {
	most := chain(MaxSize/2, 1)
	require.Equal(t, MaxSize, len(most.Nodes)+len(most.Edges))
	s := render(t, most)
	assert.Equal(t, 1, strings.Count(strings.Join(s.texts, "\n"), "Small print"), "print too small for A3 is told")

	_, err := Render(t.Context(), chain(MaxSize/2+1, 0))
	require.ErrorContains(t, err,
		"draw: 1001 boxes and 1000 lines are too much for one picture (together at most 2000): draw a part "+
			"of it, with --around ITEM")
	_, err = Render(t.Context(), chain(600, 600))
	require.ErrorContains(t, err,
		"draw: the lines are too long for one picture (they cross 180299 columns in all, at most 10000): "+
			"draw a part of it, with --around ITEM")
	render(t, chain(200, 50)) // just within

	for name, p := range map[string]Picture{
		"empty": {}, "one box": chain(1, 0), "a box that feeds itself": {
			Nodes: []Node{{ID: "a", Kind: Made}}, Edges: []Edge{{From: "a", To: "a", Carried: true, Label: "6 L"}},
		},
		"parallel lines": {
			Nodes: []Node{{ID: "a", Kind: Made}, {ID: "b", Kind: Dish}},
			Edges: []Edge{{From: "a", To: "b", Label: "1 L"}, {From: "a", To: "b", Label: "2 L"}, {From: "b", To: "a"}},
		},
	} {
		t.Run(name, func(t *testing.T) { render(t, p) })
	}
}

func TestPrintIsLargeEnough(t *testing.T) {
	sheet, err := Render(t.Context(), shockedPicture(t))
	require.NoError(t, err)
	_, after, _ := strings.Cut(string(sheet), "scale(")
	number, _, _ := strings.Cut(after, ")")
	scale, err := strconv.ParseFloat(number, 64)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, slices.Min(readSVG(t, sheet).points)*scale, smallest, "65 boxes on A3")
}

// A part's sheet is no larger than its flow in full size and its title and legend need, and never larger than A3.
func TestPartHasASheetOfItsOwn(t *testing.T) {
	sheetOf := func(p Picture) (w, h, scale float64) {
		p.Part = true
		sheet, err := Render(t.Context(), p)
		require.NoError(t, err)
		_, err = fmt.Sscanf(regexp.MustCompile(`viewBox="0 0 ([\d.]+ [\d.]+)"`).FindStringSubmatch(string(sheet))[1], "%f %f", &w, &h)
		require.NoError(t, err)
		scale, err = strconv.ParseFloat(regexp.MustCompile(`scale\(([\d.]+)\)`).FindStringSubmatch(string(sheet))[1], 64)
		require.NoError(t, err)
		return w, h, scale
	}
	w, h, scale := sheetOf(chain(4, 0))
	assert.Equal(t, []any{partW, true, true}, []any{w, h < 300, scale >= 1}, "%v %v", h, scale)
	w, h, scale = sheetOf(chain(9, 0))
	assert.True(t, partW < w && w < sheetW && h < 300 && scale == 1, "%v by %v, %v", w, h, scale)
	w, h, _ = sheetOf(shockedPicture(t))
	assert.True(t, w == sheetW && h <= sheetH, "%v by %v", w, h)
	for _, p := range []Picture{{Part: true}, {Part: true, Nodes: []Node{{ID: "a", Kind: Made}}, Edges: []Edge{{From: "a", To: "a", Carried: true}}}} {
		render(t, p)
	}
}

// A bare sheet has its boxes and lines and nothing beside them, so that a narrow screen cuts no words.
func TestBareSheet(t *testing.T) {
	p := chain(3, 0)
	p.Title, p.Caption, p.Part, p.Bare = "Corner Pies", "From left to right.", true, true
	sheet, err := Render(t.Context(), p)
	require.NoError(t, err)
	s := readSVG(t, sheet)
	assert.Equal(t, "Corner Pies", s.title[""], "those who can't see it still hear what it is")
	for _, words := range []string{"Corner Pies", "From left to right.", "Boxes", "Lines"} {
		assert.NotContains(t, s.texts, words)
	}
	var w, h float64
	_, err = fmt.Sscanf(regexp.MustCompile(`viewBox="0 0 ([\d.]+ [\d.]+)"`).FindStringSubmatch(string(sheet))[1], "%f %f", &w, &h)
	require.NoError(t, err)
	assert.True(t, w < partW && h < 60, "%v by %v", w, h)
}

func TestNastyNames(t *testing.T) {
	p := nastyPicture()
	s := render(t, p)
	assert.Zero(t, s.names["script"])
	for i, n := range p.Nodes {
		clean := strings.Map(func(r rune) rune {
			if r < ' ' && r != '\t' && r != '\n' && r != '\r' {
				return '\uFFFD'
			}
			return r
		}, nasty[i])
		want := strings.ReplaceAll(strings.ToValidUTF8(clean, "?"), "?", "\uFFFD")
		got := strings.ReplaceAll(strings.ToValidUTF8(s.title[n.ID], "?"), "?", "\uFFFD")
		if !strings.Contains(nasty[i], "?") && !strings.Contains(nasty[i], "\xff") {
			assert.Contains(t, got, want, "the whole name is in the tooltip")
		}
	}
}

func TestAnyNamesMakeASheet(t *testing.T) {
	text := rapid.OneOf(rapid.String(), rapid.SampledFrom(nasty))
	rapid.Check(t, func(t *rapid.T) {
		p := Picture{Title: text.Draw(t, "title"), Caption: text.Draw(t, "caption"), ToneMeans: text.Draw(t, "tone means")}
		taken := names{}
		for range rapid.IntRange(0, 6).Draw(t, "nodes") {
			name := text.Draw(t, "name")
			p.Nodes = append(p.Nodes, Node{
				ID: taken.id("item", name), Name: name, Kind: rapid.SampledFrom(kinds).Draw(t, "kind"),
				Lines: []string{text.Draw(t, "line")}, State: rapid.SampledFrom([]State{None, Untouched, Short, Out}).Draw(t,
					"state"),
				StateWords: text.Draw(t, "words"), Tone: rapid.Float64Range(0, 1).Draw(t, "tone"),
			})
		}
		for range rapid.IntRange(0, 2*len(p.Nodes)).Draw(t, "edges") {
			end := rapid.IntRange(0, len(p.Nodes)-1)
			p.Edges = append(p.Edges, Edge{
				From: p.Nodes[end.Draw(t, "from")].ID, To: p.Nodes[end.Draw(t, "to")].ID, Label: text.Draw(t, "label"),
				Share: rapid.Float64Range(0, 1).Draw(t, "share"), Carried: rapid.Bool().Draw(t, "carried"),
			})
		}
		sheet, err := Render(context.Background(), p)
		require.NoError(t, err)
		s := readSVG(t, sheet)
		require.Subset(t, append(s.ids, ""), nodeIDs(p))
		require.NotContains(t, string(sheet), "NaN")
		require.NoError(t, WriteDOT(io.Discard, p))
	})
}

func nodeIDs(p Picture) []string {
	ids := []string{""}
	for _, n := range p.Nodes {
		ids = append(ids, n.ID)
	}
	return ids
}

func BenchmarkRender(b *testing.B) {
	p := cantinaPicture(b)
	for b.Loop() {
		_, err := Render(b.Context(), p)
		require.NoError(b, err)
	}
}

package draw

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMark(t *testing.T) {
	p := Picture{Title: "Mark", Nodes: []Node{
		{ID: "item-bones", Name: `bones "<script>"`, Kind: Bought}, {ID: "step-boil", Name: "boil", Kind: Step, State: Short},
		{ID: "item-stock", Name: "stock", Kind: Made, Origin: true, State: Out},
	}, Edges: []Edge{{From: "item-bones", To: "step-boil", Label: "9 kg"}, {From: "step-boil", To: "item-stock", Label: "50 L"}}}
	sheet, err := Render(t.Context(), p)
	require.NoError(t, err)
	assert.Equal(t, strings.ReplaceAll(string(sheet), ">\n", ">"), string(Mark(sheet, Marks{})), "no marks take the ends of its lines, and nothing else")
	got := string(Mark(sheet, Marks{
		Link: func(id string) string {
			if id == "step-boil" {
				return ""
			}
			return "/map?item=" + id + `&x="`
		},
		Class: func(id string) string {
			if id == "item-stock" {
				return "chosen"
			}
			return ""
		},
		Line: func(from, to string) string { return "to-" + to },
	}))
	assert.Equal(t, 2, strings.Count(got, "<a href="))
	assert.Equal(t, 2, strings.Count(got, "</a>"))
	assert.Contains(t, got, `<g id="item-stock" class="made out chosen">`)
	assert.Contains(t, got, `<g class="line to-item-stock" data-from="step-boil" data-to="item-stock">`)
	assert.Contains(t, got, `<a href="/map?item=item-bones&amp;x=&#34;">`)
	assert.Contains(t, got, `role="group"`)
	for d := xml.NewDecoder(strings.NewReader(got)); ; {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if !assert.NoError(t, err, "it is well formed") {
			break
		}
	}
}

package show

// Answers for other programs: JSON as the structs say, CSV as RFC 4180 asks.

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"

	"kettletree/menu/kitchen"
)

// JSON is an answer, indented, with numbers unrounded and a line end behind it.
func JSON(answer any) (string, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	err := enc.Encode(answer)
	return b.String(), err
}

// Sheet is a table for other programs: the names of the columns, then the rows, numbers unrounded. A text that a program would run as a
// formula has an apostrophe before it, see [kitchen.Guarded].
type Sheet [][]string

func (s *Sheet) add(cells ...any) {
	line := make([]string, len(cells))
	for i, c := range cells {
		switch c := c.(type) {
		case string:
			line[i] = kitchen.Guarded(c)
		case int:
			line[i] = strconv.Itoa(c)
		case float64:
			line[i] = strconv.FormatFloat(c, 'g', -1, 64)
		case *float64:
			if c != nil {
				line[i] = strconv.FormatFloat(*c, 'g', -1, 64)
			}
		case *string:
			if c != nil {
				line[i] = kitchen.Guarded(*c)
			}
		case bool:
			line[i] = strconv.FormatBool(c)
		default:
			panic("mistake: a cell of a kind that CSV is not written for")
		}
	}
	*s = append(*s, line)
}

// CSV writes the sheet. Lines end as RFC 4180 asks, with CR LF.
func (s Sheet) CSV() (string, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	err := w.WriteAll(s)
	return b.String(), err
}

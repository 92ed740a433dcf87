package kitchen

import (
	"encoding/csv"
	"strings"
)

var soldColumns = []string{"dish", "sold"}

// ReadSold reads what was sold: CSV with the columns dish and sold, portions by dish of the kitchen, under its own name or the till's.
// Rows of one dish add up.
func ReadSold(name string, src []byte, k *Kitchen) ([]int, Diagnostics) {
	text, clean, ok := newSource(name, src, "\r\n")
	if !ok {
		return nil, text.found
	}
	at := map[string]int{}
	for d, dish := range k.Dishes {
		for _, name := range dish.SoldAs {
			at[name] = d
		}
	}
	for d, dish := range k.Dishes {
		at[dish.Name] = d
	}
	names := func(yield func(named) bool) {
		for _, dish := range k.Dishes {
			if !yield(named{dish.Name, k.ItemPos[dish.Item]}) {
				return
			}
		}
	}
	sold := make([]int, len(k.Dishes))
	text.rows(clean, soldColumns, "a dish and its portions, such as red pozole,42", func(rows *csv.Reader, row []string) {
		d, known := at[strings.TrimSpace(row[0])]
		if !known {
			text.fault(text.field(rows, row, 0), "unknown-dish", text.meant(row[0], names, "write a dish as the kitchen file names it"),
				"unknown dish %q", row[0])
		}
		n, whole := Digits(strings.TrimSpace(row[1]))
		if !whole {
			text.fault(text.field(rows, row, 1), "bad-number", "write it as 42", "%q is not a whole number of portions", row[1])
		}
		if known && whole {
			sold[d] += n
		}
	})
	faults := text.found.sort()
	if faults.Err() != nil {
		return nil, faults
	}
	return sold, faults
}

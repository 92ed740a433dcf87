package kitchen

// What is sold of the first pot, as a starter's answers have it.

import (
	"fmt"
	"slices"
	"strings"
)

// dishes are the entries of what is sold. What a dish takes that nobody has named yet is bought.
func (w *startWriter) dishes() (entries []string) {
	if w.Cooks != "" && !slices.Contains(yesNo.words, w.Cooks) {
		w.fault("cooks", "write yes or no, or nothing as long as nobody knows", "%q is neither yes nor no", w.Cooks)
	}
	_ = w.batches()
	for n, d := range w.Sold {
		name := strings.TrimSpace(d.Name)
		if name == "" {
			continue
		}
		field := fmt.Sprintf("dish %d", n+1)
		var lines, keys []string
		for part := range strings.SplitSeq(d.Takes, ",") {
			if strings.TrimSpace(part) == "" {
				continue
			}
			line, c, err := w.told(part, plated)
			if err != nil {
				w.lineFault(field+" takes", err)
				return nil
			}
			r := c.choices[0]
			if known := w.known[strings.ToLower(r.item)]; known != "" {
				line = renamed(line, plated, r.item, known)
			} else if near, ok := new(source).nearest(r.item, plainly(w.names()...)); ok {
				w.fault(field+" takes", fmt.Sprintf("did you mean %q? Otherwise name it quite differently", near.name), "nothing is called %q", r.item)
			} else {
				w.buy(r, "", field, false)
			}
			lines = append(lines, Words(line))
		}
		if len(lines) == 0 {
			w.fault(field+" takes", "write what one portion takes, such as 400 mL stock, 120 g meat", "what goes into %s?", name)
			return nil
		}
		if price := bare(d.Price); price != "" {
			if _, err := money(price); err != nil {
				w.fault(field+" price", "write it as 15.50", "%q is no price", d.Price)
			}
			keys = append(keys, "price: "+price)
		}
		keys = append(keys, "takes: ["+strings.Join(lines, ", ")+"]")
		if sells := strings.TrimSpace(d.Sells); sells != "" {
			if _, ok := Digits(sells); !ok {
				w.fault(field+" sells", "write how many portions a service sells, such as 20", "%q is no number of portions", d.Sells)
			}
			keys = append(keys, "sells: "+sells)
		}
		if fault := nameFault(name); fault != "" {
			w.fault(field+" name", nameRule, "name %q %s", name, fault)
		}
		entries = append(entries, Words(name)+": {"+strings.Join(keys, ", ")+"}")
	}
	return entries
}

// names are what goes in and what comes out, in the order of the answers.
func (w *startWriter) names() (names []string) {
	for _, n := range w.known {
		names = append(names, n)
	}
	slices.Sort(names)
	return names
}

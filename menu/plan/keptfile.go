package plan

// The file of a kept plan: YAML, by dates and names, so that a cook can read it, and change a figure by hand.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"kettletree/graph/measure"
)

// Path is where the plan of a kitchen file is kept: kitchen.plan beside kitchen.yaml.
func Path(kitchenFile string) string {
	return strings.TrimSuffix(kitchenFile, filepath.Ext(kitchenFile)) + ".plan"
}

// before is where the plan stays that was kept before.
func before(file string) string { return file + ".before" }

// FileError says why the file of a plan can't be read.
type FileError struct {
	File      string
	Line      int // 0 for the file as a whole
	Msg, Hint string
}

func (e *FileError) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("%s:%d: %s", e.File, e.Line, e.Msg)
	}
	return e.File + ": " + e.Msg
}

// minutes is how the moment is written at which a day was kept.
const minutes = "2006-01-02 15:04"

// Text is what is kept as its file has it. Quantities are written out in full.
func (k *Kept) Text() ([]byte, error) {
	root := mapping()
	root.HeadComment = "# What the kitchen goes by on these days. \"kettletree plan --keep\" writes it, \"plan --drop\" takes it back."
	put := func(to *yaml.Node, key string, value *yaml.Node) { to.Content = append(to.Content, scalar(key), value) }
	portions := func(day *yaml.Node, key string, list []KeptPortions) {
		services, at := mapping(), map[string]*yaml.Node{}
		for _, p := range list {
			if at[p.Service] == nil {
				at[p.Service] = mapping()
				put(services, p.Service, at[p.Service])
			}
			put(at[p.Service], p.Dish, scalar(strconv.Itoa(p.Portions)))
		}
		if len(list) > 0 {
			put(day, key, services)
		}
	}
	put(root, "kitchen", scalar(k.Kitchen))
	put(root, "rule", scalar(k.Rule))
	if k.OnHand != "" {
		put(root, "on hand", scalar(k.OnHand))
	}
	days := mapping()
	put(root, "days", days)
	for _, d := range k.Days {
		day := mapping()
		put(days, d.Date.Format(time.DateOnly), day)
		put(day, "kept", scalar(d.At.Format(minutes)))
		if list := mapping(); len(d.Batches) > 0 {
			for _, b := range d.Batches {
				put(list, b.Step, scalar(plainly(b.Batches)))
			}
			put(day, "batches", list)
		}
		portions(day, "specials", d.Specials)
		portions(day, "at most", d.AtMost)
		if list := mapping(); len(d.Orders) > 0 {
			for _, o := range d.Orders {
				put(list, o.Item, scalar(plainly(o.Quantity)+" "+o.Unit))
			}
			put(day, "orders", list)
		}
		if len(d.Further) > 0 {
			put(day, "further batches", texts(d.Further))
		}
		if len(d.Elsewhere) > 0 {
			put(day, "ordered elsewhere", texts(d.Elsewhere))
		}
	}
	var b bytes.Buffer
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := errors.Join(e.Encode(root), e.Close()); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func mapping() *yaml.Node { return &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"} }

// scalar is a text that is read back as it is, in quotes where YAML asks for them.
func scalar(text string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.ScalarNode, Value: text}
	if _, err := strconv.ParseFloat(text, 64); err != nil && !datelike(text) {
		n.Tag = "!!str"
	}
	return n
}

// datelike texts are dates and times, which are read as they stand, so that they need no quotes.
func datelike(text string) bool {
	_, date := time.Parse(time.DateOnly, text)
	_, moment := time.Parse(minutes, text)
	return date == nil || moment == nil
}

func plainly(x float64) string { return strconv.FormatFloat(grained(x), 'f', -1, 64) }

// grained is an amount as it is kept.
func grained(x float64) float64 { return math.Round(x/grain) / math.Round(1/grain) }

// Read reads the file of a plan; the name is only used in errors, which are of type [*FileError].
func Read(name string, src []byte) (*Kept, error) {
	r := &keptReader{file: name}
	var doc yaml.Node
	switch err := yaml.Unmarshal(src, &doc); {
	case err != nil || len(doc.Content) == 0 || doc.Content[0].Kind != yaml.MappingNode || !slices.ContainsFunc(doc.Content[0].Content, func(n *yaml.Node) bool { return n.Value == "days" }):
		return nil, &FileError{name, 0, "this is no plan that \"kettletree plan --keep\" or --save wrote", dropHint}
	}
	k := &Kept{}
	r.each(doc.Content[0], "kitchen, rule, on hand or days", func(key string, v *yaml.Node) bool {
		switch key {
		case "kitchen":
			k.Kitchen = v.Value
		case "rule":
			k.Rule = v.Value
		case "on hand":
			k.OnHand = v.Value
		case "days":
			r.each(v, "", func(key string, v *yaml.Node) bool {
				date, err := time.Parse(time.DateOnly, key)
				if err != nil {
					r.fault(v, "%q is not a date such as 2026-11-23", key)
				}
				k.Days = append(k.Days, r.day(date, v))
				return true
			})
		default:
			return false
		}
		return true
	})
	if r.err != nil {
		return nil, r.err
	}
	slices.SortStableFunc(k.Days, func(a, b KeptDay) int { return a.Date.Compare(b.Date) })
	return k, nil
}

const dropHint = "put it right by hand, or take it away: kettletree plan --drop"

// keptReader reads a plan, and keeps the first fault.
type keptReader struct {
	file string
	err  error
}

func (r *keptReader) fault(at *yaml.Node, format string, args ...any) {
	if r.err == nil {
		r.err = &FileError{r.file, at.Line, fmt.Sprintf(format, args...), dropHint}
	}
}

// each goes through a mapping; take is false for a key that it does not know, where known says which there are.
func (r *keptReader) each(n *yaml.Node, known string, take func(key string, v *yaml.Node) bool) {
	if n.Kind == yaml.ScalarNode && n.Value == "" {
		return // nothing is written behind the key
	}
	if n.Kind != yaml.MappingNode {
		r.fault(n, "here are names with something behind each, such as \"night kettle: 1\"")
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		switch {
		case key.Kind != yaml.ScalarNode:
			r.fault(key, "here is a name")
		case seen[key.Value]:
			r.fault(key, "%q stands here twice", key.Value)
		case !take(key.Value, n.Content[i+1]):
			r.fault(key, "%q is no key of a plan: write %s", key.Value, known)
		}
		seen[key.Value] = true
	}
}

func (r *keptReader) day(date time.Time, n *yaml.Node) KeptDay {
	d := KeptDay{Date: date}
	r.each(n, "kept, batches, specials, at most, orders, further batches or ordered elsewhere", func(key string, v *yaml.Node) bool {
		switch key {
		case "kept":
			var err error
			if d.At, err = time.Parse(minutes, v.Value); err != nil {
				r.fault(v, "%q is not a time such as 2026-11-24 22:10", v.Value)
			}
		case "batches":
			r.each(v, "", func(step string, v *yaml.Node) bool {
				d.Batches = append(d.Batches, KeptBatches{step, r.number(v, "batches", v.Value)})
				return true
			})
		case "specials":
			d.Specials = r.portions(v)
		case "at most":
			d.AtMost = r.portions(v)
		case "orders":
			r.each(v, "", func(item string, v *yaml.Node) bool {
				number, unit, _ := strings.Cut(v.Value, " ")
				if _, err := measure.UnitNamed(unit); err != nil {
					r.fault(v, "%q is not an amount such as 25 kg", v.Value)
				}
				d.Orders = append(d.Orders, KeptOrder{item, r.number(v, "an amount such as 25 kg", number), unit})
				return true
			})
		case "further batches":
			r.list(v, func(text string) error {
				f, err := ReadFurther(text)
				d.Further = append(d.Further, f)
				return err
			})
		case "ordered elsewhere":
			r.list(v, func(text string) error {
				e, err := ReadElsewhere(text)
				d.Elsewhere = append(d.Elsewhere, e)
				return err
			})
		default:
			return false
		}
		return true
	})
	return d
}

func (r *keptReader) portions(n *yaml.Node) (list []KeptPortions) {
	r.each(n, "", func(service string, v *yaml.Node) bool {
		r.each(v, "", func(dish string, v *yaml.Node) bool {
			portions := r.number(v, "portions", v.Value)
			if portions != math.Trunc(portions) {
				r.fault(v, "%q is not a whole number of portions", v.Value)
			}
			list = append(list, KeptPortions{service, dish, int(portions)})
			return true
		})
		return true
	})
	return list
}

// mostKept bounds a number in a plan.
const mostKept = 1e6

func (r *keptReader) number(at *yaml.Node, of, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || at.Kind != yaml.ScalarNode || !(v >= 0 && v <= mostKept) {
		r.fault(at, "%q is not a number of %s", text, of)
		return 0
	}
	return v
}

// ReadFile reads the plan that is kept in a file; nil where there is no such file.
func ReadFile(file string) (*Kept, error) {
	f, err := os.Open(file)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // what was read is read
	src, err := io.ReadAll(io.LimitReader(f, mostBytes))
	if err != nil {
		return nil, err
	}
	return Read(file, src)
}

// mostBytes bounds the file of a plan.
const mostBytes = 4 << 20

// Keep keeps a plan in a file from a moment on, beside what was kept before for other days; save writes a file whole or not at all.
// What the file had stays beside it, so that [Drop] can take the plan back. One that can't be read is replaced.
func (k *Kept) Keep(file string, at time.Time, save func(name string, text []byte) error) error {
	old, err := os.ReadFile(file)
	switch {
	case errors.Is(err, os.ErrNotExist):
		err = os.Remove(before(file))
		if errors.Is(err, os.ErrNotExist) {
			err = nil
		}
	case err == nil:
		err = save(before(file), old)
	}
	if err != nil {
		return err
	}
	earlier, _ := Read(file, old)
	text, err := k.Over(earlier, at).Text()
	if err != nil {
		return err
	}
	return save(file, text)
}

// Drop takes back the plan that was kept last: the one before it is kept again. is is what is kept then; nil for none, when the
// kitchen goes by its standing week. dropped is false where no plan was kept.
func Drop(file string) (is *Kept, dropped bool, err error) {
	if err = os.Rename(before(file), file); errors.Is(err, os.ErrNotExist) {
		err = os.Remove(file)
	}
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, false, nil
	case err != nil:
		return nil, false, err
	}
	is, err = ReadFile(file)
	return is, true, err
}

package main

// log count: what is on hand, asked item by item; log binned --past: all that is past its date.

import (
	"bufio"
	"errors"
	"fmt"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// onHand is what is on hand now, and the kitchen.
func (l *logging) onHand() (*logbook.OnHand, *kitchen.Kitchen, error) {
	k, err := l.sound()
	if err != nil {
		return nil, nil, err
	}
	o, err := options(l.c, l.kitchen)
	if err != nil {
		return nil, nil, err
	}
	o.Now = l.at
	a, err := held(l.c, o)
	return a, k, err
}

// count asks item by item how much there is, and writes down all answers together.
func (l *logging) count() error {
	if err := l.noMore(0); err != nil {
		return err
	}
	a, k, err := l.onHand()
	if err != nil {
		return err
	}
	out, place := l.c.App.ErrWriter, ""
	fmt.Fprintln(out, `How much is there? Type it, such as 2.8 or 2.8 kg; 0 for none. Enter alone skips, "end" ends.`)
	lines := bufio.NewScanner(l.c.App.Reader)
	var entries []logbook.Entry
items:
	for _, it := range a.Items {
		if it.Place != place {
			place = it.Place
			fmt.Fprintf(out, "\n%s\n", strings.ToUpper(place[:1])+place[1:])
		}
		for {
			said := fmt.Sprintf("by the log book %s %s", measure.FormatNumber(it.Amount), it.Unit)
			if it.NoBook {
				said = "never counted, in " + it.Unit
			}
			fmt.Fprintf(out, "%s (%s): ", it.Item, said)
			if !lines.Scan() {
				break items
			}
			text := strings.TrimSpace(lines.Text())
			if text == "" {
				break
			}
			if text == "end" {
				break items
			}
			if _, rest, err := measure.Number(text); err == nil && strings.TrimSpace(rest) == "" {
				text += " " + it.Unit
			}
			e, err := logbook.Parse(k, logbook.Counted, text+" "+it.Item)
			if err == nil {
				e.At, e.Written, e.Zone = l.at, l.now, l.zone
				entries = append(entries, e)
				break
			}
			fault, ok := errors.AsType[*measure.Error](err)
			if !ok {
				return err
			}
			fmt.Fprintf(out, "  %s: %s\n", fault.Msg, fault.Hint)
		}
	}
	fmt.Fprintln(out)
	if err := lines.Err(); err != nil {
		return err
	}
	return l.writeDown(k, entries, "nothing was counted, so nothing is logged")
}

// binPast writes down that all was binned that is past its date.
func (l *logging) binPast() error {
	if text := strings.TrimSpace(strings.Join(l.args, " ")); text != "" {
		return &usageError{fmt.Sprintf("%q and --past can't be used together", text), "leave one of them out"}
	}
	a, k, err := l.onHand()
	if err != nil {
		return err
	}
	var entries []logbook.Entry
	for _, p := range a.Past {
		text := measure.FormatNumber(p.Amount) + " " + p.Unit + " " + p.Item + ", past its date"
		e, err := logbook.Parse(k, logbook.Binned, text)
		if err != nil {
			return err
		}
		i, _, err := k.ItemNamed(p.Item, nil)
		if err != nil {
			return err
		}
		e.Takes[0].Base = p.Amount * k.Graph.Items[i].Unit.Factor // all of it, not as rounded
		e.At, e.Written, e.Zone = l.at, l.now, l.zone
		entries = append(entries, e)
	}
	return l.writeDown(k, entries, "nothing is past its date")
}

// writeDown keeps entries together, and shows them.
func (l *logging) writeDown(k *kitchen.Kitchen, entries []logbook.Entry, none string) error {
	if len(entries) == 0 {
		fmt.Fprintf(l.c.App.ErrWriter, "kettletree: %s\n", none)
		return nil
	}
	j, err := logbook.Open(l.c.Context, l.file)
	if err != nil {
		return told(err)
	}
	defer func() { _ = j.Close() }()
	j.Know(k)
	kept, err := j.Append(l.c.Context, entries...)
	if err != nil {
		return told(err)
	}
	logged(l.c, "this", kept)
	return l.answer(j, k, kept)
}

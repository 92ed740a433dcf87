package logbook

// Entries under former names: they are handed on with the names of now. In the file, and in what was typed, they stay as they were written.

import (
	"strings"

	"kettletree/menu/kitchen"
)

// Know lets the book hand on entries with the names that a kitchen has now. It is called before others use the book.
func (j *Book) Know(k *kitchen.Kitchen) {
	if j.kitchen = nil; k != nil && k.Renamed() {
		j.kitchen = k
	}
}

// called gives what an entry is about the names of now.
func (e *Entry) called(k *kitchen.Kitchen) {
	if k == nil {
		return
	}
	item := func(name *string) { *name = k.Now(kitchen.NamedItem, *name) }
	for i := range e.Takes {
		item(&e.Takes[i].Item)
	}
	for i := range e.Gives {
		item(&e.Gives[i].Item)
	}
	for i := range e.Card {
		item(&e.Card[i].Item)
	}
	item(&e.Dish)
	item(&e.Of)
	e.Step = k.Now(kitchen.NamedStep, e.Step)
	e.Supplier = k.Now(kitchen.NamedSupplier, e.Supplier)
	for i, t := range e.Tastes {
		if vessel, is := strings.CutPrefix(t.Name, depthIn); is {
			e.Tastes[i].Name = depthIn + k.Now(kitchen.NamedVessel, vessel)
		}
	}
}

// Package menu opens a kitchen: the kitchen file, the log book beside it, a kept plan, what is on hand and the rule for what
// is scarce become one [week.Week], which answers are asked of.
//
//	w, faults, err := menu.Open(ctx, menu.Options{Kitchen: menu.File("kitchen.yaml"), Now: time.Now()})
//	if w == nil { ... }
//	answer, err := ask.WhatIf(ctx, w, shocks)
//
// A command line and a board's address become the same [Options] and ask the same functions.
//
// # What is opened, in order
//
// The kitchen file is read and checked. The standing week is laid over the days, and over it the plan that is kept
// ([Options.Plan], [kettletree/menu/plan.Lay]), as far as it still fits the file. What was decided or found out is made part
// of it: dishes that were struck off, batches that were lost, specials that were offered
// ([kettletree/menu/logbook.Book.Decisions]). What is on hand when the first day begins comes from a list
// ([Options.OnHand]); or else the week goes on from the present that the log book knows
// ([kettletree/menu/logbook.Present]): with what is on hand at the moment, what is under way, and what is still to be done.
//
// # The packages
//
// kitchen reads and checks a kitchen file, week lays it over days and plays them; ask has one file a question; plan,
// shop, specials, rescue, clock and guide each answer what they are called after; logbook keeps what really happened.
package menu

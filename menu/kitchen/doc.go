// Package kitchen reads a kitchen file: YAML, strictly, into a [Kitchen] or into all that is wrong with it.
//
// # Model
//
// [Read] gives a [Kitchen]: the graph of what is bought, made and sold ([kettletree/graph]), what the flow is computed with
// ([kettletree/graph/flow.Terms]), and a card for each step, dish, vessel and service that keeps what only people need. It
// never changes after. Quantities are base units (g, mL, pieces) beside the unit that was written; where one kind of unit
// has to become another, an item's "density" and "each" are the only bridges: none is guessed.
//
// The keys stand in one table (keys.go). The reader checks the shape of a file against it, and [Schema] is printed from it,
// so that the two can't drift apart. A line of a recipe has a grammar of its own (line.go), and so has each kind of value.
//
// # Faults
//
// A fault is a [Diagnostic] with its place, the user's own line, a stable ID and what would be right. All of one run are
// told, in the order of the file. testdata/faults.txtar has a file and the whole message for every ID: a new fault needs
// its case there. Faults of lists that are read beside a kitchen (what is on hand, what was sold, a cooling log) have the
// same form, as have those that other packages find in what a kitchen says ([kettletree/menu/week.Week.Faults],
// [kettletree/menu/logbook], and "no-name" of the guide).
//
// # Who sells
//
// What is known of suppliers, and where an item can be had beside its own ([Source]), stands apart from the flow: a walk buys of
// the usual supplier, and only who asks what can be done goes elsewhere. What steps give can be bought in nowhere else than the file
// says. What is taken from yesterday can't be bought in at all, since a perpetual stock is what it is by its age.
//
// # Strength
//
// How the bounds of strong lines are held, and what steam does, is in [kettletree/graph/batch]. What goes off as steam is as
// written, or what goes in by volume and does not come out so, of a step that gives something by volume: the file tells spent
// bones from steam by that alone. A recipe that breaks its own bound is a fault. One that breaks it when something optional is
// missing or a substitute steps in is warned of: those lines are the file's own words for what may happen.
//
// "out at" may stand on what a step takes: taken out again then, and thrown away, such as a bag of bones. As an output it
// would ask for a use, a worth and a share of the bill.
//
// # Allergens, food codes, date marks
//
// Allergen lists (FALCPA and the FASTER Act; EU 1169/2011, Annex II) and food codes ([Codes]) are data here, for the reader
// needs them too. [Kitchen.Chains] finds day 1 of what is made (FDA Food Code 2022, 3-501.17): cooking through begins one for
// what was raw, and all else keeps the earliest of what is ready in it, heated again or not. Raw food carries none
// ([Kitchen.Raw]), unless a dish serves it raw by its own word. What is carried on from yesterday keeps the day 1 of its oldest
// part, if no approval is named; a frozen lot uses up the day on which it is frozen and no more; bought items carry none, for the day on which a pack is opened is not in the file. Every item is taken to lie
// as long as its "keeps", and one without as used on the day: a warning from what is not written would be guesswork.
//
// # Changes in place
//
// [Kitchen.Amend] replaces the bytes of a number, and of the spread behind "±", where they stand; comments, quotes and layout
// stay. The new text is read and compared with the kitchen as it was: if anything but the figures differs, or it has a fault,
// it is refused.
package kitchen

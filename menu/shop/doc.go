// Package shop says what to buy: the list of an arrival day, and what a banquet takes beyond the week.
//
// # The list
//
// [ToBuy] plays the week and reads from its record what must come by when: by supplier, in amounts that a scale shows, in whole
// packs and pieces, as the walk buys them. An order that comes to less than its supplier delivers for comes with what to add of the days
// after, if that is enough, or that nothing of it is needed before the next delivery. What can come on any
// day is listed for the day asked about alone, and the answer says how much more would last as long as it keeps.
//
// # A banquet
//
// A banquet ([Banquet]) stands beside the week: nothing that the week serves is taken away for it. It is led back through all that is
// made. Batches are added one at a time where the walk first falls short, in vessels that are free
// ([kettletree/menu/week.Calendar]), on the latest day in time on which the step runs anyway, else on which the kitchen is open, else any; then those that are
// not needed are taken away again. Then a cheaper way is looked for: a written second choice that the kitchen makes itself and
// that brings no allergen is tried for the portions of that service, by eighths, and taken where it saves a hundredth of the cash or
// more; each batch is tried without; all sets of one or two batches are tried, as far as 500 walks go; and the best is tried with one
// batch less, more, or elsewhere, and with several more of one step, until nothing helps. Each batch counts for a hundredth of the cash,
// so that nobody lights a pot to save a coin. Every try is a walk, so by-products, keeping and packs count as they do everywhere, and what
// is answered has been played. That it is the cheapest is not proven: held against every set of batches in small kitchens, it lay within a
// tenth of the cash and two batches' efforts of the best, mostly on it. Stopped, it answers with the best so far, and says so. A banquet is priced by its cash. What it leaves over, or uses up, is
// told apart, at the lower of worth and cost, as far as the days after can use it; what is binned counts for nothing.
package shop

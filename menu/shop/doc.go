// Package shop says what to buy: the list of an arrival day, and what a banquet takes beyond the week.
//
// # The list
//
// [ToBuy] plays the week and reads from its record what must come by when: by supplier, in amounts that a scale shows, in whole
// packs and pieces, as the walk buys them. An order that comes to less than its supplier delivers for is told what to add of the days
// after, if that is enough, or that nothing of it is needed before the next delivery. What can come on any
// day is listed for the day asked about alone, and the answer says how much more would last as long as it keeps.
//
// # A banquet
//
// A banquet ([Banquet]) stands beside the week: nothing that the week serves is taken away for it. It is led back through all that is
// made. Batches are added one at a time where the walk first falls short, in vessels that are free
// ([kettletree/menu/week.Calendar]), on the latest day in time on which the step runs anyway, else on which the kitchen is open, else any; then those that are
// not needed are taken away again. Every try is a walk, so by-products, keeping and packs count as they do everywhere. That the
// batches are the fewest is not proven. What comes of them beside counts at the lower of its worth and its cost, as far as it is
// left when the period ends; what is binned counts for nothing.
package shop

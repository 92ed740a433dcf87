// Package ask has a file for each question about a week that one or two walks answer: [WhatIf], [Cost] and [Kilos], [Why],
// [Trace], [Weak] and [Losses], [Chance], [Popularity], [Allergens], [Shares], [LastDays], and the picture ([Map]).
//
// # Model
//
// A question is a function of a context, a [kettletree/menu/week.Week] and what is asked; its answer is a plain struct with JSON
// tags, with units in its field names or comments. Money and quantities are unrounded, quantities in the unit that the item is
// written in. Nothing here changes a week, reads a file or asks what time it is: the same week and question give the same
// answer, to the last bit.
//
// # What-if
//
// [WhatIf] plays the week without and with shocks ([kettletree/menu/week.Week.Compare]) and tells where they differ: portions
// by dish and service, when a dish runs out, and because of what, from what it lacks to what went wrong first. Contribution
// counts what is left at its cost and what is binned or lost as spent; portions times margin would make a lost batch look free.
//
// What goes off its card, be it that the file lets it, stands apart ([Departures]): it is no cause of anything. Of what lies behind a
// dish that falls short the answer says who else sells it ([Elsewhere]), if it can be there before the last service that lacks it.
//
// # Why and trace
//
// [Why] derives a figure from the walk's own record and costing, and adds up to it. [Trace] follows shares of bills up and
// amounts down.
//
// # Weak points
//
// [Weak] plays every single loss (each batch of each day, each bought item), forked from the week as it stands
// ([kettletree/graph/flow.Trunk]), and every two of them together that may be far worse than their sum, and tells those that are.
// Two that reach nothing in common are not played together: what they cost adds up, but for what both take less or more of what
// can always be had, and but for this: once the first is known, no more can be ordered for either. Left out is what no cook has to
// look after: what is free, and what is to taste wherever it is taken. What somebody else brings before it is needed stands behind
// all the rest. [Losses] is the first half: the pairs take most of the time, and are not for a new cook.
//
// # Chance
//
// Each draw has a generator of its own, seeded by seed and draw, and what is added up over draws is whole numbers: the
// same bytes on any number of processors. A spread is one standard deviation of a normal distribution, cut off at nothing and
// as far above the mean, so that the mean stays; a batch gives no more weight than goes in. Batches stray apart from each
// other; a step without set days is drawn once. Percentiles are of the draws; what an answer goes with ([ChanceSway]) is a
// correlation over them.
//
// # Strength
//
// The walk's record says into which batch and line each taking went, so [Shares] judges batches one by one: lines are filled first
// to last, evenly where a plan directs them; what a step makes of all there is, or to order at one moment, counts as one pot.
// [kettletree/graph/batch] has the stages. A bound that breaks is said in every answer and refused in none: a walk that held a
// batch back for its taste would make dishes run out for a matter that a cook settles with a spoon.
//
// # Popularity
//
// [Popularity] follows Kasavana and Smith, Menu Engineering (1982): a dish is popular from 70 % of an even share of the portions on,
// and brings much from the mean contribution of a portion sold on.
//
// # The picture
//
// A whole map folds: a step and the one item that it gives are one box, and bought items that are free, or less than a tenth of
// every bill, are named in the boxes that take them; in full detail a kitchen can't be read on A3. What a shock touched keeps its
// box. A part, around one thing, shows everything or, after a mishap that reached the thing, what it reached and what goes into
// that.
package ask

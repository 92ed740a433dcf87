// Package plan finds what to cook, buy and sell over a period.
//
// # Model
//
// The model is a mixed-integer linear program over the very row of events that a walk of the schedule goes through
// ([kettletree/graph/flow.Flow.Moments]). An item has a balance at each event that touches it. Columns are the whole batches
// of each step on each day at its clock, the packs that are bought on each arrival day, the portions of each dish at each
// service up to its forecast, the work made to order and the work that takes all there is at each event, and, for a line
// with substitutes or one that may be left out, how much of it each choice fills. It maximises contribution: sales, less
// purchases and the cost of batches, plus the change of what is on hand.
//
// Shelf life needs no lots: use being first-in-first-out, what is left after the binning of day e of an item that keeps K
// days is at most what came on the days that still keep, e-K+2 to e, and what is over is binned.
//
// What is on hand is valued at the lower of its worth and its unit cost in the standing week (as IAS 2, paragraph 9, has
// it for inventories: the lower of cost and net realisable value). Of each item no more counts than was on hand at
// first or than the standing week leaves, whichever is more, and of what comes in packs nine tenths of one beyond that: nothing is
// cooked or bought for the shelf alone.
//
// # Limits on work
//
// A step with a clock and a vessel does at most as many batches at once as fill the vessel by volume, and shares it with no
// other work at the same time. Any other step does at most twice a day what the standing week does on its fullest day. At a
// service at most one special is offered, up to its "at most".
//
// # Check
//
// No plan is trusted: its figures are worked out again by [kettletree/menu/plan/solve/verify], and it is played through the
// walk, whose figures are what is told; where it does not sell the same portions for the same money, a note says so. That
// is known to happen only where a step to order gives several items, or where a step that takes all there is also takes
// something that is made to order.
package plan

// Package flow computes on a compiled kitchen flow: availability, cost, weight, and what a shock changes.
//
// # Pipeline
//
// [Compile] turns a graph and its [Terms] into a [Flow]: int32 index arrays in a topological order, made once. A
// [Schedule] is the row of services with what is due in it. [Flow.Walk] plays the schedule from first to last and gives an
// [Outcome]; [Flow.Cost] shares the bills and gives a [Costing]; [Flow.Fates] says where weight ends up. A [Case] is a
// flow with a schedule; [Case.With] gives a copy changed by shocks.
//
// # Laws
//
// Values that are handed on are never changed: any number of walks may run at once on one Flow and Schedule. The same
// input gives the same bits. No item is ever overdrawn; what comes in equals what is used, binned, and left. The shares
// of a bill add up to the bill.
//
// # Cost
//
// A cost pass is one multiplication an edge. A walk is one pass over the steps made to order for each stop (an item used
// up, or a dish served in full) in each service.
package flow

// Package week lays a kitchen over days and plays them.
//
// # Model
//
// A [Week] is a kitchen, the days that are asked about, what is on hand when they begin, a rule for what is scarce, and the
// case that is played: the flow and the schedule of all that is due. [Over] makes the standing week of a kitchen file; a
// kept plan, what the log book says and what was decided make other weeks of it, by [Week.With], [Week.Knowing] and
// [Week.By]. A Week never changes once it is made: each of these gives another one, and weeks can be shared between
// goroutines.
//
// # Play
//
// [Week.Play] is the way to a walk: it plays the week with shocks through [kettletree/graph/flow] and costs it. What can be
// foreseen (a price, a forecast, a dish struck off) changes what is ordered; a mishap finds it ordered, and what was ordered
// comes. Plate costs after a mishap go by the amounts of the week without it. A study that plays many cases has a
// [Player] for each goroutine; a case that no shock words, such as one batch more, is played by [Week.PlayCase].
//
// # Rules
//
// A [Rule] says who goes short. [Fair] and [First] are decided by the walk itself, service by service; a rule that plans
// ([Rule.Plans]) works out first how a case is served best, and the walk then follows its directions. Studies that play
// hundreds of cases refuse such a rule with a [SlowRuleError], because each case would be planned.
package week

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
// A week can go on from a minute of its first day, [Week.Now]: with what is on hand and under way then, and of the day only
// what is still to be done ([Week.Continued]). A batch under way counts as on hand, in the pot; a change that names it by the
// day on which it was to begin ("lose night kettle@mon") reaches it like one that is still to be lit, and holds from that minute
// on.
//
// # Play
//
// [Week.Play] is the way to a walk: it plays the week with shocks through [kettletree/graph/flow] and costs it. What
// can be foreseen (a price, a forecast, a dish struck off) changes what is ordered; a mishap finds it ordered, and what
// was ordered comes; what is then lacking can be had from the minute on at which the first mishap is known
// ([Week.KnownAt]), on delivery days that begin then or later, or that same day where an item comes on every day on
// which anybody works. Plate costs after a mishap go by the amounts of the week without it. A study that plays many
// cases has a [Player] for each goroutine; a case that no shock words, such as one batch more, is played by
// [Week.PlayCase].
//
// Behind the last day stand the batches of the standing week for seven days more, of steps that take something from yesterday: none of them is
// cooked, but a seed is kept back for the next of them.
//
// A walk buys from the usual supplier only. What can be had elsewhere (also from) is a move that somebody has to make, and [Week.Earliest]
// says when it is there: what is fetched, so many minutes after it is asked for (within); where that
// minute is on no day on which it is sold there (arrives, else the days of its supplier) and somebody works, as the next such day begins.
// What is brought comes as such a day begins, if it is ordered in time (order by) and the day has not begun. What would come after the
// period does not come.
//
// # As needed
//
// "batches: as needed" is for what a cook makes when it runs low: bases, salsas, pickles. It has no time of its own and takes no
// time at the table of what first needs it, a service or a batch of another step: as many whole batches (or halves) as that falls
// short by, rounded up; the rest stays on hand as long as it keeps, and is used first. It is made for the forecast of that service
// and for no later one, so it is as fresh as can be; the timetable says by when to begin it and up to which service it is enough.
// Where what it takes does not do for a whole one, a part is made, as of every batch. Sales are then as if it was made to order,
// but where a rest took what a later service lacks.
//
// It follows whatever happens: more guests, or what was spoiled, and another batch is made at the next service that needs it; no
// guests, and none is. Hence no change names a batch of it: "spoil red base@wed" does what burning it would. What was cooked by
// hand and written down is on hand, and goes first; where sales took more than the log book had, it takes it that whole batches
// were made for them. A plan counts parts of batches while it searches and whole ones in what it tells, see package plan.
//
// # Worth
//
// [Week.Worth] says what is on hand is worth, and [Worth.Books] what an outcome earns by it; nobody else values anything.
// What is on hand counts at the lower of worth and unit cost (IAS 2 Inventories, paragraph 9: the lower of cost and net
// realisable value). It is found once, from the standing week of the kitchen file with what is on hand, served by the rule Fair, so that a what-if
// before and after, a plan, the plan kept in a file and the standing week all count alike: what goes wrong in a week makes
// nothing dearer that is left of it (paragraph 16(a) has abnormal waste out of the cost of inventories). Of a bought item
// that is cheaper in the case that is played, the lower price counts (common practice, no source).
//
// It counts only as far as it can be used, and for that the standing week, from what was on hand at first, is played on behind its days
// for as many as [Week.Behind] has it. Of what is left the least of the following amounts counts (Worth.Left); where one says nothing of an item, the others do:
//   - What does not keep beyond those days counts at most as far as they take it by the date of the freshest that can be left: of the
//     last day, or of a later one on which a batch of these days, or one under way, comes out. To take is whatever work takes, and what
//     goes into a pot, on the day of the calendar.
//   - Beyond what was on hand at first or the standing week leaves, whichever is more, only so much counts as makes up for
//     buying or making: what the days behind take of what is bought, or made to order, as it is needed; and nine tenths of a
//     pack, a little less than all, so that no pack is bought for the shelf. Batches on set days are made all the same, so
//     of what they give no more counts than that.
//   - What is on hand at first, or still to come out of a pot (as if it was made on the day on which it comes), counts likewise: all that
//     keeps beyond those days, and of the rest what is taken by its date, the oldest first.
//   - What was on hand at first and is still there at the end counts by its own dates there too: all that keeps beyond those days, and of
//     the rest what they take by its date. It is used before what has come since, so what is left is of what has come, as far as
//     that goes. So what lies there while nothing happens counts alike at both ends, and a house that is shut earns nothing.
//
// These limits are our own (common practice, no source). What has come since (bought, given by steps, out of pots) goes by items, not by lots, for a planner must count with
// them too. In a period of more than [MostDays] less these days there are fewer days behind, and none at the limit: then all
// that is left counts that the standing week leaves.
//
// # Rules
//
// A [Rule] says who goes short. [Fair] and [First] are decided by the walk itself, service by service; a rule that plans
// ([Rule.Plans]) works out first how a case is served best, and the walk then follows its directions. Studies that play
// hundreds of cases refuse such a rule with a [SlowRuleError], because each case would be planned.
package week

// Package clock is the pot's timetable: what is done when, where, with how much and for which dishes, over the nights and days of a
// [week.Week]; and what hangs on hours: cooling, date marks, labels.
//
// # The timetable
//
// [Of] plays the week's case with its movements recorded, and follows every lot from the work that gave it to the work or the dish
// that took it. Work is a batch of a step on set days, what a step takes all there is of at one service, or what a step makes to order
// at one moment. Work of a step that "starts" at a set time has that time. All other work is due at the latest moment at which what
// it gives is still in time, and may begin as soon as what it takes is there; a batch without a clock is also done before the first
// service of its day, and "all of it" by the service at which it takes. Times are minutes after the midnight before day 0 of the
// week, by the kitchen's own clock.
//
// Asked backwards ([ToBeReady]), one pass from last to first moves all that a service rests on as late as it allows, keeping what
// other services need before; the time for the service alone stands beside it. Without that, a kettle for six services would be told
// to wait for the last. The walk then tries the times, and what it serves less is said. A batch of a perpetual stock must be out for
// all that takes the stock after it began: what was left is its successor's seed. Asked forwards ([IfLit]), batches begin when they
// are said to, which is the shock "late".
//
// What a vessel holds meanwhile is what went in less what came out, and less the steam ([graph.Step.Steam]).
// Phases fill the step exactly; only the last may leave its time out.
//
// # Hands
//
// When the works of the walk and their lots stand, work is given to hands (package roster): the acts of a step ([kitchen.Kitchen.Acts])
// at the stages of a batch with a clock, as soon as they can; a batch without one, and what is made at once, as a whole between the time
// when all that it takes is ready and the latest start that those who take from it allow. What is pulled, picked or strained is ready
// when that is done. People are there by their shifts, a batch without a clock waits for its vessel and its burners, and batches with
// one go before. An act of a batch with a clock may begin a quarter of an hour late before the clock says so, for one who does two things
// at once (common practice, no source). A batch that is begun late is late in all: nothing of it is done before it has had its time by the card, and so what goes in late is out late, and the next batch in the vessel waits. What is taken out is there when hands have taken it out. What was cooked, is bound by the date mark and is taken later than the code's first limit on
// cooling allows must be cooled. What does not fit is named with what would do: more hands for so many half hours, or a shift that begins
// sooner, each tried out, where it makes nothing else later; where more people at once would not do, one more vessel or burner too. No more people are at a station at once than there is room for, if the file says so; what that delays names
// the station. What is made to order is the work of the service: it takes minutes only where the file gives it some, before the service
// begins. --ready asks for latest moments and gives no work.
//
// # The past
//
// Of the day of now the rows are what was written down ([week.Happening]); what was to be done by now and was not written down
// is overdue, and stands apart. What follows on what was taken out has no entry of its own: it is given to hands like all else, and stays until
// somebody was there for its minutes; what cools stays until a temperature at or below the code's first limit ends it, or the
// end of its limits, when it is only to be read. What is still to come of batches under way is work like any other, begun before.
//
// # Cooling
//
// A log is a file, or what the log book has of a lot: when it came off the heat, and its temperatures. A limit of a food code ([kitchen.Code]) is compared on the code's
// own scale only, for the °C beside the US °F are rounded. Its time begins between the last reading at the starting temperature and
// the first below it: "met" counts from the first of the two, "broken" from the second, and what lies between is "not shown". A log
// that begins below it can be broken but never met. What came off the heat by the log book counts from then, or from its last reading at the
// starting temperature: no later reading begins its time again. A limit is open until it is due; then, without a reading, it is "not shown",
// and to be read now, until it is read or its lot is gone. Projections follow Newton's law from the last two readings, and stand in for no
// reading ([JudgeCooling]).
//
// Cooked food begins to cool when it is out of its pot, or off the heat before that, where the step says so ("off heat"): 3-501.14(A)
// counts from 135 °F on the way down, and what steeps overnight is there hours before it is out.
//
// # Labels
//
// [LabelsOn] follows real lots, first in, first out, through the recorded walk; their day 1 is that of [week.Week.Dates], which what was on
// hand or in a pot at first brings along. What was written down of the day stands as it was measured, with its mark or the number of its entry.
// What is to come has no lot: a code that nobody wrote down could not be traced. What is past its date mark on hand is warned of and counted all the same: only "keeps" throws out. What a walk uses after its last day is a conflict ([PastDate]), in the words of [week.Week.CantBe], which what-if, plan and labels say too.
//
// Nothing here says that food is safe. It says which limit of which code a reading or a date meets or breaks.
package clock

// Package flow computes on a compiled kitchen flow: availability, cost, weight, and what a shock changes.
//
// # Pipeline
//
// [Compile] turns a graph and its [Terms] into a [Flow]: int32 index arrays, made once. A
// [Schedule] is the row of services with what is due in it. [Flow.Walk] plays the schedule from first to last and gives
// an [Outcome]; [Flow.Cost] shares the bills and gives a [Costing]; [Flow.Fates] says where weight ends up. A [Case] is
// a flow with a schedule; [Case.With] gives a copy changed by shocks, [Case.Resume] one that goes on from a minute.
//
// # Order
//
// Steps work in the order of their declaration as far as what they take allows: the first is as early as can be, then
// the second, and so on; how many lines a step has, and how deep what it takes lies, is nothing to it. Steps to order come
// after all others that let them. A step that takes all there is of an item waits for the steps on set days that take the same
// item, unless one needs what it gives; where two such waits can't both be, the one of the step declared first is kept, and of
// its own that for the step declared first.
//
// In memory steps lie otherwise: level by level (Kahn 1962), for speed, and no outcome shows it.
//
// # Time
//
// Time is a row of events by their minutes ([Flow.Moments]). At one minute, in this order: the day before ends, and
// what no longer keeps is binned; what was found spoiled goes, then deliveries come, then those of late items; outputs of
// batches come; steps work, in the order above, and batches of one step in the order of the schedule; portions are served. A
// service is decided when it begins: what comes during it serves the next one.
//
// A walk goes on from a minute of day 0 ([Schedule.From]). Batches of before that are done then, deliveries of the day come
// then, and so is what is still asked for at a service under way served. Batches under way ([Pot]) have what they still take
// set aside then, before anyone else takes of it: what is on hand, and what can be bought, but nothing is made to order for
// them. What they give comes when it is out; it counts as on hand from the beginning, in the pot, so that losing it costs what
// it is worth. Whoever knows what is on hand and under way at a minute can go on from it, and comes to the same: of what was
// held up by then, and of batches without a clock that wait, only so much as the schedule tells. Of several pots the first in
// the schedule takes first. What is missing does not go in, unless the item was late ([Schedule.NotBefore]) and comes in time.
//
// A step with a clock begins by it. Its outputs come so many minutes after its start as each says, those with none as it
// begins. A step without a clock begins at the first minute of its day at which what it takes has come, as far as that was
// due by the first slot of the day (a service, closed or not, or the noon of a day without any). Substitutes and what is
// optional count too, what is taken from yesterday does not, and what is made to order has come when what that takes has. An
// item that comes of a step which takes all there is, is due at that first slot, whether the step finds anything or not. What
// is late is waited for, but what was due on an earlier day only if it comes by that slot. A batch that is late itself begins so
// much later still. A step that takes all there is works at every slot at which anybody works, on what nobody keeps as a seed; a
// step to order, when portions or a batch ask for what it gives.
//
// The walk ends with the midnight of its last day, once what no longer keeps is binned: of what would come, begin or be
// served at that minute or later, nothing is. What is still in a pot counts as made and as left, less what of it is lost. Where a
// service of the last day begins after that midnight, it ends with that service ([Schedule.Ends]). A service belongs to the day
// on which the guests were asked in, whenever it begins: the deliveries of the new day come, and its work without a clock begins,
// once it has begun; what keeps no longer is binned at midnight all the same. Day -1 has only such services.
//
// # On hand
//
// What is on hand of an item is a queue of lots, used first in, first out ([Queue]). A lot is of the day on which it comes, so
// what comes out of a pot at one at night is of the new day; those on hand before day 0 stand by the day made. Of K days that an
// item keeps, the day made or delivered is the first; a lot is binned when the last ends.
//
// What the next batch of a perpetual stock takes from yesterday is held back from all others: the seed of those runs, at the
// size that is due, that begin at the next minute at which any run takes the item from yesterday as its first choice. What comes
// next is looked for at the beginning and whenever a run has taken what it takes, behind the last day too ([Batch]). It is an
// amount, no lot: others still take the oldest. A carried line takes what an earlier day left, and nothing of today; what can be
// bought is bought, to begin again: then what there is of today does as well, for what is bought is of no other day, and only what all
// that is on hand lacks is bought. A batch is first cut to what its carried lines can have, each choice after the one before
// it, and then fed with the rest.
//
// Bought items are bought as they are needed, on the last arrival day, today or before, that their keeping allows;
// where there is none, they can't be had. [Case.Ordering] makes what an outcome bought the orders of a what-if: that
// comes in any case, and what is needed beyond it can be bought as before, unless the item is scarce ([Schedule].Short). Packs and pieces
// ([Terms].Pack) are bought whole: as many as it takes, once it is known what a batch, or all of a service, lacks. What is over of
// the last is on hand from then on, a lot of the day on which it came. All else that is bought so is used at once, to the gram.
//
// A [Record] tells every movement with the lots that it is of, and what is left of each lot at any moment
// ([Record.Left]). Of works and dishes that take an item at one moment, the earlier in the order above has the older
// lots. A walk without a record does the same to the last bit.
//
// Sums of products are off by a hair. So two amounts are alike where they differ by a billionth of the larger, what is left of an amount is
// nothing below a billionth of it, a portion that lacks so little is whole, and a number of guests is rounded up or down as if it were
// larger or smaller by a billionth of a guest, whichever keeps a whole number as it is.
//
// # Guests
//
// A forecast is what guests would order if nothing stood in their way. Where a [House] says so, some of a want's portions are ordered
// in place of another want, which is asked for so many times less (the shares of all that take its guests, added up; a part of a
// guest is a whole one; what is offered counts, not what is sold). Then, where more guests come to a slot than find a seat,
// all its wants are asked for less alike: those that bring a guest each in whole portions by largest remainders, of equal ones the
// first, so that every seat is taken; those that go beside another rounded, halves up. Portions that went out at the slot before the walk goes on
// had their seats, and took their guests. [Schedule.Asked] tells what comes of it; all that follows goes by that.
//
// # Availability
//
// An item is used up when none of it is free on hand beyond what is held back, it can't be bought, and no step can make it to
// order, for that lacks something itself. What is on hand goes before what is made to order. Of a step to order with several
// outputs, the one that asks for most says how much is made; what it gives beside is of today, and stays on hand.
//
// What is made as needed ([graph.Step.AsNeeded]) is at first made as to order is, to the gram, for what is asked for beyond what is
// on hand. Once the work is settled, portions made whole and all, the rest of the last batch that was begun for it (of halves, of
// the last half) is made of what is then there, or as much of the rest as there is enough for; what takes something before what
// makes it, and of others the step that is later in the order above first. What the rest gives is of today, stays on hand, and goes
// first next time. So nothing is made while what is on hand will do, no portion is lost to a rest at the moment at which that is
// made, and of a batch that was begun for one portion there is a whole one. Later work finds what the rest has taken gone.
//
// A batch is as large as the scarcest of what it takes allows, at most what is due (two batches of a step at one hour are one of
// twice the size): it is fed as a single dish is served. A
// line may go without a share of its amount before that cuts the batch (Line.Without: all of it, where it is to taste). Such
// lines ask for the least that they can have until the batch is as large as it will be; then they are filled up together, as
// the batch was fed, each as far as there is more of its choices. What they went without is in Outcome.Lacks, and what
// the batch gives is not less for it. Of portions and what is made to order, and of what is carried, a share says nothing:
// such a line is had in full, or gone without where it is Optional.
//
// A service is progressive filling (max-min fairness; Bertsekas and Gallager, Data Networks, 2nd edition, section 6.5.2): all
// dishes' shares of their forecasts rise together until an item that one needs is used up; every line that takes it, of dishes
// and of what is made to order, goes on with the first of its choices that is not, or, when it is optional, without, and a dish
// with another line stops. What is needed of an item is convex and piecewise linear in the share, for needs are netted against
// what is on hand (material requirements planning), so Newton's method from above finds each stop exactly. Under the rule First,
// one rank of dishes is filled after another, those without one last. Dishes that can need nothing in common that decides are served
// each as if alone, so what one runs out of changes nothing of how another is made. What decides is what can't be bought for the
// service, what is made to order, and what stands in a line of which the cook does not mind.
//
// Portions are then made whole. From stop to stop, dishes got a part of their portions, each line on one choice. What is over is
// cut off the last parts; the rest is served again part by part, each line on the choice that it was on while there is some,
// else on the first there is, and what can't be had so is cut off too, until all is whole. What that frees is offered round a
// portion at a time, each to the dish with the smallest share of its forecast, of equal ones the one that stands first; under
// First, to the first rank that is short. A dish for which none can be made is asked again once all are through, if another got
// any. A portion offered so has one choice for each line, never two mixed: of all ways to make it of what is there, the one with
// the first choices as far as that goes, the lines of the dish before those of what is made to order for it, of these the step
// that is later in the order above before the earlier, and each step's lines as they stand. So no dish stops while one more
// whole portion of it can be made.
//
// Of a line of which the cook does not mind what fills it (Line.Alike) the choices go by what there is when the work begins (under
// First, the service of a rank), and again whenever something is used up: what is on hand first, of that what keeps least long, then
// what can be had for least, by its price, or its worth where a step makes it; where that is not known, by what it costs with one
// batch of each step, lines of the kind at the cheapest of it, found again as long as that changes one, once for each item made for such
// a line. Of equal ones, to a thousand millionth, the one that is written first goes. Of what is on hand no more is bought or made where another would go first
// if there were none of it (but of what comes beside something else to order, for more of that may come unasked): then what was there
// is used up too. For a portion offered round, on hand is what does for a whole one, or
// for a whole batch of what is made for it.
//
// A first choice is used up before its substitute is touched, as far as portions can be made with it: what is left of it in the
// end is less than another portion takes, for portions are not dealt out otherwise so that the last of it comes out even. What is
// left of one goes first to those who have nothing else. Then what went out on a substitute, or without a line that is
// optional, is made again with it, where more can be had of what comes before: dish by dish as they stand, the part that it
// got first before the others, a portion at a time, or what there is where a dish had less in that way, the last of it taken
// back first; where a portion can't be, what it had in that way over whole portions, so that a portion that is half of each is of one. It is made as a portion that is offered round, and stays so if all others can go out as they did, each line on
// its choices, and less goes off first choices: of the first line of which otherwise much goes off its own, less of what comes
// last; that may be a line of what is made to order for it, though its own stays as it was. Then what that frees is offered
// round, and so on.
//
// What is decided in between changes that as follows. A line that is to have another choice first ([Prefer]) has that before the others,
// as if it stood first, from a minute on. Some services go by another rule ([Turn]). What can be bought elsewhere ([Offer]) is, where the
// usual supplier brings none, on the last day of those that its keeping allows, in packs of there; of what steps give, too, which are
// asked first. A service that is directed ([Directions]) fills its lines so, all that is asked for at once, if there is enough for it;
// else it is as if nobody had. A batch that is directed, and work on all there is of something, is fed so as far as there is enough, of
// each line in full what its shares ask for; the rest of it goes by the rule. What is taken from yesterday is not directed.
//
// What was used at a service comes off what was there before it, the oldest first; the rest of what was made for it is of today.
//
// What a batch gives is lost, wholly or by a share, after it has taken its inputs; two losses take each a share of what the
// other leaves. What is lost whole before anybody lights it takes nothing.
//
// # Cost
//
// The bill of a batch is the first choices of its lines at unit cost, carried ones too, with labour and fuel; substitutes
// that a walk took do not show in it. It is shared among the outputs by one of five rules ([Rule]; Horngren, Datar and Rajan,
// Cost Accounting, chapter 16), by what a batch gives after changes of yield: what has become nothing bears nothing, but
// where all has, each output bears alike. Where nothing that a step gives is worth anything, worth gives way to weight; by
// main, an output without a worth bears nothing; by final value, an output whose worth is known and above nothing counts at that
// at most, for nobody needs to pay more for it. An item that several steps give costs the mean over what they give, weighted
// by the batches of an outcome; where none of them made any, or without an outcome, by one batch of each. An item of which no
// batch gives anything any more costs what it bears by the yields of the graph. A plate cost after a mishap is meant to be
// counted by the amounts of the week without it: the caller says which ([Flow.Cost]). Carried lines make cost circular: the
// carried items obey c = Mc + d, solved exactly (Leontief; Miller and Blair, Input-Output Analysis, section 2.2), and a loop
// that takes as much as it gives is refused (Hawkins and Simon 1949). Sensitivities come from one backward pass with the
// shares held as they are.
//
// What all that earns is counted by kettletree/menu/week.Worth.Books: sales, less deliveries, labour and fuel, and the
// disposal of what was binned or lost, plus the change of what is on hand. So a lost batch costs what went into it, and what is
// left is not lost.
//
// # Weight
//
// What a step takes goes to what it gives, by weight; the rest stays behind in work ([Flow.Fates]).
//
// # Laws
//
// Values that are handed on are never changed: any number of walks may run at once on one Flow and Schedule. The same
// input gives the same bits. No item is ever overdrawn; what comes in equals what is used, binned, and left. The shares
// of a bill add up to the bill.
//
// # Speed
//
// A cost pass is one multiplication an edge. A walk is one pass over the steps made to order for each stop (an item
// used up, or a dish served in full) in each service. At a service dishes are parted into islands, that can need nothing
// in common that can run short then, and each is served apart: its stops cost passes over its own steps alone.
//
// Who plays many cases that differ little walks one of them as a [Trunk] and forks the others from it ([Walker.Fork]).
// A fork begins at the last service before the first difference. It walks the regions of the flow that the difference
// can reach, for two regions share no more than bought items that can always be had: what the others took of those is
// taken again, and all else is as it was. It ends where its regions stand as they did in the trunk, with as much of what
// is bought, or more; from there on, too, only what can always be had is counted. Its outcome is that of a walk from the
// beginning, but for the rounding of sums. What a fork can't follow (other times, sizes or days) is walked whole.
package flow

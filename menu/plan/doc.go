// Package plan finds what to cook, buy and sell over a period.
//
// # Model
//
// The model is a mixed-integer linear program over the very row of events that a walk of the schedule goes through
// ([kettletree/graph/flow.Flow.Moments]). An item has a balance at each event that touches it. Columns are the batches
// of each step on each day at its clock, the packs that are bought on each arrival day, the portions of each dish at each
// service up to its forecast, the work made to order and the work that takes all there is at each event, and, for a line
// with substitutes or one that may be left out, how much of it each choice fills. It maximises contribution: sales, less
// purchases and the cost of batches, plus the change of what is on hand.
//
// What is under way when the week goes on is certain: what a pot still gives comes, and what goes into it is set aside first, as a
// walk of the week has it. A step whose time is past on the first day is not lit again, unless it is wished for; what is overdue
// of it can be, at once.
//
// Shelf life needs no lots: use being first-in-first-out, what is left after the binning of day e of an item that keeps K
// days is at most what came on the days that still keep, e-K+2 to e, and what is over is binned.
//
// # The days behind
//
// A plan is judged with the days behind it, which go as the standing week ([week.Onward]): they are a part of the program, and what they
// come to with what the plan leaves is played before anything is answered. A plan that earns less with them than the standing week does with
// the same days is not given, but for what keeps more to the cards. So nothing is cooked or bought for the shelf alone, and no kettle is left unlit that Tuesday hangs on.
//
// In the program these days are coarser than the plan's own, and can never come to less than a walk of them: portions in fractions;
// batches that may be smaller where something can be wanting, and are as they stand where all can be bought; what is bought is had as
// it is needed; a balance at each service only of what comes later that day, else at the end of the day. So the program gives the
// bound, and a plan to begin with. From that, and from the standing week, batches are made more, fewer or on another day, one after
// another, as long as the kitchen, played with the days behind, earns more: the better of both is the answer.
//
// The money of a plan is [week.Books], of its own days, as every command has it: what is on hand when they end counts as
// [week.Worth] has it. What the days after gain or lose by the plan, against the standing week, stands beside it, and the bound is one on
// both together: what is said of it is the plan's own contribution and what both together could come to beyond it. So it may lie below
// the standing week's contribution, where that week leaves less to the days after, or goes off its cards more.
//
// # Limits on work
//
// What a vessel holds, and that it holds one work at a time, is what [week.Calendar] says. Where no vessel bounds a step, it
// does at most twice a day what the standing week does on its fullest day, unless more is wished for.
//
// # Specials
//
// A plan is made without specials, but for those that are on the board already. Which could be offered from what it leaves, its batches
// staying as they are, is found after that, by playing it through with them, and told apart ([Apart]): one at a service, the same one not
// two days running, as many portions as it is expected to sell ([kettletree/menu/week.Week.Expected]), of which some are ordered in place of
// dishes of the menu. None that makes the menu go short is offered, and none that uses up nothing of what would be left over.
// What the days behind lose by one is taken off what it brings. They are part of the plan that is kept,
// for they stand on the board then and their guests order nothing else: all commands say of a kept plan what was told of it with them.
//
// # Perpetual stocks
//
// What the next batch takes of a stock from yesterday is held back from everybody else, as in the walk: which batch that is
// hangs on the plan, so the rows for a later one let go when an earlier one is done. A batch is never more than what can
// be there of what it takes: a stock that nobody has would else grow, a hundredfold a day, from what a solver lets pass
// for nothing.
//
// Where one is alive when the period begins, and can live until the first batch after it, a plan leaves what that batch takes, if any plan
// can. A schedule that lets it die is no plan, whatever it saves: the bound says nothing of it, and no change that is tried leads there. A
// standing week that lets it die and earns more is named in a note.
//
// # A week that feeds itself
//
// [Repeat] looks for a standing week to cook week after week. Weeks are played one after another, begun with nothing on hand but perpetual
// stocks, and by the third what one leaves is what the next begins with; two of them together say what a week earns, less twice what
// they take from those that follow. That is tried out, with no bound.
//
// # What is said
//
// No plan is trusted. Its point is checked by [kettletree/menu/plan/solve/verify], and it is played through the walk, as the model
// fills its lines; where it does not sell the same portions for the same money ([Plan.Parted]),
// no bound is claimed, and with batches held a note says so. That is known to happen where a batch takes a stock from yesterday and the same stock once more through
// something that is made to order for it: the walk feeds the batch first, oldest first, while what it takes from yesterday
// is held back; and, in one kitchen of some thousands, where several batches take one stock from yesterday, something bought may
// stand in for it, and it can't be carried beyond the last day. A step to order that gives several items, and a step that takes all there is together with something made to
// order, hang on the order in which the walk looks at them, and are tried apart.
//
// Batches are due in whole ones, of which the walk makes what there is enough for, and so does the model: the last batch of a step
// on a day may be cut to a part of it, where something that it takes is used up, and only then. What is wished for is made whole.
// Nothing is cut for lack of what comes in packs while another can be bought. A line that its batch goes without in part
// (graph.Line.Without) may be filled in part by the model, but not to save money: what can be bought of it goes in whole.
//
// A step that may be made in halves has a column that counts them. What is made as needed is made in whole batches by the walk, and in any part of a batch by the model, up to one more than is asked
// for at an event: whole ones would cost the search a column for each event, and what is over of a batch is used at the next. So
// all that the walk can make is open to the model, and the bound holds; the money that the model counts for its own point is not
// held against that of the walk then.
//
// # The card
//
// Nothing is left out or replaced to save money. What goes off its card counts against a plan what the first choice costs, so
// that a substitute is never cheaper; where that is more, of a portion two fifths of what it brings, so that a batch is made for what some
// portions miss, and of a batch a tenth of its bill. Lines that can go off the card share these. None counts more than its share of seven
// tenths of what the card brings, and what going off it saves: so a portion is rather sold off the card than not, and never to save
// money. What a batch brings is by the poorest
// dish that can't do without it; one that would bring nothing has no such limit.
// That is no money: it stands in no figure that is shown, but plans are chosen by it, and what is said to bound them bounds those
// that go off the cards no more than the one that is shown.
//
// Where the search did not find as good a plan, the standing week is the answer, with what comes in packs bought whole, if
// it keeps all that is asked of a plan; and so it is where the search came to an end without a plan, or in numerical
// trouble. With batches held, as the rule "best" has them, that is the week with what is scarce shared out fairly.
// [Plan.Instead] says so. Should the walk pass the bound, none is said.
//
// Wishes that no plan can meet are named ([Clash]): a smallest set of them, with what they clash through. Where the search for
// that set comes to no end, they are those that a plan made without wishes misses.
//
// # The search
//
// A week of few rows is searched until no plan can be better. Of a larger one the search ends when what it found is good enough, or when
// it has spent the work that is allowed for. It may split on how many portions of a dish there are in all, and how many packs of an item,
// as well as on those of one service or day: where guests may as well be served at another for the same money, each of these by itself
// settles nothing.
//
// # A plan that lives
//
// What is shown of a plan is the plan as it is kept ([Kept]) and laid over the week again ([Lay]): its batches,
// its orders, and what it holds dishes to. The walk then serves by the rule and fills every line by the card, while the
// model may fill a line with a substitute, or leave out what is optional, to save it for a dish that is short of it: so a plan may
// earn less than the model counts, and its bound lies above it. What is ordered in packs is mended until the walk buys none beyond it
// and leaves no whole one, and a dish is held to fewer portions than are asked for only where letting go would earn less.
// So every command says of a kept plan what was told of it, to the last portion. Where the same batches and orders would earn more under
// the rule "best", which may take a stand-in first, a note says how much. Proven a plan is only where, played, it comes to its bound
// but for 0.33 % of its contribution. A schedule beyond the limits on work is no plan, so that what is said to bound plans does not bound it.
//
// A kept plan speaks of names and dates. A change of the kitchen file never voids it: what no longer fits is said, and the rest
// stays. Batches that it decided not to make are kept too, for others without a clock wait for them all the same, as planned.
// Days that are planned again take the place of those that were kept; the others stay, those of the last weeks too, for what was
// planned yesterday is in the pot today.
//
// What one more of something would bring ([Bind]) is said where the linear program behind it can be solved.
package plan

// Package counter says what to buy at a wholesaler's counter, at tonight's prices, with the money in hand.
//
// # What can be had
//
// An [Offer] is a bought item at a price, with what there is of it: in pieces that are bought whole, by their own weight, in packs, or
// by the scale. It holds for this shopping only. What is bought stands in for the next delivery of what is offered: until the delivery
// after that (or the day that is said, [Options.Until]) it is had here or not at all, and from then on it comes as the file says, at the
// file's price. What is not offered comes as the file says throughout, and is not paid from the money in hand; what was ordered already still
// comes, and what is on hand counts.
//
// What is bought tonight is there when day 0 of the week begins, or goes on. Today goes on from now, log book or not: no batch whose hour is past
// is lit, and no service that is over is served.
//
// # What a purchase is worth
//
// It is played: the days asked about and the days behind them ([week.Onward]), with what is bought as a delivery at the counter's
// price, the batches cut to what there is. What it brings is what all those days earn with it, after it is paid for, beyond what they earn
// with nothing bought here and the batches as they stand. What goes off the cards counts against a purchase as it does against a plan
// ([plan.Cards]), so nothing is bought short to save on a first choice. The figures shown are those of the week that the answer
// gives ([Answer.Week]): any question asked of that week has the same cents.
//
// # How it is searched
//
// What a purchase makes of the kitchen does not hang on what it costs, so a purchase is played once, and kept ([Search]): on all processors
// at once, and only in the parts of the kitchen that something on offer can reach ([week.Arriving]). What an answer looks
// at hangs on what is asked only: it begins with a pool that is searched at the file's prices, and looks near that at tonight's. So a change of price is
// answered at once, and as if it had been asked first. Few sets are all tried. Of many, for the pool a chain is walked first, from all that is of use
// down to nothing: each time what goes is what loses least for the money it frees, with whatever else has lost its use by that, for what is cooked
// together is bought together. Then, for the money in hand and, with less care, for each sum of the curve, it begins at the best on the
// chain, and at all that is of use, with and without one thing or two, in like parts: a step up or down of each thing is tried, and one up
// for another down, as long as that is better. Around the best for the money in hand it is played what each amount of each thing counts by itself
// (a sketch, sketch.go), and around the best for lesser sums: at any prices the set that is best for a sum if that were all, is worked out exactly, and played too. The best of all that was
// played within a sum is the answer for it. That it is the best there is, is certain only where all sets were tried ([Answer.All]).
//
// # The batches
//
// What is bought is worth more when it is cooked by other batches than those that stand. [Search.Plan] lets the planner make some, for the best
// purchases with the batches as they stand, for the money in hand and for sums that do not hang on it, and for all that is on offer bought as it is needed; what they make of good sets, and of sets near
// those, is added to the pool, where they bring clearly more. From then on every answer chooses among all purchases by any of the batches, and so
// do the curve and worth up to; swaps, risk and whole pieces go by the batches of the answer. What a kitchen had best cook with what
// it has bought does not hang on what that cost, so the planner is asked at the file's prices, once for all prices of a night. An
// answer without it says so ([Answer.Planned]).
//
// Of sets that bring as much to within a two-hundredth of the money in hand, the one that fills the pots that are lit is taken; where all of a
// batch would be dearer than that, its answer says by how much ([Cut]).
//
// # The curve
//
// What each sum brings, from nothing to twice the money in hand, is the most of what was played within it, stand-ins taken and things left out
// where the cards allow it: so it never falls. The answer keeps to the cards, and may lie below it ([Freely]). It need not be concave, even
// where everything comes by the scale: a pot wants all that goes into it, portions are whole, and the search for each sum is no proof.
//
// # Worth up to
//
// The price of a thing up to which, from tonight's on, the best set still holds as much of it as the answer does, all other prices being what
// they are; and the highest price, up to tonight's, at which the best set holds more of it, be it in other pieces. They are found by
// choosing again at all other prices, among all that was played, after sets with less of it and with more were searched too, those with
// more at the price that was found, and what the sketches say on both sides of it. As the money in hand may suffice for one set and not for another, there may be lower prices
// at which it does not belong there. No dual of a relaxation is asked, which would know nothing of pieces.
//
// # Off the card
//
// The best set keeps to the cards as a plan does. Beside it stand swaps ([Swap]): a tenth less of a thing, two tenths and so on, with as much more
// as is of use of what a line of a card takes in its place, or in place of a part that it is broken down into; or with nothing, where the card goes on
// without. Each is played, and told with what it saves, what goes off the menu, the allergens that it brings and what it does to the taste, as
// far as that is known ([taste.Learned.Expect]).
//
// # Behind an answer
//
// Looked at once it stands ([Search.Deepen]): whole pieces that a step breaks down, by playing with one and without ([Whole]); how sets fare in weeks
// drawn as chance draws them ([Risk]), of which the best sample average regrets least, or the least of the greatest regrets; and prices, and amounts on
// hand, a fifth up and down ([Doubt]): what is lost by buying the same all the same is what it is worth to know. In all of that the purchase is
// cooked as the answer says.
package counter

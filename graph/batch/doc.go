// Package batch weighs one batch of a step, stage by stage, and holds the bounds of its strong lines against it ("at most 6%",
// "at least 2%", "at most 120 g h/L").
//
// # Model
//
// A stage lies between two moments at which something goes in or comes out ([Weights.Stages]). What is in is all that went in,
// less all that came out and all that has gone off as steam, by weight, a litre of water at 1 kg. A line counts from its "in at"
// until its "out at"; what goes in at the last minute, or in a step without times, is in together with all that comes out then.
// Steam goes off evenly from when the step boils ([graph.Step.Steam]); spent bones stay in the pot.
//
// A share is of a line, whichever choices fill it, each weighed by its strength beside the first choice: 5 kg of a ham bone of
// strength 0.5 count as 2.5 kg of one of strength 1. "At most" is held at the end of a stage, when steam has made the pot
// smallest, and "at least" at its beginning. Where a bound breaks, it is said at the stage at which it is furthest broken
// ([Weights.Furthest]), with the weight of the line at which it just holds ([Weights.Keeps]): with other things of weight W in at
// a stage, a bound b, and a line whose kilo counts as a, that is Wb/(a-b); the smallest of them over all stages for "at most", the
// largest for "at least".
//
// What is drawn from a line ([Weights.Drawn]) is its grams, times their strength, times the hours that it is in, for each litre of
// what the batch gives most of by volume: a measure of how much of its taste a stock takes on as long as it is far from giving up
// all that it has (common practice, no source). The weight that just keeps a bound of B is B times the litres, over strength and
// hours.
//
// Scaling a batch changes none of these, and neither does losing it or starting it later. An optional line that is missing, a
// substitute, and a yield of what comes out before the end do.
package batch

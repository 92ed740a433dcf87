// Package batch weighs one batch of a step, stage by stage, and holds the bounds on a line's share against it ("at most
// 6%", "at least 2%").
//
// # Model
//
// A stage lies between two moments at which something goes in or comes out ([Weights.Stages]). What is in is all that
// went in, less all that came out, by weight. A line counts from its "in at" until its "out at"; what goes in at the
// last minute, or in a step without times, is in together with all that comes out then.
//
// What boils off is not taken away: nothing tells spent bones from steam, and taken off by weight that would leave a
// strong item alone with the last litres. So the weight here is above that of a pot on a clock, and a share is a little
// below the true one late in a long boil.
//
// A bound is of a line, whichever choices fill it, not of an item. Where it breaks, it is said at the stage at which it
// is furthest broken ([Weights.Furthest]), with the weight of the line at which it just holds ([Weights.Keeps]): with
// other things of weight W in at a stage and a bound b, that is Wb/(1-b); the smallest of them over all stages for "at
// most", the largest for "at least".
//
// Scaling a batch changes no share, and neither does losing it or starting it later. An optional line that is missing,
// a substitute, and a yield of what comes out before the end do.
package batch

// Package taste tells how batches came out, and why: what was measured of each (colour, salt, brix ...) against its aim and its limits, which
// batches were out of line and what was not as usual with them, what goes with what, what puts the last one right, and what to vary
// to find out.
//
// # What is measured
//
// The kitchen file says it under a step or an item that is made ("measures", "handling"); the log book keeps it ([logbook.Measured]).
// [Of] takes each batch with all that the log book knows of how it came about ([logbook.Tasting]): what went in against the card, how old
// it was and from whom, when it went in and for how long, how long the batch was on the fire, what came out, and what was noted of how it
// was handled. A measure's limits are those of individuals and moving range (NIST/SEMATECH e-Handbook of Statistical Methods,
// 6.3.2.2), from five batches on, as for yields.
//
// # What goes with what
//
// Each thing that is known of at least [Enough] batches is held against each measure: Spearman's rank correlation, for few batches and
// scales of five steps are no normal draws, and a permutation test ([Chance]). A word is held as yes or no for each of its values that
// at least [Minority] batches have and as many have not. All tests of an answer are bounded together by the procedure of Benjamini and
// Hochberg, so that of all that is ever named at most [FalseShare] is chance. What could not be named however plain it were does not count
// among them ([InReach]), and is shown as such. Below [Enough] batches nothing is named. What goes together
// is no proof of a cause: two things that were always done together can't be told apart, which a trial ([Design]) can.
//
// # Put right
//
// Mass balance: what is dissolved stays when water is added or goes off as steam ([Thin], [Reduce]).
package taste

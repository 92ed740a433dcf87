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
// among them ([InReach]), and is shown as such; what stands in the same order or the opposite, as in at and in for, is asked once. A measure weighs the
// more the more of its batches were outside its aim, as a cook asks why of what is off (Genovese, Roeder and Wasserman): that hangs on what was measured
// and not on what it goes with, so no more of what is named is chance. Below [Enough] batches nothing is named. What goes together
// is no proof of a cause: two things that were always done together can't be told apart, which a trial ([Design]) can.
//
// How many of a hundred causes are found, by how much of the measure's variance they make, among some forty things that are held against three measures, of which it is the one outside its aim most
// (a study of ours, TestPower; drawn again with go test -run Power -v -journals 100):
//
//	batches               8    12    16    20    24
//	a figure, 9 tenths    0    92    99   100   100
//	a figure, 2 thirds    0    55    77    88    98
//	a figure, half        0    30    42    65    79
//	a word, 9 tenths      0    87   100   100   100
//	a word, 2 thirds      0    24    80    97    97
//	none, but named       0     4     5     4     4
//
// # What is to be expected
//
// Of a line of a card that is filled otherwise ([Learned.Expect]) it is said how far a measure moves: slope times change. The change is of the share of
// the card, of the share of one choice, or of what is drawn from a strong thing, batch by batch. The slope is that of a trial, where that shows
// the thing plainly (the effect over the distance of its levels); else, where the thing was found to go with the measure, the median of the slopes of all
// pairs of batches. It holds in a straight line, one thing at a time, as far as batches went that were measured, and never off a scale; what went into
// a part before it came here is not looked at. Beside it stands how much milder or stronger the line tastes: the sum of grams times strength, as it
// is over as it was.
//
// # Put right
//
// Mass balance: what is dissolved stays when water is added or goes off as steam ([Thin], [Reduce]).
package taste

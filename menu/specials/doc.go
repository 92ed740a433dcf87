// Package specials says what will be over, and which dishes use it up.
//
// # Model
//
// The surplus is what the week as it stands bins, or leaves and would bin in the days after, lot by lot from the walk's record.
// [Specials] tries each special of the file, and each dish of the menu at services at which it is not on sale, at each service that
// can use some of it: the week is played with so many portions more, over its days and the seven behind them
// ([kettletree/menu/week.Week.Longer]), for what is left on Sunday is Tuesday's lunch. What is said of an offer is the difference of
// two walks: what it brings, what it takes from the bin, what it takes from the menu, which bounds on shares it breaks. No program
// is solved.
//
// A dish is offered at one service after another, those first where it brings most, each time with as many portions as bring most, up
// to its "at most". An offer that takes from the menu and brings more all the same is said apart. What the kitchen wants to have left
// (par) is not surplus.
//
// Every trial is forked from the standing week ([kettletree/graph/flow.Trunk]): it walks what the dish can reach, from its service on.
package specials

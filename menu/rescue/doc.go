// Package rescue says what can still be done once something has gone wrong.
//
// # Model
//
// A mishap is known at a minute ([kettletree/menu/week.Week.KnownAt]). [Find] goes on from there, or from now where that is later
// ([kettletree/graph/flow.Case.Resume]): up to then all goes as it did, what was ordered comes, and nothing else can be had on days
// before. Moves are found from the chains of causes of what falls short: another batch, with what it lacks bought
// elsewhere, a substitute before the first choice, buying what is short, or what does in its place, from whoever the kitchen file names,
// as far as it comes in time, giving what is scarce to other dishes, a smaller portion, a special. Each is played on the resumed week and
// judged by the difference of two walks: what it saves, what it costs in cash, which batches it makes smaller, which bounds on
// shares it breaks, and by when it must be decided. The best are then combined greedily, each step played again.
//
// Another batch starts while people are at work: the night is the longest time of a day in which the standing week starts nothing
// and serves nobody. It stands in its vessel only when that is free.
//
// Moves tell broken bounds in words only; what-ifs and plans tell them in figures, too.
package rescue

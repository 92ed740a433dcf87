// Package solve solves mixed-integer linear programs: find x that makes cost·x least (or most) while every row holds,
// every column stays within its bounds, and some columns are whole numbers.
//
// # How
//
// A problem without integers goes to the dual simplex method (package simplex, on the LU factors of package lu). With
// integers, the order of events is:
//
//   - [Problem.Check], then bounds are deduced from rows and coefficients shrunk (model.go);
//   - the relaxation without integers gives a first bound, and a dive a first plan (worker.go);
//   - cutting planes raise the bound, and reduced costs fix columns (cuts.go);
//   - two workers go on side by side: a tree by best bound (tree.go), which proves, and neighbourhood search around the
//     best plan (neighbourhood.go), which improves;
//   - the best plan is worked out once more on the problem as given, with its integers fixed (solve.go).
//
// # What is promised
//
// The same problem and options give the same answer on any machine, unless Options.Time or the context ended the
// search: all limits count simplex iterations and nodes, and the workers exchange what they found at fixed counts.
//
// The bound comes from dual points, so it holds wherever the search stops, up to rounding: 1e-6 of the objective. The
// point satisfies rows to about 1e-9 of their scale and is exactly whole where it must be. A part of the tree whose
// linear program met numerical trouble is never called empty; its bound stays. Package verify checks points and
// certificates without using the solver.
//
// Every loop ends: linear programs after many times the iterations that their size needs, trees at a depth that only
// columns without bounds can reach, neighbourhoods after some turns that did nothing. When the context ends, the answer
// comes within 64 simplex iterations and one linear program with all integers fixed.
//
// # What it is made for
//
// Planning models of some thousand rows: few set-ups (batches), many amounts (portions, stock). Columns may carry a
// [Hint] that says so. What does not pay on such models is left out: symmetry, conflict learning, clique tables, dual
// presolve, barrier.
package solve

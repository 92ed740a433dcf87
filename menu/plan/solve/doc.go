// Package solve solves mixed-integer linear programs: find x that makes cost·x least (or most) while every row holds, every
// column stays within its bounds, and some columns are whole numbers.
//
// # How
//
// A problem without integers goes to the dual simplex method (package simplex, on the LU factors of package lu). With
// integers, the order of events is:
//
//   - [Problem.Check], then bounds are deduced from rows and coefficients shrunk (model.go);
//   - the relaxation without integers gives a first bound, and a dive a first plan (worker.go);
//   - cutting planes raise the bound, and reduced costs fix columns (cuts.go);
//   - two workers go on side by side: a tree by best bound (tree.go), which proves, and neighbourhood search around the best
//     plan (neighbourhood.go), which improves;
//   - the best plan is worked out once more on the problem as given, with its integers fixed (solve.go).
//
// # What is promised
//
// The same problem and options give the same answer on any machine, unless Options.Time or the context ended the search: all
// limits count simplex iterations and nodes, and the workers exchange what they found at fixed counts. The bound is valid up
// to the tolerances of the relaxations (1e-7 on reduced costs); the point satisfies rows to about 1e-9 of their scale and is
// exactly whole where it must be. Package verify checks all this without using the solver.
//
// # What it is made for
//
// Planning models of some thousand rows: few set-ups (batches), many amounts (portions, stock). Columns may carry a [Hint]
// that says so. What does not pay on such models is left out: symmetry, conflict learning, clique tables, dual presolve,
// barrier.
package solve

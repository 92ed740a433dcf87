// Package graph holds a kitchen's flow: what turns into what.
//
// # Model
//
// The graph has two kinds of node. An [Item] is anything that has a quantity: a cut bought at the counter, a stock, a
// rendered fat, a portion on a plate. A [Step] turns items into items: it uses some, in given amounts for one batch,
// and gives others. A step may give several items at once, so a by-product is just one more output; a dish is a step
// that gives one portion. Edges run item -> step (a [Line]) and step -> item (an [Output]), so no two items touch
// directly.
//
// A line marked Carried takes what an earlier batch left behind: the seed of a perpetual stock. It is the only way in
// which an item may, in the end, come from itself; every other circle is a fault that [Graph.Loops] names whole.
//
// # Amounts
//
// Amounts are float64 in base units: grams for an item counted by weight, millilitres by volume, ones by number. Which
// of the three an item is counted in is the kind of its [Item.Unit]; package measure does the conversions.
//
// # Questions
//
// Nodes and edges are held by github.com/dominikbraun/graph, which answers what comes of a node and what it comes from
// (depth first, along the edges or against them) and which nodes lie on circles (strongly connected components; Tarjan
// 1972). Three things it is not asked. It has no parallel edges, so amounts stay in lines and outputs. Its answers come
// in an order that varies from run to run, so that every answer is sorted here, and of several shortest circles the one
// to be named is searched for here, breadth first. And its stable topological sort takes time quadratic in the nodes:
// package flow orders the steps itself, in linear time.
//
// # Guarantees
//
// A Graph never changes once built. Items and steps are numbered by their order of declaration, and every answer comes
// in that order, so that the same input gives the same output. A question about reach costs time linear in what it
// reaches.
//
// This package knows the structure only: no price, day, forecast or file. Package [kettletree/graph/flow] computes on
// it.
package graph

// Package tongue says what staff and guests have to understand in the language that they read: allergens, date marks, the
// cautions. It holds the sentences that several answers share, in English, Spanish and Chinese (Simplified), and puts names,
// days and amounts into them; package guide adds those that only it says.
//
// The key of a sentence is its English. The translations are our own: no native speaker who works in a kitchen has reviewed
// them, and every page in another language than English says so.
package tongue

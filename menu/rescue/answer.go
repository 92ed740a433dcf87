package rescue

// What a rescue answers.

import (
	"kettletree/graph/flow"
	"kettletree/menu/ask"
)

// Answer is the answer to "what can be saved?": moves from the moment at which the mishap is known, or from now, where that is
// later and on one of the days. Money is unrounded.
type Answer struct {
	Known    string    `json:"known"`    // 2006-01-02 15:04; no move lies before it
	Lost     float64   `json:"lost"`     // contribution that the shocks cost
	Moves    []Move    `json:"moves"`    // single ones, by contribution gained, at most [mostMoves]
	Together *Together `json:"together"` // several moves at once; null when no second one adds anything
	Nothing  string    `json:"nothing"`  // why no move saves anything; "" when one does
	Cautions []string  `json:"cautions"`

	Before float64 `json:"-"` // contribution without the shocks
}

// WhatIf is the standing week without the shocks (before) and with them (after), and what can still be done.
// Contribution and quantities are over the period.
type WhatIf struct {
	*ask.Consequences
	Rescue *Answer `json:"rescue,omitempty"` // when it is asked for
}

// Move is one decision, against the week with the shocks and without it.
type Move struct {
	Kind     string       `json:"kind"`     // [MoveKinds]
	What     string       `json:"what"`     // what to do, in words
	From     string       `json:"from"`     // of a batch, the earliest start that does as well; "" for none; 2006-01-02 15:04
	By       string       `json:"by"`       // the latest moment to decide; midnight when an order for that day depends on it; 2006-01-02 15:04
	Gained   float64      `json:"gained"`   // contribution that it brings
	Cash     float64      `json:"cash"`     // spent more, on deliveries, labour and waste
	Portions int          `json:"portions"` // sold more, less those sold fewer
	Dishes   []MoreSold   `json:"dishes"`
	Services []OfferedAt  `json:"services"` // at which it is done; [] for a batch or for what is bought in
	Buy      []ExtraOrder `json:"buy"`      // what must come for it, beyond what was ordered
	Fewer    []FewerOn    `json:"fewer"`    // days on which fewer portions are sold with it than without it: what it takes from them
	LeftOver float64      `json:"left"`     // by how much more what is on hand when the days end is worth with it
	Less     []string     `json:"less"`     // batches, its own too, that come out smaller because something runs short, in words

	Swaps     []ask.Swap `json:"substitutes"`        // what the plates then hold that they did not
	Allergens []string   `json:"allergens"`          // of a special: all that are stated for what it is made of
	May       []string   `json:"may_contain"`        // of a special: what it may contain
	Unstated  []string   `json:"allergens_unstated"` // bought items behind a special without a statement

	Without []ask.Missing `json:"without,omitempty"` // what batches and dishes go without with it, as the file lets them, beyond the moves before it
	Breaks  []string      `json:"breaks"`            // bounds on strong lines that it breaks, or breaks further, in words

	Dish  string      `json:"-"` // that is struck or offered; "" for other moves
	Batch *flow.Extra `json:"-"` // that is lit; nil for other moves
}

// MoreSold is how much more, or less, of a dish a move sells.
type MoreSold struct {
	Dish     string `json:"dish"`
	Portions int    `json:"portions"`
}

// FewerOn is a day on which a move sells fewer portions.
type FewerOn struct {
	Date     string `json:"date"` // 2006-01-02
	Portions int    `json:"portions"`
}

// OfferedAt is a service that a move is about, with the portions of a special.
type OfferedAt struct {
	Date     string `json:"date"` // 2006-01-02
	Service  string `json:"service"`
	Portions int    `json:"portions"` // of a special; 0 for other moves
}

// ExtraOrder is what must come on a day beyond what was ordered.
type ExtraOrder struct {
	Item     string  `json:"item"`
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
	Date     string  `json:"date"` // 2006-01-02
	Cost     float64 `json:"cost"`
	From     string  `json:"from"`     // the supplier; "" where the file does not say
	Price    float64 `json:"price"`    // for one Unit
	OrderBy  string  `json:"order_by"` // 2006-01-02 15:04; "" where the file does not say by when the supplier wants the order

	Many  string `json:"-"` // what several of the item are called, where it is counted
	Index int    `json:"-"` // of the item in the graph
	Day   int    `json:"-"` // of the period
	Other bool   `json:"-"` // from another than its usual supplier: the move itself says by when
	Crumb bool   `json:"-"` // so little of what the week has of the item that it is found without an order
}

// Together is several moves made in one go. What each says to do is what it takes when all are made; its figures are
// what it adds to those before it.
type Together struct {
	Moves    []Move       `json:"moves"`
	Gained   float64      `json:"gained"`
	Cash     float64      `json:"cash"`
	Portions int          `json:"portions"`
	Buy      []ExtraOrder `json:"buy"`  // for all of them
	Less     []string     `json:"less"` // after all of them
}

// MoveKinds name the kinds of moves, in the order in which several are made.
var MoveKinds = []string{"batch", "substitute", "ration", "smaller portion", "strike", "buy in", "special"}

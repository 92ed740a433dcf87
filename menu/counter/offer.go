package counter

// What is on offer, as it is typed: "whole shank=6.80/kg, 40 kg, pieces of 7.0 7.4 6.8 kg".

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/week"
)

// Offer is something that can be bought at the counter. Amounts are in base units of its item.
type Offer struct {
	Item   int
	Price  float64   // for one
	Limit  float64   // what there is; +Inf where nobody said
	Pieces []float64 // what each weighs, where it is bought in whole pieces; nil for none
	Pack   float64   // it is bought in whole packs of this; 0 for any amount

	Unweighed float64 // of what there is, what lies in pieces that nobody has weighed: it can't be bought
	Scant     float64 // by so much the pieces come to less than was said, where that is too little for another piece
	Text      string  // as it was typed
}

// OfferForm shows how an offer is written.
const OfferForm = `ITEM=PRICE[, AMOUNT][, pieces of 7.0 7.4 6.8 kg | packs of 5 kg]`

const (
	mostPieces = 60
	mostMoney  = 1e9
	nearly     = 1e-6 // of an amount, what only rounding leaves
)

var (
	perWord    = regexp.MustCompile(`^([0-9.]+) ([a-zA-Z]+)$`) // "190 each"
	bareNumber = regexp.MustCompile(`^[0-9.]+$`)               // of what the file counts it in
)

var somePieces = regexp.MustCompile(`^(?:([0-9]{1,3}) )?pieces? of (.+)$`)

// ReadOffer reads an offer. The error says what is wrong and what would be right.
func ReadOffer(w *week.Week, text string) (o Offer, err error) {
	fail := func(format string, args ...any) (Offer, error) { return Offer{}, fmt.Errorf(format, args...) }
	name, terms, ok := strings.Cut(text, "=")
	if name = strings.TrimSpace(name); !ok || name == "" || strings.TrimSpace(terms) == "" {
		return fail("what, and at what price? write it as %s", OfferForm)
	}
	o = Offer{Limit: math.Inf(1), Text: text}
	if o.Item, err = w.FindItemOf(name, "bought item", graph.Bought); err != nil {
		if any, of := w.FindItem(name); of == nil && w.Graph.Items[any].Role != graph.Bought {
			return fail("%s is made here: an offer is of something that the file has under \"bought\"", w.Graph.Items[any].Name)
		}
		return fail("%w; what the file does not have, no dish takes: write it under \"bought\" first", err)
	}
	it := w.Graph.Items[o.Item]
	if w.Free(o.Item) {
		return fail("%s comes from the tap", it.Name)
	}
	parts := strings.Split(terms, ",")
	price := strings.TrimSpace(parts[0])
	if m := perWord.FindStringSubmatch(price); m != nil {
		price = m[1] + "/" + m[2]
	} else if bareNumber.MatchString(price) && it.Unit.Kind == measure.Count { // what is counted is had one by one
		price += "/" + it.Unit.Name
	}
	if o.Price, err = w.Price(o.Item, price); err != nil {
		return fail("%w", err)
	}
	switch each := o.Price * it.Unit.Factor; {
	case !(each > 0):
		return fail("a price of %s is none: what is given away needs no counting; write what it costs, as %s", price, "6.80/"+it.Unit.Name)
	case each >= mostMoney:
		return fail("nothing costs %s: write it as %s", price, "6.80/"+it.Unit.Name)
	}
	for _, part := range parts[1:] {
		if part = strings.TrimSpace(part); bareNumber.MatchString(part) {
			part += " " + it.Unit.Name
		}
		switch m := somePieces.FindStringSubmatch(part); {
		case m != nil && o.Pieces == nil:
			if o.Pieces, err = readPieces(w, o.Item, m[1], m[2]); err != nil {
				return fail("%w", err)
			}
		case strings.HasPrefix(part, "packs of ") && o.Pack == 0:
			if o.Pack, err = w.Amount(o.Item, strings.TrimPrefix(part, "packs of ")); err != nil {
				return fail("%w", err)
			}
			if o.Pack <= 0 {
				return fail("packs of nothing: write what one holds, as \"packs of 5 kg\"")
			}
		case math.IsInf(o.Limit, 1) && m == nil && !strings.HasPrefix(part, "packs of "):
			if o.Limit, err = w.Amount(o.Item, part); err != nil {
				return fail("%w; after the price comes what there is, and \"pieces of 7.0 7.4 kg\" or \"packs of 5 kg\"", err)
			}
			if o.Limit <= 0 {
				return fail("%s is nothing: write what there is, or leave it out", part)
			}
		default:
			return fail("%q comes twice: say once what there is, and once in which pieces or packs", part)
		}
	}
	if err := o.agrees(w); err != nil {
		return fail("%w", err)
	}
	return o, nil
}

// readPieces reads "7.0 7.4 6.8 kg", or with a number before it so many of one weight.
func readPieces(w *week.Week, item int, many, text string) (list []float64, err error) {
	words := strings.Fields(text)
	unit := words[len(words)-1]
	for len(words) > 0 && !strings.ContainsAny(words[len(words)-1][:1], "0123456789.") {
		words = words[:len(words)-1]
	}
	if len(words) > 0 && words[len(words)-1] == unit { // "7kg", or nothing but numbers
		number := strings.TrimRight(unit, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
		if words[len(words)-1], unit = number, unit[len(number):]; unit == "" {
			return nil, fmt.Errorf("\"pieces of %s\": of what? write the unit behind them, as 7.0 7.4 %s", text, w.Graph.Items[item].Unit.Name)
		}
	}
	if len(words) == 0 {
		return nil, errors.New("pieces of what weight? write them as \"pieces of 7.0 7.4 6.8 kg\"")
	}
	for _, word := range words {
		piece, err := w.Amount(item, strings.TrimRight(word, ";")+" "+unit)
		if err != nil {
			return nil, err
		}
		if piece <= 0 {
			return nil, fmt.Errorf("a piece of %s %s is none: write what it weighs, or leave it out", word, unit)
		}
		list = append(list, piece)
	}
	if many != "" {
		n, _ := strconv.Atoi(many)
		switch {
		case len(list) == 1 && n > 0:
			for len(list) < min(n, mostPieces+1) {
				list = append(list, list[0])
			}
		case len(list) != n:
			return nil, fmt.Errorf("%d pieces, and %d weights: write as many as there are, or one for all", n, len(list))
		}
	}
	if len(list) > mostPieces {
		return nil, fmt.Errorf("more than %d pieces: name those that you would choose from", mostPieces)
	}
	return list, nil
}

// agrees holds what an offer says of its pieces against the rest.
func (o *Offer) agrees(w *week.Week) error {
	it := w.Graph.Items[o.Item]
	if o.Pieces == nil {
		if it.Unit.Kind == measure.Count && o.Pack == 0 {
			o.Pack = measure.Each.Factor
		}
		if whole := math.Floor(o.Limit/measure.Each.Factor + nearly); it.Unit.Kind == measure.Count && !math.IsInf(o.Limit, 1) && o.Limit/measure.Each.Factor-whole > nearly {
			or := measure.FormatNumber(whole + 1)
			if whole > 0 {
				or = measure.FormatNumber(whole) + " or " + or
			}
			return fmt.Errorf("%s is bought whole: write %s, not %s", it.Name, or, w.Quantity(o.Item, o.Limit))
		}
		if !math.IsInf(o.Limit, 1) && o.Pack > o.Limit*(1+nearly) {
			return fmt.Errorf("a pack of %s is more than there is, %s", w.Quantity(o.Item, o.Pack), w.Quantity(o.Item, o.Limit))
		}
		return nil
	}
	if o.Pack > 0 {
		return errors.New("it is bought in pieces or in packs: name one of them")
	}
	if it.Unit.Kind == measure.Count {
		return fmt.Errorf("%s is counted in the file, not weighed: say how many there are, as 12", it.Name)
	}
	sum := 0.0
	for _, p := range o.Pieces {
		sum += p
	}
	switch {
	case math.IsInf(o.Limit, 1):
	case sum > o.Limit*(1+nearly):
		return fmt.Errorf("the pieces add up to %s, and there are %s: weigh them again, or leave out the %s", w.Quantity(o.Item, sum),
			w.Quantity(o.Item, o.Limit), w.Quantity(o.Item, o.Limit))
	case o.Limit-sum > slices.Min(o.Pieces)/2:
		o.Unweighed = o.Limit - sum
	case sum < o.Limit*(1-nearly): // it was rounded when it was said
		o.Scant = o.Limit - sum
	}
	o.Limit = sum
	return nil
}

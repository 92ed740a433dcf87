package main

// buy --offer: what to buy at a counter, at tonight's prices, with the money in hand.

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/counter"
	"kettletree/menu/taste"
	"kettletree/menu/week"
)

// counterFlags are the options of buy that speak of a counter.
func counterFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringSliceFlag{Name: "offer", Usage: option("ITEM=PRICE[, AMOUNT][, pieces of ...|packs of ...]",
			"what a counter has tonight: what to buy of it with --spend")},
		&cli.StringFlag{Name: "spend", Usage: option("MONEY", "the money in hand for what --offer names")},
		&cli.StringFlag{Name: "carry", Usage: option("WEIGHT", "no more than the car carries, such as 120 kg")},
		&cli.StringFlag{Name: "until", Usage: option("DAY", "from then on what is offered comes as usual (default: the delivery after the next)")},
		&cli.StringFlag{Name: "regret", Usage: option("HOW", "the set that regrets least: on average, or at worst"), Value: counter.OnAverage},
		&cli.StringFlag{Name: "curve", Usage: option("FILE", "draw what each sum of money brings, as SVG")},
	}
}

// atCounter tells whether a counter is asked about, and refuses what does not go with it.
func atCounter(c *cli.Context) (is bool, err error) {
	for _, name := range []string{"spend", "carry", "until", "curve", "regret"} {
		if c.IsSet(name) && !c.IsSet("offer") {
			return false, &usageError{fmt.Sprintf("--%s goes with --offer, and nothing is on offer", name), "add --offer \"" + counter.OfferForm + "\""}
		}
	}
	if !c.IsSet("offer") {
		return false, nil
	}
	for _, name := range []string{"on", "all", "need", "at", "lang"} {
		if c.IsSet(name) {
			return false, &usageError{fmt.Sprintf("--offer and --%s can't be used together", name), "ask for the list and for the counter one after the other"}
		}
	}
	if !c.IsSet("spend") {
		return false, &usageError{"--offer says what there is, and nobody said what there is to spend", "add --spend 900"}
	}
	return true, nil
}

// buyAtCounter answers what to buy with the money in hand.
func buyAtCounter(c *cli.Context, w *week.Week) error {
	o, err := counterOptions(c, w)
	if err != nil {
		return err
	}
	if o.Learned, err = ofTaste(c, w.Kitchen, taste.Learn); err != nil {
		return err
	}
	bar := newProgress(c.App.ErrWriter)
	o.Trying = bar.trying("what to buy")
	s, err := counter.New(w, o)
	if err != nil {
		return &usageError{msg: err.Error()}
	}
	if err := s.Plan(c.Context); err != nil {
		return err
	}
	a, err := s.Answer(c.Context)
	if err == nil && c.Context.Err() == nil {
		err = s.Deepen(c.Context, a)
	}
	bar.clear()
	if err != nil {
		return err
	}
	if name := c.String("curve"); name != "" {
		if err := save(name, show.CounterCurve(a)); err != nil {
			return err
		}
	}
	return give(c, a, show.Counter, show.CounterSheet)
}

// counterOptions reads what is on offer and what there is to spend.
func counterOptions(c *cli.Context, w *week.Week) (o counter.Options, err error) {
	for _, text := range c.StringSlice("offer") {
		offer, err := counter.ReadOffer(w, text)
		if err != nil {
			return o, &usageError{msg: fmt.Sprintf("--offer %q: %v", text, err)}
		}
		o.Offers = append(o.Offers, offer)
	}
	text := c.String("spend")
	money, rest, err := measure.Number(strings.TrimSpace(text))
	if err != nil || strings.TrimSpace(rest) != "" && !strings.EqualFold(strings.TrimSpace(rest), w.Money) {
		return o, &usageError{fmt.Sprintf("--spend %q is not a sum of money", text), "write the number, as --spend 900"}
	}
	if o.Spend = money; money <= 0 {
		return o, &usageError{"--spend 0 buys nothing", "write the money in hand, as --spend 900"}
	}
	if text := c.String("carry"); c.IsSet("carry") {
		q, err := measure.Parse(text)
		if err != nil || q.Unit.Kind != measure.Weight || q.Base() <= 0 {
			return o, &usageError{fmt.Sprintf("--carry %q is not a weight", text), "write what the car carries, as --carry \"120 kg\""}
		}
		o.Carry = q.Base()
	}
	switch o.Regret = c.String("regret"); o.Regret {
	case counter.OnAverage, counter.AtWorst:
	default:
		return o, &usageError{fmt.Sprintf("--regret %q is neither average nor worst", o.Regret), "write --regret average, or --regret worst"}
	}
	if text := c.String("until"); c.IsSet("until") {
		days, err := w.DaysNamed(text)
		if err != nil {
			return o, &usageError{msg: fmt.Sprintf("--until %q: %v", text, err)}
		}
		if o.Until = days[0]; o.Until == 0 {
			return o, &usageError{fmt.Sprintf("--until %q is the day on which it is bought", text), "name a later day of those asked about"}
		}
	}
	return o, nil
}

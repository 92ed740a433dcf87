package logbook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

const pound = 453.59237 // NIST SP 811, appendix B

func TestParse(t *testing.T) {
	k := someKitchen(t)
	grams := func(item string, base float64, typed string) Amount {
		return Amount{item, base, measure.Weight, typed, ""}
	}
	litres := func(item string, base float64, typed string) Amount {
		return Amount{item, base, measure.Volume, typed, ""}
	}
	for _, c := range []struct {
		kind Kind
		text string
		want Entry
	}{
		{Received, `18.46 lb pork shoulder for 52.31 from "corner butcher"`, Entry{
			Gives: []Amount{grams("pork shoulder", 18.46*pound, "18.46 lb")}, Paid: new(52.31), Supplier: "corner butcher"}},
		{Received, `  5 kg pork shoulder from corner butcher lot A 17 for 20 `, Entry{
			Gives: []Amount{grams("pork shoulder", 5000, "5 kg")}, Paid: new(20.0), Supplier: "corner butcher", Mark: "A 17"}},
		{Received, `5 kg pork shoulder for 0`, Entry{
			Gives: []Amount{grams("pork shoulder", 5000, "5 kg")}, Paid: new(0.0)}},
		{Received, `2 doz hen`, Entry{Gives: []Amount{{"hen", 24, measure.Count, "2 doz", ""}}}},
		{Cooked, `braise x2: 12 kg pork shoulder, 12 L water -> 7 kg pulled shoulder`, Entry{Step: "braise", Batches: 2,
			Takes: []Amount{grams("pork shoulder", 12_000, "12 kg"), litres("water", 12_000, "12 L")},
			Gives: []Amount{grams("pulled shoulder", 7000, "7 kg"), litres("shoulder broth", 9000, ""), grams("braise fat", 800, "")}}},
		{Cooked, `braise: 6.2 kg pork shoulder gives 3.5 kg pulled shoulder, 0 kg braise fat`, Entry{Step: "braise", Batches: 1,
			Takes: []Amount{grams("pork shoulder", 6200, "6.2 kg"), litres("water", 6000, "")},
			Gives: []Amount{grams("pulled shoulder", 3500, "3.5 kg"), grams("braise fat", 0, "0 kg"), litres("shoulder broth", 4500, "")}}},
		{Cooked, `braise x0.5`, Entry{Step: "braise", Batches: 0.5,
			Takes: []Amount{grams("pork shoulder", 3000, ""), litres("water", 3000, "")},
			Gives: []Amount{grams("pulled shoulder", 1800, ""), litres("shoulder broth", 2250, ""),
				grams("braise fat", 200, "")}}},
		{Cooked, `braise -> 3.4 kg pulled shoulder`, Entry{Step: "braise", Batches: 1,
			Takes: []Amount{grams("pork shoulder", 6000, ""), litres("water", 6000, "")},
			Gives: []Amount{grams("pulled shoulder", 3400, "3.4 kg"), litres("shoulder broth", 4500, ""), grams("braise fat", 400, "")}}},
		{Cooked, `braise x2 of mon: 13 L water gives 0 L shoulder broth`, Entry{Step: "braise", Batches: 2, Day: "mon",
			Takes: []Amount{litres("water", 13_000, "13 L"), grams("pork shoulder", 12_000, "")},
			Gives: []Amount{litres("shoulder broth", 0, "0 L"), grams("pulled shoulder", 7200, ""), grams("braise fat", 800, "")}}},
		{Lit, `braise`, Entry{Step: "braise"}},
		{Lit, `braise x2 of tue: 12.5 kg pork shoulder lot A17, 0 L water`, Entry{Step: "braise", Batches: 2, Day: "tue",
			Takes: []Amount{{"pork shoulder", 12_500, measure.Weight, "12.5 kg", "A17"}, litres("water", 0, "0 L")}}},
		{Lit, `braise of 2026-11-24`, Entry{Step: "braise", Day: "2026-11-24"}},
		{PutIn, `5 kg pork shoulder`, Entry{Takes: []Amount{grams("pork shoulder", 5000, "5 kg")}}},
		{PutIn, `5 kg pork shoulder lot A17, 2 L water of braise of tue`, Entry{Step: "braise", Day: "tue",
			Takes: []Amount{{"pork shoulder", 5000, measure.Weight, "5 kg", "A17"}, litres("water", 2000, "2 L")}}},
		{PutIn, `14 L water into braise`, Entry{Step: "braise", Takes: []Amount{litres("water", 14_000, "14 L")}}},
		{PutIn, `5 kg pork shoulder lot A17, 2 L water into braise of tue`, Entry{Step: "braise", Day: "tue",
			Takes: []Amount{{"pork shoulder", 5000, measure.Weight, "5 kg", "A17"}, litres("water", 2000, "2 L")}}},
		{Out, `3.4 kg pulled shoulder lot B3 from braise of tue`, Entry{Step: "braise", Day: "tue",
			Gives: []Amount{{"pulled shoulder", 3400, measure.Weight, "3.4 kg", "B3"}}}},
		{Out, `3.4 kg pulled shoulder lot "NP 1" of braise`, Entry{Step: "braise",
			Gives: []Amount{{"pulled shoulder", 3400, measure.Weight, "3.4 kg", "NP 1"}}}},
		{Out, `shoulder broth 1 cm in big kettle of braise of mon`, Entry{Step: "braise", Day: "mon",
			Gives: []Amount{litres("shoulder broth", math.Pi/4*62*62, "1 cm in big kettle")}}},
		{Out, `0 kg braise fat`, Entry{Gives: []Amount{grams("braise fat", 0, "0 kg")}}},
		{Done, `braise`, Entry{Step: "braise"}},
		{Done, `braise of tue`, Entry{Step: "braise", Day: "tue"}},
		{Skipped, `braise of 2026-11-24`, Entry{Step: "braise", Day: "2026-11-24"}},
		{Lost, `40% of braise of tue`, Entry{Step: "braise", Day: "tue", Share: 0.4}},
		{NotCome, `hen`, Entry{Of: "hen"}},
		{NotCome, `14 each hen`, Entry{Of: "hen", Gives: []Amount{{"hen", 14, measure.Count, "14 each", ""}}}},
		{Late, `hen until 15:00`, Entry{Of: "hen", Until: 900}},
		{Late, `14 each hen until 8:05`, Entry{Of: "hen", Until: 485, Gives: []Amount{{"hen", 14, measure.Count, "14 each", ""}}}},
		{Gave, `6 tacos to staff at lunch`, Entry{Dish: "tacos", Portions: 6, To: "staff", Service: "lunch"}},
		{Gave, `2 tacos at lunch lot A17 to "table 4, the birthday"`, Entry{Dish: "tacos", Portions: 2, To: "table 4, the birthday",
			Service: "lunch", Mark: "A17"}},
		{Gave, `1 soup`, Entry{Dish: "soup", Portions: 1}},
		{Dropped, `1 tacos at lunch, slipped, at the pass`, Entry{Dish: "tacos", Portions: 1, Service: "lunch",
			Reason: "slipped, at the pass"}},
		{Dropped, `1 tacos`, Entry{Dish: "tacos", Portions: 1}},
		{Sold, `3 tacos lot A17 at lunch`, Entry{Dish: "tacos", Portions: 3, Service: "lunch", Mark: "A17"}},
		{Sold, `42 tacos at lunch`, Entry{Dish: "tacos", Portions: 42, Service: "lunch"}},
		{Sold, `1 soup`, Entry{Dish: "soup", Portions: 1}},
		{Binned, `2 L shoulder broth, left out, and warm`, Entry{
			Takes: []Amount{litres("shoulder broth", 2000, "2 L")}, Reason: "left out, and warm"}},
		{Binned, `1 each hen`, Entry{Takes: []Amount{{"hen", 1, measure.Count, "1 each", ""}}}},
		{Counted, `0 kg pulled shoulder`, Entry{Gives: []Amount{grams("pulled shoulder", 0, "0 kg")}}},
		{Temperature, `shoulder broth 4.5 C`, Entry{Of: "shoulder broth", Celsius: 4.5}},
		{Temperature, `shoulder broth lot B2 41 F, shallow pan`, Entry{Of: "shoulder broth", Mark: "B2", Celsius: 5,
			Reason: "shallow pan"}},
		{Temperature, `hen -18 C`, Entry{Of: "hen", Celsius: -18}},
		{Temperature, `walk-in 39.2 F`, Entry{Of: "walk-in", Reading: OfPlace, Celsius: 4}},
		{Temperature, `fish fridge 2 -1.5 C, door open, did: moved to ice, and shut it`, Entry{Of: "fish fridge 2", Reading: OfPlace,
			Celsius: -1.5, Reason: "door open", Did: "moved to ice, and shut it"}},
		{Temperature, `of delivery hen lot A17 3 C`, Entry{Of: "hen", Reading: OfDelivery, Mark: "A17", Celsius: 3}},
		{Temperature, `delivery hen 3 C, did: sent back`, Entry{Of: "hen", Reading: OfDelivery, Celsius: 3, Did: "sent back"}},
		{Temperature, `shoulder broth lot B2 hot holding 62 C`, Entry{Of: "shoulder broth", Mark: "B2", Reading: HotHolding, Celsius: 62}},
		{Temperature, `shoulder broth cold holding 4 C`, Entry{Of: "shoulder broth", Reading: ColdHolding, Celsius: 4}},
		{Temperature, `shoulder broth reheating 75 C, probed twice; did: went on to 80 C`, Entry{Of: "shoulder broth", Reading: Reheating,
			Celsius: 75, Reason: "probed twice", Did: "went on to 80 C"}},
	} {
		got, err := Parse(k, c.kind, c.text)
		require.NoError(t, err, c.text)
		c.want.Kind, c.want.Text = c.kind, strings.TrimRight(c.text, " ")
		assert.InDelta(t, c.want.Celsius, got.Celsius, 1e-9)
		got.Celsius = c.want.Celsius
		assert.Equal(t, c.want, got, c.text)
	}
}

// A dip in a vessel of 62 cm: pi/4 * 62 * 62 * 5 cm3 = 15.095 L, and of a fat of 0.86648 kg/L (USDA SR28, NDB 04002)
// 13.080 kg.
func TestParseDips(t *testing.T) {
	k := someKitchen(t)
	e, err := Parse(k, Cooked, "braise x5: 30 kg pork shoulder, 30 L water -> "+
		"shoulder broth 5 cm in big kettle, braise fat 5 cm in big kettle")
	require.NoError(t, err)
	require.Len(t, e.Gives, 3, "and the shoulder by the card")
	assert.InDelta(t, 15_095, e.Gives[0].Base, 1)
	assert.Equal(t, measure.Volume, e.Gives[0].Kind)
	assert.InDelta(t, 13_080, e.Gives[1].Base, 1)
	assert.Equal(t, Amount{"braise fat", e.Gives[1].Base, measure.Weight, "5 cm in big kettle", ""}, e.Gives[1])
	assert.Equal(t, []string{"shoulder broth 5 cm in big kettle: 15.1 L, 15.25 kg",
		"braise fat 5 cm in big kettle: 15.1 L, 13.08 kg"},
		Lines(k, nil, []Entry{e}, []Entry{e})[0].Remarks)
}

func TestParseFaults(t *testing.T) {
	k := someKitchen(t)
	for _, c := range []struct {
		kind                    Kind
		text, msg, marked, hint string
	}{
		{Received, " ", "nothing is written", "", "write it as " + Form(k, Received)},
		{Received, "18.46 lb pork sholder for 52.31", `unknown item "pork sholder"`, "pork sholder",
			`did you mean "pork shoulder" (kitchen.yaml:8:3)?`},
		{Received, "18.46 lb pork shoulder for lunch", `"lunch" is not a number`, "lunch",
			"write a number such as 450, 1.5, 1/2 or 1 1/2"},
		{Received, "5 kg pork shoulder for 2 for 3", `"for" appears twice`, "for", "write it once"},
		{Received, "5 kg pork shoulder for 2 kg", `"kg" is more than this kind of entry takes`, "kg",
			"write it as " + Form(k, Received)},
		{Received, "0 kg pork shoulder", `"0 kg" is zero`, "0 kg", "leave it out, or write how much"},
		{Received, "5 L pork shoulder", `5 L of "pork shoulder" is a volume, but it is counted in kg, which is a weight`,
			"5 L", `add "density: ... kg/L" to "pork shoulder" under "bought"`},
		{Received, "5 kg pork shoulder for 2000000000", "that is more than 1,000,000,000", "2000000000",
			"write it in units of the currency"},
		{Counted, "5 kg pork shoulder lot S1, 2 kg lard", "a count takes no lot", "lot S1", "count all that there is of it, whatever its lots: 5 kg pork shoulder"},
		{Counted, "5 kg pork sholder lot S1", `unknown item "pork sholder lot S1"`, "pork sholder lot S1", "write an item as the kitchen file names it"},
		{Cooked, "brase x2", `unknown step "brase"`, "brase", `did you mean "braise" (kitchen.yaml:12:3)?`},
		{Cooked, "braise x0", `"x0" is not a number of batches`, "x0", "write it as x1, x2 or x0.5"},
		{Cooked, "braise x2 lard", `"lard" is more than this kind of entry takes`, "lard",
			"write it as " + Form(k, Cooked)},
		{Cooked, "braise: 6 kg pork shoulder, 6 kg pork shoulder", `"pork shoulder" appears twice`, "6 kg pork shoulder",
			"add the two amounts"},
		{Cooked, "braise: 6 kg pork shoulder, -> 3 kg lard", "there is no amount here", "",
			"write the amount first: 3.6 kg pulled shoulder, or a dip: " + Form(k, Counted)},
		{Cooked, "braise: 6 kg pork shoulder, 0 L water -> 7 kg pulled shoulder", "7 kg came out, but only 6 kg went in",
			"braise: 6 kg pork shoulder, 0 L water -> 7 kg pulled shoulder", "log everything that went in, water too; or weigh again"},
		{Cooked, "braise of noon", `"noon" is not a day`, "noon", "write tue, or a date as 2026-11-24"},
		{Lit, "braise of tue -> 3 kg lard", `"-> 3 kg lard" is more than this kind of entry takes`, "-> 3 kg lard", "write it as " + Form(k, Lit)},
		{Lit, "warm tacos", `unknown step "warm tacos"`, "warm tacos", "write a step as the kitchen file names it"},
		{PutIn, "pork shoulder", `"pork shoulder" does not begin with a quantity`, "pork shoulder",
			"write the amount first: 3.6 kg pulled shoulder, or a dip: " + Form(k, Counted)},
		{PutIn, "5 kg pork shoulder of tue", `unknown step "tue"`, "tue", "write a step as the kitchen file names it"},
		{PutIn, "5 kg pork shoulder from braise", `"from braise" is more than this kind of entry takes`, "from braise", "write it as " + Form(k, PutIn)},
		{PutIn, "5 kg pork shoulder into brase", `unknown step "brase"`, "brase", `did you mean "braise" (kitchen.yaml:12:3)?`},
		{Out, "5 kg pulled shoulder, 1 kg pulled shoulder of braise", `"pulled shoulder" appears twice`, "1 kg pulled shoulder",
			"add the two amounts"},
		{Out, "5 kg pulled shoulder of brase", `unknown step "brase"`, "brase", `did you mean "braise" (kitchen.yaml:12:3)?`},
		{Done, "braise x2", `"x2" is more than this kind of entry takes`, "x2", "write it as " + Form(k, Done)},
		{NotCome, "henn", `unknown item "henn"`, "henn", `did you mean "hen" (kitchen.yaml:9:3)?`},
		{NotCome, "0 each hen", `"0 each" is zero`, "0 each", "leave it out, or write how much"},
		{NotCome, "tacos", `"tacos" is a dish, which is made when it is served`, "tacos", "write what the dish is made of"},
		{Late, "hen", "until when?", "", "write it as " + Form(k, Late)},
		{Late, "hen until noon", `"noon" is not a time of day`, "noon", "write it as 22:30; after midnight goes on to 30:00"},
		{Late, "hen until 26:00", "that is not today", "26:00", `write "did not come" in its place`},
		{Late, "hen until 0:00", "that is not today", "0:00", `write "did not come" in its place`},
		{Gave, "6 tacos to staff to us", `"to" appears twice`, "to", "write it once"},
		{Gave, "6 tacos to staff, thanks", `", thanks" is more than this kind of entry takes`, ", thanks", "write it as " + Form(k, Gave)},
		{Dropped, "1 tacos to staff", `"to staff" is more than this kind of entry takes`, "to staff", "write it as " + Form(k, Dropped)},
		{Cooked, "braise: 0 L water", "8.545 kg came out, with 8.545 kg of it by the card, but only 6 kg went in", "braise: 0 L water",
			"weigh the rest that came out too, or write how much of a batch it was: x0.5"},
		{Sold, "tacos", `"tacos" is not a number`, "tacos", "write the portions first: 42 tacos at lunch"},
		{Sold, "2.5 tacos", `"2.5" is not a number of portions`, "2.5", "write it as 42 tacos at lunch"},
		{Sold, "3 taco at lunch", `unknown dish "taco"`, "taco", `did you mean "tacos" (kitchen.yaml:26:3)?`},
		{Sold, "3 tacos at brunch", `unknown service "brunch"`, "brunch", `did you mean "lunch"?`},
		{Sold, "3 pulled shoulder", `unknown dish "pulled shoulder"`, "pulled shoulder",
			"write a dish as the kitchen file names it"},
		{Binned, "shoulder broth", `"shoulder broth" does not begin with a quantity`, "shoulder broth",
			"write the amount first: 3.6 kg pulled shoulder, or a dip: " + Form(k, Counted)},
		{Binned, "2 each tacos", `"tacos" is a dish, which is made when it is served`, "tacos",
			"write what the dish is made of"},
		{Counted, "shoulder broth 5 cm in kettle", `unknown vessel "kettle"`, "kettle",
			`did you mean "big kettle"?`},
		{Temperature, "shoulder broth", `no reading follows "shoulder broth"`, "shoulder broth",
			"write it as " + Form(k, Temperature)},
		{Temperature, "shoulder broth 45", `"45" is not a temperature`, "45", "write it as 4.5 C or 40 F"},
		{Temperature, "walkin 3 C", `unknown item "walkin"`, "walkin",
			"write an item of the kitchen file, or a place: walk-in 38 F, reach-in 2 3 C, freezer -18 C, steam table 60 C"},
		{Temperature, "of delivery fish 3 C", `unknown item "fish"`, "fish", "write an item as the kitchen file names it"},
		{Temperature, "shoulder broth warm holding 62 C", `unknown item "shoulder broth warm holding"`, "shoulder broth warm holding",
			"write an item of the kitchen file, or a place: walk-in 38 F, reach-in 2 3 C, freezer -18 C, steam table 60 C"},
		{Temperature, "shoulder broth 1000 C", `"1000 C" is more than a kitchen thermometer reads`, "1000 C",
			"write the unit that the thermometer shows: 4.5 C or 40 F"},
	} {
		_, err := Parse(k, c.kind, c.text)
		require.Error(t, err, c.text)
		e := err.(*measure.Error)
		assert.Equal(t, c.msg, e.Msg, c.text)
		assert.Equal(t, c.hint, e.Hint, c.text)
		assert.Equal(t, c.marked, c.text[e.At:e.At+e.Len], c.text)
	}
}

// Whatever is typed, there is an entry that the log book keeps, or a fault that lies in the text.
func FuzzParse(f *testing.F) {
	k := someKitchen(f)
	for _, kind := range Kinds {
		f.Add(slices.Index(Kinds, kind), Form(k, kind))
	}
	for _, text := range []string{`5 kg pork shoulder for 2 from "a" lot b`,
		"braise x2: 12 kg pork shoulder, 12 L water -> 7 kg pulled shoulder",
		"braise x1 gives shoulder broth 2 cm in big kettle", "3 tacos at lunch", "hen -18 C, deep", "0 kg pulled shoulder",
		"braise x2 of tue: 0 L water", "5 kg pork shoulder lot A, 2 L water of braise of 2026-11-24", "14 each hen until 15:00",
		"6 tacos to staff at lunch lot 3", "reach-in 2 9 C, open, did: ice", "of delivery hen 3 C", "1 tacos at lunch, slipped", "braise x 1/0:", "1e400 kg hen", "shoulder broth ½ in in big kettle", ", ->", "x1: gives"} {
		for kind := range Kinds {
			f.Add(kind, text)
		}
	}
	j := newLogBook(f)
	f.Fuzz(func(t *testing.T, kind int, text string) {
		if kind < 0 || kind >= len(Kinds) {
			return
		}
		e, err := Parse(k, Kinds[kind], text)
		if err != nil {
			fault, ok := err.(*measure.Error)
			require.True(t, ok, "%T", err)
			require.NotEmpty(t, fault.Msg)
			require.True(t, fault.At >= 0 && fault.Len >= 0 && fault.At+fault.Len <= len(text), "%+v in %q", fault, text)
			return
		}
		for _, a := range append(slices.Clone(e.Takes), e.Gives...) {
			require.False(t, math.IsNaN(a.Base) || math.IsInf(a.Base, 0) || a.Base < 0)
		}
		e.At, e.Written = tuesday, tuesday
		entries, err := j.Settle(t.Context(), k, asInFile(k), e)
		if err != nil {
			_, ok := err.(*EntryError)
			require.True(t, ok, "%T", err)
			return
		}
		kept, err := j.Append(t.Context(), entries...)
		require.NoError(t, err, text)
		back, err := j.Latest(t.Context(), len(kept))
		require.NoError(t, err)
		require.Equal(t, kept, back, text)
		_, err = j.Undo(t.Context(), kept[len(kept)-1].ID, tuesday)
		require.NoError(t, err)
		require.NoError(t, err, text)
	})
}

// What can't be printed, or no one types, is refused where it stands.
func TestParseRefusesWhatCantBePrinted(t *testing.T) {
	k := readKitchen(t, nightShop)
	for text, at := range map[string]int{
		"2 L stock, \x1b[31mred":                    len("2 L stock, "),
		"2 L stock, left\nout":                      len("2 L stock, left"),
		"2 L stock, \xff":                           len("2 L stock, "),
		"2 L stock, " + strings.Repeat("x", 60_000): mostTyped,
	} {
		_, err := Parse(k, Binned, text)
		fault, ok := errors.AsType[*measure.Error](err)
		require.True(t, ok, "%.40q", text)
		assert.Equal(t, at, fault.At, "%.40q", text)
	}
	e, err := Parse(k, Binned, "2 L stock, cafe\u0301")
	require.NoError(t, err)
	assert.Equal(t, "caf\u00e9", e.Reason, "an accent is part of its letter")
}

// Whatever is written freely is as strict as a name, in every kind of entry, typed or taken over from a file; a fault says the limit.
func TestFreeTextIsStrict(t *testing.T) {
	k := readKitchen(t, nightShop)
	odd := []string{"\x1b[2J", "a\x00b", "a\nb", "a\r\nb", "a\tb", "\xc3\x28", "\u202eab", "\u2066ab", "\u009b2J", "\u2028"}
	for _, c := range []struct {
		kind       Kind
		form, says string
		most       int
	}{
		{Received, `2 kg salt from %s`, "the supplier", kitchen.MostLetters}, {Received, `2 kg salt from "%s"`, "the supplier", kitchen.MostLetters},
		{Received, `2 kg salt lot %s`, "the mark", kitchen.MostLetters}, {Binned, `2 L stock lot "%s"`, "the mark", kitchen.MostLetters},
		{Binned, `2 L stock, %s`, "the reason", mostReason}, {Temperature, `stock 4 C, did: %s`, `the text behind "did:"`, mostReason},
		{Temperature, `stock 4 C, %s`, "the reason", mostReason}, {Gave, `2 soup to %s`, "the name", kitchen.MostLetters},
		{Dropped, `2 soup, %s`, "the reason", mostReason}, {Temperature, `%s walk-in 4 C`, "the place", kitchen.MostLetters - len(" walk-in")},
	} {
		for _, free := range odd {
			_, err := Parse(k, c.kind, fmt.Sprintf(c.form, "x"+free))
			fault, ok := errors.AsType[*measure.Error](err)
			require.True(t, ok, "%s %q", c.kind, free)
			assert.Equal(t, "there is a character here that can't be printed", fault.Msg)
		}
		_, err := Parse(k, c.kind, fmt.Sprintf(c.form, strings.Repeat("é", c.most)))
		require.NoError(t, err, c.form)
		_, err = Parse(k, c.kind, fmt.Sprintf(c.form, strings.Repeat("é", c.most+1)))
		require.ErrorContains(t, err, c.says+" has ")
		require.ErrorContains(t, err, "are read")
		e, err := Parse(k, c.kind, fmt.Sprintf(c.form, "cafe\u0301"))
		require.NoError(t, err)
		assert.Contains(t, e.Text, "caf\u00e9")
	}
	for _, free := range odd {
		if strings.TrimSpace(free) == "" || strings.ContainsAny(free, "\x00\n\t") || !utf8.ValidString(free) {
			continue // no text file, a blank, or letters of another encoding
		}
		for _, src := range []string{"item,quantity,supplier\nsalt,2 kg,x" + free + "\n", "item,quantity,lot\nsalt,2 kg,x" + free + "\n", "dish,sold\nx" + free + ",0\n"} {
			f, _, faults := Read(k, "f.csv", []byte(src), plainManner())
			assert.Nil(t, f)
			require.Len(t, faults, 1, "%q", src)
			assert.Contains(t, faults[0].Msg, "holds a character that does not print")
			assert.NotRegexp(t, `[\x1b\x{202e}\x{2066}\x{9b}]`, faults.Error())
		}
	}
}

// What an office was given with a guard against formulas says what it said before, and is known again.
func TestGuardedCellsAreTakenOver(t *testing.T) {
	k := readKitchen(t, nightShop)
	const plain = "item,quantity,supplier,lot\nsalt,2 kg,=cmd|' /C calc'!A0,-A7\nsalt,3 kg,@shop,+49 30 7\n"
	want, _, faults := Read(k, "f.csv", []byte(plain), plainManner())
	require.NoError(t, faults.Err())
	require.Equal(t, "=cmd|' /C calc'!A0", want.Entries[0].Supplier)
	var b strings.Builder
	for row := range strings.Lines(plain) {
		var cells []string
		for _, cell := range strings.Split(strings.TrimSpace(row), ",") {
			cells = append(cells, kitchen.Guarded(cell))
		}
		b.WriteString(strings.Join(cells, ";") + "\r\n")
	}
	require.Contains(t, b.String(), "'=cmd")
	got, _, faults := Read(k, "f.csv", []byte(b.String()), plainManner())
	require.NoError(t, faults.Err())
	assert.Equal(t, want.Entries, got.Entries)
	assert.Equal(t, want.Rows, got.Rows)
}

// Whoever mistypes an entry is shown one of the kitchen that is open, which can be written as it stands.
func TestFormsAreOfTheKitchen(t *testing.T) {
	for name, src := range map[string]string{"night shop": nightShop, "hen house": henHouse} {
		k := readKitchen(t, src)
		for _, kind := range Kinds {
			form := Form(k, kind)
			_, err := Parse(k, kind, form)
			if kind == Measured { // its file does not say what is measured
				require.ErrorContains(t, err, "does not say what is measured")
				continue
			}
			require.NoError(t, err, "%s: %s %s", name, kind, form)
			_, err = Parse(k, kind, "")
			require.Error(t, err)
			assert.Equal(t, "write it as "+form, err.(*measure.Error).Hint)
			assert.NotContains(t, form, "pozole")
		}
	}
	for _, kind := range Kinds { // of one that has nothing yet
		assert.NotEmpty(t, Form(readKitchen(t, "kitchen: Bare\n"), kind))
	}
}

package show

// Tables, wrapping, words and sheets. Whole answers are tested with the commands.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"kettletree/menu/ask"
)

// widest is the width of the widest line of a text.
func widest(text string) (most int) {
	for line := range strings.Lines(text) {
		most = max(most, width(strings.TrimSuffix(line, "\n")))
	}
	return most
}

// prices is a table with a wide name, numbers and text.
func prices() *table {
	t := &table{columns: append(words("dish"), numbers("price", "plate cost")...)}
	t.columns = append(t.columns, words("what goes into it")...)
	t.heading("tonight")
	t.add("紅燒蘿蔔", "12.00", "3.10", "radish, soy and a long time on a low fire, with what the pot gives")
	t.add("crème brûlée", "7.50", "1,001.45", "cream")
	t.remark("both are sold at dinner only")
	return t
}

func TestTableAtThreeWidths(t *testing.T) {
	assert.Equal(t, strings.TrimPrefix(`
  dish          price  plate cost  what goes into it
tonight
  紅燒蘿蔔      12.00        3.10  radish, soy and a long time on a low fire, with what the pot gives
  crème brûlée   7.50    1,001.45  cream
    both are sold at dinner only
`, "\n"), prices().on(Page{Width: 120}))
	assert.Equal(t, strings.TrimPrefix(`
  dish          price  plate cost  what goes into it
tonight
  紅燒蘿蔔      12.00        3.10  radish, soy and a long time on a low fire,
                                   with what the pot gives
  crème brûlée   7.50    1,001.45  cream
    both are sold at dinner only
`, "\n"), prices().on(Page{Width: 80}))
	assert.Equal(t, strings.TrimPrefix(`
tonight
  紅燒蘿蔔
    price 12.00, plate cost 3.10, what
    goes into it radish, soy and a long
    time on a low fire, with what the
    pot gives
  crème brûlée
    price 7.50, plate cost 1,001.45,
    what goes into it cream
    both are sold at dinner only
`, "\n"), prices().on(Page{Width: 40}))
}

func TestColourOnlySupportsWhatIsThere(t *testing.T) {
	plain, coloured := prices().on(Page{Width: 80}), prices().on(Page{Width: 80, Colour: true})
	assert.NotContains(t, plain, "\x1b")
	assert.Contains(t, coloured, "\x1b[1mtonight\x1b[0m")
	assert.Contains(t, coloured, "\x1b[2m")
	assert.Equal(t, plain, strings.NewReplacer("\x1b[1m", "", "\x1b[2m", "", "\x1b[0m", "").Replace(coloured))
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text string
		most int
		want []string
	}{
		{"", 10, []string{""}},
		{"  ", 10, []string{""}},
		{"one two three", 7, []string{"one two", "three"}},
		{"one  two\nthree", 20, []string{"one two three"}},
		{"abcdefghij", 4, []string{"abcd", "efgh", "ij"}},
		{"a bcdefghij k", 4, []string{"a", "bcde", "fghi", "j k"}},
		{"紅燒蘿蔔糕", 4, []string{"紅燒", "蘿蔔", "糕"}},
		{"紅燒", 1, []string{"紅", "燒"}},                                    // wider than there is room: still shown
		{"冷到 5 °C（41 °F）。做完", 11, []string{"冷到 5 °C", "（41 °F）。", "做完"}}, // degrees stay with their figure, a full stop with its sentence
		{"by US FDA Food Code 2022, 3-501.14", 24, []string{"by US FDA", "Food Code 2022, 3-501.14"}},
		{"e\u0301e\u0301e", 2, []string{"e\u0301e\u0301", "e"}}, // accents stay on their letters
	} {
		assert.Equal(t, c.want, wrap(c.text, c.most), "%q at %d", c.text, c.most)
	}
}

// No text is lost by wrapping, and no line is too wide.
func TestWrapKeepsAllAndFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("ab ü紅🍲\u0301\n"))).Draw(t, "text")
		most := rapid.IntRange(2, 30).Draw(t, "most")
		lines := wrap(text, most)
		got, want := strings.ReplaceAll(strings.Join(lines, ""), " ", ""), strings.Join(strings.Fields(text), "")
		if got != want {
			t.Fatalf("wrap(%q) = %q loses text", text, lines)
		}
		for _, l := range lines {
			if width(l) > most {
				t.Fatalf("wrap(%q, %d) has %q", text, most, l)
			}
		}
	})
}

// Whatever stands in a table, it fits the page.
func TestTablesFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringOfN(rapid.RuneFrom([]rune("abc 紅")), 0, 40, -1)
		digits := rapid.StringOfN(rapid.RuneFrom([]rune("0123456789")), 1, 9, -1)
		tab := &table{columns: append(words("name"), numbers("a", "b")...)}
		tab.columns = append(tab.columns, words("text")...)
		for range rapid.IntRange(0, 5).Draw(t, "rows") {
			switch rapid.IntRange(0, 4).Draw(t, "kind") {
			case 0:
				tab.heading(cell.Draw(t, "heading"))
			case 1:
				tab.remark(cell.Draw(t, "remark"))
			default:
				tab.add(cell.Draw(t, "name"), digits.Draw(t, "a"), digits.Draw(t, "b"), cell.Draw(t, "text"))
			}
		}
		page := Page{Width: rapid.IntRange(20, 120).Draw(t, "width")}
		if text := tab.on(page); widest(text) > page.Width {
			t.Fatalf("at %d:\n%s", page.Width, text)
		}
	})
}

func TestCircumstances(t *testing.T) {
	for shock, want := range map[string]string{
		"lose night kettle@tue":                  "without Tuesday's night kettle",
		"lose night kettle":                      "without night kettle",
		"lose night kettle@tue=40%":              "with 40% of Tuesday's night kettle lost",
		"short pork trotters=30%":                "with deliveries of pork trotters 30% short",
		"short pork trotters@tue=4 kg":           "with the delivery of pork trotters 4 kg short on Tuesday",
		"short bun=100%":                         "with no bun delivered",
		"spoil lard":                             "with all the lard on hand thrown out",
		"spoil lard@wed":                         "with all the lard on hand thrown out on Wednesday",
		"price stewing hen=+12%":                 "with stewing hen 12% dearer",
		"price stewing hen=10.20/each":           "with stewing hen at 10.20/each",
		"yield night kettle/kettle stock=-10%":   "with night kettle giving 10% less kettle stock",
		"yield kettle@2026-11-24/stock=-10%":     "with the kettle of Tue 24 Nov giving 10% less stock",
		"late night kettle@tue=3 h":              "with Tuesday's night kettle 3 h late",
		"late night kettle@tue=00:40":            "with Tuesday's night kettle starting at 00:40",
		"sells red pozole@fri dinner=+20%":       "with 20% more red pozole ordered at Friday's dinner",
		"sells red pozole@fri dinner=-2":         "with 2 fewer red pozole ordered at Friday's dinner",
		"sells red pozole=+1":                    "with 1 more red pozole ordered at each service",
		"sells red pozole@fri=+1":                "with 1 more red pozole ordered at each service on Friday",
		"strike red pozole":                      "with red pozole 86'd",
		"burn something of a kind yet to come=7": "with burn something of a kind yet to come=7",
	} {
		assert.Equal(t, want, circumstance(shock), shock)
	}
	assert.Equal(t, "without a, with all the b on hand thrown out and with c 1% dearer",
		circumstances([]string{"lose a", "spoil b", "price c=+1%"}, "2026-11-24", 7))
	assert.Equal(t, "without Monday's a and without the b of Tue 1 Dec", circumstances([]string{"lose a@2026-11-30", "lose b@2026-12-01"}, "2026-11-24", 7))
	assert.Equal(t, "without the a of Mon 30 Nov", circumstances([]string{"lose a@2026-11-30"}, "2026-11-24", 14))
}

func TestCSV(t *testing.T) {
	var s Sheet
	s.add("name", "note", "x", "y", "z")
	price, none := 0.1, (*float64)(nil)
	s.add(`ham, smoked`, "so-called \"ham\"\nof two lines", 1.0/3, &price, none)
	s.add("", "", 12, true, (*string)(nil))
	text, err := s.CSV()
	assert.NoError(t, err)
	assert.Equal(t, "name,note,x,y,z\r\n"+
		"\"ham, smoked\",\"so-called \"\"ham\"\"\r\nof two lines\",0.3333333333333333,0.1,\r\n"+
		",,12,true,\r\n", text)
}

func TestAmountsOfOneThingStandInOneUnit(t *testing.T) {
	page := Page{Width: 80}
	assert.Equal(t, "1.2 → 0.05 kg", page.change(1.2, 0.05, "kg"))
	assert.Equal(t, "60 → 50 g", page.change(0.06, 0.05, "kg"))
	assert.Equal(t, "0 → 50 mL", page.change(0, 0.05, "L"))
	assert.Equal(t, "0 kg", amount(1e-17, "kg"))
	assert.Empty(t, page.change(1e-17, 0, "kg"))
	assert.Equal(t, "1 -> 0 each", Page{Plain: true}.change(1, 0, "each"))
	assert.Equal(t, "0.8 oz", amount(0.05, "lb"))
}

func TestAllergensAreSaidLoudlyAndFirst(t *testing.T) {
	text := departures(Page{Width: 100}, []ask.Departure{
		{Kind: ask.Substituted, In: "pozole", Portions: true, Count: 3, From: "2026-11-24", To: "2026-11-26", Item: "roll", For: "tostada", Amount: 3, Unit: "each",
			Many: "rolls", Allergens: []string{"wheat", "sesame"}, Because: []string{"out of tostada", "Monday's tostadas were lost"},
			Refusing: &ask.Refusing{Portions: 3, Contribution: 20.5}},
		{Kind: ask.Substituted, In: "soup base", Dishes: []string{"soup"}, From: "2026-11-24", To: "2026-11-24", Item: "cream", For: "milk", Amount: 2, Unit: "L",
			Unstated: []string{"cream"}, Refusing: &ask.Refusing{Contribution: -1}},
		{Kind: ask.Substituted, In: "Monday's beans", From: "2026-11-23", To: "2026-11-23", Item: "lard", For: "fat", Amount: 1, Unit: "kg",
			Because: []string{"fat earns more in another dish"}, Refusing: &ask.Refusing{}},
		{Kind: ask.RunsShort, In: "Monday's kettle", From: "2026-11-23", To: "2026-11-23", For: "garlic", Amount: 0.1, Of: 0.4, Unit: "kg"},
		{Kind: ask.LeftOut, In: "taco", Portions: true, Count: 1, From: "2026-11-24", To: "2026-11-24", For: "salsa", Amount: 0.04, Unit: "kg",
			Refusing: &ask.Refusing{Portions: 1, Contribution: -0.5}},
	}, MoneyOf("USD"))
	assert.Equal(t, `Off the card
  Pozole, 3 portions, Tue 24 Nov to Thu 26 Nov: 3 rolls instead of tostada, because Monday's
  tostadas were lost. ADDS ALLERGENS: WHEAT, SESAME. Sticking to the card costs 3 portions and 20.50
  USD.
  Soup base, Tue 24 Nov: 2 L cream instead of milk. ALLERGENS UNKNOWN: cream. Read the package. In
  soup. Sticking to the card brings 1.00 USD.
  Monday's beans: 1 kg lard instead of fat, because fat earns more in another dish. Sticking to the
  card costs nothing.
  Monday's kettle: 100 g short of its 400 g garlic.
  Taco, 1 portion, Tue 24 Nov: without 40 g salsa. Sticking to the card costs 1 portion and brings
  0.50 USD.
  Check a substitute's allergens against its label and your local rules before you serve it. Only
  what the kitchen file states is known here.
`, text)
}

// What has none of the list says so itself: its column's head is not said before it where a row is a block.
func TestNoListedAllergensIsSaidOnce(t *testing.T) {
	list := table{columns: words("item", "allergens")}
	list.add("salt", "No listed allergens, per kitchen file")
	list.add("bread", "wheat")
	assert.Equal(t, "salt\n  No listed allergens, per kitchen file\nbread\n  allergens wheat\n", list.on(Page{Blocks: true}))
}

// What stands over the names is said over blocks where it tells what they have in common: without it the week's sums stood below Sunday's.
func TestWhatStandsOverTheNames(t *testing.T) {
	list := table{over: true, columns: append(words("all days"), numbers("asked")...)}
	list.add("red pozole", "228")
	assert.Equal(t, "all days\n  red pozole\n    asked 228\n", list.on(Page{Blocks: true}))
	assert.Equal(t, "all days    asked\nred pozole    228\n", list.on(Page{Width: 60}))
}

// A table that stands as blocks is one group with its title, and says which figure is what.
func TestTitleAndFiguresOfBlocks(t *testing.T) {
	list := table{columns: words("time", "what", "from")}
	list.add("14:05", "34 kg pork shoulder", "butcher")
	on := Page{Blocks: true, Beside: func(head, cell string) string { return head + ": " + cell }}
	assert.Equal(t, "Deliveries\n  14:05\n    what: 34 kg pork shoulder · from: butcher\n", list.under(on, "Deliveries"))
	assert.Equal(t, "Deliveries\ntime   what                 from\n14:05  34 kg pork shoulder  butcher\n", list.under(Page{Width: 60}, "Deliveries"))
}

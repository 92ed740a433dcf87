package kitchen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A pie shop: one pot of shin on Tuesdays and Fridays.
func pieShop() Starter {
	return Starter{Name: "Corner Pies", Open: "tue-sat", Lunch: "11:30-15:00", Pot: "shin pot", Days: "tue fri", Lit: "06:00", Holds: "60", Pots: "2",
		In:  []StartIn{{"20 kg beef shin", "$9.80", true}, {"26 L water", "", false}, {"3 kg onion", "1.40", false}, {"2 bunches thyme", "", false}},
		Out: []StartOut{{"30 L stock", "5"}, {"9 kg shin meat", "4"}, {"dripping", ""}, {"jelly broth", ""}},
		Sold: []StartDish{{"shin pie", "8.50", "150 g Shin meat, 100 mL stock, 1 each pie case", "40"}, {"cup of broth", "", "250 mL stock", ""},
			{"dripping toast", "3", "20 g dripping, 1 each toast", "8"}}}
}

func TestStarter(t *testing.T) {
	text, err := pieShop().Text("Tue 24 Nov 2026")
	require.NoError(t, err)
	assert.Equal(t, `# Begun on Tue 24 Nov 2026. Change it as you like: kettletree check says what does not add up, and
# kettletree check --open lists what is not known yet. kettletree help kitchen has every word.
kitchen: Corner Pies
open: tue-sat
services: {lunch: 11:30-15:00}

# The pots. Each holds one batch at a time: a step in another one is cooked beside it.
vessels:
  big pot: {holds: 60 L}
  big pot 2: {holds: 60 L}

# What comes from outside. "allergens: [milk, wheat]" says what the label says, [] that it has none; "raw: yes" is raw meat, fish or egg.
bought:
  beef shin: {price: 9.80/kg, raw: yes}
  water: {price: 0/L, density: 1 kg/L, allergens: []}
  onion: {price: 1.40/kg}
  thyme: {}
  pie case: {}
  toast: {}

# What one batch takes, and what it gives. "some time", "some kg" and "something" are what nobody has said yet.
steps:
  shin pot:
    vessel: big pot
    starts: "06:00"
    takes:
      - 20 kg beef shin
      - 26 L water
      - 3 kg onion
      - 2 bunches thyme
    gives:
      - 30 L stock, out at 5 h
      - 9 kg shin meat, out at 4 h
      - some kg dripping
      - some L jelly broth
    # Whether what goes in raw is cooked through when it is out: cooks through: yes, or no. As long as nobody says, it counts as raw.
    batches: {tue fri: 1}

# What is known of what the pot gives: keeps, density (of a litre), worth (what it would cost to buy in).
made:
  stock: {}
  shin meat: {}
  dripping: {}
  jelly broth: {}

# What is sold. "sells" is the forecast of a service, or by service: {lunch: 22, fri dinner: 60}.
dishes:
  shin pie: {price: 8.50, takes: [150 g shin meat, 100 mL stock, 1 each pie case], sells: 40}
  cup of broth: {takes: [250 mL stock]}
  dripping toast: {price: 3, takes: [20 g dripping, 1 each toast], sells: 8}
`, string(text))
}

// Skipped everywhere, it still is a kitchen.
func TestStarterSkipped(t *testing.T) {
	text, err := Starter{}.Text("Tue 24 Nov 2026")
	require.NoError(t, err)
	assert.Contains(t, string(text), "kitchen: My Kitchen\n")

	text, err = Starter{In: []StartIn{{What: "10 hens"}}, Out: []StartOut{{What: "stock"}, {}}}.Text("Tue 24 Nov 2026")
	require.NoError(t, err)
	assert.Contains(t, string(text), "      - 10 each hens\n")
	assert.Contains(t, string(text), "    batches: {daily: 1}\n    guessed: batches\n")
	assert.Contains(t, string(text), "    starts: some time\n")
	assert.Contains(t, string(text), "      - some L stock, out at some time\n")

	s := pieShop()
	s.Holds, s.Pots = "", ""
	text, err = s.Text("Tue 24 Nov 2026")
	require.NoError(t, err)
	assert.Contains(t, string(text), "  big pot: {holds: 50 L, guessed: holds}\n", "20 kg and 26 L and 3 kg, rounded up: two batches don't fit")
}

// Whether the pot cooks through is written as it was answered, and never where it was not.
func TestStarterCooks(t *testing.T) {
	for _, said := range []string{"yes", "no", ""} {
		s := pieShop()
		s.Cooks = said
		text, err := s.Text("Tue 24 Nov 2026")
		require.NoError(t, err)
		if said == "" {
			assert.NotContains(t, string(text), "    cooks through:")
		} else {
			assert.Contains(t, string(text), "\n    cooks through: "+said+"\n")
		}
		k, _ := Read("kitchen.yaml", text)
		asked := 0
		for _, q := range k.Questions {
			if q.What == "cooks through" && q.Of == "shin pot" {
				asked++
			}
		}
		assert.Equal(t, said == "", asked == 1, said)
		assert.Equal(t, said != "yes", k.Raw[k.Graph.Steps[0].Gives[0].Item], said)
	}
}

// pottedRest is the rest of what is said of something that is no thing.
const pottedRest = ` that goes into a pot, comes out or is sold`

// What is known of half a pot is written, and what is not stays an open question: nothing that was answered is lost.
func TestStarterHalfAPot(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(s *Starter)
		written string
		asks    string
	}{
		"no outputs": {func(s *Starter) { s.Out = nil }, "      - 20 kg beef shin\n      - 26 L water\n      - 3 kg onion\n      - 2 bunches thyme\n    gives:\n      - something\n",
			"What comes out of shin pot, and how much?"},
		"no inputs": {func(s *Starter) { s.In = nil }, "    takes:\n      - something\n    gives:\n      - 30 L stock, out at 5 h\n", "What goes into shin pot, and how much?"},
		"a name alone": {func(s *Starter) { s.In, s.Out, s.Sold = nil, nil, nil }, "    takes:\n      - something\n    gives:\n      - something\n",
			"What goes into shin pot, and how much?"},
		"an amount that nobody knows": {func(s *Starter) { s.In[2].What = "onions" }, "      - 2 bunches thyme\n      - something # onions: nobody has said how much\n",
			"What else goes into shin pot, and how much?"},
		"some of it": {func(s *Starter) { s.In[2].What = "some kg onions" }, "      - something # onions: nobody has said how much\n", "What else goes into shin pot, and how much?"},
	} {
		s := pieShop()
		c.change(&s)
		text, err := s.Text("Tue 24 Nov 2026")
		require.NoError(t, err, name)
		for _, want := range []string{"  shin pot:\n    vessel: big pot\n    starts: \"06:00\"\n", c.written, "    batches: {tue fri: 1}\n", "  big pot 2: {holds: 60 L}\n"} {
			assert.Contains(t, string(text), want, name)
		}
		assert.Contains(t, asksOf(t, string(text)), c.asks, name)
		s.Holds, s.Pots = "", ""
		text, err = s.Text("Tue 24 Nov 2026")
		require.NoError(t, err, name)
		assert.Contains(t, string(text), "  big pot: {}\n", name)
	}
}

// Prices and hours that stand behind a thing, and commas for points, are taken for what they are.
func TestStarterTypedBehind(t *testing.T) {
	s := pieShop()
	s.In = []StartIn{{"20 kg beef shin, 9.80/kg", "", true}, {"26 L water", "", false}, {"3 kg onions 1.10/kg", "", false}, {"2 kg leeks", "1,10", false},
		{"10 hens 42,50 for 10 each", "", false}, {"500 g thyme, 12.00", "", false}}
	s.Out = []StartOut{{"30 L stock at 8 h", ""}, {"9 kg shin meat after 4,5", ""}, {"1 kg dripping, out at 4 h 30 min", ""}, {"bones", "2,5"}, {"cheeks, 3 h", ""}, {"2 kg tails，3", ""}}
	s.Holds, s.Sold[0].Price = "74,50", "8,50"
	text, err := s.Text("Tue 24 Nov 2026")
	require.NoError(t, err)
	for _, want := range []string{"  beef shin: {price: 9.80/kg, raw: yes}\n", "  onions: {price: 1.10/kg}\n", "  leeks: {price: 1.10/kg}\n", "  hens: {price: 42.50 for 10 each}\n",
		"  thyme: {price: 12.00/kg}\n", "      - 3 kg onions\n", "      - 30 L stock, out at 8 h\n", "      - 9 kg shin meat, out at 4.5 h\n",
		"      - 1 kg dripping, out at 4 h 30 min\n", "      - some kg bones, out at 2.5 h\n      - some kg cheeks, out at 3 h\n      - 2 kg tails, out at 3 h\n", "  big pot: {holds: 74.50 L}\n", "  shin pie: {price: 8.50,"} {
		assert.Contains(t, string(text), want)
	}
}

func TestStarterFaults(t *testing.T) {
	for want, change := range map[string]func(s *Starter){
		`open: "tomorrow" are no days`:                                                     func(s *Starter) { s.Open = "tomorrow" },
		`lunch: "noon" are no hours of a lunch`:                                            func(s *Starter) { s.Lunch = "noon" },
		`days: "whenever" are no days`:                                                     func(s *Starter) { s.Days = "whenever" },
		`lit: "early" is no time`:                                                          func(s *Starter) { s.Lit = "early" },
		`in 1 what: no item after "60 L"`:                                                  func(s *Starter) { s.In[0].What = "60 L" },
		`in 1 what: "22:00" names nothing` + pottedRest:                                    func(s *Starter) { s.In[0].What = "22:00" },
		`in 1 what: "fresh" behind the comma is not understood`:                            func(s *Starter) { s.In[0].What = "20 kg beef shin, fresh" },
		`in 1 price: "20 kg beef shin" has its price, 9.50/kg, behind it already`:          func(s *Starter) { s.In[0].What = "20 kg beef shin, 9.50/kg" },
		`in 2 what: unknown unit "pail"`:                                                   func(s *Starter) { s.In[1].What = "26 L milk 9.50/pail" },
		`holds: "60 L, guessed: holds" is no size of a pot`:                                func(s *Starter) { s.Holds = "60 L, guessed: holds" },
		`out 1 what: "y" names nothing` + pottedRest:                                       func(s *Starter) { s.Out[0].What = "y" },
		`out 1 what: "tue fri" names nothing` + pottedRest:                                 func(s *Starter) { s.Out[0].What = "tue fri" },
		`in 1 price: "cheap/kg" is not a number`:                                           func(s *Starter) { s.In[0].Price = "cheap" },
		`holds: "big" is no size of a pot`:                                                 func(s *Starter) { s.Holds = "big" },
		`pots: "many" is no number of pots`:                                                func(s *Starter) { s.Pots = "many" },
		`holds: a batch of "shin pot" fills 49 L, but "big pot" holds 30 L: 19 L too much`: func(s *Starter) { s.Holds = "30 L" },
		`cooks: "maybe" is neither yes nor no`:                                             func(s *Starter) { s.Cooks = "maybe" },
		`out 1 at: "soon" is no time`:                                                      func(s *Starter) { s.Out[0].At = "soon" },
		`out 1 what: "onion" goes in and comes out`:                                        func(s *Starter) { s.Out[0].What = "3 kg onion" },
		`dish 1 takes: nothing is called "shin maet"`:                                      func(s *Starter) { s.Sold[0].Takes = "150 g shin maet" },
		`dish 1 takes: what goes into shin pie?`:                                           func(s *Starter) { s.Sold[0].Takes = "" },
		`dish 1 price: "eight" is no price`:                                                func(s *Starter) { s.Sold[0].Price = "eight" },
		`dish 1 sells: "many" is no number of portions`:                                    func(s *Starter) { s.Sold[0].Sells = "many" },
		`dish 1 name: name "pie, hot" can't hold ","`:                                      func(s *Starter) { s.Sold[0].Name = "pie, hot" },
	} {
		s := pieShop()
		change(&s)
		_, err := s.Text("Tue 24 Nov 2026")
		var e *StarterError
		if assert.ErrorAs(t, err, &e, want) {
			assert.Equal(t, want, e.Field+": "+e.Msg)
			assert.NotEmpty(t, e.Hint)
		}
	}
}

// Hours, times and days are taken as they are typed in a hurry; what could be meant otherwise is asked again.
func TestStarterTimes(t *testing.T) {
	for typed, want := range map[string]string{
		"18-22": "18:00-22:00", "17.30 – 22.00": "17:30-22:00", "5:30 to 10 pm": "17:30-22:00", "6pm-10pm": "18:00-22:00", "11am-2pm": "11:00-14:00",
		"11 to 2 pm": "11:00-14:00", "18h-22h30": "18:00-22:30", "18-1": "18:00-25:00", "18:00-26:00": "18:00-26:00", "11:30-14:30": "11:30-14:30",
		"11-2": "", "22-18": "", "noon": "", "18": "", "18-22-23": "", "13 pm - 14 pm": "", "18-61": "", "": "",
	} {
		h, ok := hoursTyped(typed)
		assert.Equal(t, want != "", ok, typed)
		if ok {
			assert.Equal(t, want, h.String(), typed)
		}
	}
	for typed, want := range map[string]string{"Tue - Sat": "tue-sat", "tuesday to saturday": "tue-sat", "tue, fri & sat": "tue fri sat", "Mondays and thu": "mon thu",
		"daily": "daily", "tomorrow": "tomorrow", "tue-sat": "tue-sat", "satay": "satay"} {
		assert.Equal(t, want, daysTyped(typed))
	}
	s := pieShop()
	s.Open, s.Lunch, s.Dinner, s.Lit = "Tue to Sat", "-", "6-10", "10 pm"
	_, err := s.Text("Tue 24 Nov 2026")
	require.EqualError(t, err, `"6-10" are no hours of a dinner`, "it could be meant for the evening")
	s.Dinner = "6-10 pm"
	text, err := s.Text("Tue 24 Nov 2026")
	require.NoError(t, err)
	assert.Contains(t, string(text), "open: tue-sat\nservices: {dinner: 18:00-22:00}\n")
	assert.Contains(t, string(text), `starts: "22:00"`)
}

// Whatever is typed, it is a kitchen or a clear word, never a fall.
func TestStarterTakesAnything(t *testing.T) {
	words := rapid.OneOf(rapid.SampledFrom([]string{"", "20 kg beef", "30 L stock", "stock", "3 kg onions 1.10/kg", "30 L stock at 8 h", "some", "some kg", "400 mL stock", "9.50", "tue", "22:00", "12:00-14:00", "soup", "8", "1 each", "x: y", "# no", "{", "- a"}),
		rapid.String())
	rapid.Check(t, func(t *rapid.T) {
		draw := func(what string) string { return words.Draw(t, what) }
		s := Starter{Name: draw("name"), Open: draw("open"), Lunch: draw("lunch"), Pot: draw("pot"), Days: draw("days"), Lit: draw("lit"), Cooks: rapid.SampledFrom([]string{"", "yes", "no", "maybe"}).Draw(t, "cooks"), Holds: draw("holds"), Pots: draw("pots"),
			In:   []StartIn{{draw("in"), draw("price"), rapid.Bool().Draw(t, "raw")}, {What: draw("in")}},
			Out:  []StartOut{{draw("out"), draw("at")}, {What: draw("out")}},
			Sold: []StartDish{{draw("dish"), draw("price"), draw("takes"), draw("sells")}}}
		text, err := s.Text("Tue 24 Nov 2026")
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		_, faults := Read("kitchen.yaml", text)
		require.NoError(t, faults.Err(), string(text))
	})
}

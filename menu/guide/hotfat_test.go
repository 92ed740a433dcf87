package guide

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"golang.org/x/text/language"

	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

// A station with hot fat, with something shared, or with something that is heated again says so on its own page; another does not.
func TestStationCautions(t *testing.T) {
	const src = `services: {lunch: 12:00-14:00}
vessels: {pan: {holds: 5 L}, deep fryer: {holds: 8 L}}
bought: {back fat: {price: 1/kg, allergens: []}, potato: {price: 1/kg, allergens: []}, beans: {price: 1/kg, allergens: [], may contain: [mustard]}}
steps:
  render: {takes: [2 kg back fat], gives: [1 kg drippings fat], batches: as needed, station: range, vessel: pan}
  chips: {takes: [2 kg potato], gives: [1 kg chips], batches: as needed, station: fryer, vessel: deep fryer, may contain: [fish: cod]}
  warm: {takes: [1 kg beans], gives: [1 kg warm beans], batches: as needed, station: bench, reheats: yes}
dishes: {plate: {price: 4, takes: [10 g drippings fat, 100 g chips, 50 g warm beans], sells: {lunch: 10}}}
`
	g, err := Of(t.Context(), weektest.SmallDays(t, src, 2), language.English)
	require.NoError(t, err)
	got := map[string]Dangers{}
	for _, st := range g.Stations {
		got[st.Name] = st.Dangers
	}
	assert.True(t, got["range"].Fat)
	assert.True(t, got["fryer"].Fat)
	assert.False(t, got["bench"].Fat)
	assert.True(t, got["bench"].Reheats)
	for name, d := range got {
		assert.True(t, d.Cools, "what is made as needed at the %s is kept, and so cooled", name)
	}
	assert.Equal(t, []string{"fish (cod)"}, got["fryer"].May)
	assert.Equal(t, []string{"mustard"}, got["bench"].May)
	page := g.Markdown()
	assert.Equal(t, 3, strings.Count(string(page), tongue.HotFat), "the usual cautions have it, and both stations")
	for _, said := range []string{"May contain fish (cod)", "165"} {
		assert.Contains(t, string(page), said)
	}
}

// The page of the pot has the cautions of the pot alone; what else is done at its station has its own on that one's page. Garlic that is
// cooked in oil has hot fat, though no vessel or heat is named for it.
func TestPotCautions(t *testing.T) {
	const src = `services: {lunch: 12:00-14:00}
vessels: {big pot: {holds: 40 L}}
bought: {bones: {price: 1/kg, allergens: []}, garlic: {price: 9/kg, allergens: []}, olive oil: {price: 9/kg, allergens: []}, celery: {price: 1/kg, allergens: [celery]}}
steps:
  kettle: {takes: [10 kg bones], gives: ["9 kg stock, out at 5 h"], starts: "05:00", batches: {mon-sun: 1}, station: range, vessel: big pot, cooks through: yes}
  confit garlic: {takes: [1 kg garlic, 1.5 kg olive oil], gives: [2 kg garlic oil], batches: {mon: 1}, station: range}
  chop: {takes: [1 kg celery], gives: [1 kg diced], batches: {mon: 1}, station: range}
dishes: {bowl: {price: 4, takes: [300 g stock, 10 g garlic oil, 10 g diced], sells: {lunch: 10}}}
`
	g, err := Of(t.Context(), weektest.SmallDays(t, src, 2), language.English)
	require.NoError(t, err)
	require.NotNil(t, g.Pot)
	require.Equal(t, "kettle", g.Pot.Step)
	assert.Empty(t, g.Pot.dangers.InOil)
	assert.Empty(t, g.Pot.dangers.Allergens)
	assert.True(t, g.Pot.dangers.Heavy)
	require.Len(t, g.Stations, 1)
	assert.Equal(t, []string{"garlic"}, g.Stations[0].Dangers.InOil)
	assert.True(t, g.Stations[0].Dangers.Fat, "a litre and a half of oil is hot there")
	page := string(g.Markdown())
	_, pot, _ := strings.Cut(page, "The pot: kettle")
	pot, _, _ = strings.Cut(pot, "Station: range")
	require.Contains(t, pot, "Steam burns")
	assert.NotContains(t, pot, "botulism")
	assert.Contains(t, page, "botulism")
}

// Fish in which histamine forms is cautioned against where it is cut and where it is named, under each code without the section of another;
// what comes in a can need not come in cold.
func TestHistamineIsSaid(t *testing.T) {
	const src = `services: {lunch: 12:00-14:00}
food code: %s
bought: {tuna loin: {price: 9/kg, raw: yes, allergens: [fish: tuna]}, cod: {price: 9/kg, raw: yes, allergens: [fish: cod]}, canned tuna: {price: 9/kg, allergens: [fish: tuna]}}
steps:
  trim: {takes: [2 kg tuna loin], gives: [1.8 kg steaks], batches: {mon: 1}, station: fish table, cooks through: no}
  fillet: {takes: [2 kg cod], gives: [1.8 kg fillets], batches: {mon: 1}, station: bench, cooks through: no}
dishes: {plate: {price: 4, takes: [10 g steaks, 100 g fillets, 20 g canned tuna], sells: {lunch: 10}}}
`
	for code, cited := range map[string]string{"US FDA Food Code 2022": "3-202.11(A)", "UK": "common practice", "EU": "common practice"} {
		w := weektest.SmallDays(t, strings.Replace(src, "%s", code, 1), 2)
		g, err := Of(t.Context(), w, language.English)
		require.NoError(t, err)
		for _, st := range g.Stations {
			want := []string{}
			if st.Name == "fish table" {
				want = append(want, "tuna loin")
			}
			assert.Equal(t, want, st.Dangers.Histamine, "%s, %s", code, st.Name)
		}
		page := strings.ReplaceAll(string(g.Markdown()), "\u00a0", " ")
		assert.Equal(t, 1, strings.Count(page, "Tuna loin: take it in at 5 °C (41 °F) or colder ("), code)
		assert.Contains(t, page, cited+") and put it into the cold at once", code)
		assert.Equal(t, 1, strings.Count(page, "hold it at 5 °C (41 °F) or colder without a break"), code)
		assert.NotContains(t, page, "Cod: take it in")
	}
}

// The head of a caution stands apart from its text, but not in Chinese, whose colon has its own room.
func TestCautionHeadStandsApart(t *testing.T) {
	w := weektest.ExampleWeek(t, "first-pot")
	for tag, want := range map[language.Tag]string{language.English: "Caution:</strong> Steam", language.Spanish: "Precaución:</strong> El vapor", language.SimplifiedChinese: "注意：</strong>蒸汽"} {
		g, err := Of(t.Context(), w, tag)
		require.NoError(t, err)
		page, err := g.Page(t.Context(), nil)
		require.NoError(t, err)
		assert.Contains(t, string(page), want)
	}
}

// Lime burns where corn is boiled in it, and nowhere behind that; and nobody tends a fire alone where there is one at night: not where a tub
// stands with brine, or something is rinsed.
func TestLimeAndFireAreSaid(t *testing.T) {
	const src = `services: {lunch: 12:00-14:00}
vessels: {corn pot: {holds: 40 L}, tub: {holds: 20 L, burners: 0}, smoker: {holds: 40 L, burners: 0}}
bought: {corn: {price: 1/kg, allergens: []}, cal: {price: 3/kg, allergens: []}, cabbage: {price: 1/kg, allergens: []}, olives: {price: 3/kg, allergens: []}, lye: {price: 4/kg, allergens: []}, shoulder: {price: 4/kg, raw: yes, allergens: []}}
steps:
  boil: {takes: [5 kg corn, 50 g cal], gives: ["5 kg hominy, out at 3 h"], starts: "04:00", batches: {mon-sun: 1}, station: range, vessel: corn pot}
  brine: {takes: [5 kg cabbage], gives: ["5 kg sour cabbage, out at 9 h"], starts: "23:00", batches: {mon: 1}, station: cellar, vessel: tub}
  smoke: {takes: [5 kg shoulder], gives: ["3 kg pulled, out at 9 h"], starts: "23:00", batches: {mon: 1}, station: yard, vessel: smoker, cooks through: yes}
  cure: {takes: [1 kg olives, 20 g lye], gives: ["1 kg cured olives, out at 9 h"], starts: "08:00", batches: {mon: 1}, station: cold room}
  dress: {takes: [3 kg hominy, 300 g cured olives], gives: [3 kg salad], batches: {mon: 1}, station: bench}
made: {cured olives: {keeps: 3 days}, hominy: {keeps: 3 days}, sour cabbage: {keeps: 3 days}, pulled: {keeps: 3 days}, salad: {keeps: 2 days}}
dishes: {bowl: {price: 9, takes: [100 g salad, 20 g sour cabbage, 50 g pulled], sells: {lunch: 10}}}
`
	g, err := Of(t.Context(), weektest.SmallDays(t, src, 2), language.English)
	require.NoError(t, err)
	lime, lye, night := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, st := range g.Stations {
		lime[st.Name], lye[st.Name], night[st.Name] = st.Dangers.Lime, st.Dangers.Lye, st.Dangers.Night
	}
	if g.Pot != nil {
		lime[g.Pot.Station], lye[g.Pot.Station], night[g.Pot.Station] = g.Pot.dangers.Lime, g.Pot.dangers.Lye, g.Pot.dangers.Night
	}
	assert.Equal(t, map[string]bool{"range": true, "cellar": false, "yard": false, "cold room": false, "bench": false}, lime)
	assert.Equal(t, map[string]bool{"range": false, "cellar": false, "yard": false, "cold room": true, "bench": false}, lye)
	assert.Equal(t, map[string]bool{"range": true, "cellar": false, "yard": true, "cold room": false, "bench": false}, night)
	for _, tag := range tongue.Languages {
		g, err := Of(t.Context(), weektest.SmallDays(t, src, 2), tag)
		require.NoError(t, err)
		assert.Contains(t, strings.ToLower(string(g.Markdown())), strings.ToLower(tongue.In(tag).Word(tongue.Lime)), tag)
		assert.Contains(t, strings.ToLower(string(g.Markdown())), strings.ToLower(tongue.In(tag).Word(tongue.Lye)), tag)
	}
}

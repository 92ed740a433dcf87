package clock

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

const stove = `
food code: CODE
services: {lunch: 12:00-14:00}
bought:
  chicken: {price: 4/kg, raw: yes}
  salt:    {price: 1/kg}
steps:
  roast:  {takes: [2 kg chicken], gives: ["1.5 kg roast, out at 2 h"], cooks through: yes, starts: "08:00", batches: {mon: 1}}
  warm:   {takes: [1 kg roast], gives: ["1 kg warm roast, out at 1 h"], reheats: yes, starts: "10:30", batches: {mon: 1}}
  crisp:  {takes: [0.1 kg chicken], gives: [0.02 kg crisp skin], cooks through: yes, batches: {mon: 1}}
  warm up: {takes: [100 g roast], gives: [100 g hot roast], reheats: yes, batches: to order}
  rub:    {takes: [1 kg salt], gives: [1 kg rub], cooks through: yes, batches: {mon: 1}}
made: {crisp skin: {date mark: no}, rub: {date mark: no}}
dishes:
  plate:  {price: 9, takes: [100 g warm roast, 1 g rub, 1 g crisp skin], sells: {lunch: 2}}
  hot:    {price: 9, takes: [100 g hot roast], sells: {lunch: 2}}
  grill:  {price: 9, takes: [200 g chicken], cooks through: yes, sells: {lunch: 2}}
`

// The figures and sections of the published codes, as menu/kitchen/code.go cites them: 3-401.11 (from memory), 3-403.11(A) and
// 3-501.16(A) as Delaware and Wisconsin have adopted them; Schedule 4 of the UK's regulations; regulation 14 of the Scottish ones.
func TestHeat(t *testing.T) {
	cook := []Heat{{On: Cook, Food: "poultry", At: 165, Scale: "F", Section: "3-401.11(A)(3)"},
		{On: Cook, Food: "ground", At: 155, Scale: "F", Seconds: 17, Section: "3-401.11(A)(2)"},
		{On: Cook, Food: "whole", At: 145, Scale: "F", Seconds: 15, Section: "3-401.11(A)(1)"}}
	hot := []Heat{{On: HoldHot, At: 135, Scale: "F", Section: "3-501.16(A)"}}
	for code, want := range map[string]map[string][]Heat{
		"US FDA Food Code 2022": {
			"roast start": cook, "roast take out": hot,
			"warm start": {{On: Reheat, At: 165, Scale: "F", Seconds: 15, Within: 120, By: new("2026-11-23T12:30"), Section: "3-403.11(A), (D)"}}, "warm take out": hot,
			"crisp make":  cook, // it needs no date mark, so no holding
			"lunch serve": cook,
		},
		"UK": {"roast take out": {{On: HoldHot, At: 63, Scale: "C", Section: "Schedule 4"}}, "warm take out": {{On: HoldHot, At: 63, Scale: "C", Section: "Schedule 4"}}},
		"Scotland": {
			"roast take out": {{On: HoldHot, At: 63, Scale: "C", Above: true, Section: "Schedule 4, paragraph 2"}},
			"warm start":     {{On: Reheat, At: 82, Scale: "C", Section: "Schedule 4, paragraph 3"}},
			"warm take out":  {{On: HoldHot, At: 63, Scale: "C", Above: true, Section: "Schedule 4, paragraph 2"}},
		},
		"Codex": { // CXC 39-1993, from memory
			"roast take out": {{On: HoldHot, At: 60, Scale: "C", Section: "serving"}},
			"warm start":     {{On: Reheat, At: 75, Scale: "C", Within: 60, By: new("2026-11-23T11:30"), Section: "reheating"}},
			"warm take out":  {{On: HoldHot, At: 60, Scale: "C", Section: "serving"}},
		},
		"EU": {},
	} {
		if code != kitchen.Codes[0].Name { // it names no temperature for cooking: the rows say so
			for _, row := range []string{"roast start", "crisp make", "lunch serve"} {
				want[row] = []Heat{{On: Cook}}
			}
		}
		want["lunch serve"] = slices.Clone(want["lunch serve"])
		for n := range want["lunch serve"] {
			want["lunch serve"][n].Dishes = []string{"grill"}
		}
		w := weektest.SmallDays(t, replaceOnce(t, stove, "CODE", code), 1)
		a, err := Of(t.Context(), w, nil)
		require.NoError(t, err)
		got := map[string][]Heat{}
		for _, r := range a.Rows {
			if len(r.Heat) > 0 {
				got[r.Step+" "+r.Do] = r.Heat
			}
		}
		assert.Equal(t, want, got, code)
	}
}

// What lies in oil is told on the row on which it is made, with how cold the kitchen's code keeps it, and on its label; to order it is not kept.
func TestInOil(t *testing.T) {
	const oils = `food code: CODE
services: {lunch: 12:00-14:00}
bought: {garlic: {price: 9/kg, allergens: []}, olive oil: {price: 9/kg, allergens: []}}
steps:
  confit: {takes: [1 kg garlic, 2 kg olive oil], gives: [3 kg garlic confit], batches: as needed}
  blend:  {takes: [1 kg garlic, 2 kg olive oil], gives: [3 kg garlic paste], batches: to order}
made: {garlic confit: {keeps: 4 days}, garlic paste: {keeps: 1 day}}
dishes: {bread: {price: 4, takes: [20 g garlic confit, 20 g garlic paste], sells: {lunch: 10}}}
`
	for code, want := range map[string]Heat{
		"US FDA Food Code 2022": {On: InOil, Food: "garlic", At: 41, Scale: "F", Section: "1-201.10(B)"}, // 3-501.16(A)(2) in the state adoptions
		"UK":                    {On: InOil, Food: "garlic", At: 5, Scale: "C"},                          // its 8 °C is warmer than published advice on oils
	} {
		w := weektest.SmallDays(t, replaceOnce(t, oils, "CODE", code), 1)
		a, err := Of(t.Context(), w, nil)
		require.NoError(t, err)
		var got []Heat
		for _, r := range a.Rows {
			got = append(got, r.Heat...)
		}
		assert.Equal(t, []Heat{want}, got, code)
		l, err := LabelsOn(t.Context(), w, []int{0}, tongue.Voice{})
		require.NoError(t, err)
		in := map[string][]string{}
		for _, x := range l.Labels {
			in[x.Item] = x.InOil
		}
		assert.Equal(t, map[string][]string{"garlic confit": {"garlic"}, "garlic paste": nil}, in, code)
	}
}

// What lies in oil has one last day: the earlier of what the file says and the days of the caution on the same label, in what is worked out
// too. Frozen, it keeps what the file says.
func TestInOilOneDate(t *testing.T) {
	const oil = `services: {lunch: 12:00-14:00}
bought: {garlic: {price: 9/kg, allergens: []}, olive oil: {price: 9/kg, allergens: []}}
steps: {confit: {takes: [1 kg garlic, 2 kg olive oil], gives: [3 kg confit], batches: {mon: 1}}}
made: {confit: {KEEPS}}
dishes: {bread: {price: 4, takes: [20 g confit], sells: {lunch: 10}}}
`
	for keeps, want := range map[string]struct {
		last, because string
		walked        int
	}{
		"keeps: 10 days":               {"2026-11-26", "in oil or fat 4 days at most, the day made counted", 4},
		"keeps: 3 days":                {"2026-11-25", "the kitchen keeps it 3 days", 3},
		"strength: 1":                  {"2026-11-26", "in oil or fat 4 days at most, the day made counted", 4},
		"keeps: 10 days, frozen: yes":  {"2026-12-02", "the kitchen keeps it 10 days, frozen", 10},
		"keeps: 9 days, date mark: no": {"2026-11-26", "in oil or fat 4 days at most, the day made counted", 4},
	} {
		w := weektest.SmallDays(t, replaceOnce(t, oil, "KEEPS", keeps), 5)
		l, err := LabelsOn(t.Context(), w, []int{0}, tongue.Voice{})
		require.NoError(t, err)
		require.Len(t, l.Labels, 1, keeps)
		require.NotNil(t, l.Labels[0].UseBy, keeps)
		assert.Equal(t, want.last, *l.Labels[0].UseBy, keeps)
		assert.Contains(t, l.Labels[0].Because, want.because, keeps)
		for i, it := range w.Graph.Items {
			if it.Name == "confit" {
				assert.Equal(t, want.walked, w.Terms.Keeps[i], keeps)
			}
		}
	}
}

// A service names the dishes that are cooked through as they are ordered, those that are served raw, with the section that asks for an
// advisory (3-603.11, from memory), and those of which the file does not say; what comes of a step and is raw says so. One dish's word is
// never another's.
func TestServedRaw(t *testing.T) {
	const counter = `services: {lunch: 12:00-14:00, dinner: 18:00-21:00}
bought:
  tuna: {price: 30/kg, raw: yes, allergens: [fish: tuna]}
  eggs: {price: 9/kg, raw: yes, allergens: [egg]}
  oil:  {price: 9/kg, allergens: []}
steps:
  crack: {takes: [1 kg eggs], gives: [0.9 kg pooled egg], cooks through: no, batches: {mon: 1}}
  whisk: {takes: [0.3 kg pooled egg, 0.7 kg oil], gives: [1 kg sauce], cooks through: no, batches: {mon: 1}}
dishes:
  crudo:    {price: 9, takes: [100 g tuna], cooks through: no, sells: {lunch: 2, dinner: 2}}
  chips:    {price: 9, takes: [30 g sauce], sells: {lunch: 2, dinner: 2}}
  omelette: {price: 9, takes: [100 g pooled egg], cooks through: yes, sells: {lunch: 2}}
  salad:    {price: 9, takes: [10 g oil], sells: {lunch: 2}}
`
	a, err := Of(t.Context(), weektest.SmallDays(t, counter, 1), nil)
	require.NoError(t, err)
	got := map[string][]string{}
	for _, r := range a.Rows {
		for _, h := range r.Heat {
			if h.On != Cook || h.Food == "poultry" {
				got[r.Step] = append(got[r.Step], fmt.Sprint(h.On, h.Dishes, h.Raw, h.Eggs, h.Section))
			}
		}
	}
	eggs := "raw[] [eggs] [eggs]"
	crudo, chips := "served raw[crudo] [tuna] []3-603.11", "unsaid[chips] [eggs] [eggs]"
	assert.Equal(t, map[string][]string{"crack": {eggs}, "whisk": {eggs},
		"lunch": {"cook[omelette] [] []3-401.11(A)(3)", crudo, chips}, "dinner": {crudo, chips}}, got)
}

// What is heated and lies in oil goes into the cold at once: its row does not say that it may be held hot as well.
func TestInOilIsNotHeldHot(t *testing.T) {
	const oils = `services: {lunch: 12:00-14:00}
bought: {garlic: {price: 9/kg, allergens: []}, olive oil: {price: 9/kg, allergens: []}, bones: {price: 1/kg, allergens: []}}
steps:
  confit: {takes: [1 kg garlic, 2 kg olive oil], gives: [3 kg garlic oil], cooks through: yes, batches: {mon: 1}}
  boil:   {takes: [1 kg bones], gives: [1 kg stock], cooks through: yes, batches: {mon: 1}}
dishes: {bread: {price: 4, takes: [20 g garlic oil, 20 g stock], sells: {lunch: 10}}}
`
	a, err := Of(t.Context(), weektest.SmallDays(t, oils, 1), nil)
	require.NoError(t, err)
	got := map[string][]string{}
	for _, r := range a.Rows {
		for _, h := range r.Heat {
			got[r.Step] = append(got[r.Step], h.On)
		}
	}
	assert.Equal(t, map[string][]string{"confit": {InOil}, "boil": {HoldHot}}, got)
}

package show

// Every answer, of example kitchens, held to what must be so of any: it fits the page, says the same in colour and without, uses
// no sign that a plain terminal lacks, and its sheet is a sheet. How each is worded is tested with the commands.

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/draw"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/rescue"
	"kettletree/menu/shop"
	"kettletree/menu/specials"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// now is Tuesday afternoon in the week of the examples.
var now = time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC)

// opened is an example's week from Monday, with what is on hand by its list where it has one.
func opened(t testing.TB, example string) *week.Week {
	t.Helper()
	folder := filepath.Join("..", "..", "..", "examples", example)
	o := menu.Options{Kitchen: menu.File(filepath.Join(folder, "kitchen.yaml")), From: time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), Now: now}
	if list := filepath.Join(folder, "on-hand.csv"); fileThere(list) {
		o.OnHand = menu.File(list)
	}
	w, faults, err := menu.Open(t.Context(), o)
	require.NoError(t, err)
	require.NoError(t, faults.Err())
	return w
}

func fileThere(name string) bool { _, err := os.Stat(name); return err == nil }

// answered is an answer in its forms.
type answered struct {
	text  func(Page) string
	sheet Sheet
	data  any
	says  []string // what must be in the text, by the answer's own figures
}

// must gives a value that came without an error.
func must[V any](v V, err error) V {
	if err != nil {
		panic(err)
	}
	return v
}

// answers are those about a week.
func answers(t *testing.T, w *week.Week, shocks, figure, item string) map[string]answered {
	ctx := t.Context()
	m := MoneyOf(w.Money)
	all := map[string]answered{}
	changes := weektest.Shocks(t, w, shocks)

	what := rescue.WhatIf{Consequences: must(ask.WhatIf(ctx, w, changes))}
	what.Rescue = must(rescue.Find(ctx, w, changes, nil))
	what.Chance = must(ask.Chance(ctx, w, changes, ask.Wager{Draws: 20, Seed: 1}, nil))
	lost := m.Units(what.Totals.ContributionBefore) - m.Units(what.Totals.ContributionAfter)
	all["whatif"] = answered{func(p Page) string { return WhatIf(p, what) }, WhatIfSheet(what), what, []string{m.ShowUnits(max(lost, -lost))}}
	calm := rescue.WhatIf{Consequences: must(ask.WhatIf(ctx, w, nil))}
	all["as planned"] = answered{func(p Page) string { return WhatIf(p, calm) }, WhatIfSheet(calm), calm, []string{m.Show(calm.Totals.ContributionAfter)}}
	all["chance"] = answered{sheet: ChanceSheet(what.Chance), data: what.Chance}

	costs := must(ask.Cost(ctx, w))
	var plates []string
	for _, d := range costs.Dishes {
		plates = append(plates, m.Show(d.PlateCost))
	}
	all["cost"] = answered{func(p Page) string { return Menu(p, costs) }, MenuSheet(costs), costs, plates}
	all["bills"] = answered{func(p Page) string { return Bills(p, costs) }, BillSheet(costs), costs.Steps, nil}
	all["unit costs"] = answered{func(p Page) string { return UnitCosts(p, costs) }, UnitCostSheet(costs), costs.Items, nil}
	all["sways"] = answered{func(p Page) string { return Sways(p, costs) }, SwaySheet(costs), costs.Dishes, nil}
	kilos := must(ask.Kilos(ctx, w))
	all["kilos"] = answered{func(p Page) string { return Kilos(p, kilos) }, KiloSheet(kilos), kilos, nil}
	whys := must(ask.Why(ctx, w, figure, nil))
	all["why"] = answered{func(p Page) string { return Why(p, whys) }, WhySheet(whys), whys, []string{figure}}
	line := must(ask.Trace(ctx, w, item))
	all["trace"] = answered{func(p Page) string { return Trace(p, line) }, TraceSheet(line), line, []string{item}}
	weak := must(ask.Weak(ctx, w, nil))
	all["weak"] = answered{func(p Page) string { return Weak(p, weak, 3) }, WeakSheet(weak), weak, nil}
	ranking := must(ask.Popularity(ctx, w, nil))
	all["popularity"] = answered{func(p Page) string { return Popularity(p, ranking) }, PopularitySheet(ranking), ranking, nil}
	allergens := ask.Allergens(w.Kitchen)
	all["allergens"] = answered{func(p Page) string { return Allergens(p, allergens) }, AllergenSheet(allergens), allergens, nil}

	list := must(shop.ToBuy(ctx, w, shop.BuyOptions{All: true}))
	all["buy"] = answered{func(p Page) string { return Buy(p, list) }, BuySheet(list), list, []string{m.Show(list.Total)}}
	offers := must(specials.Specials(ctx, w, nil, nil))
	all["specials"] = answered{func(p Page) string { return Specials(p, offers) }, SpecialsSheet(offers), offers, nil}
	table := must(clock.Of(ctx, w, nil))
	all["clock"] = answered{func(p Page) string { return Clock(p, table) }, ClockSheet(table), table, nil}
	days := must(clock.MadeDays(ctx, w))
	labels := must(clock.LabelsOn(ctx, w, days, tongue.Voice{}))
	all["labels"] = answered{func(p Page) string { return Labels(p, labels) }, LabelSheet(labels), labels, nil}
	return all
}

// dust is a number with more decimals than anybody measures.
var dusty = regexp.MustCompile(`\d\.\d{6,}|e[-+]\d\d|NaN|Inf|<nil>|%!`)

// hold holds an answer to what must be so of any.
func (a answered) hold(t *testing.T) {
	require.NotEmpty(t, a.sheet)
	names := a.sheet[0]
	assert.Len(t, slices.Compact(slices.Sorted(slices.Values(names))), len(names), "each column has a name of its own")
	assert.NotContains(t, names, "")
	assert.Greater(t, len(a.sheet), 1, "there is something in it")
	for _, row := range a.sheet {
		assert.Len(t, row, len(names))
	}
	text, err := a.sheet.CSV()
	require.NoError(t, err)
	assert.Equal(t, strings.Count(text, "\n"), strings.Count(text, "\r\n"), "RFC 4180")
	back, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	assert.Len(t, back, len(a.sheet))

	said, err := JSON(a.data)
	require.NoError(t, err)
	assert.True(t, json.Valid([]byte(said)))
	assert.True(t, strings.HasSuffix(said, "\n"))
	if a.text == nil {
		return
	}

	plain := a.text(Page{Width: 100})
	for _, want := range a.says {
		assert.Contains(t, strings.ToLower(plain), strings.ToLower(want))
	}
	assert.Empty(t, dusty.FindString(plain))
	assert.NotContains(t, plain, "\x1b")
	for line := range strings.Lines(plain) {
		assert.Equal(t, strings.TrimRight(line, " \n")+"\n", line, "no line ends in spaces, and each ends")
	}
	coloured := a.text(Page{Width: 100, Colour: true})
	assert.Equal(t, plain, regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(coloured, ""), "colour only supports what is there")
	for _, width := range []int{40, 60, 100, 160} {
		page := Page{Width: width}
		assert.LessOrEqual(t, widest(a.text(page)), width, "at %d", width)
	}
	for _, r := range a.text(Page{Width: 80, Plain: true}) {
		if r > 126 && !strings.ContainsRune("°éñ±", r) { // but those of the kitchen file itself
			assert.Fail(t, "a sign that a plain terminal lacks", "%q", r)
			break
		}
	}
}

func TestEveryAnswer(t *testing.T) {
	for _, c := range []struct{ example, shock, figure, item string }{
		{"first-pot", "lose poach chickens@wed", "chicken soup", "chicken"},
		{"three-kettles", "lose night kettle@tue", "red pozole", "kettle stock"},
		{"evergreen-braise", "", "", ""},
	} {
		w := opened(t, c.example)
		if c.shock == "" { // a stock that lives from day to day
			c.shock, c.figure, c.item = "strike "+w.Dishes[0].Name, w.Dishes[0].Name, "master stock"
		}
		for name, a := range answers(t, w, c.shock, c.figure, c.item) {
			t.Run(c.example+" "+name, a.hold)
		}
	}
}

// A banquet, a plan and a service of tonight, of the smallest kitchen and of one whose pot is scarce.
func TestAnswersThatPlan(t *testing.T) {
	w := opened(t, "first-pot")
	m := MoneyOf(w.Money)
	p := must(plan.Make(t.Context(), w, plan.Options{}))
	a := p.Answer()
	t.Run("plan", answered{func(p Page) string { return Plan(p, a) }, PlanSheet(a), a, []string{m.Show(a.Contribution)}}.hold)
	feast := must(shop.ToBuy(t.Context(), w, shop.BuyOptions{All: true, Need: []shop.Need{must(shop.ReadNeed(w, "chicken soup=30"))}}))
	t.Run("banquet", answered{func(p Page) string { return Buy(p, feast) }, BuySheet(feast), feast, []string{"30", m.Show(feast.Banquet.Net)}}.hold)

	o := menu.Options{Kitchen: menu.File("../../../examples/first-pot/kitchen.yaml"), Now: now, From: now.Truncate(24 * time.Hour), Days: 1,
		OnHand: menu.Source{Name: "on-hand.csv", Text: []byte("item,quantity,made\nchicken stock,3 L,2026-11-23\npulled chicken,1 kg,2026-11-24\n")}}
	one, _, err := menu.Open(t.Context(), o)
	require.NoError(t, err)
	tonight := must(plan.ForTonight(t.Context(), one, ""))
	t.Run("tonight", answered{func(p Page) string { return Tonight(p, tonight) }, TonightSheet(tonight), tonight, []string{m.Show(tonight.Contribution)}}.hold)
}

// What is late, and what is to be ready, on a clock.
func TestAnswersByTheClock(t *testing.T) {
	w := opened(t, "three-kettles")
	begin := must(clock.Lit(w, "night kettle@tue=05:40"))
	late := must(clock.IfLit(t.Context(), w, []clock.Beginning{begin}, nil))
	require.NotEmpty(t, late.Late)
	t.Run("lit", answered{func(p Page) string { return Clock(p, late) }, ClockSheet(late), late, []string{late.Late[0].Item}}.hold)
	ready := must(clock.ToBeReady(t.Context(), w, must(clock.Slot(w, "fri dinner"))))
	t.Run("ready", answered{func(p Page) string { return Clock(p, ready) }, ClockSheet(ready), ready, []string{ready.Latest[0].Step}}.hold)

	// Its calendar has an event for each row that has an hour, and its drawing is XML.
	diary := string(Calendar(late))
	assert.True(t, strings.HasPrefix(diary, "BEGIN:VCALENDAR\r\n"))
	assert.Equal(t, strings.Count(diary, "BEGIN:VEVENT"), strings.Count(diary, "END:VEVENT"))
	wellFormed(t, draw.RenderLanes(Lanes(late)))

	logs, faults := kitchen.ReadCooling("cooling.csv", must(os.ReadFile("../../../examples/three-kettles/cooling.csv")), w.Kitchen, nil)
	require.NoError(t, faults.Err())
	for _, air := range []*kitchen.Degrees{nil, new(must(kitchen.ReadDegrees("3 C")))} {
		cooled := clock.JudgeCooling(w.Code, logs, air, nil, time.Time{}, tongue.Voice{})
		a := answered{func(p Page) string { return Cooling(p, cooled) }, CoolingSheet(cooled), cooled, []string{cooled.Items[0].Item}}
		t.Run(fmt.Sprintf("cooling, air known %t", air != nil), a.hold)
		wellFormed(t, CoolingCurves(tongue.Voice{}, cooled))
	}
	labels := must(clock.LabelsOn(t.Context(), w, must(clock.MadeDays(t.Context(), w)), tongue.Voice{}))
	page := must(LabelPage(Page{}, labels))
	for _, l := range labels.Labels {
		assert.Contains(t, string(page), l.Item)
	}
}

// wellFormed wants a drawing to be XML.
func wellFormed(t *testing.T, svg []byte) {
	t.Helper()
	for d := xml.NewDecoder(bytes.NewReader(svg)); ; {
		if _, err := d.Token(); err == io.EOF {
			return
		} else if !assert.NoError(t, err) {
			return
		}
	}
}

// A log book of three weeks: its entries, what the days cost, what batches gave, what sells, and where a lot went.
func TestAnswersOfTheLogBook(t *testing.T) {
	ctx := t.Context()
	src := must(os.ReadFile("../../../examples/first-pot/kitchen.yaml"))
	k, faults := kitchen.Read("kitchen.yaml", src)
	require.NoError(t, faults.Err())
	j := must(logbook.Open(ctx, filepath.Join(t.TempDir(), "kitchen.logbook")))
	defer func() { _ = j.Close() }()
	write := func(day, hour int, kind logbook.Kind, text string) {
		e := must(logbook.Parse(k, kind, text))
		e.At = time.Date(2026, 11, day, hour, 0, 0, 0, time.UTC)
		e.Written = e.At
		must(j.Append(ctx, e))
	}
	for n, day := range []int{3, 4, 5, 6, 10, 11, 12, 13, 17, 18, 19, 20} {
		write(day, 7, logbook.Received, fmt.Sprintf("8 each chicken for 67.20 from farm lot F%d", day))
		write(day, 9, logbook.Cooked, fmt.Sprintf("poach chickens gives %.1f L chicken stock, %.2f kg pulled chicken", 7+0.1*float64(n%4), 2.1+0.02*float64(n%3)))
		write(day, 14, logbook.Sold, fmt.Sprintf("%d chicken soup at lunch", 14+n%5))
		write(day, 15, logbook.Binned, "0.5 L chicken stock, cloudy")
	}
	entries := must(j.Entries(ctx))
	stock := must(j.OnHand(ctx, k, now))
	lines := logbook.Lines(k, stock, nil, entries)
	t.Run("log", answered{func(p Page) string { return Log(p, &logbook.Log{Entries: lines}) }, LogSheet(lines), lines, []string{"poach chickens", "lot F3"}}.hold)
	said := must(JSONLines(lines))
	assert.Equal(t, len(lines), strings.Count(said, "\n"), "one JSON object per line")
	for one := range strings.Lines(said) {
		assert.True(t, json.Valid([]byte(one)))
	}
	was := must(j.AsItWas(ctx, k, now, time.Date(2026, 11, 17, 0, 0, 0, 0, time.UTC), time.Date(2026, 11, 21, 0, 0, 0, 0, time.UTC)))
	t.Run("as it was", answered{func(p Page) string { return AsItWas(p, was) }, AsItWasSheet(was), was, []string{"chicken soup"}}.hold)
	forecast := must(j.Forecast(ctx, k, now, time.Time{}))
	t.Run("forecast", answered{func(p Page) string { return Forecast(p, forecast) }, ForecastSheet(forecast), forecast, []string{"chicken soup"}}.hold)
	yields := must(j.Yields(ctx, k, logbook.About{Step: -1, Output: -1}))
	t.Run("yields", answered{func(p Page) string { return Yields(p, yields) }, YieldsSheet(yields), yields, []string{"chicken stock"}}.hold)
	wellFormed(t, YieldCharts(&yields.Steps[0]))
	lot := must(j.TraceLot(ctx, k, "F18", now))
	t.Run("lot", answered{func(p Page) string { return Lot(p, lot) }, LotSheet(lot), lot, []string{"F18"}}.hold)
	proposal, text, err := logbook.Propose(k, src, yields)
	require.NoError(t, err)
	require.NotEqual(t, src, text)
	for _, width := range []int{40, 100} {
		p := Page{Width: width}
		assert.NotEmpty(t, Proposal(p, proposal))
		assert.LessOrEqual(t, widest(Applied(p, proposal.Kitchen, proposal.Diff != "", proposal.Written)), width)
	}
}

// A fault of a kitchen file is a row with its place.
func TestFaultsAreRows(t *testing.T) {
	_, found := kitchen.Read("kitchen.yaml", []byte("kitchen: Small\nservices: {lunch: 11:30-14:30}\nbought: {hen: {price: cheap}}\n"))
	require.Error(t, found.Err())
	sheet := FaultSheet(FaultsOf("kitchen.yaml", found))
	require.Len(t, sheet, 1+len(found))
	assert.Contains(t, sheet[1], "3")
	said := must(JSON(FaultsOf("kitchen.yaml", found)))
	assert.Contains(t, said, found[0].ID)
}

package show

// The plan: what it earns, then day by day what to buy, cook and sell, then what is left and what more would bring.

import (
	"fmt"
	"math"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/plan"
)

// Plan lays the plan out.
func Plan(p Page, a *plan.Answer) string {
	m := MoneyOf(a.Money)
	var b strings.Builder
	if a.Chance != nil {
		b.WriteString(p.text(0, chanceAnswer(a.Chance, m)) + "\n")
	}
	b.WriteString(p.text(0, planAnswer(a, m)))
	section := func(s string) {
		if s != "" {
			b.WriteString("\n" + s)
		}
	}
	section(departures(p, a.Departures, m))
	section(planCook(p, a))
	section(shares(p, a.Shares.Sentences()))
	section(planBuy(p, a, m))
	section(planSell(p, a))
	section(apart(p, a.Apart, m))
	section(planItems(p, a, m))
	section(binding(p, a.Binds, m))
	section(planMoney(p, a, m))
	if a.Chance != nil {
		b.WriteString(chanceTables(p, a.Chance, m))
	}
	return b.String() + notes(p, a.Notes)
}

func planAnswer(a *plan.Answer, m Money) string {
	switch {
	case a.Nothing != "":
		return "Nothing can be sold: " + a.Nothing + "."
	case a.Repeats != nil:
		return repeatAnswer(a, m)
	case a.Stands:
		return standingAnswer(a, m)
	}
	text := fmt.Sprintf("This plan earns %s of contribution", m.Name(a.Contribution))
	switch more := m.Units(a.Contribution) - m.Units(a.Standing); {
	case more > 0:
		text += fmt.Sprintf(", %s more than the standing week", m.NameUnits(more))
	case more < 0:
		text += fmt.Sprintf(", %s less than the standing week", m.NameUnits(-more))
	}
	switch gain := m.Units(a.After); {
	case gain > 0:
		text += fmt.Sprintf("; the %d days after gain %s by it", a.DaysAfter, m.NameUnits(gain))
	case gain < 0:
		text += fmt.Sprintf("; the %d days after lose %s by it", a.DaysAfter, m.NameUnits(-gain))
	}
	text += "."
	other, after := "other plan", "" // the standing week may well earn more by itself, off its cards or at the cost of the days after
	if m.Units(a.Contribution)+m.Units(a.After) < m.Units(a.Standing) {
		text += " " + lessFor(a)
		other += " that keeps to the cards as far"
	}
	if a.DaysAfter > 0 {
		after = " with the days after"
	}
	switch {
	case a.Bound == nil:
	case m.Units(*a.Bound) <= m.Units(a.Contribution):
		text += fmt.Sprintf(" No %s earns more%s, specials apart.", other, after)
	default:
		text += fmt.Sprintf(" An%s could earn at most %s more%s.", other, m.NameUnits(m.Units(*a.Bound)-m.Units(a.Contribution)), after)
	}
	return text + playedOut(a)
}

// playedOut says that every way to cook was played, where that is why nothing better is there.
func playedOut(a *plan.Answer) string {
	if a.Ways == 0 {
		return ""
	}
	return fmt.Sprintf(" All %d ways to cook were played.", a.Ways)
}

// standingAnswer is said where nothing better was found than the standing week.
func standingAnswer(a *plan.Answer, m Money) string {
	text := fmt.Sprintf("Cook the standing week as it is: it earns %s of contribution", m.Name(a.Contribution))
	after := ""
	if a.DaysAfter > 0 {
		after = ", with the days after it"
	}
	switch {
	case a.Bound != nil && m.Units(*a.Bound) <= m.Units(a.Contribution):
		return text + ". No plan earns more" + after + " and specials apart." + playedOut(a)
	case a.Bound != nil:
		return text + fmt.Sprintf(". No plan was found that earns more%s; none could earn more than %s%s.", after, m.Name(*a.Bound), above(a))
	}
	return text + ". No plan was found that earns more" + after + "."
}

// early is the share of what it could earn that the first week may lack of it, for a week that repeats to begin at once.
const early = 0.005

// repeatAnswer says what a week comes to that feeds itself.
func repeatAnswer(a *plan.Answer, m Money) string {
	r := a.Repeats
	text := fmt.Sprintf("Cooked week after week, this week feeds itself and earns %s of contribution a week", m.Name(r.Earns))
	if len(r.Falls) > 0 {
		text = fmt.Sprintf("Cooked week after week, this week earns %s of contribution a week", m.Name(r.Earns))
	}
	switch more := m.Units(r.Earns) - m.Units(r.Standing); {
	case a.Stands:
		text += ". It is the standing week as it is: no change of a batch was found that earns more"
	case more > 0:
		text += fmt.Sprintf(", %s more than the standing week", m.NameUnits(more))
	case more < 0:
		text += fmt.Sprintf(", %s less than the standing week. %s", m.NameUnits(-more), strings.TrimSuffix(lessFor(a), "."))
	}
	if r.First < r.Alone-early*math.Abs(r.Alone) {
		text += fmt.Sprintf(". Begin it after a week that is planned by itself: with what is on hand now, its first week earns %s, one planned by itself %s.",
			m.Name(r.First), m.Name(r.Alone))
	} else {
		text += fmt.Sprintf(". It can begin with what is on hand now: its first week earns %s.", m.Name(r.First))
	}
	var falls []string
	for _, f := range r.Falls {
		falls = append(falls, things(f.Quantity, f.Unit, f.Item, ""))
	}
	if falls != nil {
		text += " It does not feed itself: each week ends with less than it begins with of " + list(falls) + "."
	}
	return text
}

// above says how far above a plan its bound lies, where that can be said.
func above(a *plan.Answer) string {
	if a.Gap == nil || percent(*a.Gap) == percent(0) { // nothing is earned that it could be a share of, or it is too small a one
		return ""
	}
	return fmt.Sprintf(", %s above it", percent(*a.Gap))
}

// mostSpared is how many dishes are named that keep to their cards.
const mostSpared = 2

// lessFor says for what a plan, with the days after, earns less than the standing week: "It keeps to the cards where that week does not:
// crisp shoulder tacos have their kettle jelly, 52 portions more."
func lessFor(a *plan.Answer) string {
	var kept []string
	for _, d := range a.Spared {
		if d.Portions && len(kept) < mostSpared {
			kept = append(kept, fmt.Sprintf("%s with %s, %s more", d.In, d.For, plural(int(math.Round(d.Count)), "portion", "portions")))
		}
	}
	if kept == nil {
		return "That is for what you asked for, and to keep to the cards."
	}
	return "It keeps to the cards where that week does not: " + list(kept) + "."
}

func planCook(p Page, a *plan.Answer) string {
	t := table{columns: append(append(words("cook"), numbers("batches", "standing week", "starts")...), words("vessel")...)}
	day := ""
	for _, c := range a.Cook {
		if c.Date != day {
			day = c.Date
			t.heading(weekday(day))
		}
		t.add(c.Step, Cooked(c), measure.FormatNumber(c.Standing), c.Starts, c.Vessel)
	}
	return t.on(p) + asNeeded(p, a.Needed)
}

// asNeeded says of each step that is made as needed on which days, as a prep list has it: "Red chile base: Tue 1, Thu 0.5".
func asNeeded(p Page, list []plan.Needed) string {
	var b strings.Builder
	for at := 0; at < len(list); {
		var days []string
		step := list[at].Step
		for ; at < len(list) && list[at].Step == step; at++ {
			days = append(days, strings.Fields(weekday(list[at].Date))[0]+" "+measure.FormatNumber(math.Round(100*list[at].Batches)/100))
		}
		b.WriteString(p.text(2, fmt.Sprintf("%s: %s", capital(step), strings.Join(days, ", "))))
	}
	if b.Len() == 0 {
		return ""
	}
	return "\n" + p.heading("Batches as needed") + b.String()
}

// Cooked is how many batches are made: "1", or "0.98 of 1" where there is not enough for all of it.
func Cooked(c plan.Cook) string {
	if made := math.Round(c.Made*100) / 100; made < c.Batches {
		return measure.FormatNumber(made) + " of " + measure.FormatNumber(c.Batches)
	}
	return measure.FormatNumber(c.Batches)
}

func planBuy(p Page, a *plan.Answer, m Money) string {
	t := table{columns: append(words("buy"), numbers("amount", "packs", "cost"+m.in())...)}
	group := ""
	for _, b := range a.Buy {
		head := weekday(b.Date)
		if b.From != "" {
			head += ", " + b.From
		}
		if head != group {
			group = head
			t.heading(head)
		}
		packs := ""
		if b.Packs > 0 {
			packs = count(b.Packs)
		}
		t.add(b.Item, amount(b.Quantity, b.Unit), packs, m.Show(b.Cost))
	}
	return t.on(p)
}

// planSell lists what is sold less of than forecast, and the specials; what sells as forecast is only counted.
func planSell(p Page, a *plan.Answer) string {
	t := table{columns: append(words("sell"), numbers("portions", "forecast")...)}
	for at := 0; at < len(a.Sell); {
		end, full := at, 0
		head := weekday(a.Sell[at].Date) + ", " + a.Sell[at].Service
		t.heading(head)
		for ; end < len(a.Sell) && weekday(a.Sell[end].Date)+", "+a.Sell[end].Service == head; end++ {
			switch s := a.Sell[end]; {
			case s.Special:
				t.add(s.Dish+" (special)", count(s.Portions), count(s.Forecast))
			case s.Portions < s.Forecast:
				t.add(s.Dish, count(s.Portions), count(s.Forecast))
			default:
				full++
			}
		}
		at = end
		if full > 0 {
			t.remark(plural(full, "dish as forecast", "dishes as forecast"))
		}
	}
	return t.on(p)
}

func planItems(p Page, a *plan.Answer, m Money) string {
	t := table{columns: append(words("on hand"), numbers("at first", "worth"+m.in(), "at the end", "worth"+m.in(), "binned")...)}
	worth := func(of, money float64) string {
		if of == 0 && m.Units(money) == 0 {
			return ""
		}
		return m.Show(money)
	}
	for _, it := range a.Items {
		t.add(it.Name, orNothing(it.First, it.Unit), worth(it.First, it.Was), orNothing(it.Left, it.Unit), worth(it.Left, it.Value), orNothing(it.Binned, it.Unit))
	}
	return t.on(p)
}

// binding says what one more of something would bring.
func binding(p Page, binds []plan.Bind, m Money) string {
	if len(binds) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(p.heading("What's holding you back"))
	for _, x := range binds {
		what := "one more guest for " + x.What
		if x.Unit != "" {
			what = fmt.Sprintf("one more %s of %s", x.Unit, x.What)
			if x.Unit == "each" {
				what = "one more " + x.What
			}
		}
		b.WriteString(p.text(2, fmt.Sprintf("%s at %s would bring %s", what, x.When, m.Name(x.Money))))
	}
	return b.String()
}

func planMoney(p Page, a *plan.Answer, m Money) string {
	t := table{columns: append(words("total"), numbers(strings.TrimPrefix(m.in(), ", "))...)}
	parts := m.Parts(a.Sales, -a.Bought, -a.Labour, -a.Disposal, a.Stock)
	cash := m.Units(a.Contribution) - parts[len(parts)-1]
	for n, name := range []string{"sales", "bought", "labour and fuel", "disposal", "change in inventory"} {
		if n == len(parts)-1 {
			t.add("cash", m.ShowUnits(cash))
		}
		if parts[n] != 0 || name != "disposal" {
			t.add(name, m.ShowUnits(parts[n]))
		}
	}
	t.add("contribution", m.Show(a.Contribution))
	return t.on(p)
}

// PlanSheet has a row for each thing to cook, buy and sell; where chance is asked for, the rows of [ChanceSheet].
func PlanSheet(a *plan.Answer) (s Sheet) {
	if a.Chance != nil {
		return ChanceSheet(a.Chance)
	}
	s.add("do", "date", "service", "name", "quantity", "unit", "starts", "vessel", "from", "packs", "cost")
	for _, c := range a.Cook {
		s.add("cook", c.Date, "", c.Step, c.Made, "batch", c.Starts, c.Vessel, "", "", "")
	}
	for _, c := range a.Needed {
		s.add("cook", c.Date, "", c.Step, c.Batches, "batch", "", "", "", "", "")
	}
	for _, b := range a.Buy {
		s.add("buy", b.Date, "", b.Item, b.Quantity, b.Unit, "", "", b.From, b.Packs, b.Cost)
	}
	for _, x := range a.Sell {
		s.add("sell", x.Date, x.Service, x.Dish, x.Portions, "portion", "", "", "", "", "")
	}
	if a.Apart != nil {
		for _, x := range a.Apart.Offers {
			s.add("offer", x.Date, x.Service, x.Dish, x.Portions, "portion", "", "", "", "", "")
		}
		for _, b := range a.Apart.Buy {
			s.add("buy for offers", b.Date, "", b.Item, b.Quantity, b.Unit, "", "", b.From, b.Packs, b.Cost)
		}
	}
	return s
}

// PlanProposal lays out the change of the standing week. The difference stands as it is, so that it can be used.
func PlanProposal(p Page, a *plan.Proposal) string {
	var b strings.Builder
	for _, c := range a.Changes {
		b.WriteString(p.text(0, fmt.Sprintf("%s on %s: %s, was %s", c.Step, c.Day, batchesOf(c.Becomes), measure.FormatNumber(c.Was))))
	}
	if a.Diff != "" {
		b.WriteString("\n" + a.Diff)
	}
	return b.String() + notes(p, a.Notes)
}

// batchesOf is a number of batches: "1 batch", "0.5 batches".
func batchesOf(n float64) string {
	if n == 1 {
		return "1 batch"
	}
	return measure.FormatNumber(n) + " batches"
}

package plan

// Buying elsewhere: what a plan goes without for lack of a delivery, where the file says who else sells it.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// least is the money that buying elsewhere must bring before a plan speaks of it.
const least = 1

// elsewhere says what a plan would earn more with what another than the usual supplier sells, at that one's price and in its packs, on
// days on which it can still be had.
func (m *model) elsewhere(p *Plan) (notes []string) {
	player := m.Player()
	for item, sources := range m.Sources {
		sources = slices.SortedStableFunc(slices.Values(sources), func(a, b kitchen.Source) int { return cmp.Compare(a.Price, b.Price) })
		for _, s := range sources {
			came := make([]float64, m.Days)
			for _, d := range p.Outcome.Deliveries {
				if d.Item == item {
					came[d.Day] -= d.Amount
				}
			}
			offered := p.Case.With(flow.Offer{Item: item, Days: m.soldOn(s), Pack: m.Pieces(item, s)})
			for _, d := range player.Play(offered, nil).Deliveries {
				if d.Item == item {
					came[d.Day] += d.Amount
				}
			}
			var brings []flow.Shock
			var parts []string
			for day, more := range came {
				if more > Crumb*m.g.Items[item].Unit.Factor {
					brings = append(brings, flow.Bring{Item: item, Day: day, Amount: more, Price: s.Price})
					parts = append(parts, fmt.Sprintf("%s on %s", m.Quantity(item, more), m.DayName(day)))
				}
			}
			if brings == nil {
				continue
			}
			c := p.Case.With(brings...)
			if more := m.worth.Books(c, player.Play(c, nil)).Contribution - p.Contribution; more >= least {
				notes = append(notes, fmt.Sprintf("%s from %s would bring %.2f more: %s", m.g.Items[item].Name, m.SourceText(item, s), more,
					strings.Join(parts, ", ")))
				break
			}
		}
	}
	return notes
}

// soldOn are the days on which something can be had of a source, if it is asked for now.
func (m *model) soldOn(s kitchen.Source) []bool {
	days := make([]bool, m.Days)
	for d := range days {
		days[d] = m.ComesOn(d, s) && (s.Within > 0 || m.InTime(d, s, m.Now))
	}
	return days
}

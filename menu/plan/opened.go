package plan

// Packs and pieces that the model does not count: what it buys as it is needed is bought whole all the same.

// opened is what the packs and pieces of a plan can cost at most beyond what is used of them, where the model has them bought to the
// gram: one for each item and day.
func (m *model) opened(p *Plan) (money float64) {
	terms := p.Case.Flow.Terms()
	for _, d := range p.Outcome.Deliveries {
		if pack := terms.Pack[d.Item]; pack > 0 && m.pack[d.Item] == 0 {
			money += pack * (terms.Price[d.Item] + m.worth.Disposal(p.Case.Flow, d.Item))
		}
	}
	return money
}

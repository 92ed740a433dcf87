package plan

// What a plan would earn with what is scarce shared out best.

import (
	"context"
	"fmt"

	"kettletree/menu/week"
)

// shared says what the same batches and orders would earn with what is scarce going where it earns most, as the rule "best" has it. A
// plan that is kept is served dish by dish alike, and every line by its card; a stand-in that goes out while there is still some of the
// first choice, so that a dish that has none gets that, is nothing that it can hold. So a plan may earn less than can be done of it, and
// says so.
func (p *Plan) shared(ctx context.Context) []string {
	m := p.m
	if len(m.fills) == 0 || !p.short() || ctx.Err() != nil {
		return nil
	}
	best, err := Make(ctx, m.Week.By(week.Fair).With(p.Case), Options{Held: true})
	if err != nil || best.Contribution < p.Contribution+least {
		return nil // nothing is said that was not played
	}
	return []string{fmt.Sprintf("the same cooking earns %.2f more where what is scarce goes to the dish that earns most, with a stand-in first where that helps: "+
		"--rule best says how, and tonight for one service", best.Contribution-p.Contribution)}
}

// short tells whether somebody goes without.
func (p *Plan) short() bool {
	asked := p.Case.Schedule.Asked()
	for at, served := range p.Outcome.Served {
		if served < asked[at]-whole {
			return true
		}
	}
	return false
}

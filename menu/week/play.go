package week

// The way to a walk.

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"

	"kettletree/graph/flow"
)

// Played is a case with what it came to.
type Played struct {
	Case     flow.Case
	Schedule *flow.Schedule // as it was played: the case's, or what the rule made of it
	Outcome  *flow.Outcome
	Costing  *flow.Costing
	Record   *flow.Record
	Books    Books
	Notes    []string // what the rule has to say of it
}

// Play plays the week with shocks; without any, as it stands.
func (w *Week) Play(ctx context.Context, shocks ...Shock) (*Played, error) {
	_, after, err := w.Compare(ctx, shocks...)
	return after, err
}

// Compare plays the week as it stands, and with shocks. Without shocks both are the same.
func (w *Week) Compare(ctx context.Context, shocks ...Shock) (before, after *Played, err error) {
	if before, err = w.asItStands(ctx); err != nil || len(shocks) == 0 {
		return before, before, err
	}
	var foreseen, mishaps []flow.Shock
	for _, s := range shocks {
		if s.foreseen {
			foreseen = append(foreseen, s.Changes...)
		} else {
			mishaps = append(mishaps, s.Changes...)
		}
	}
	c, ordered := w.Case, before.Outcome
	if len(foreseen) > 0 {
		c = c.With(foreseen...)
		foreseen, err := w.PlayCase(ctx, c, before.Outcome)
		if err != nil {
			return nil, nil, err
		}
		ordered = foreseen.Outcome
	}
	if len(mishaps) == 0 {
		after, err = w.PlayCase(ctx, c.Ordering(ordered), before.Outcome)
	} else {
		after, err = w.PlayCase(ctx, w.Struck(c, ordered, mishaps...), before.Outcome)
	}
	return before, after, err
}

// calm keeps how a week plays as it stands, for all that is asked of the same week, at once or one after another.
type calm struct {
	mu       sync.Mutex
	of       Week // by which it was played
	asPlayed *Played
}

// calmDays is how many days a week has at most whose play is kept: that of a year takes many MB.
const calmDays = 35

// asItStands plays the week without shocks, or takes what is kept of it. Nobody changes what was played.
func (w *Week) asItStands(ctx context.Context) (*Played, error) {
	k := w.calm
	if k == nil || w.Rule.Plans() || w.Days > calmDays {
		return w.PlayCase(ctx, w.Case, nil)
	}
	k.mu.Lock()
	played := k.asPlayed
	same := played != nil && k.of.Kitchen == w.Kitchen && k.of.Case == w.Case && k.of.standing == w.standing && k.of.Rule.String() == w.Rule.String()
	k.mu.Unlock()
	if same {
		return played, context.Cause(ctx)
	}
	played, err := w.PlayCase(ctx, w.Case, nil)
	if err != nil {
		return nil, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	k.of, k.asPlayed = *w, played
	return played, nil
}

// PlayCase plays a case that no shock words, and costs it by the amounts of an outcome; nil for its own.
func (w *Week) PlayCase(ctx context.Context, c flow.Case, amounts *flow.Outcome) (*Played, error) {
	if err := context.Cause(ctx); err != nil {
		return nil, err
	}
	p := &Played{Case: c, Record: &flow.Record{Movements: true}}
	var err error
	if p.Schedule, p.Notes, err = w.Rule.Direct(ctx, w, c); err != nil {
		return nil, err
	}
	p.Outcome = c.Flow.Walk(p.Schedule, w.Rule.Ration(), p.Record)
	if amounts == nil {
		amounts = p.Outcome
	}
	if p.Costing, err = c.Flow.Cost(amounts); err != nil {
		return nil, w.Named(err)
	}
	worth, err := w.Worth()
	if err != nil {
		return nil, err
	}
	p.Books = worth.Books(c, p.Outcome)
	return p, nil
}

// Directed is the week as its rule directs it, under a rule that does not plan: what is sold at each service, and how lines
// are filled, is decided. It is the week itself under a rule that decides as it goes.
func (w *Week) Directed(ctx context.Context) (*Week, error) {
	if !w.Rule.Plans() {
		return w, nil
	}
	s, notes, err := w.Rule.Direct(ctx, w, w.Case)
	if err != nil {
		return nil, err
	}
	directed := w.By(Fair).With(flow.Case{Flow: w.Case.Flow, Schedule: s})
	directed.Notes = slices.Concat(w.Notes, notes)
	return directed, nil
}

// Player plays one case of a week after another, in memory of its own, for studies that play many ([Week.Quick]). It must
// not be shared between goroutines.
type Player struct {
	ration flow.Ration
	walker *flow.Walker
}

// Player is a player of the week's cases. It is a mistake to ask for one under a rule that plans.
func (w *Week) Player() *Player {
	if w.Rule.Plans() {
		panic("mistake: a player under the rule " + w.Rule.String() + ", which plans each case")
	}
	return &Player{ration: w.Rule.Ration()}
}

// Play plays a case. The outcome is valid until the player plays again; a record, when there is one, is filled with the
// reasons.
func (p *Player) Play(c flow.Case, rec *flow.Record) *flow.Outcome {
	p.walker = p.walker.For(c.Flow) // a case with other prices or yields has a flow of its own
	return p.walker.Walk(c.Schedule, p.ration, rec)
}

// Trunk is a case of the week walked once, for those who play many that differ little from it. ordered says that they may be such
// as are struck ([Week.Struck]); the case is then one to which all that it needs comes in any case.
func (w *Week) Trunk(c flow.Case, ordered bool) *flow.Trunk {
	return flow.NewTrunk(c, w.Rule.Ration(), ordered)
}

// Fork plays a case as [Player.Play] does, from where it parts from a trunk, as far as the difference reaches. With a record it
// plays all of what that reaches; the record tells nothing of the rest.
func (p *Player) Fork(t *flow.Trunk, c flow.Case, rec *flow.Record) *flow.Outcome {
	p.walker = p.walker.For(c.Flow)
	return p.walker.Fork(t, c, rec)
}

// Mishaps plays one mishap after another against the week as it stands, for those who ask of each no more than what is made and
// sold. It must not be shared between goroutines.
type Mishaps struct {
	*Week
	before *Played
	trunk  *flow.Trunk
	player *Player
}

// Mishaps makes ready to play them.
func (w *Week) Mishaps(ctx context.Context) (*Mishaps, error) {
	before, err := w.Play(ctx)
	if err != nil || w.Rule.Plans() {
		return &Mishaps{Week: w, before: before}, err
	}
	return &Mishaps{Week: w, before: before, trunk: w.Trunk(w.Case.Ordering(before.Outcome), true), player: w.Player()}, nil
}

// Compare is what the week comes to as it stands, and with a mishap, as [Week.Compare] has it. The outcome with it is valid until
// the next.
func (m *Mishaps) Compare(ctx context.Context, mishap Shock) (before, after *flow.Outcome, err error) {
	if m.trunk != nil && !mishap.foreseen {
		c := m.StruckFrom(m.trunk, m.before.Outcome, mishap.Changes...)
		return m.before.Outcome, m.player.Fork(m.trunk, c, nil), context.Cause(ctx)
	}
	_, played, err := m.Week.Compare(ctx, mishap)
	if err != nil {
		return nil, nil, err
	}
	return m.before.Outcome, played.Outcome, nil
}

// Apart is from which minute on, and until which, the last fork went otherwise than its trunk, but for what can always be had.
func (p *Player) Apart() (from, until int) { return p.walker.Apart() }

// Named puts names into an error of the flow.
func (w *Week) Named(err error) error {
	if u, ok := errors.AsType[*flow.UnproductiveError](err); ok {
		return fmt.Errorf("%q takes at least as much from yesterday as its batches give: its cost would grow for ever; let a batch give more of it than it takes",
			w.Graph.Items[u.Item].Name)
	}
	return err
}

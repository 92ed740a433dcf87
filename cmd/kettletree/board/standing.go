package board

// Answers about a week as it stands, without any change: each is worked out once, whichever pages and what-ifs ask for it.

import (
	"context"

	"kettletree/menu/ask"
	"kettletree/menu/clock"
)

// mostStanding is how many such answers are kept.
const mostStanding = 32

// standing is an answer about the week that the page asks about. Nobody changes what is kept: what a page adds stands in a value of its
// own.
func standing[T any](ctx context.Context, a *asked, what string, work func(context.Context) (T, error)) (answer T, err error) {
	found, err := a.board.standing.get(ctx, a.Opened.key+" "+what, func(ctx context.Context) (any, error) { return work(ctx) })
	if err != nil {
		return answer, err
	}
	return found.(T), nil
}

// rows are what is to be done, without what cannot be.
func (a *asked) rows(ctx context.Context) (*clock.Timetable, error) {
	return standing(ctx, a, "rows", func(ctx context.Context) (*clock.Timetable, error) { return clock.Rows(ctx, a.Week, nil) })
}

// asItStands is what comes of the week when nothing changes.
func (a *asked) asItStands(ctx context.Context) (*Follows, error) {
	return standing(ctx, a, "follows", func(ctx context.Context) (*Follows, error) { return a.follow(ctx, nil) })
}

// lastDays are what must be used today.
func (a *asked) lastDays(ctx context.Context) ([]ask.LastDay, error) {
	return standing(ctx, a, "last days", func(ctx context.Context) ([]ask.LastDay, error) { return ask.LastDays(ctx, a.Week, a.today()) })
}

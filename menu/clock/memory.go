package clock

import (
	"context"

	"kettletree/menu/clock/roster"
)

// Memory keeps how work was given to hands, for questions in which the work is the same.
type Memory = roster.Memory

type memoryKey struct{}

// Remembering has all that is asked with a context go by a memory.
func Remembering(ctx context.Context, m *Memory) context.Context {
	return context.WithValue(ctx, memoryKey{}, m)
}

// memoryOf is the memory of a context; nil for none.
func memoryOf(ctx context.Context) *Memory {
	m, _ := ctx.Value(memoryKey{}).(*Memory)
	return m
}

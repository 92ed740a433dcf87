package kitchen

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What other lists say of a card that is set aside waits with it: words in other languages, and the dish whose guests another takes.
func TestOthersWaitWithACardThatIsSetAside(t *testing.T) {
	src, err := os.ReadFile("../../examples/three-kettles/kitchen.yaml")
	require.NoError(t, err)
	for _, line := range []string{"takes:  [80 g pulled hen, 30 g red base,", "takes:   [9 kg pork shoulder]"} {
		text := strings.Replace(string(src), line, strings.Replace(line, "[", "[something, ", 1), 1)
		require.NotEqual(t, string(src), text, line)
		_, faults := Read("kitchen.yaml", []byte(text))
		for _, f := range faults {
			assert.Equal(t, Warning, f.Severity, f.Msg)
		}
	}
}

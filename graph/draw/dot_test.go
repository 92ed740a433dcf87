package draw

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files again")

func TestDOT(t *testing.T) {
	tone := shockedPicture(t)
	tone.ToneMeans = "plate cost"
	for name, p := range map[string]Picture{
		"cantina": cantinaPicture(t), "shocked": shockedPicture(t), "tone": tone, "nasty": nastyPicture(), "empty": {},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, WriteDOT(&b, p))
			golden := filepath.Join("testdata", name+".dot")
			if *update {
				require.NoError(t, os.WriteFile(golden, b.Bytes(), 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err)
			assert.Equal(t, string(want), b.String(), "go test ./graph/draw -update writes it again")

			plain, err := arrange(t.Context(), b.Bytes())
			require.NoError(t, err, "Graphviz reads it")
			assert.Equal(t, len(p.Nodes), strings.Count(string(plain), "\nnode "))
			assert.Equal(t, len(p.Edges), strings.Count(string(plain), "\nedge "))
		})
	}
}

package kitchen

// What is typed freely: letters that print, in one way, and cells that no program runs.

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTextFault(t *testing.T) {
	for _, text := range []string{"\x1b[31m", "a\x00", "two\nlines", "\t", "\xff\xfe", "\u202e", "\u2066x", "\u200f", "\u0085", "\u2028", "\ufffd", "\u009b2J"} {
		assert.Equal(t, "holds a character that does not print", TextFault(text, 100), "%q", text)
	}
	assert.Equal(t, "has 101 letters, and up to 100 are read", TextFault(strings.Repeat("é", 101), 100))
	for _, text := range []string{"", strings.Repeat("é", 100), "骨頭", "cafe\u0301", "50% off; \"it\"", "👩"} {
		assert.Empty(t, TextFault(text, 100), "%q", text)
	}
}

// A name is the same one, whether its accents are letters of their own or not, in the file, in a list and in a question.
func TestAccentsAreWrittenInOneWay(t *testing.T) {
	const one, two = "caf\u00e9", "cafe\u0301"
	const src = "bought: {%s: {price: 9/kg, keeps: 3 days}}\nsteps: {press %s: {takes: [1 kg %s], gives: [800 g cr\u00e8me]}}\n"
	for _, name := range []string{one, two} {
		k, faults := Read("k.yaml", fmt.Appendf(nil, src, name, one, two))
		require.NoError(t, faults.Err())
		require.Len(t, k.Bought, 1)
		for _, asked := range []string{one, two, strings.ToUpper(two)} {
			i, err := k.FindItem(asked)
			require.NoError(t, err)
			assert.Equal(t, one, k.Graph.Items[i].Name)
			lots, faults := ReadOnHand("l.csv", []byte("item,quantity,made\n"+asked+",2 kg,2026-11-24\n"), k, tuesday)
			require.NoError(t, faults.Err())
			assert.Len(t, lots, 1)
		}
		step, err := k.FindStep("press " + two)
		require.NoError(t, err)
		assert.Equal(t, "press "+one, k.Graph.Steps[step].Name)
		src := fmt.Appendf(nil, src, name, two, two)
		k, faults = Read("k.yaml", src)
		require.NoError(t, faults.Err())
		changed, err := k.Amend(src, Figure{Step: 0, Output: 0, Amount: 700})
		require.NoError(t, err)
		assert.Equal(t, strings.Replace(string(src), "800 g", "700 g", 1), string(changed), "all else stays as it was typed")
	}
}

// What begins as a formula is text to whoever opens the list, and reads back as it was. The signs are those of "CSV Injection", OWASP.
func TestGuarded(t *testing.T) {
	for cell, want := range map[string]string{
		"=cmd|' /C calc'!A0": "'=cmd|' /C calc'!A0", "+1+1": "'+1+1", "-2+3": "'-2+3", "@SUM(1)": "'@SUM(1)", "\tx": "'\tx", "\rx": "'\rx", "＝1": "'＝1",
		"'=1": "''=1", "''=1": "'''=1", "-1.5": "-1.5", "+12%": "+12%", "-1,234.50": "-1,234.50", "1e-07": "1e-07", "-1e+20": "-1e+20", "-": "'-",
		"": "", "pork": "pork", "a=b": "a=b", "'tis": "'tis", "2026-11-24": "2026-11-24", "12 kg": "12 kg", "+49 30 1": "'+49 30 1",
	} {
		assert.Equal(t, want, Guarded(cell), "%q", cell)
		assert.Equal(t, cell, Unguarded(Guarded(cell)), "%q", cell)
	}
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringMatching(`'{0,3}[=+\-@\t\r0-9a-z ＝]{0,3}(?s:.{0,4})`).Draw(t, "cell")
		require.Equal(t, cell, Unguarded(Guarded(cell)))
	})
}

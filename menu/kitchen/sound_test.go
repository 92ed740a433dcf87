package kitchen

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
)

// The words of the file stand for the rules of the flow.
func TestShareWords(t *testing.T) {
	for words, rule := range map[string]flow.Rule{"worth": flow.ByWorth, "weight": flow.ByWeight,
		"final value": flow.ByFinalValue, "even margin": flow.ByEvenMargin, "main": flow.ByMain} {
		k, faults := Read("k.yaml", []byte(fmt.Sprintf("bought: {pork: {price: 4/kg}}\nsteps:\n"+
			"  bone out: {takes: [9 kg pork], gives: [7 kg meat, 1.5 kg bones], share cost by: %s}\n"+
			"made: {meat: {worth: 9/kg}, bones: {worth: 1/kg}}\n", words)))
		require.Empty(t, faults)
		assert.Equal(t, rule, k.Terms.Share[0], words)
	}
}

// The vessel is judged at its fullest: what was taken out before makes room.
func TestVesselAtItsFullest(t *testing.T) {
	const kitchen = "vessels: {pot: {holds: 10 L}}\nbought: {bones: {price: 1/kg}, water: {price: 0/L, density: 1 kg/L}, leeks: {price: 1/kg}}\n" +
		"steps:\n  broth:\n    vessel: pot\n    takes: [4 kg bones, 6 L water, \"1 kg leeks, in at %s\"]\n" +
		"    gives: [\"3 kg spent bones, out at 2 h\", \"5 kg broth, out at 4 h\"]\n"
	_, faults := Read("k.yaml", []byte(fmt.Sprintf(kitchen, "3 h")))
	assert.NoError(t, faults.Err())
	_, faults = Read("k.yaml", []byte(fmt.Sprintf(kitchen, "2 h"))) // before the bones are out
	require.Error(t, faults.Err())
	assert.Equal(t, "overfull", faults[0].ID)
	assert.Equal(t, `a batch of "broth" fills 11 L at 2 h, but "pot" holds 10 L: 1 L too much`, faults[0].Msg)
}

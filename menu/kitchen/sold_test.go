package kitchen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What was sold counts under the kitchen's name and under the till's.
func TestSoldByTheNamesOfTheTill(t *testing.T) {
	k, faults := Read("kitchen.yaml", []byte(`bought:
  hen: {price: 9.50/each}
dishes:
  roast hen: {price: 9, takes: [1 each hen], also sold as: [RST HEN, "Hen, roast"]}
  half hen: {price: 5, takes: [0.5 each hen]}
`))
	require.NoError(t, faults.Err())
	assert.Equal(t, []string{"RST HEN", "Hen, roast"}, k.Dishes[0].SoldAs)
	sold, faults := ReadSold("sold.csv", []byte("dish,sold\nRST HEN,3\nhalf hen,2\n\"Hen, roast\",4\nroast hen,1\n"), k)
	require.Empty(t, faults)
	assert.Equal(t, []int{8, 2}, sold)
	_, faults = ReadSold("sold.csv", []byte("dish,sold\nHalf of a hen,3\n"), k)
	assert.Len(t, faults, 1)
}

package clock

// What hangs on when a batch with a clock is begun.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/week/weektest"
)

// chowders is a fish house: a pot of chowder and a long table of buns, for lunch. Two are there, and the bench has room for one.
const chowders = `
services: {lunch: "12:00-15:00"}
hands: {07:00-15:00: [ida, tom]}
stations: {bench: {room for: 1}}
vessels: {pot: {holds: 30 L}}
bought: {cod: {price: 12/kg, raw: yes}, water: {price: 0/L, density: 1 kg/L}, flour: {price: 1/kg}}
steps:
  chowder:
    vessel: pot
    starts: "07:00"
    takes: [6 kg cod, 12 L water]
    gives: ["15 L soup, out at 3 h"]
    cooks through: yes
    work: {light: 20 min, put in: 0 min, take out: 10 min, cool: 5 min, wash: 10 min}
    batches: {mon: 1}
  buns:
    starts: "07:00"
    takes: [4 kg flour, 2 L water]
    gives: ["5 kg bun, out at 2 h"]
    work: {load: 2 h, take out: 0 min, wash: 0 min}
    batches: {mon: 1}
made: {soup: {keeps: 2 days, density: 1 kg/L}, bun: {keeps: 2 days}}
dishes: {bowl: {price: 11, takes: [300 mL soup, 80 g bun], sells: {mon lunch: 20}}}
`

// A pot is lit, filled and emptied at the pot, whatever is done at the bench; what is out of it is worked on at the bench.
func TestThePotIsLitAtThePot(t *testing.T) {
	a := of(t, weektest.SmallDays(t, chowders, 1))
	assert.Empty(t, a.Conflicts)
	assert.Contains(t, done(a), "23T07:00-07:20 ida: start (chowder)")
	pulled := strings.Replace(chowders, "wash: 10 min", "portion: 20 min, wash: 10 min", 1)
	a = of(t, weektest.SmallDays(t, pulled, 1))
	for _, r := range a.Rows {
		if r.Act == "portion" {
			assert.Equal(t, "bench", r.Station)
		}
	}
}

package taste

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

const oxtailHouse = `kitchen: Quarry Road Pies
money: USD
services: {dinner: 17:00-22:00}
bought:
  oxtail: {price: 9/kg, keeps: 9 days, raw: yes}
  marrow bones: {price: 3/kg, keeps: 9 days}
  neck bones: {price: 2/kg, keeps: 9 days}
  smoked hock: {price: 6/kg, strength: 1}
  onion: {price: 1.2/kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  gravy kettle:
    starts: "06:00"
    takes: ["12 kg oxtail", "8 kg marrow bones or 10 kg neck bones", "2 kg smoked hock, in at 2 h, out at 5 h", 4 kg onion, 60 L water]
    gives: ["45 L pie gravy, out at 8 h"]
    cooks through: yes
    batches: {daily: 1}
    measures: {colour: "1-5, aim 3-4", clarity: 1-5}
    handling: {to the boil: min, rolling boil: min, skims: times, cook: words}
made:
  pie gravy: {keeps: 5 days, density: 1.01 kg/L}
dishes:
  pie: {price: 14, takes: [200 mL pie gravy], sells: 60}
`

// pot is a kettle as it was made; what is zero is as usual.
type kettle struct {
	oxtail, hock, out                  float64
	from, cook, bones                  string
	old                                int // days before the kettle on which the oxtail came
	lit, hockIn, done                  string
	boil, rolling, skims, colour, clar int
}

// written are its entries: the oxtail that comes for it, and the kettle.
func (p kettle) written() (days []int, list [][3]string) {
	or := func(text, usual string) string {
		if text == "" {
			return usual
		}
		return text
	}
	number := func(v, usual float64) float64 {
		if v == 0 {
			return usual
		}
		return v
	}
	days, list = []int{-p.old, 0, 0, 0, 0}, [][3]string{
		{"05:00", "received", fmt.Sprintf("%.1f kg oxtail for 100 from %s", number(p.oxtail, 12), or(p.from, "hill farm"))},
		{or(p.lit, "06:00"), "lit", fmt.Sprintf("gravy kettle: %.1f kg oxtail, %s, 4 kg onion, 60 L water", number(p.oxtail, 12), or(p.bones, "8 kg marrow bones"))},
		{or(p.hockIn, "08:00"), "put in", fmt.Sprintf("%.2f kg smoked hock of gravy kettle", number(p.hock, 2))},
		{or(p.done, "14:00"), "out", fmt.Sprintf("%.1f L pie gravy of gravy kettle", number(p.out, 45))},
		{"15:00", "measured", fmt.Sprintf("gravy kettle: colour %d, clarity %d, to the boil %v, rolling boil %v, skims %v, cook %s", p.colour, p.clar, number(float64(p.boil), 60),
			number(float64(p.rolling), 5), number(float64(p.skims), 6), or(p.cook, "Ana"))}}
	return days, list
}

// A kettle that is darker than all before is named with what was not as usual with it, whichever it was of all that is known, and with nothing else.
func TestUnusualOfEachKind(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(oxtailHouse))
	require.NoError(t, faults.Err())
	step, err := k.FindStep("gravy kettle")
	require.NoError(t, err)
	for name, c := range map[string]struct {
		odd  kettle
		want string
	}{
		"amount against the card": {kettle{oxtail: 16}, "[oxtail 1.33 of the card, usually 1]"},
		"supplier":                {kettle{from: "river farm"}, "[oxtail from river farm]"},
		"age":                     {kettle{old: 4}, "[age of oxtail 4.04 days, usually 0.04]"},
		"another choice":          {kettle{bones: "10 kg neck bones"}, "[neck bones for marrow bones]"},
		"strength":                {kettle{hock: 3}, "[smoked hock 1.5 of the card, usually 1; smoked hock drawn 200 g h/L, usually 133.3]"},
		"hours of the strong one": {kettle{hockIn: "12:30"}, "[smoked hock drawn 66.67 g h/L, usually 133.3; smoked hock in at 6.5 h, usually 2; smoked hock in for 1.5 h, usually 3]"},
		"time to the boil":        {kettle{boil: 110}, "[to the boil 110 min, usually 60]"},
		"minutes of rolling boil": {kettle{rolling: 45}, "[rolling boil 45 min, usually 5]"},
		"skims":                   {kettle{skims: 1}, "[skims 1 time, usually 6]"},
		"litres out":              {kettle{out: 36}, "[smoked hock drawn 166.7 g h/L, usually 133.3; pie gravy out 0.8 of the card, usually 1]"},
		"who cooked":              {kettle{cook: "Bo"}, "[cook Bo]"},
		"lit late":                {kettle{lit: "07:00", hockIn: "09:00", done: "15:00"}, "[lit at 07:00, usually 06:00]"},
	} {
		t.Run(name, func(t *testing.T) {
			j := book(t)
			for n := range 12 {
				p := kettle{}
				if n == 9 {
					p = c.odd
				}
				if p.colour, p.clar = 2+n/6, 4; n == 9 {
					p.colour = 5
				}
				days, list := p.written()
				for i, text := range list {
					_, err := j.Append(t.Context(), entries(t, k, 10*n+days[i], text)...)
					require.NoError(t, err)
				}
			}
			a, err := Of(t.Context(), k, j, Subject{Step: step, Item: -1}, first.AddDate(0, 0, 130), Ask{})
			require.NoError(t, err)
			var got []string
			for _, pt := range a.Measures[0].Points {
				if pt.Value == 5 {
					assert.NotEmpty(t, pt.Side)
					got = append(got, "["+strings.Join(pt.Unusual, "; ")+"]")
				}
			}
			assert.Equal(t, []string{c.want}, got)
		})
	}
}

// "Vary marrow bones" once stood there where knuckle bones had gone in.
func TestProposesWhatWentIn(t *testing.T) {
	bones := factor{name: "marrow bones", unit: ofTheCard, values: []float64{0.9, 1.1}, sets: true}
	onion := factor{name: "onion", unit: ofTheCard, values: []float64{1}, sets: true}
	went := func(word string) logbook.Tasting {
		return logbook.Tasting{Facts: []logbook.Fact{{Name: "marrow bones" + logbook.WentIn, Word: word}}}
	}
	names := func(batches ...logbook.Tasting) (all []string) {
		for _, f := range notOf([]factor{bones, onion}, batches) {
			all = append(all, f.name)
		}
		return all
	}
	assert.Equal(t, []string{"marrow bones", "onion"}, names())
	assert.Equal(t, []string{"marrow bones", "onion"}, names(went("knuckle bones"), went("marrow bones")))
	assert.Equal(t, []string{"onion"}, names(went("marrow bones"), went("knuckle bones")))
}

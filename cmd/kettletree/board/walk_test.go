package board

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestThePot(t *testing.T) {
	for example, want := range map[string]string{"first-pot": "poach chickens", "three-kettles": "night kettle", "fish-house": "cook lobster", "evergreen-braise": "daily braise"} {
		k := openBoard(t, example).board.watch.state().kitchen
		assert.Equal(t, want, k.Graph.Steps[k.Pot()].Name, example)
	}
}

func TestBoardMapStepByStep(t *testing.T) {
	o := onList(t)
	o.asks(t, map[string][]string{
		"/map":                                   {`Night kettle <small>step</small>`, `<b>kettle stock</b> <span>70 L</span>`, `<b>smoked ham bones</b> <span>to taste, 5 kg</span>`, "Tue lost?", "Tue 2 h late?"},
		"/map?item=kettle+stock":                 {`Kettle stock <small>made</small>`, `<b>season broth</b> <span>takes 10 L</span>`, "night kettle Tue lost?"},
		"/map?item=Caldo+de+la+OLLA":             {`Kettle stock <small>made</small>`},
		"/map?item=gelat":                        {`Kettle jelly <small>made</small>`},
		"/map?item=red+pozole":                   {"off the menu?", "20% more ordered?", "A guest."},
		"/map?item=stewing+hen":                  {"none comes?", "A supplier.", `<b>night kettle</b> <span>takes 14 each</span>`},
		"/map?item=trott":                        {"<b>trott</b> may be:", "trotter tostadas"},
		"/map?item=zzyzx":                        {"Nothing is called <b>zzyzx</b>, or like it."},
		"/map?lose=night+kettle@tue":             {"Tue lost<span", "Short: 140 of 210 L.", "First to run out: smoky hen tostadas"},
		"/map?item=hen+skin&lose=night+kettle@*": {refusedPage},
		"/map?strike=red+pozole&item=red+pozole": {"OUT, struck off."},
		"/map?lose=night+kettle@tue&lang=es":     {"Paso a paso", "¿jue se pierde?", "Falta: 140 de 210 L.", "<b>caldo de la olla</b>"},
		"/map?whole=yes":                         {`data-pot="step-night-kettle"`},
	})
	_, text, _ := o.get("/map")
	assert.NotContains(t, text, "<svg", "the sheet is only drawn when it is asked for")
}

package board

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/guide"
)

// The map begins at the same pot as the guide, which finds it by playing the week without each step.
func TestThePotIsTheGuides(t *testing.T) {
	for _, example := range []string{"first-pot", "three-kettles", "fish-house", "evergreen-braise"} {
		o := openBoard(t, example)
		opened, err := o.board.Config.open(t.Context(), o.board.watch.state().kitchen, o.now, Frame{Standing: true})
		require.NoError(t, err)
		g, err := guide.Of(t.Context(), opened.Week, language.English)
		require.NoError(t, err)
		require.NotNil(t, g.Pot)
		assert.Equal(t, g.Pot.Step, opened.Week.Graph.Steps[thePot(opened.Week.Kitchen)].Name, example)
	}
}

func TestBoardMapStepByStep(t *testing.T) {
	o := onList(t)
	o.asks(t, map[string][]string{
		"/map":                                   {`Night kettle <small>step</small>`, `<b>kettle stock</b> <span>70 L</span>`, `<b>smoked ham bones</b> <span>to taste 5 kg</span>`, "Tue lost?", "Tue 2 h late?"},
		"/map?item=kettle+stock":                 {`Kettle stock <small>made</small>`, `<b>season broth</b> <span>takes 10 L</span>`, "night kettle Tue lost?"},
		"/map?item=Caldo+de+la+OLLA":             {`Kettle stock <small>made</small>`},
		"/map?item=gelat":                        {`Kettle jelly <small>made</small>`},
		"/map?item=red+pozole":                   {"86&#39;d?", "20% more ordered?", "A guest."},
		"/map?item=stewing+hen":                  {"none comes?", "A supplier.", `<b>night kettle</b> <span>takes 14 each</span>`},
		"/map?item=trott":                        {"<b>trott</b> may be:", "trotter tostadas"},
		"/map?item=zzyzx":                        {"Nothing is called <b>zzyzx</b>, or like it."},
		"/map?lose=night+kettle@tue":             {"Tue lost<span", "Short: 140 of 210 L.", "First to run out: smoky hen tostadas"},
		"/map?item=hen+skin&lose=night+kettle@*": {refusedPage},
		"/map?strike=red+pozole&item=red+pozole": {"OUT, struck off."},
		"/map?whole=yes":                         {`data-pot="step-night-kettle"`},
	})
	_, text, _ := o.get("/map")
	assert.NotContains(t, text, "<svg", "the sheet is only drawn when it is asked for")
}

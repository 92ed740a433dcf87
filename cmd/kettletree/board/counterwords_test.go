package board

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/counter"
	"kettletree/menu/taste"
)

// What lies behind an answer at the counter is said in the language of the page, in all its turns.
func TestCounterIsSaid(t *testing.T) {
	m := show.MoneyOf("USD")
	var says []string
	for _, w := range []counter.Swap{
		{Less: "pork shoulder", By: 2500, Unit: "g", Share: 0.2, Saves: 31},
		{Less: "pork shoulder", By: 2.5, Unit: "kg", Share: 0.2, Instead: "pork neck bones", More: 6, In: "kg", Saves: 31},
		{Less: "pork shoulder", By: 2.5, Unit: "kg", Share: 0.2, Instead: "pork neck bones", Saves: 1031.5, Gone: 3, Off: []counter.Off{{Dish: "red pozole", Short: 1}, {Dish: "white pozole", Short: 2}}},
		{Less: "pork shoulder", Share: 1, Saves: 31},
		{Less: "pork shoulder", Share: 1, Instead: "pork neck bones", More: 6, In: "kg", Saves: 31, Gone: 2, Off: []counter.Off{{Dish: "red pozole", Short: 2}}},
		{Less: "pork shoulder", Share: 1, Instead: "pork neck bones", Saves: 31},
	} {
		says = append(says, show.SwapText(&w, m))
	}
	part := counter.Part{Item: "pork skin", Unit: "kg", Amount: 3, Price: 2.5, Goes: []counter.PartUse{{In: "night kettle", Amount: 1}}, Binned: 1, Kept: 1}
	for _, w := range []counter.Whole{
		{Item: "pork shoulder", Unit: "kg", Amount: 9, Bought: true, Brings: 40, Costs: 60, Worth: 80, Step: "bone out shoulder", Parts: []counter.Part{part, {Item: "lard", Unit: "kg", Amount: 1}}, Blank: 1},
		{Item: "pork shoulder", Unit: "kg", Amount: 9, Bought: true, Brings: -4, Costs: 60, Worth: 80, Step: "bone out shoulder", Parts: []counter.Part{part, part, part}, Blank: 2},
		{Item: "pork shoulder", Unit: "kg", Amount: 9, Bought: true, Brings: 40, Cards: 12, Costs: 60, Worth: 80, Step: "bone out shoulder", Parts: []counter.Part{part}},
		{Item: "pork shoulder", Unit: "kg", Amount: 9, Bought: true, Brings: 40, Cards: -12, Costs: 60, Worth: 80, Step: "bone out shoulder", Parts: []counter.Part{part}},
		{Item: "pork shoulder", Unit: "kg", Amount: 9, Brings: -40, Costs: 60, Step: "bone out shoulder", Parts: []counter.Part{{Item: "lard", Unit: "kg", Amount: 1, Use: "lard shortbread"}}, Blank: 1},
		{Item: "pork shoulder", Unit: "kg", Amount: 9, Brings: 40, Costs: 60, Worth: 3, Step: "bone out shoulder", Parts: []counter.Part{{Item: "lard", Unit: "kg", Amount: 1, Binned: 1, Use: "lard shortbread"}}},
		{Item: "pork shoulder", Unit: "kg", Amount: 9, Brings: 40, Costs: 60, Worth: 83, Step: "bone out shoulder", Parts: []counter.Part{{Item: "lard", Unit: "kg", Amount: 1, Price: 83, Worth: true}}},
		{Item: "pork shoulder", Unit: "kg", Amount: 9, Bought: true, Brings: 40, Costs: 60, Worth: 83, Step: "bone out shoulder", Parts: []counter.Part{{Item: "lard", Unit: "kg", Amount: 1, Short: "red pozole", Lacks: "epazote"},
			{Item: "lard", Unit: "kg", Amount: 1, Short: "red pozole"}, {Item: "lard", Unit: "kg", Amount: 1, Binned: 1, Short: "red pozole", Lacks: "epazote"}, {Item: "lard", Unit: "kg", Amount: 1, Binned: 1, Short: "red pozole"}}},
	} {
		says = append(append(says, show.WholeHead(&w)), show.WholeText(&w, m)...)
		for k := range w.Parts {
			says = append(says, show.PartText(&w.Parts[k], m))
		}
	}
	says = append(says, show.WholeHead(&counter.Whole{Item: "stewing hen", Unit: "each", Amount: 1}))
	lots := []counter.Lot{{Item: "pork shoulder", Unit: "kg", Amount: 9}, {Item: "stewing hen", Unit: "each", Amount: 4, Many: "stewing hens"}}
	for _, by := range []string{counter.OnAverage, counter.AtWorst} {
		for _, r := range []counter.Risk{{By: by, Same: true, Regrets: 0.01}, {By: by, Regrets: 0.3, Matters: 9, Mean: 4, Worst: 80.5}, {By: by, Regrets: 0.5, Least: lots, Costs: 200, Lesser: 3, Least1: 40}} {
			says = append(says, show.CounterRisk(&counter.Answer{Money: "USD", Risk: &r})...)
		}
	}
	buy := []counter.Step{{Item: "pork shoulder", Unit: "kg", Was: 36, Would: 18}, {Item: "epazote", Unit: "kg", Was: 0.5}, {Item: "pork neck bones", Unit: "kg", Would: 6}}
	many := append(append(append([]counter.Step{}, buy...), buy...), buy...)
	says = append(says, show.CounterDoubts(&counter.Answer{Money: "USD", Doubts: []counter.Doubt{
		{Item: "pork shoulder", Unit: "kg", What: counter.OfPrice, Now: 4.8, If: 5.76, Loses: 12, Buy: buy}, {Item: "pork shoulder", Unit: "kg", What: counter.OfThere, Now: 20, If: 31, Loses: 12},
		{Item: "stewing hen", Unit: "each", What: counter.OfOnHand, Now: 4, If: 5, Loses: 12, Buy: many}}})...)
	kettle := counter.Cut{Date: "2026-11-25", Step: "night kettle", Batches: 1, Made: 0.583, Lacks: "epazote", Item: "kettle stock", Unit: "L", Gives: 35, Of: 60}
	head := "Night kettle on Wed 25 Nov: only 58% of it is made, 35 L of 60 L kettle stock, for lack of epazote."
	var cut []string
	for _, one := range []struct {
		why, says string
		loses     float64
	}{{counter.WhyPays, " More of it does not pay: all of the batch would bring 4.50 USD less.", 4.5}, {counter.WhyPays, " More of it does not pay.", 0}, {counter.WhyMoney, " There is not the money for as much as the batch takes.", 0},
		{counter.WhyCar, " The car does not carry as much as the batch takes.", 0}, {counter.WhyFew, " There is not enough of it on offer for all of the batch.", 0},
		{counter.WhyShort, " With more of it, the batch lacks something else that is not on offer.", 0}, {counter.WhyOthers, " With more of it here, another batch lacks something.", 0}, {"", "", 0}} {
		x := kettle
		x.Why, x.Loses = one.why, one.loses
		is := show.CounterCut(&counter.Answer{Money: "USD", Cut: []counter.Cut{x}})
		assert.Equal(t, []string{head + one.says}, is)
		cut = append(cut, is...)
	}
	little, none := kettle, kettle
	little.Made, little.Gives, little.Leave, little.Costs = 0.02, 1.2, true, 0.4
	none.Made, none.Why, none.Loses = 0, counter.WhyPays, 31
	is := show.CounterCut(&counter.Answer{Money: "USD", Cut: []counter.Cut{little, none}})
	assert.Equal(t, []string{"Night kettle on Wed 25 Nov: leave it. For lack of epazote it would be 2% of a batch, 1.2 L kettle stock. Leaving it costs 0.40 USD of what is said above.",
		"Night kettle on Wed 25 Nov: none of it is made, for lack of epazote. More of it does not pay: all of the batch would bring 31.00 USD less."}, is)
	cut = append(cut, is...)
	there := 14.4
	asks := show.CounterAsks(&counter.Answer{Lines: []counter.Offered{{Item: "pork neck bones", Unit: "kg", There: &there, Loose: 25.6}}})
	assert.Equal(t, []string{"Pork neck bones: the pieces that were weighed come to 14.4 kg, not 40 kg. What do the others weigh? They are not counted here."}, asks)
	cut = append(cut, asks...)
	says = append(says, cut...)
	says = append(says, show.CounterBatches(&counter.Answer{Money: "USD", Planned: true})...)
	milk := []counter.Cards{{Kind: "instead", Allergens: []string{"milk"}}}
	for _, f := range []counter.Freely{{Buy: buy, Less: 31, More: 40}, {Less: 31, More: 40, Moved: true}, {Buy: buy, Less: -31, More: 40, Moved: true, Off: []counter.Off{{Dish: "red pozole", Short: 2}}, Departs: milk}} {
		says = append(says, show.CounterFreely(&counter.Answer{Money: "USD", Freely: &f}))
	}
	says = append(says, show.FreelyHead)
	says = append(says, show.RiskHead, show.DoubtHead, show.MovedHead)

	expected := []taste.Expected{{In: "night kettle", Thing: "pork trotters", Measure: "gel", By: -0.42, From: taste.FromLogBook, Batches: 14}, {In: "night kettle", Thing: "pork trotters", Measure: "brix", Unit: "°Bx", By: 0.12, From: taste.FromLogBook, Batches: 14},
		{In: "night kettle", Thing: "garlic", Measure: "clarity", From: taste.FromTrial, Batches: 8}, {In: "night kettle", Thing: "smoked ham bones", By: -0.2, From: taste.FromStrengths},
		{In: "night kettle", Thing: "smoked ham bones", By: 0.2, From: taste.FromStrengths}, {In: "night kettle", Thing: "epazote", Measure: "colour", From: taste.FromLogBook, Beyond: true, Batches: 12}, {In: "bone out shoulder", Thing: "pork shoulder"}}
	require.Equal(t, []string{"Night kettle tastes 20% milder of smoked ham bones, by the strengths in the kitchen file.", "Night kettle tastes 20% stronger of smoked ham bones, by the strengths in the kitchen file.",
		"Expected of night kettle: gel 0.42 down and brix 0.12 °Bx up, by 14 batches. What goes together need not be the cause.", "Expected of night kettle: clarity as before, by the trial.",
		"The colour of night kettle then is not known: epazote never went in so in what was measured.", "How bone out shoulder tastes then is not known: pork shoulder goes in otherwise."}, show.Teller{}.Expected(expected))

	k := openBoard(t, "three-kettles").board.watch.state().kitchen
	for _, tag := range []language.Tag{language.Spanish, language.SimplifiedChinese} {
		s := newSpeaker(tag, k)
		for _, text := range says {
			said := string(s.Said(text))
			assert.NotContains(t, said, `lang="en"`, text)
			for _, word := range []string{" of ", "make ", "instead", "bought", "portion ", " with ", " more", "binned", "left over", " not "} {
				assert.NotContains(t, strings.ToLower(said), word, text)
			}
		}
		for _, said := range (show.Teller{Voice: s.voice, Called: s.Called}).Expected(expected) {
			for _, word := range []string{" of ", "night kettle", " by ", "not known", "trotters", "expected"} {
				assert.NotContains(t, strings.ToLower(said), word)
			}
		}
	}
}

package board

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Every open question, and all that stands beside it, is said in the language of the page. The kitchens leave open what can be left open.
func TestOpenQuestionsSpeak(t *testing.T) {
	kinds := map[string]bool{}
	for name, src := range map[string]string{
		"open": `
kitchen: cellar
bought: {water: {price: 0/L}, milk: {}, rennet: {}, tripe: {raw: yes}, egg: {raw: yes}, cloth: {price: 2/each}, whey starter: {}}
steps:
  curdle:
    takes: [100 L milk, 20 mL rennet, 1 kg whey starter, something]
    gives: [12 kg curd]
  stew: {takes: [2 kg tripe], gives: [1 kg cooked tripe]}
  press:
    takes: [80 L milk, 3 each cloth]
    gives: [some kg young cheese, some L whey]
  brine:
    takes: [2 kg young cheese]
    gives: [2 kg brined cheese, 30 L brine]
dishes:
  cheese plate: {takes: [90 g brined cheese]}
  whey cup: {takes: [200 mL whey], price: 3}
  tripe roll: {takes: [90 g cooked tripe]}
  egg cup: {takes: [1 each egg]}
  curd pot: {takes: [100 g curd]}
`,
		"guessed": `
kitchen: cellar
money: USD
vessels: {vat: {holds: 60 L, guessed: holds}}
bought: {water: {price: 0/L, allergens: []}, hen: {price: 9/each, each: 1.9 kg, pack: 6 each, guessed: [price, each, pack]}}
steps:
  boil: {takes: ["9 each hen, guessed", 40 L water], gives: ["30 L broth, guessed"], vessel: vat, batches: {tue: 1}, starts: "08:00", costs: 5, guessed: [batches, starts, costs]}
made: {broth: {keeps: 4 days, worth: 2/L, density: 1.01 kg/L, guessed: [keeps, worth, density]}}
dishes: {cup: {takes: [200 mL broth], price: 6, sells: {service: 9}, guessed: [price, sells]}}
`,
	} {
		k, faults := kitchen.Read(name+".yaml", []byte(src))
		require.NotNil(t, k, faults)
		w, err := week.Over(k, week.Period{From: time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), Days: 7})
		require.NoError(t, err)
		open, err := ask.Open(context.Background(), w)
		require.NoError(t, err)
		require.NotEmpty(t, open.Questions)
		for _, tag := range []language.Tag{language.Spanish, language.SimplifiedChinese} {
			s := newSpeaker(tag, k)
			assert.NotContains(t, s.guesses(k), `lang="en"`, "what answers rest on")
			for n := range k.Questions { // each by itself: only the first few are shown
				one := *k
				one.Questions = k.Questions[n : n+1]
				assert.NotContains(t, s.guesses(&one), `lang="en"`, "of %q", k.Questions[n].Asks)
				said, ok := s.phrase(k.Questions[n].Counted, 0)
				assert.True(t, ok && said != "" || k.Questions[n].Guessed, "%s: no words for what counts until then: %q", tag, k.Questions[n].Counted)
			}
			for _, q := range open.Questions {
				kinds[q.What] = true
				texts := []string{q.Asks, q.Matters}
				if q.Words != nil {
					texts = append(append(texts, q.Counted), q.Words...)
				}
				for _, text := range texts {
					for _, one := range sentences(text) {
						said, ok := s.phrase(one, 0)
						assert.True(t, ok && (said != one || one == "no"), "%s: no words for %q", tag, one)
					}
				}
			}
		}
	}
	assert.Greater(t, len(kinds), 12, "kinds of questions: %v", kinds)
}

package board

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/language"
)

// No page tells who taps to type a command or an option: what answers say of them is said in the words of the board.
func TestTapped(t *testing.T) {
	for is, said := range map[string]string{
		"without a log book the week begins on its Monday, Mon 23 Nov: --from 2026-11-25 begins it today":                                                                "without a log book the week begins on its Monday, Mon 23 Nov: the first entry on the Log page lets it begin today",
		"Nothing is taken to be on hand when Mon 23 Nov begins: --on-hand FILE says what is, or count it into a log book with kettletree log count.":                     "Nothing is taken to be on hand when Mon 23 Nov begins: count it on the stock-take page.",
		"nothing counted yet, so only what was logged since is on hand: kettletree log counted 6 kg shoulder meat (log count asks item by item, or the stock-take page)": "nothing counted yet, so only what was written down since is on hand: count it on the stock-take page",
		"lard is past its date, so it is not counted: kettletree on-hand shows it, log binned --past bins it":                                                            "lard is past its date, so it is not counted: look at what is on hand, and write it down as binned",
		"2 items are past their dates, so they are not counted: kettletree on-hand shows them, log binned --past bins them":                                              "2 items are past their dates, so they are not counted: look at what is on hand, and write them down as binned",
		`Where nobody has logged how a special sells, 50% of its "at most" is assumed: log what is offered and sold, or write "sells".`:                                  `Where nobody has written down how a special sells, 50% of its "at most" is assumed: write down what is offered and sold.`,
		"specials were not looked for at all services of so many days: ask for fewer, with --days":                                                                       "specials were not looked for at all services of so many days: ask for fewer days",
		`say when it was: --at "2026-11-24 22:00"`:                                                "say when it was",
		`Say when it was: --at "2026-11-23 17:30"; if it is sold ahead, it is right.`:             "Say when it was; if it is sold ahead, it is right.",
		"lunch of Wed 25 Nov is over: name another service with --at, or another day with --from": "lunch of Wed 25 Nov is over: name another service, or another day",
		"With struck red pozole at 2026-11-25 dinner.":                                            "Counted in: struck red pozole at 2026-11-25 dinner.",
		"With these amounts and prices":                                                           "With these amounts and prices",
	} {
		assert.Equal(t, said, tapped(is))
		assert.NotContains(t, tapped(is), "--")
	}
}

// What the plan, what is left over and the feet of pages say is said in the language of the page, to the last word.
func TestSaysFinishedAnswers(t *testing.T) {
	es := newSpeaker(language.MustParse("es-MX"), nil)
	for is, said := range map[string]string{
		"Sticking to the card costs 36 portions and 221.19 USD.":                                                                        "Seguir la ficha cuesta 36 porciones y 221.19 USD.",
		"Another plan could earn at most 140.33 USD more with the days after.":                                                          "Otro plan podría dejar a lo sumo 140.33 USD más, contando los días siguientes.",
		"No other plan that keeps to the cards as far earns more with the days after, specials apart. All 45 ways to cook were played.": "Ningún otro plan que respete las fichas igual deja más contando los días siguientes, especiales aparte. Se probaron las 45 maneras de cocinar.",
		"Without a log book the week begins on its Monday, Mon 23 Nov: --from 2026-11-25 begins it today.":                              "Sin bitácora, la semana empieza en su lunes, lun 23 nov: con la primera anotación empieza hoy.",
		"This plan earns 7,054.51 USD of contribution, 7.61 USD less than the standing week; the 7 days after gain 3.29 USD by it.":     "Este plan deja 7,054.51 USD de margen, 7.61 USD menos que la semana habitual; los 7 días siguientes ganan con ello 3.29 USD.",
		"Food that cost 21.03 USD would be binned and 96.36 USD of what is left over would be binned in the days after.":                "Se tiraría comida que costó 21.03 USD y de lo que sobra se tirarían 96.36 USD en los días siguientes.",
	} {
		assert.Equal(t, said, string(es.Said(is)))
	}
}

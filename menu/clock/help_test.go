package clock

// What would do where work is too tight is tried out before it is said.

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/week/weektest"
)

// presses has curd that is out of the vat an hour too late to be pressed for the counter.
const presses = `
services: {counter: "11:00-18:00"}
hands: {04:00-18:00: [vat hand, counter hand]}
vessels: {vat: {holds: 120 L}, tub: {holds: 20 L}}
bought: {milk: {price: 1/L, density: 1.03 kg/L, arrives: daily, allergens: [milk]}}
steps:
  curd vat:
    vessel: vat
    starts: "06:30"
    takes: [80 L milk]
    gives: ["12 kg curd, out at 2 h"]
    work: {light: 10 min}
    batches: {tue: 1}
  press: {vessel: tub, takes: [12 kg curd], gives: ["10 kg cheese, out at 3 h"], work: {load: 10 min, take out: 10 min}, batches: all of it}
made: {curd: {keeps: 1 day, density: 1 kg/L}, cheese: {keeps: 9 days, density: 1 kg/L}}
dishes: {tub: {price: 7, takes: [250 g cheese], sells: {tue counter: 12}}}
`

func TestTooTightHelps(t *testing.T) {
	tight := func(change ...string) (found []Conflict) {
		for _, c := range of(t, weektest.SmallDays(t, replaceAll(t, presses, change), 3)).Conflicts {
			if c.Kind == TooTight {
				found = append(found, c)
			}
		}
		return found
	}
	t.Run("the vat started sooner by what it takes", func(t *testing.T) {
		c := tight()
		require.Len(t, c, 1)
		assert.Equal(t, []string{"start Tuesday's curd vat at Tue 24 Nov 05:45"}, c[0].Helps)
		assert.True(t, strings.HasSuffix(c[0].Text, ": 45 min too late; this would do: start Tuesday's curd vat at Tue 24 Nov 05:45"), c[0].Text)
		assert.Empty(t, tight(`"06:30"`, `"05:45"`), "as it says")
		for lang, want := range map[string]string{
			"es": "press no puede empezar antes del mar 24 nov 08:45, cuando está listo todo lo que lleva; cheese hace falta a las 11:00 de ese día: 45 min tarde; " +
				"esto bastaría: empezar curd vat el mar 24 nov 05:45",
			"zh": "press 要等用料齐了才能开始，最早 11月24日（周二）08:45；cheese 当天 11:00 就要用：晚 45 分钟；以下任何一项都可以：11月24日（周二）05:45 就开始做 curd vat",
		} {
			w, _ := weektest.SmallDays(t, presses, 3).InLanguage(language.MustParse(lang))
			a := of(t, w)
			require.Len(t, a.Conflicts, 1)
			assert.Equal(t, want, a.Conflicts[0].Text, "each day is named once")
		}
	})
	t.Run("nobody is there so early", func(t *testing.T) {
		c := tight("04:00-18:00", "06:30-18:00")
		require.Len(t, c, 1)
		assert.Empty(t, c[0].Helps)
		assert.Contains(t, c[0].Text, "; tried, and would not do: an earlier start")
	})
	t.Run("the vat is in use", func(t *testing.T) {
		c := tight("  press:", "  whey vat: {vessel: vat, starts: \"04:15\", takes: [40 L milk], gives: [\"30 L whey, out at 2 h 15 min\"], work: {light: 10 min}, batches: {tue: 1}}\n  press:",
			"made: {", "made: {whey: {keeps: 1 day, density: 1 kg/L}, ")
		require.Len(t, c, 1)
		assert.Empty(t, c[0].Helps)
		assert.Contains(t, c[0].Text, "; tried, and would not do: an earlier start")
	})
}

// Two cheeses want one tub before the counter opens: with a second one, it fits.
func TestTooTightForAVessel(t *testing.T) {
	kitchen := replaceAll(t, presses, []string{`"06:30"`, `"05:00"`, "  press:",
		"  ripen: {vessel: tub, takes: [6 kg curd], gives: [\"5 kg soft cheese, out at 3 h\"], work: {load: 10 min, take out: 10 min}, batches: {tue: 1}}\n  press:",
		"made: {", "made: {soft cheese: {keeps: 9 days, density: 1 kg/L}, ", "takes: [250 g cheese]", "takes: [100 g cheese, 100 g soft cheese]"})
	var found []Conflict
	for _, c := range of(t, weektest.SmallDays(t, kitchen, 3)).Conflicts {
		if c.Kind == TooTight {
			found = append(found, c)
		}
	}
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Helps, "one more tub")
}

// Curd is portioned when it is out, not when the last whey has run off.
func TestPortionsWhatIsNoLiquid(t *testing.T) {
	for given, want := range map[string]string{
		`"12 kg curd, out at 2 h", "60 L whey, out at 2 h 30 min"`: "curd",
		`"60 L whey, out at 2 h", "12 kg curd, out at 2 h"`:        "curd",
		`"60 L whey, out at 2 h"`:                                  "whey",
	} {
		kitchen := replaceAll(t, presses, []string{`"12 kg curd, out at 2 h"`, given, "work: {light: 10 min}", "work: {light: 10 min, portion: 20 min}"})
		if strings.Contains(given, "whey") {
			kitchen = replaceAll(t, kitchen, []string{"made: {", "made: {whey: {keeps: 1 day, density: 1 kg/L}, "})
		}
		if !strings.Contains(given, "curd") {
			kitchen = replaceAll(t, kitchen, []string{"takes: [12 kg curd]", "takes: [12 L whey]", "curd: {keeps: 1 day, density: 1 kg/L}, ", ""})
		}
		var portioned []string
		var at string
		for _, r := range of(t, weektest.SmallDays(t, kitchen, 3)).Rows {
			if r.Act == "portion" {
				at = r.At[11:]
				for _, p := range r.Of {
					portioned = append(portioned, p.Item)
				}
			}
		}
		assert.Equal(t, []string{want}, portioned, given)
		assert.Equal(t, "08:45", at, given)
	}
}

// pies is a pie shop: fillings on the range and crusts at the bench, all for lunch.
const pies = `
services: {lunch: "12:00-15:00"}
hands: {HANDS}
burners: BURNERS
stations: {bench: {room for: ROOM}}
vessels:
  pot: {holds: 20 L, burners: 1}
  pan: {holds: 20 L, burners: 1}
bought: {beef: {price: 9/kg}, apple: {price: 2/kg}, flour: {price: 1/kg}}
steps:
  stew:  {vessel: pot, takes: [8 kg beef], gives: ["7 kg filling, out at STEW min"], work: {light: 10 min, take out: 10 min, wash: 10 min}, batches: as needed}
  jam:   {vessel: JAM, takes: [8 kg apple], gives: ["6 kg jam, out at COOK min"], work: {light: 10 min, take out: 10 min, wash: 10 min}, batches: as needed}
  crust: {takes: [6 kg flour], gives: [60 each crust], work: CRUST min, batches: as needed}
  lids:  {takes: [6 kg flour], gives: [60 each lid], work: LIDS min, batches: as needed}
made: {filling: {keeps: 2 days}, jam: {keeps: 2 days}, crust: {keeps: 1 day, each: 90 g}, lid: {keeps: 1 day, each: 50 g}}
dishes:
  beef pie:  {price: 9, takes: [1 each crust, 1 each lid, 100 g filling], sells: {mon lunch: 20}}
  apple pie: {price: 7, takes: [1 each crust, 1 each lid, 80 g jam], sells: {mon lunch: 20}}
`

func pieShop(change ...string) string {
	for n, plain := range []string{"HANDS", "08:00-15:00: [baker, cook]", "BURNERS", "2", "ROOM", "4", "JAM", "pan", "STEW", "60", "COOK", "60", "CRUST", "40", "LIDS", "40"} {
		if n%2 == 0 && !slices.Contains(change, plain) {
			change = append(change, plain, []string{"08:00-15:00: [baker, cook]", "2", "4", "pan", "60", "60", "40", "40"}[n/2])
		}
	}
	return strings.NewReplacer(change...).Replace(pies)
}

// What does not fit says what, when, how many minutes short, and what would help; once that is done it fits.
func TestShortOfBurnersVesselsAndRoom(t *testing.T) {
	for _, tc := range []struct {
		short        string
		tight, ample []string
		kind, says   string
		helps        string
	}{
		{"nothing", nil, nil, "", "", ""},
		{"burners", []string{"BURNERS", "1", "HANDS", "10:30-15:00: [baker, cook, aid]"}, []string{"BURNERS", "2", "HANDS", "10:30-15:00: [baker, cook, aid]"}, TooTight,
			" min more than there is time for; more people at once would not do", "one more burner"},
		{"vessels", []string{"JAM", "pot", "HANDS", "10:30-15:00: [baker, cook, aid]"}, []string{"HANDS", "10:30-15:00: [baker, cook, aid]"}, TooTight,
			" min more than there is time for; more people at once would not do", "one more pot"},
		{"room", []string{"ROOM", "1", "HANDS", "11:00-15:00: [baker, cook, aid, helper]", "STEW", "20", "COOK", "20"},
			[]string{"ROOM", "2", "HANDS", "11:00-15:00: [baker, cook, aid, helper]", "STEW", "20", "COOK", "20"}, NoRoom, "more than there is room for at bench", ""},
		{"people", []string{"HANDS", "10:30-15:00: [baker]", "STEW", "20", "COOK", "20"}, []string{"HANDS", "10:30-15:00: [baker, cook]", "STEW", "20", "COOK", "20"}, NoHands, " more than 1 person has", ""},
	} {
		t.Run(tc.short, func(t *testing.T) {
			a := of(t, weektest.SmallDays(t, pieShop(tc.tight...), 2))
			assert.Empty(t, of(t, weektest.SmallDays(t, pieShop(tc.ample...), 2)).Conflicts, "with enough of it")
			if tc.kind == "" {
				assert.Empty(t, a.Conflicts)
				return
			}
			require.NotEmpty(t, a.Conflicts)
			c := a.Conflicts[0]
			t.Log(c.Text)
			assert.Equal(t, tc.kind, c.Kind)
			assert.Contains(t, c.Text, tc.says)
			assert.Contains(t, c.Text, "Mon 23 Nov ")
			assert.Positive(t, c.Short)
			if tc.helps != "" {
				assert.Contains(t, c.Helps, tc.helps)
			}
		})
	}
}

var (
	startsSooner = regexp.MustCompile(`^start Monday's (.*) at Mon 23 Nov (.*)$`)
	moreHands    = regexp.MustCompile(`^(?:one more pair of hands|somebody) from Mon 23 Nov (\d\d:\d\d) to (\d\d:\d\d)$`)
	thereSooner  = regexp.MustCompile(`^(.*) there from Mon 23 Nov (\d\d:\d\d) on$`)
)

// Whatever is too little in a kitchen: what is said to help helps, once the file says so.
func TestHelpHelps(t *testing.T) {
	tried := map[string]int{}
	lawtest.Few(t, 25)
	rapid.Check(t, func(rt *rapid.T) {
		minutes := func(name string) string { return fmt.Sprint(5 * rapid.IntRange(2, 24).Draw(rt, name)) }
		from := fmt.Sprintf("%02d:%02d", rapid.IntRange(8, 11).Draw(rt, "hour"), 15*rapid.IntRange(0, 3).Draw(rt, "quarter"))
		people := []string{"[baker]", "[baker, cook]", "[baker, cook, aid]", "[baker, cook, aid, helper]"}[rapid.IntRange(0, 3).Draw(rt, "people")]
		change := []string{"BURNERS", fmt.Sprint(rapid.IntRange(1, 2).Draw(rt, "burners")), "ROOM", fmt.Sprint(rapid.IntRange(1, 3).Draw(rt, "room")),
			"JAM", rapid.SampledFrom([]string{"pot", "pan"}).Draw(rt, "vessel"), "STEW", minutes("stew"), "COOK", minutes("jam"), "CRUST", minutes("crust"), "LIDS", minutes("lids")}
		hands := from + "-15:00: " + people
		src := pieShop(append(slices.Clone(change), "HANDS", hands)...)
		short := func(src string) (late int, list []Conflict) { // all that is late, together
			w := weektest.SmallDays(rt, src, 2)
			table, err := newTable(rt.Context(), w, w.Case)
			require.NoError(rt, err)
			require.NoError(rt, table.fill(rt.Context(), func(int) bool { return true }, nil))
			late = table.given.plan.Total()
			for _, placed := range table.given.plan.Placed {
				if !placed {
					late += noEnd
				}
			}
			return late, table.Conflicts
		}
		was, list := short(src)
		for _, c := range list {
			assert.NotEmpty(rt, c.Text)
			for _, help := range c.Helps {
				var helped string
				switch m, n, s := moreHands.FindStringSubmatch(help), thereSooner.FindStringSubmatch(help), startsSooner.FindStringSubmatch(help); {
				case help == "one more burner":
					helped = strings.Replace(src, "burners: 1\n", "burners: 2\n", 1)
					helped = strings.Replace(helped, "burners: 2\n", map[bool]string{true: "burners: 3\n", false: "burners: 2\n"}[helped == src], 1)
				case strings.HasPrefix(help, "one more p"):
					continue // the file has no two vessels of one name
				case m != nil:
					helped = strings.Replace(src, hands, hands+", "+m[1]+"-"+m[2]+": extra", 1)
				case n != nil:
					helped = strings.Replace(src, hands, hands+", "+n[2]+"-"+from+": "+n[1], 1)
				case s != nil:
					rt.Fatalf("nothing here has a set time: %s", help)
				default: // several at one job
					continue
				}
				is, left := short(helped)
				assert.Less(rt, is, was, "%s\n%s\n%s\n%v", help, c.Text, helped, left)
				if len(list) == 1 {
					assert.Empty(rt, left, "%s\n%s\n%s", help, c.Text, helped)
				}
				tried[strings.Fields(help)[2]]++
			}
		}
	})
	t.Log(tried)
}

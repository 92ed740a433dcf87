package board

// What answers say for the command line, said for who taps: a phone has no command to type, it has pages.

import (
	"regexp"
	"strings"
)

// tapping are the forms of sentences that name commands and options, each with what the board says in its place.
var tapping = []struct {
	is   *regexp.Regexp
	says string
}{
	{regexp.MustCompile(`(?i)(without a log book the week begins on its Monday, [^:]+): --from \S+ begins it today`), "$1: the first entry on the Log page lets it begin today"},
	{regexp.MustCompile(`(?i)(nothing is taken to be on hand when .+ begins): --on-hand FILE says what is, or count it into a log book with kettletree log count`), "$1: count it on the stock-take page"},
	{regexp.MustCompile(`(?i)(nothing counted yet, so only what was) logged (since is on hand): kettletree log counted .* \(log count asks item by item, or the stock-take page\)`), "$1 written down $2: count it on the stock-take page"},
	{regexp.MustCompile(`(the plan was made with .+ on hand, which is not given now): --on-hand .+ gives it`), "$1"},
	{regexp.MustCompile(`: kettletree on-hand shows (it|them), log binned --past bins (?:it|them)`), ": look at what is on hand, and write $1 down as binned"},
	{regexp.MustCompile(`(if it was not), log it as skipped`), "$1, write it down as skipped"},
	{regexp.MustCompile(`(?i)(where nobody has) logged (how a special sells, \S+ of its "at most" is assumed)[;:] log what is offered and sold, or write "sells"(?: in the file)?`), "$1 written down $2: write down what is offered and sold"},
	{regexp.MustCompile(`(ask for fewer), with --days`), "$1 days"},
	{regexp.MustCompile(`: --rule best says how, and tonight for one service`), ": what to sell tonight says how, service by service"},
	{regexp.MustCompile(`(and none is on hand): say with --on-hand what there is, or`), "$1: count what there is, or"},
	{regexp.MustCompile(`(more follow); leave a dish out with --without to see the next`), "$1"},
	{regexp.MustCompile(`(?i)(say when it was): --at "[^"]*"`), "$1"},
	{regexp.MustCompile(`^"kettletree log show" lists them`), "The Log page lists them"},
	{regexp.MustCompile(`(do(?:es)? not add up): kettletree log show says which`), "$1: the Log page says which"},
	{regexp.MustCompile(`(?i)(a mark is) logged (with a delivery): kettletree log received .+ lot A17`), "$1 written down $2, in the field Lot"},
	{regexp.MustCompile(`(if that one is wrong), log this in its place: --corrects (\d+)`), "$1, correct entry $2"},
	{regexp.MustCompile(` with --(?:at|from)\b`), ""},
	{regexp.MustCompile(`; --around ITEM shows all of a part`), ""},
	{regexp.MustCompile(` A part of it \(--around ITEM\) is easier to read\.`), ""},
	{regexp.MustCompile(` \(--most \d+ shows all\)`), ""},
	{regexp.MustCompile(`: bin it with "kettletree log binned --past"`), ": bin it, and write it down on the Log page"},
	{regexp.MustCompile(`; --csv lists all .+\.$`), "."},
	{regexp.MustCompile(`; --json and --csv list them\.$`), "."},
	{regexp.MustCompile(`^[Ww]ith ((?:struck|lost|offered|late|short) .+)`), "Counted in: $1"},
	{regexp.MustCompile(`nobody logged (.+): counted as (planned|forecast); log (?:cooked, skipped or lost|.+)$`), "nobody wrote down $1: counted as $2"},
}

// tapped is a finished text without commands and options.
func tapped(text string) string {
	if !strings.Contains(text, "--") && !strings.Contains(text, "log") && !strings.HasPrefix(strings.ToLower(text), "with ") {
		return text
	}
	for _, t := range tapping {
		text = t.is.ReplaceAllString(text, t.says)
	}
	return text
}

package guide

// The parts of the guide about what goes wrong, cautions, and questions to a new cook.

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/language"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// weakness tells the worst losses.
func (t *teller) weakness(g *Guide) section {
	s := section{ID: "weak", Title: t.say("Where the kitchen is weak"), Page: true}
	if len(g.Weak) == 0 {
		s.Blocks = []block{{Text: t.say("No single loss costs a portion.")}}
		return s
	}
	s.Blocks = []block{{Text: t.say("The worst losses, and what goes with them. Look after these first.")}}
	var rows []row
	for _, w := range g.Weak {
		head := t.name(w.Of)
		if w.Weekday != nil {
			head = t.say("%[1]s, %[2]s", head, t.weekday(*w.Weekday))
		}
		rows = append(rows, row{head, t.say("Portions lost: %[1]s. Hit: %[2]s.", t.whole(w.Portions), t.names(w.Dishes))})
	}
	s.Blocks = append(s.Blocks, block{Rows: rows})
	return s
}

// ended makes a sentence of what begins small or has no stop.
func (t *teller) ended(l line) line {
	if len(l) == 0 {
		return l
	}
	l = slices.Clone(l)
	first, size := utf8.DecodeRuneInString(l[0].Text)
	l[0].Text = string(unicode.ToUpper(first)) + l[0].Text[size:]
	if last, _ := utf8.DecodeLastRuneInString(l[len(l)-1].Text); !unicode.IsPunct(last) {
		l = append(l, t.say(".")...)
	}
	return l
}

func (t *teller) caution(g *Guide) section {
	s := section{ID: cautionsID, Title: t.say("Cautions"), Page: true}
	if t.tag != language.English {
		s.Blocks = append(s.Blocks, block{Warning: t.say(tongue.Unreviewed)})
	}
	raw := g.servedRaw()
	for _, x := range raw {
		s.Blocks = append(s.Blocks, block{Warning: t.servedRaw(x)})
	}
	s.Blocks = append(s.Blocks, t.advisory(g, raw)...)
	for _, c := range g.Cautions {
		s.Blocks = append(s.Blocks, block{Warning: t.ended(t.say(c))})
	}
	limits := t.limits(g.code)
	if len(limits) == 0 {
		limits = []line{t.say("It gives no figure here: ask the person in charge.")}
	}
	s.Blocks = append(s.Blocks, block{Text: t.say("What this kitchen's food code says, %[1]s:", t.cited(g.Code))}, block{Points: limits},
		block{Warning: t.say(kitchen.Caution)},
		block{Warning: t.say("Where local code, or someone licensed to judge, says otherwise, do as they say. This guide does not replace training.")})
	return s
}

// limits are the figures of a food code.
func (t *teller) limits(c *kitchen.Code) (points []line) {
	degrees := func(at float64) string { return strings.ReplaceAll(c.Both(at), " °", "\u00a0°") }
	for _, l := range c.Cook {
		switch at, section := degrees(l.At), t.cited(l.Section); l.Food {
		case kitchen.Poultry:
			points = append(points, t.say("Cook poultry, wild game and what is stuffed to %[1]s (%[2]s).", at, section))
		case kitchen.Ground:
			points = append(points, t.say("Cook what is ground, tenderised or injected, and eggs that are not cooked as they are ordered, to %[1]s for %[2]s seconds (%[3]s).", at, t.whole(l.Seconds), section))
		default:
			points = append(points, t.say("Cook fish, whole cuts, and eggs that are cooked as they are ordered to %[1]s for %[2]s seconds (%[3]s); roasts have a table of their own.", at, t.whole(l.Seconds), section))
		}
	}
	for _, l := range c.Cooling {
		if l.Within == 0 {
			points = append(points, t.say("Cool cooked food from %[1]s to %[2]s (%[3]s).", degrees(l.From), degrees(l.To), t.cited(l.Section)))
			continue
		}
		points = append(points, t.say("Cool cooked food from %[1]s to %[2]s within %[3]s (%[4]s).", degrees(l.From), degrees(l.To),
			t.lasts(l.Within), t.cited(l.Section)))
	}
	if c.Reheat != nil && c.Again > 0 && c.For > 0 {
		points = append(points, t.say("Reheat what is to be held hot to %[1]s for %[2]s seconds within %[3]s (%[4]s).", degrees(c.Reheat.At), t.whole(c.For),
			t.lasts(c.Again), t.cited(c.Reheating())))
	} else if c.Reheat != nil && c.Again > 0 {
		points = append(points, t.say("Reheat to %[1]s within %[2]s of leaving the cold (%[3]s).", degrees(c.Reheat.At), t.lasts(c.Again), t.cited(c.Reheating())))
	} else if c.Reheat != nil {
		points = append(points, t.say("Reheat to %[1]s (%[2]s).", degrees(c.Reheat.At), t.cited(c.Reheat.Section)))
	}
	if c.Hot != nil && c.Hot.Above {
		points = append(points, t.say("Hold hot above %[1]s (%[2]s).", degrees(c.Hot.At), t.cited(c.Hot.Section)))
	} else if c.Hot != nil {
		points = append(points, t.say("Hold hot at %[1]s or above (%[2]s).", degrees(c.Hot.At), t.cited(c.Hot.Section)))
	}
	if c.Cold != nil {
		points = append(points, t.say("Hold cold at %[1]s or below (%[2]s).", degrees(c.Cold.At), t.cited(c.Cold.Section)))
	}
	if c.Keeps > 0 {
		points = append(points, t.say("Days that ready food may be held cold, the day made being day 1: %[1]s at most (%[2]s).", t.whole(c.Keeps), t.cited(c.Dated)))
	}
	return points
}

// asked are the questions.
func (t *teller) asked(g *Guide) section {
	s := section{ID: "questions", Title: t.say("Questions"), Page: true}
	s.Blocks = []block{{Text: t.say("More than one answer may be right. The answers are at the end.")}}
	for n, q := range g.Questions {
		var options []line
		for _, o := range q.Options {
			options = append(options, t.name(o))
		}
		s.Sections = append(s.Sections, section{ID: fmt.Sprintf("question-%d", n+1), Title: t.say("Question %[1]s", t.whole(n+1)),
			Blocks: []block{{Text: t.ended(t.question(q))}, {Options: options}}})
	}
	return s
}

func (t *teller) question(q Question) line {
	about := func(n int) line { return t.name(q.About[n]) }
	switch q.Asks {
	case AskLost:
		return t.say("Every batch of %[1]s is lost, all week. Which of these can you still sell in full?", about(0))
	case AskMissing:
		return t.say("There is no %[1]s all week. Which of these can you not sell at all?", about(0))
	case AskInstead:
		return t.say("There is no more %[1]s. What can go into %[2]s instead?", about(0), about(1))
	case AskFrom:
		return t.say("Where does %[1]s come from?", about(0))
	case AskPlate:
		return t.say("How much %[1]s goes on one portion of %[2]s?", about(0), about(1))
	case AskLast:
		return t.say("%[1]s is made on %[2]s. By how long the kitchen file says it keeps, what is its last day, if nothing that went in is older?", about(0), q.About[1])
	case AskDelivered:
		return t.say("When does %[1]s come?", about(0))
	case AskOut:
		return t.say("%[2]s begins at %[3]s. When is %[1]s out?", about(0), about(1), q.About[2])
	}
	return t.say("Which of these always has this allergen: %[1]s?", t.allergen(q.About[0]))
}

func (t *teller) answered(g *Guide) section {
	s := section{ID: "answers", Title: t.say("Answers"), Page: true}
	var rows []row
	for n, q := range g.Questions {
		var right []line
		for _, r := range q.Right {
			right = append(right, t.say("%[1]s: %[2]s", string(rune('A'+r)), t.name(q.Options[r])))
		}
		rows = append(rows, row{t.say("Question %[1]s", t.whole(n+1)), t.list(right)})
	}
	s.Blocks = []block{{Rows: rows}}
	return s
}

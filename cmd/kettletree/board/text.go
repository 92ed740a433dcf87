package board

// An answer as the command line has it, on a page: what stands indented under a line there belongs to it here.

import "strings"

// saidLine is a line of an answer, with what belongs to it.
type saidLine struct {
	Text  string
	Under []*saidLine
	Folds bool // what belongs to it is folded: with it the page would be too long for a phone
}

// Deep tells that what belongs to it has more below it.
func (l *saidLine) Deep() bool {
	for _, u := range l.Under {
		if len(u.Under) > 0 {
			return true
		}
	}
	return false
}

// saidLines reads a text by its indents.
func saidLines(text string) []*saidLine {
	top := &saidLine{}
	type open struct {
		line   *saidLine
		indent int
	}
	stack, all := []open{{top, -1}}, 0
	for line := range strings.Lines(text) {
		said := strings.TrimSpace(line)
		if said == "" {
			continue
		}
		indent := len(line) - len(strings.TrimLeft(line, " "))
		for stack[len(stack)-1].indent >= indent {
			stack = stack[:len(stack)-1]
		}
		all++
		one := &saidLine{Text: said}
		over := stack[len(stack)-1].line
		over.Under = append(over.Under, one)
		stack = append(stack, open{one, indent})
	}
	var deep []*saidLine
	for _, l := range top.Under {
		if l.Deep() {
			deep = append(deep, l)
		}
	}
	for _, l := range deep {
		l.Folds = all > longText && len(deep) > 3
	}
	return top.Under
}

// longText is how many lines a text may have before its parts are folded.
const longText = 150

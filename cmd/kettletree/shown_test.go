package main

// What README and the tour show: their commands are run as they are written, and what stands below each is held against what it
// says. With -update what they show is written again.

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	indent    = "    "             // of all that is typed, printed or written to a file
	prompt    = indent + "$ "      // before what is typed
	dots      = indent + "..."     // for lines that are left out
	writtenAt = "2026-11-24 15:00" // the clock by which they were written: a Tuesday after lunch
)

// typed is a command as a document shows it, or a file that it asks for.
type typed struct {
	command    string
	file       string
	lines      []string // what it says, or what is in the file, with the indent
	start, end int      // of the lines in the document
}

// filesOf are the files that the documents ask for, by how they begin.
var filesOf = map[string]string{
	"# kitchen.yaml": "kitchen.yaml", "item,quantity,made": "on-hand.csv", "item,time,temperature": "cooling.csv",
	"date,item,quantity,unit,paid,supplier,lot": "deliveries.csv", "Item;Qty": "till.csv", "place,item,unit,counted": "count.csv",
	"dish,ingredient,amount,unit": "cards.csv", "item,price,unit,pack": "list.csv",
}

// readTyped finds what is to be typed in a document: all that is indented is one block until text follows.
func readTyped(text []string) (list []typed) {
	var in *typed
	for at, line := range text {
		file := filesOf[strings.TrimPrefix(line, indent)]
		switch command, is := strings.CutPrefix(line, prompt); {
		case is:
			list = append(list, typed{command: command, start: at + 1, end: at + 1})
			in = &list[len(list)-1]
		case strings.HasPrefix(line, indent) && file != "":
			list = append(list, typed{file: file, lines: []string{line}, start: at, end: at + 1})
			in = &list[len(list)-1]
		case strings.HasPrefix(line, indent) && in != nil:
			for ; in.end <= at; in.end++ {
				in.lines = append(in.lines, text[in.end])
			}
		case line != "":
			in = nil
		}
	}
	return list
}

// write makes the file that a document asks for.
func (block typed) write(t *testing.T) {
	if block.file == "" {
		return
	}
	var b strings.Builder
	for _, line := range block.lines {
		b.WriteString(strings.TrimPrefix(line, indent) + "\n")
	}
	require.NoError(t, os.WriteFile(block.file, []byte(b.String()), 0o644))
}

// follow types all that a document shows, in the folder in which the test stands, and returns the document with what it should
// show. The clock stands at a time.
func follow(t *testing.T, document, clock string, before func(command string)) string {
	t.Helper()
	t.Setenv(clockName, clock)
	text := strings.Split(document, "\n")
	var now []string
	done := 0
	for _, block := range readTyped(text) {
		if block.write(t); block.file != "" {
			continue
		}
		before(block.command)
		name, rest, _ := strings.Cut(block.command, " ")
		if name != "kettletree" {
			continue // for a shell
		}
		var out bytes.Buffer // what goes to standard error stands among the rest, as on a terminal
		run(t.Context(), append([]string{name}, words(t, rest)...), strings.NewReader(""), &out, &out)
		said := strings.NewReplacer(clock, writtenAt, spoken(t, clock), spoken(t, writtenAt)).Replace(out.String())
		if !*update {
			assertShows(t, block, said)
		}
		now = append(append(now, text[done:block.start]...), abridged(t, block, said)...)
		done = block.end
	}
	return strings.Join(append(now, text[done:]...), "\n")
}

// spoken is a time as answers give it.
func spoken(t *testing.T, clock string) string {
	at, err := moment(clock)
	require.NoError(t, err)
	return at.Format("Mon 2 Jan 15:04")
}

// assertShows holds what a command says against what is shown of it.
func assertShows(t *testing.T, block typed, said string) {
	t.Helper()
	var pattern strings.Builder
	for _, line := range block.lines {
		if line == dots {
			pattern.WriteString("(?s:.*)")
		} else {
			pattern.WriteString(regexp.QuoteMeta(strings.TrimPrefix(line, indent)) + "\n")
		}
	}
	assert.Regexp(t, "^"+pattern.String()+"$", said, block.command)
}

// abridged is what a command says, cut as it is shown now: as many lines from the beginning, and behind dots as many from the line
// that begins like the one that stands there.
func abridged(t *testing.T, block typed, said string) (now []string) {
	lines := strings.Split(strings.TrimSuffix(said, "\n"), "\n")
	at := 0
	for k, line := range block.lines {
		if line == dots {
			now = append(now, dots)
			continue
		}
		if k > 0 && block.lines[k-1] == dots {
			like := strings.TrimPrefix(line, indent)
			like = like[:min(len(like), 12)]
			for at = 0; at < len(lines) && !strings.HasPrefix(lines[at], like); at++ {
			}
			assert.Less(t, at, len(lines), "%s: no line begins with %q; show another", block.command, like)
		}
		if at < len(lines) {
			now = append(now, strings.TrimRight(indent+lines[at], " "))
			at++
		}
	}
	return now
}

// words splits a command line as a shell does, as far as the documents need it.
func words(t *testing.T, line string) (list []string) {
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		list = append(list, m[1]+m[2])
	}
	return list
}

// someClocks are times that differ in all that an answer could turn on: before, in and after a service, on a day that is closed, at
// the end of a month and of a year. None follows a day of which something is left by plan: that would count too; nor
// a mishap of the documents, in its own week, for then it is too late for what they show.
var someClocks = []string{writtenAt, "2026-05-31 23:40", "2030-12-31 12:10", "2028-02-29 11:00"}

// TestTour follows the tour at all of these. After the second command, which shows a fault, it mends the file as the
// tour says.
func TestTour(t *testing.T) {
	oneAfterAnother(t)
	page, err := filepath.Abs("help/tour.md")
	require.NoError(t, err)
	for _, clock := range someClocks {
		t.Run(clock, func(t *testing.T) {
			t.Chdir(t.TempDir())
			commands := 0
			now := follow(t, helpText("tour"), clock, func(string) {
				if commands++; commands != 3 {
					return
				}
				src, err := os.ReadFile("kitchen.yaml")
				require.NoError(t, err)
				mended := strings.Replace(string(src), "chicken stok", "chicken stock", 1)
				require.NoError(t, os.WriteFile("kitchen.yaml", []byte(mended), 0o644))
			})
			assert.GreaterOrEqual(t, commands, 20)
			assert.FileExists(t, "stock.svg")
			if *update && clock == writtenAt {
				require.NoError(t, os.WriteFile(page, []byte(now), 0o644))
			}
		})
	}
}

// boardPicture is README's picture of the board.
const boardPicture = "../../examples/three-kettles/board.png"

package main

// The asker of start: one question after another at a terminal, with a way back.

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/menu/kitchen"
)

// asker asks one thing after another. The way back is to ask all again, and to answer by itself what was answered before the last question.
type asker struct {
	c     *cli.Context
	lines *bufio.Reader
	ended bool     // nothing more is typed
	typed bool     // something was
	given []string // the answers that were taken
	at    int      // how many of them the questions have had
}

// errBack is that the question before is to be asked again.
var errBack = errors.New("back")

// backWord goes back to the question before.
const backWord = "back"

// refuse takes back the answers behind the first few: they are asked again.
func (a *asker) refuse(after int) { a.given, a.at = a.given[:after], after }

// whether asks until the answer is "yes" or "no", or "" where it is skipped.
func (a *asker) whether(prompt string) (string, error) {
	for {
		said, err := a.line(prompt)
		if err != nil {
			return "", err
		}
		switch strings.ToLower(said) {
		case "y", "yes":
			return "yes", nil
		case "n", "no":
			return "no", nil
		case "":
			return "", nil
		}
		a.refuse(a.at - 1)
		a.say(fmt.Sprintf("  %q is neither y nor n.", said))
	}
}

// line asks for a line; "" skips it.
func (a *asker) line(prompt string) (string, error) {
	if a.at < len(a.given) {
		a.at++
		return a.given[a.at-1], nil
	}
	if a.ended {
		return "", nil
	}
	fmt.Fprint(a.c.App.ErrWriter, prompt+" ")
	said := make(chan string, 1)
	go func() {
		line, err := a.lines.ReadString('\n')
		a.ended = err != nil
		said <- line
	}()
	select {
	case line := <-said:
		a.typed = a.typed || line != ""
		if !a.typed {
			return "", &hinted{errors.New("nothing was answered"), "start asks at a terminal, or takes one answer a line from a file; kettletree start --from first-pot writes an example"}
		}
		line = strings.TrimSpace(line)
		if strings.EqualFold(line, backWord) {
			return "", errBack
		}
		a.given = append(a.given, line)
		a.at++
		return line, nil
	case <-a.c.Context.Done():
		return "", context.Cause(a.c.Context)
	}
}

// say tells something between questions.
func (a *asker) say(text string) {
	if a.at == len(a.given) { // not on the way back
		fmt.Fprintln(a.c.App.ErrWriter, text)
	}
}

// ask puts a question for a line into one of the answers, and again until the answers make a kitchen.
func (a *asker) ask(prompt string, into *string, s *kitchen.Starter) error {
	for {
		text, err := a.line(prompt)
		if err != nil {
			return err
		}
		*into = text
		_, err = s.Text("")
		if err == nil || text == "" {
			return nil
		}
		a.refuse(a.at - 1)
		a.told(err)
		if a.ended {
			return errTold
		}
	}
}

// told says what an answer can't be.
func (a *asker) told(err error) {
	if e, ok := errors.AsType[*kitchen.StarterError](err); ok {
		a.say(printing("  " + e.Msg + ": " + e.Hint))
		return
	}
	if found, ok := errors.AsType[kitchen.Diagnostics](err); ok {
		a.say(printing("  " + found[0].Msg + ": " + found[0].Hint))
	}
}

// rows asks for lines until one is skipped; each is tried by itself, and asked again while it makes no kitchen.
func (a *asker) rows(prompt string, most int, s *kitchen.Starter, add func(text string) (undo func(), err error)) error {
	for n := 0; n < most && (!a.ended || a.at < len(a.given)); n++ {
		before := a.at
		text, err := a.line(prompt)
		if err != nil || text == "" {
			return err
		}
		undo, err := add(text)
		if err != nil {
			return err
		}
		if _, err := s.Text(""); err != nil {
			a.refuse(before)
			a.told(err)
			undo()
			if a.ended {
				return errTold
			}
		}
	}
	return nil
}

// howMuch asks for the amount of what was named without one.
func (a *asker) howMuch(in *kitchen.StartIn, s *kitchen.Starter) error {
	name := in.Unmeasured()
	if name == "" {
		return nil
	}
	what := in.What
	for {
		before := a.at
		amount, err := a.line("  How much of it goes in? (3 kg; Enter if nobody knows: until somebody does, no answer counts the pot)")
		if err != nil || amount == "" {
			return err
		}
		in.What = amount + " " + what
		if _, err = s.Text(""); err == nil && in.Unmeasured() == "" {
			return nil
		}
		in.What = what
		a.refuse(before)
		a.say(fmt.Sprintf("  %q is no amount: write it as 3 kg.", amount))
		if a.ended {
			return errTold
		}
	}
}

// mostRows bounds what a starter asks of one kind.
const mostRows = 30

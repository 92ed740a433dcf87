package main

// restore: a copy of the log book, put back in its place.

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/logbook"
)

func restoreCommand() *cli.Command {
	return &cli.Command{
		Name: "restore", Usage: "put a copy of the log book back in its place, and set the old one aside",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "json", Usage: option("", "answer as JSON; \"kettletree help json\" documents it")}},
		Action: func(c *cli.Context) error {
			from, kitchen, err := apart(c, "file")
			if err != nil {
				return err
			}
			at, err := now()
			if err != nil {
				return err
			}
			r, err := logbook.Restore(c.Context, logbook.Path(kitchenFile(kitchen)), from, at)
			if err != nil {
				return told(err)
			}
			if r.Beside, err = restoreBeside(kitchenFile(kitchen), from, at); err == nil {
				var photos string
				if photos, err = restorePhotos(kitchenFile(kitchen), from, at); photos != "" {
					r.Beside = append(r.Beside, photos)
				}
			}
			if err != nil {
				return &hinted{fmt.Errorf("the log book is restored, but not what lies beside it: %w", err), "put it back by hand: the copy has it as FILE.plan, FILE.trial, FILE.names and FILE.photos"}
			}
			done(c, "do not restore it again; \"kettletree log show\" shows the log book", "%s", strings.TrimRight(restored(r), ".\n"))
			if c.Bool("json") {
				text, err := show.JSON(r)
				if err != nil {
					return err
				}
				return put(c, []byte(text))
			}
			return put(c, []byte(printing(restored(r))))
		},
	}
}

// restored says what became of the log book.
func restored(r *logbook.Restored) string {
	entries := entriesOf
	text := fmt.Sprintf("%s is as %s has it: %s.\n", r.LogBook, r.From, entries(r.Entries))
	switch {
	case r.Aside == "":
	case !r.Read:
		text += fmt.Sprintf("The old log book could not be read. It is set aside as %s.\n", r.Aside)
	case r.Lost == 0:
		text += fmt.Sprintf("The old log book had nothing more. It is set aside as %s.\n", r.Aside)
	case r.Lost == 1:
		text += fmt.Sprintf("Gone with the old log book: entry %d. It is set aside as %s.\n", r.First, r.Aside)
	default:
		text += fmt.Sprintf("Gone with the old log book: %s, from %d to %d. It is set aside as %s.\n", entries(r.Lost), r.First, r.Last, r.Aside)
	}
	for _, line := range r.Beside {
		text += line + ".\n"
	}
	return text
}

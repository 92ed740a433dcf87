package main

// undo: the last change that was made to a kitchen file is taken back.

import (
	"errors"
	"fmt"
	"os/user"
	"strconv"
	"time"

	"github.com/aymanbagabas/go-udiff"
	"github.com/urfave/cli/v2"

	"kettletree/menu/kitchen"
)

func undoCommand() *cli.Command {
	return &cli.Command{
		Name: "undo", Usage: "take back the last change that was made to the kitchen file from here",
		Flags: []cli.Flag{&cli.StringFlag{Name: "change", Usage: option("N", "take back the change of this number, not the last one")}, &cli.BoolFlag{Name: "list", Usage: option("", "list the changes, and take none back")}},
		Action: func(c *cli.Context) error {
			file := kitchenFile(c.Args().Slice())
			if file == "-" || c.NArg() > 1 {
				return &usageError{"undo takes one kitchen file", "name it, or none for kitchen.yaml here"}
			}
			src, err := read(c.Context, c.App.Reader, file)
			if err != nil {
				return err
			}
			if c.Bool("list") {
				return listChanges(c, file)
			}
			which := 0
			if text := c.String("change"); c.IsSet("change") {
				if which, err = strconv.Atoi(text); err != nil || which < 1 {
					return &usageError{fmt.Sprintf("--change %q is not a number of a change", text), "kettletree undo --list has the numbers"}
				}
			}
			text, last, number, err := kitchen.TakenBack(file, src, which)
			if err != nil {
				return unamended(c, &kitchen.Kitchen{File: file}, err)
			}
			if last == nil && which > 0 {
				return &hinted{fmt.Errorf("no change %d of %s still stands", which, file), "kettletree undo --list has the numbers"}
			}
			if last == nil {
				return &hinted{fmt.Errorf("no change of %s is kept", file), "only changes made from here can be taken back; a kitchen that was only begun goes with its file"}
			}
			kept := kitchen.Kept{Says: "taken back: " + last.Says, Undoes: number}
			if err := keepChange(file, src, text, kept); err != nil {
				return err
			}
			return put(c, []byte("Taken back: "+printing(last.Says)+"\n\n"+udiff.Unified(file, file, string(src), string(text))))
		},
	}
}

// listChanges tells what was changed, newest first.
func listChanges(c *cli.Context, file string) error {
	list, err := kitchen.Changes(file)
	if err != nil {
		return unamended(c, &kitchen.Kitchen{File: file}, err)
	}
	text := ""
	for n := len(list) - 1; n >= 0; n-- {
		text += fmt.Sprintf("%d  %s  %s  %s\n", n+1, list[n].When, list[n].Who, list[n].Says)
	}
	if text == "" {
		text = "Nothing was changed from here.\n"
	}
	return put(c, []byte(printing(text)))
}

// storeKitchen writes a changed kitchen file over the one that the change was made from, and keeps the change beside it.
func storeKitchen(file string, from, to []byte, says string) error {
	return keepChange(file, from, to, kitchen.Kept{Says: says})
}

func keepChange(file string, from, to []byte, kept kitchen.Kept) error {
	moment, err := now()
	if err != nil {
		return err
	}
	kept.When, kept.Who = moment.Format(time.DateTime), "somebody"
	if who, err := user.Current(); err == nil && who.Username != "" {
		kept.Who = who.Username
	}
	err = kitchen.Store(file, from, to, kept, writeFile)
	if errors.Is(err, kitchen.ErrChanged) {
		return &hinted{fmt.Errorf("%s was changed in the meantime", file), "nothing was written: ask again, and check the new proposal"}
	}
	if err != nil {
		return &hinted{at("write", file, err), "name a file in a folder that exists and that you may write to"}
	}
	return nil
}

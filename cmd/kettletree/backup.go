package main

// backup: a copy of the log book.

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"kettletree/menu/logbook"
)

func backupCommand() *cli.Command {
	return &cli.Command{
		Name: "backup", Usage: "copy the log book to a file, checked, even while it is being written",
		Action: func(c *cli.Context) error {
			to, kitchen, err := apart(c, "file")
			if err != nil {
				return err
			}
			file := logbook.Path(kitchenFile(kitchen))
			j, err := openLogBook(c.Context, file)
			if err != nil {
				return err
			}
			defer func() { _ = j.Close() }()
			if err := j.Backup(c.Context, to); err != nil {
				return told(err)
			}
			done(c, "it is whole; there is no need to copy it again", "%s is a copy of %s", to, file)
			made, err := copyBeside(kitchenFile(kitchen), to)
			if err == nil {
				var photos string
				if photos, err = backupPhotos(kitchenFile(kitchen), to); photos != "" {
					made = append(made, photos)
				}
			}
			if err != nil {
				return &hinted{fmt.Errorf("the log book is copied, but not what lies beside it: %w", err), "look at the folder, and copy it again"}
			}
			with := ""
			if len(made) > 0 {
				with = fmt.Sprintf(" Beside it lie %s, with what was kept beside the log book.", baseNames(made))
			}
			return put(c, []byte(printing(fmt.Sprintf("%s is a copy of %s.%s To go back to it: kettletree restore %s\n", to, file, with, to))))
		},
	}
}

package main

// schema: the JSON Schema of the kitchen file.

import (
	"github.com/urfave/cli/v2"

	"kettletree/menu/kitchen"
)

func schemaCommand() *cli.Command {
	return &cli.Command{
		Name: "schema", Usage: "print the JSON Schema of the kitchen file, for editors",
		Flags: []cli.Flag{outFlag()},
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return &usageError{"schema takes no file", "it is the same for every kitchen"}
			}
			return put(c, kitchen.Schema())
		},
	}
}

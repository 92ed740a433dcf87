package main

// serve in a folder without a kitchen file: pages that ask for one, and then its board.

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/board"
	"kettletree/menu/logbook"
)

// nothingYet tells whether a folder, the one here when none is named, has no kitchen file.
func nothingYet(args []string) bool {
	if len(args) == 1 && !isFolder(args[0]) {
		return false
	}
	file := kitchenFile(args)
	_, err := os.Lstat(file)
	return errors.Is(err, fs.ErrNotExist) && kitchensIn(filepath.Dir(file)) == nil // of several one has to be named
}

// begin serves the pages that ask, at this machine only.
func begin(c *cli.Context, args []string, port int) error {
	file := kitchenFile(args)
	if c.Bool("lan") || c.IsSet("cert") {
		return &hinted{fmt.Errorf("there is no %s yet", file), "begin it at this machine first: kettletree start, or serve without --lan"}
	}
	var listen net.ListenConfig
	listener, err := listen.Listen(c.Context, "tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return unheard(err, port)
	}
	port = listener.Addr().(*net.TCPAddr).Port
	s := &board.Starting{File: filepath.Clean(file), Clock: now, Save: writeFile, Open: func() (http.Handler, error) {
		o, err := options(c, args)
		if err != nil {
			return nil, err
		}
		b, err := board.New(c.Context, board.Config{Options: o, Clock: now, Save: writeFile, Until: until,
			Door: board.Door{Devices: strings.TrimSuffix(logbook.Path(file), ".logbook") + ".devices"}})
		if err != nil {
			return nil, err
		}
		go b.Watch(c.Context)
		return b.Handler(), nil
	}}
	fmt.Fprintf(c.App.Writer, "There is no kitchen file here yet. Begin one at http://localhost:%d/ on this machine. Ctrl-C closes it.\n", port)
	return attend(c, s.Handler(), func(context.Context) {}, listener)
}

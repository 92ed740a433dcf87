package main

// recipes and prices: what a kitchen has in spreadsheets, shown as a change of the kitchen file and written into it.

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/takeover"
)

// takingOver are the options of both.
func takingOver() []cli.Flag {
	return slices.Concat([]cli.Flag{
		&cli.StringSliceFlag{Name: "columns", Usage: option("COLUMN=HEADER", "which column is which, such as amount=Menge; kept beside the kitchen file once it is written")},
		&cli.StringSliceFlag{Name: "means", Usage: option("NAME=OURS", "the item that a name means, or none to leave it out; kept likewise")},
		&cli.StringFlag{Name: "decimals", Usage: option("comma|point", "what parts decimals (default: as the file's other numbers tell)")},
		&cli.BoolFlag{Name: "ask", Usage: option("", "ask which column is which, where that is not clear, also away from a terminal")},
		&cli.BoolFlag{Name: "into-file", Usage: option("", "write it into the kitchen file, if you say yes")},
		&cli.BoolFlag{Name: "yes", Usage: option("", "with --into-file: write without asking")},
	}, output())
}

func recipesCommand() *cli.Command {
	return &cli.Command{Name: "recipes", Usage: "take over recipes from a spreadsheet: shown first, --into-file writes them", Flags: takingOver(),
		Action: func(c *cli.Context) error { return (&takingFile{c: c, kind: takeover.OfRecipes}).do() }}
}

func pricesCommand() *cli.Command {
	return &cli.Command{Name: "prices", Usage: "take over a supplier's price list, with what it does to plate costs", Flags: slices.Concat(takingOver(), []cli.Flag{
		&cli.StringFlag{Name: "supplier", Usage: option("SUPPLIER", "whose list it is (default: as its column says, or whoever brings the items)")}}),
		Action: func(c *cli.Context) error { return (&takingFile{c: c, kind: takeover.OfPrices}).do() }}
}

// takingFile is one call of recipes or prices.
type takingFile struct {
	c       *cli.Context
	kind    takeover.Kind
	options menu.Options // of the kitchen; without a text where there is none yet
	fresh   bool
	k       *kitchen.Kitchen
	manner  takeover.Manner
	said    bool // something was said of columns or names, to be kept
	answers *bufio.Reader
}

func (t *takingFile) do() error {
	name, err := t.prepare()
	if err != nil {
		return err
	}
	list, err := read(t.c.Context, t.c.App.Reader, name)
	if err != nil {
		return err
	}
	taking, text, err := t.take(name, list)
	if err != nil {
		return err
	}
	file, src := t.options.Kitchen.Name, t.options.Kitchen.Text
	if t.fresh {
		file = kitchenFile(t.c.Args().Slice()[1:])
	} else if text != nil {
		after := t.options
		after.Kitchen.Text = text
		if taking.Follows, err = differ(t.c, t.options, after); err != nil {
			return err
		}
	}
	if !t.c.Bool("into-file") {
		return give(t.c, taking, func(p show.Page, a *takeover.Taking) string {
			out := show.Taking(p, a)
			if a.Diff != "" {
				out += "\n" + p.Text("Nothing is written yet. To write it, add --into-file.")
			}
			return out
		}, show.TakingSheet)
	}
	if t.c.Bool("csv") {
		return &usageError{"--into-file and --csv can't be used together", "choose one"}
	}
	if t.fresh && text != nil {
		return t.begin(file, text, taking)
	}
	if err := intoFile(t.c, file, t.c.Command.Name+" --into-file", src, text, taking, &taking.Written, show.Taking, func(a *takeover.Taking) bool { return a.Diff != "" }); err != nil {
		return err
	}
	return t.keep(file, taking)
}

// prepare reads the command line, the kitchen, and what is kept of columns and names.
func (t *takingFile) prepare() (name string, err error) {
	args := t.c.Args().Slice()
	switch {
	case len(args) == 0:
		return "", &usageError{string(t.kind) + " from which file?", "name a file with the ending .csv or .xlsx"}
	case len(args) > 2:
		return "", &usageError{fmt.Sprintf("%q is one argument too many", args[2]), "name the file, and a kitchen file or folder behind it"}
	case t.c.Bool("yes") && !t.c.Bool("into-file"):
		return "", &usageError{"--yes only works with --into-file", "only a change to the kitchen file needs a yes"}
	}
	file := kitchenFile(args[1:])
	if args[0] == "-" || file == "-" {
		return "", &usageError{"standard input is for answers here", "name the file"}
	}
	if _, err := os.Lstat(file); errors.Is(err, fs.ErrNotExist) && t.kind == takeover.OfRecipes {
		t.fresh, t.options.Kitchen.Name = true, file
	} else {
		if t.options, err = options(t.c, args[1:]); err != nil {
			return "", err
		}
		var faults kitchen.Diagnostics
		if t.k, faults = kitchen.Read(t.options.Kitchen.Name, t.options.Kitchen.Text); t.k == nil {
			(&opened{file: file, faults: faults}).tell(t.c.App.ErrWriter)
			return "", errTold
		}
	}
	t.answers = bufio.NewReader(t.c.App.Reader)
	return args[0], t.sayings(file)
}

// sayings reads what is kept, and what is said now.
func (t *takingFile) sayings(file string) (err error) {
	if t.manner, err = takeover.ReadKept(file); err != nil {
		if found, ok := errors.AsType[kitchen.Diagnostics](err); ok {
			(&opened{file: found[0].Pos.File, faults: found}).tell(t.c.App.ErrWriter)
			return errTold
		}
		return err
	}
	for _, said := range t.c.StringSlice("columns") {
		list, err := takeover.Said(t.kind, said)
		if e, ok := errors.AsType[*measure.Error](err); ok {
			return &usageError{"--columns: " + e.Msg, e.Hint}
		}
		for _, one := range list {
			t.manner.Columns, t.said = t.manner.Columns.With(one), true
		}
	}
	for _, said := range t.c.StringSlice("means") {
		if t.k == nil {
			return &usageError{"--means: there is no kitchen file yet whose names it could mean", "take the recipes over, and change names afterwards"}
		}
		naming, err := logbook.Meaning(t.k, said)
		if e, ok := errors.AsType[*measure.Error](err); ok {
			return &usageError{"--means: " + e.Msg, e.Hint}
		}
		t.manner.Names, t.said = t.manner.Names.With(naming), true
	}
	if t.manner.Decimals = t.c.String("decimals"); t.c.IsSet("decimals") && t.manner.Decimals != "comma" && t.manner.Decimals != "point" {
		return &usageError{fmt.Sprintf("--decimals takes no %q", t.manner.Decimals), "write comma or point"}
	}
	return nil
}

// take reads the file; where it is not clear which column is which, it asks, or says how to tell it.
func (t *takingFile) take(name string, list []byte) (*takeover.Taking, []byte, error) {
	for {
		taking, text, asks, err := t.once(name, list)
		in, ok := t.c.App.Reader.(*os.File)
		canAsk := t.c.Bool("ask") || ok && term.IsTerminal(int(in.Fd()))
		switch {
		case asks == nil && (err != nil || taking.Doubt == nil || !canAsk):
			return taking, text, err
		case asks == nil:
			d := taking.Doubt
			said, err := t.answer(fmt.Sprintf("What is %s?", d.Number), []string{d.Decimal, d.Thousands})
			if said == "" || err != nil {
				return taking, text, err
			}
			t.manner.Decimals = d.Parts(said == d.Decimal)
			continue
		case !canAsk:
			return nil, nil, &hinted{asks, asks.Hint()}
		}
		for _, column := range asks.Columns {
			header, err := t.answer(fmt.Sprintf("Which column has the %s?", column), asks.Headers)
			if err != nil {
				return nil, nil, err
			}
			if header == "" {
				return nil, nil, &hinted{asks, asks.Hint()}
			}
			t.manner.Columns, t.said = t.manner.Columns.With(takeover.Column{Kind: t.kind, Name: column, Header: header}), true
		}
	}
}

func (t *takingFile) once(name string, list []byte) (taking *takeover.Taking, text []byte, asks *takeover.Asks, err error) {
	file, src := t.options.Kitchen.Name, t.options.Kitchen.Text
	if t.fresh {
		src = takeover.Head(name, titleOf(file))
	}
	m := takeover.PriceManner{Manner: t.manner}
	if t.kind == takeover.OfPrices {
		m.From = t.c.String("supplier")
	}
	taking, text, asks, err = takeover.Take(t.kind, file, src, t.k, name, list, m)
	if found, ok := errors.AsType[kitchen.Diagnostics](err); ok {
		(&opened{file: name, faults: found}).tell(t.c.App.ErrWriter)
		return nil, nil, nil, errTold
	}
	if err != nil {
		return nil, nil, nil, unamended(t.c, &kitchen.Kitchen{File: file}, err)
	}
	return taking, text, asks, nil
}

// titleOf is what a new kitchen is called: as its folder.
func titleOf(file string) string {
	path, err := filepath.Abs(file)
	if err != nil {
		return ""
	}
	return filepath.Base(filepath.Dir(path))
}

// answer asks for one of some words; "" where no more is answered.
func (t *takingFile) answer(question string, words []string) (string, error) {
	for {
		fmt.Fprintf(t.c.App.ErrWriter, "%s %s: ", question, strings.Join(words, ", "))
		said := make(chan string, 1)
		go func() {
			line, _ := t.answers.ReadString('\n')
			said <- line
		}()
		select {
		case line := <-said:
			if line == "" {
				return "", nil
			}
			for _, w := range words {
				if strings.EqualFold(w, strings.TrimSpace(line)) {
					return w, nil
				}
			}
		case <-t.c.Context.Done():
			return "", context.Cause(t.c.Context)
		}
	}
}

// begin writes a kitchen file that was not there.
func (t *takingFile) begin(file string, text []byte, taking *takeover.Taking) error {
	ask := false
	if in, ok := t.c.App.Reader.(*os.File); ok && !t.c.Bool("yes") && !t.c.Bool("json") {
		ask = term.IsTerminal(int(in.Fd()))
	}
	agreed_ := t.c.Bool("yes")
	if ask {
		fmt.Fprintf(t.c.App.ErrWriter, "%s\nWrite this to %s? [y/N] ", show.Taking(page(t.c), taking), file)
		yes, err := agreed(t.c.Context, t.answers)
		if err != nil {
			return err
		}
		agreed_ = yes
	}
	if agreed_ {
		if err := writeNew(file, text); err != nil {
			return err
		}
		taking.Written = true
		done(t.c, "kettletree check "+file+" reads it", "%s is written", file)
		if err := t.keep(file, taking); err != nil {
			return err
		}
	}
	return give(t.c, taking, func(p show.Page, a *takeover.Taking) string {
		applied := show.Applied(p, file, true, a.Written)
		if a.Written {
			applied = p.Text("Written: "+file) + p.Text("Next: kettletree check --open lists what is not known yet.")
		}
		if ask {
			return applied
		}
		return show.Taking(p, a) + "\n" + applied
	}, nil)
}

// keep keeps what was said of columns and names, once something was written.
func (t *takingFile) keep(file string, taking *takeover.Taking) error {
	if !taking.Written || !t.said {
		return nil
	}
	wrote, err := t.manner.Keep(file, save)
	for _, path := range wrote {
		done(t.c, "it is read with the next file", "what was said is kept in %s", path)
	}
	return err
}

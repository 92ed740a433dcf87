package main

// yields: what batches really gave, shown, drawn, and proposed as a change of the kitchen file.

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

func yieldsCommand() *cli.Command {
	return &cli.Command{
		Name: "yields", Usage: "what batches really gave, against the kitchen file; --into-file writes it there",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "since", Usage: option("DATE", "only batches from this day on, such as 2026-11-23")},
			&cli.StringFlag{Name: "svg", Usage: option("FILE", "also draw the control charts of the step, as SVG")},
			&cli.BoolFlag{Name: "into-file", Usage: option("",
				"propose the learned yields as a change to the kitchen file, and write it if you say yes")},
			&cli.BoolFlag{Name: "yes", Usage: option("", "with --into-file: write without asking")},
		}, output()),
		Action: yields,
	}
}

func yields(c *cli.Context) error {
	for _, pair := range [][2]string{{"json", "csv"}, {"into-file", "csv"}, {"into-file", "svg"}} {
		if c.IsSet(pair[0]) && c.IsSet(pair[1]) {
			return &usageError{fmt.Sprintf("--%s and --%s can't be used together", pair[0], pair[1]), "choose one"}
		}
	}
	if c.Bool("yes") && !c.Bool("into-file") {
		return &usageError{"--yes only works with --into-file", "only a change to the kitchen file needs a yes"}
	}
	kitchenArg, subject, err := yieldArguments(c)
	if err != nil {
		return err
	}
	about := logbook.About{Step: -1, Output: -1}
	if since := c.String("since"); c.IsSet("since") {
		if about.Since, err = time.Parse(time.DateOnly, since); err != nil {
			return &usageError{fmt.Sprintf("--since %q is not a date", since), "write it as 2026-11-23"}
		}
	}
	file := kitchenFile(kitchenArg)
	src, err := read(c.Context, c.App.Reader, file)
	if err != nil {
		return err
	}
	kitchen, faults := kitchen.Read(file, src)
	if kitchen == nil {
		(&opened{file: file, faults: faults}).tell(c.App.ErrWriter)
		return errTold
	}
	if c.IsSet("svg") && subject == "" {
		return &usageError{"chart of which step?", fmt.Sprintf("name it: kettletree yields %q --svg chart.svg", kitchen.Example().Step)}
	}
	if subject != "" {
		if about.Step, about.Output, err = yieldNamed(kitchen, subject); err != nil {
			return err
		}
	}
	j, err := openLogBook(c.Context, logbook.Path(file))
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }()
	j.Know(kitchen)
	learned, err := j.Yields(c.Context, kitchen, about)
	if err != nil {
		return told(err)
	}
	if c.Bool("into-file") {
		return applyYields(c, kitchen, src, learned)
	}
	if name := c.String("svg"); name != "" {
		drawn := show.YieldCharts(&learned.Steps[0])
		if drawn == nil {
			return &hinted{fmt.Errorf("no yield of %q has the %d measured batches that a chart is drawn from",
				learned.Steps[0].Step, logbook.LeastBatches), "log what comes out of each batch, and ask again"}
		}
		if err := save(name, drawn); err != nil {
			return err
		}
	}
	return give(c, learned, show.Yields, show.YieldsSheet)
}

// yieldArguments tells the kitchen from what is asked about, on either side of it.
func yieldArguments(c *cli.Context) (kitchen []string, subject string, err error) {
	for _, arg := range c.Args().Slice() {
		switch {
		case looksLikeKitchen(arg) && kitchen == nil:
			kitchen = []string{arg}
		case subject == "":
			subject = arg
		default:
			return nil, "", &usageError{fmt.Sprintf("%q is one argument too many", arg),
				"give one STEP or STEP/ITEM and one kitchen file; put a name of several words in quotes"}
		}
	}
	if len(kitchen) > 0 && kitchen[0] == "-" {
		return nil, "", &usageError{"a log book lies beside a kitchen file, and standard input has none", "name the file"}
	}
	return kitchen, subject, nil
}

var slash = regexp.MustCompile(`/`)

// yieldNamed finds a step, and one of its outputs where it is named: output is negative where it is not.
func yieldNamed(k *kitchen.Kitchen, subject string) (step, output int, err error) {
	step, rest, err := k.StepNamed(subject, slash)
	if e, ok := errors.AsType[*measure.Error](err); ok {
		return 0, 0, &usageError{e.Msg, e.Hint}
	}
	name, named := strings.CutPrefix(rest, "/")
	if !named {
		return step, -1, nil
	}
	var names []string
	for o, out := range k.Graph.Steps[step].Gives {
		if names = append(names, k.Graph.Items[out.Item].Name); names[o] == name {
			return step, o, nil
		}
	}
	return 0, 0, &usageError{fmt.Sprintf("%q gives no %q", k.Graph.Steps[step].Name, name),
		meant(name, names, "it gives "+strings.Join(names, ", "))}
}

// applyYields proposes the change of the kitchen file, and makes it on a yes.
func applyYields(c *cli.Context, k *kitchen.Kitchen, src []byte, learned *logbook.Yields) error {
	p, text, err := logbook.Propose(k, src, learned)
	if err != nil {
		return unamended(c, k, err)
	}
	return intoFile(c, k.File, "yields --into-file", src, text, p, &p.Written, show.Proposal, func(p *logbook.Proposal) bool { return p.Diff != "" })
}

// unamended tells why a kitchen file can't be changed as it was proposed.
func unamended(c *cli.Context, k *kitchen.Kitchen, err error) error {
	if e, ok := errors.AsType[*kitchen.AmendError](err); ok {
		if e.Faults != nil {
			(&opened{file: k.File, faults: e.Faults}).tell(c.App.ErrWriter)
		}
		return &hinted{e, e.Hint}
	}
	return err
}

// intoFile shows a proposed change of a kitchen file, whose text is nil where nothing changes, and makes it on a yes.
func intoFile[P any](c *cli.Context, file, says string, src, text []byte, p P, written *bool, proposal func(show.Page, P) string, changes func(P) bool) error {
	ask := false
	if in, ok := c.App.Reader.(*os.File); ok && text != nil && !c.Bool("yes") && !c.Bool("json") {
		ask = term.IsTerminal(int(in.Fd()))
	}
	if ask {
		fmt.Fprintf(c.App.ErrWriter, "%s\nWrite this to %s? [y/N] ", proposal(page(c), p), file)
		yes, err := agreed(c.Context, c.App.Reader)
		if err != nil {
			return err
		}
		if !yes {
			fmt.Fprintln(c.App.ErrWriter, "Nothing is written.")
			return nil
		}
	}
	if text != nil && (ask || c.Bool("yes")) {
		if err := storeKitchen(file, src, text, says); err != nil {
			return err
		}
		*written = true
		done(c, "look at the file before it is changed again", "%s is changed", file)
	}
	return give(c, p, func(page show.Page, p P) string {
		applied := show.Applied(page, file, changes(p), *written)
		if ask {
			return applied
		}
		return proposal(page, p) + "\n" + applied
	}, nil)
}

// agreed waits for an answer: only "y" and "yes" agree.
func agreed(ctx context.Context, from io.Reader) (bool, error) {
	said := make(chan string, 1)
	go func() {
		line, _ := bufio.NewReader(from).ReadString('\n') // the end of what is typed is no yes
		said <- strings.ToLower(strings.TrimSpace(line))
	}()
	select {
	case word := <-said:
		return word == "y" || word == "yes", nil
	case <-ctx.Done():
		return false, context.Cause(ctx)
	}
}

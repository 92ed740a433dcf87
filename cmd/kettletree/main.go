// Kettletree answers questions about a kitchen in which one pot feeds many dishes: what runs out when something
// upstream goes wrong, what every portion costs, what hurts most if it fails.
//
// Each command loads a kitchen file, asks one question of package menu, and has package show lay the answer out.
// Answers go to standard output, or to the file named by --out; everything else goes to standard error.
package main

// The program: its commands, how it ends, and what it says when it ends badly.

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"time"
	"unicode"

	"github.com/urfave/cli/v2"

	"kettletree/menu"
	"kettletree/menu/logbook"
	"kettletree/menu/week"
)

func main() {
	logbook.Here = time.Local
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)                            // a second Ctrl-C ends what does not heed the first
	signal.Notify(make(chan os.Signal, 1), syscall.SIGPIPE) // a write that nobody reads fails then, and what was logged is said
	code := run(ctx, os.Args, os.Stdin, os.Stdout, os.Stderr)
	os.Exit(code)
}

// How the program ends.
const (
	ended       = 0   // the question is answered
	failed      = 1   // the kitchen or its answer has errors, or a file can't be read or written
	misused     = 2   // the command line is wrong
	unshown     = 3   // what was asked for is written, but the answer could not be shown
	interrupted = 130 // by Ctrl-C, or asked to end
)

// usageError is a fault in the command line.
type usageError struct{ msg, hint string }

func (e *usageError) Error() string { return e.msg }

// hinted is an error that says what to do about it.
type hinted struct {
	error
	hint string
}

// errTold ends a command whose faults have been told already.
var errTold = errors.New("told")

// run is the program. The arguments begin with its own name.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	app := newApp(stdin, stdout, stderr)
	args, err := permuted(app, args)
	if err == nil {
		err = app.RunContext(ctx, args)
	}
	if what, hint := allDone(app); err != nil && what != "" {
		if ctx.Err() != nil {
			err = errors.New("interrupted")
		}
		fmt.Fprintf(stderr, "kettletree: error: %s, but the answer could not be shown: %v\nkettletree: hint: %s\n", printing(what), err, hint)
		return unshown
	}
	if errors.Is(err, syscall.EPIPE) { // who reads the answer has had enough
		return failed
	}
	if err != nil && ctx.Err() != nil {
		fmt.Fprintln(stderr, "kettletree: interrupted")
		return interrupted
	}
	if err == nil {
		return ended
	}
	code, hint := failed, ""
	if usage, ok := errors.AsType[*usageError](err); ok {
		code, hint = misused, usage.hint
	} else if option, ok := errors.AsType[*menu.OptionError](err); ok {
		code, hint = misused, option.Hint
	} else if errors.As(err, new(*week.SlowRuleError)) {
		code, hint = misused, "use --rule fair or first"
	} else if h, ok := errors.AsType[*hinted](err); ok {
		hint = h.hint
	}
	if !errors.Is(err, errTold) {
		fmt.Fprintf(stderr, "kettletree: error: %s\n", printing(err.Error()))
	}
	if hint != "" {
		fmt.Fprintf(stderr, "kettletree: hint: %s\n", printing(hint))
	}
	return code
}

// printing is a message with a mark in the place of what does not print: it may repeat the name of a file, or what was typed, which could
// tell a terminal to do something.
func printing(text string) string {
	return strings.Map(func(c rune) rune {
		if c != '\n' && !unicode.IsPrint(c) {
			return unicode.ReplacementChar
		}
		return c
	}, text)
}

// helpTexts has a text for each command, for the program ("kettletree.md"), and for each further topic of help.
//
//go:embed help
var helpTexts embed.FS

// topics are the texts of help that are not about a command, with what each is about.
var topics = []struct{ name, about string }{
	{"tour", "a small kitchen, and every question asked of it, in ten minutes"},
	{"kitchen", "the kitchen file"},
	{"logbook", "the log book: what really happened, and what is on hand by it"},
	{"lots", "lots: where a delivery went, what was on a plate"},
	{"import", "deliveries, sales and counts from CSV or .xlsx"},
	{"board", "the kitchen in a browser"},
	{"json", "the JSON of all answers"},
}

// topicNames are the names of the topics.
func topicNames() (names []string) {
	for _, t := range topics {
		names = append(names, t.name)
	}
	return names
}

// groups are the commands by who asks, in the order in which help lists them.
var groups = []struct {
	who      string
	commands []string
}{
	{"By the stove", []string{"whatif", "tonight", "clock", "cooling", "labels", "allergens", "log", "on-hand", "serve"}},
	{"In the office", []string{"plan", "buy", "specials", "cost", "popularity", "forecast", "yields", "weigh", "taste"}},
	{"To understand the kitchen", []string{"why", "weak", "trace", "map", "guide"}},
	{"Files and the program", []string{"start", "recipes", "prices", "check", "change", "diff", "undo", "schema", "backup", "restore", "completion", "licences", "help"}},
}

// contents lists the commands and the topics of help.
func contents(commands []*cli.Command) string {
	var b strings.Builder
	for _, g := range groups {
		fmt.Fprintf(&b, "\n%s:\n", g.who)
		for _, name := range g.commands {
			at := slices.IndexFunc(commands, func(c *cli.Command) bool { return c.Name == name })
			fmt.Fprintf(&b, "  %-12s%s\n", name, commands[at].Usage)
		}
	}
	b.WriteString("\nTopics, as in kettletree help tour:\n")
	for _, t := range topics {
		fmt.Fprintf(&b, "  %-12s%s\n", t.name, t.about)
	}
	return b.String()
}

func helpText(topic string) string {
	text, err := helpTexts.ReadFile("help/" + topic + ".md")
	if err != nil {
		panic("mistake: there is no help text: " + err.Error())
	}
	return string(text)
}

// How help is laid out; see option for what GetUsage gives.
const (
	appHelp = "{{.Description}}\nkettletree COMMAND --help says more, with an example. kettletree --version says which build this is.\n" +
		"\nAnswers go to standard output, all else to standard error. Ends with 0 when all is well,\n" +
		"1 when the kitchen or its answer has errors or a file can't be read or written, 2 when the\n" +
		"command line is wrong, 3 when something was written but the answer can't be shown, 130 by\n" +
		"Ctrl-C.\n"
	commandHelp = "{{.Description}}{{range $at, $flag := .VisibleFlags}}{{if ne (index .Names 0) \"help\"}}" +
		"{{if not $at}}\nOptions:\n{{end}}" +
		"  --{{join .Names \", -\"}}{{if .TakesValue}} {{end}}{{.GetUsage}}\n{{end}}{{end}}"
)

// newApp makes the program with its commands.
func newApp(stdin io.Reader, stdout, stderr io.Writer) *cli.App {
	app := &cli.App{
		Name: "kettletree", Usage: "one pot feeds many dishes", Description: helpText("kettletree"),
		Reader: stdin, Writer: stdout, ErrWriter: stderr,
		CustomAppHelpTemplate:     appHelp,
		Flags:                     []cli.Flag{cli.HelpFlag, &cli.BoolFlag{Name: "version", Usage: "say which build this is"}},
		HideHelpCommand:           true,
		HideVersion:               true,
		Suggest:                   true,
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {}, // only main ends the program
		OnUsageError:              onUsageError,
		After: func(c *cli.Context) error {
			lines, _ := c.App.Metadata[afterAnswer].([]string)
			for _, line := range lines {
				if _, err := fmt.Fprintln(stderr, line); err != nil {
					return err
				}
			}
			return nil
		},
		Commands: []*cli.Command{
			checkCommand(), whatifCommand(), whyCommand(), weakCommand(), planCommand(), buyCommand(), tonightCommand(), onHandCommand(), clockCommand(),
			specialsCommand(), costCommand(), popularityCommand(), forecastCommand(), traceCommand(),
			coolingCommand(), labelsCommand(), allergensCommand(),
			mapCommand(), guideCommand(), logCommand(), yieldsCommand(), tasteCommand(), backupCommand(), restoreCommand(), serveCommand(),
			schemaCommand(), changeCommand(), diffCommand(), recipesCommand(), pricesCommand(), weighCommand(), undoCommand(), startCommand(), licencesCommand(), completionCommand(), completeCommand(), helpCommand(),
		},
	}
	app.Description += contents(app.Commands)
	app.Action = func(c *cli.Context) error { // no command of this program
		if c.Bool("version") {
			_, err := fmt.Fprintln(stdout, "kettletree "+version(debug.ReadBuildInfo()))
			return err
		}
		if !c.Args().Present() {
			cli.HelpPrinterCustom(stderr, appHelp, app, nil)
			return &usageError{"which command?", "kettletree help COMMAND says more, with an example"}
		}
		var names []string
		for _, known := range app.Commands {
			names = append(names, known.Name)
		}
		name := c.Args().First()
		return &usageError{fmt.Sprintf("there is no command %q", name),
			meant(name, names, "kettletree --help lists the commands")}
	}
	for _, c := range app.Commands {
		c.OnUsageError = onUsageError
		c.HideHelpCommand = true
		if !c.Hidden {
			c.Description = helpText(c.Name)
		}
		c.CustomHelpTemplate = commandHelp
	}
	return app
}

func onUsageError(_ *cli.Context, err error, _ bool) error { return &usageError{msg: err.Error()} }

package main

// What all commands share: the options that frame a question, the kitchen file, and the checks that come first.

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// option words the help of an option: what it takes, "" for nothing, and what it means.
func option(takes, means string) string { return takes + "\n        " + means }

// framing are the options that frame a question about a kitchen.
func framing() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "from", Usage: option("DATE",
			"first day, such as 2026-11-23 (default: Monday of this week; today where there is a log book)")},
		&cli.StringFlag{Name: "days", Usage: option("N", "number of days (default: 7)")},
		&cli.StringFlag{Name: "on-hand", Usage: option("FILE",
			"what is on hand when the first day begins: CSV with item,quantity,made (default: by the log book)")},
		&cli.StringFlag{Name: "plan", Usage: option("FILE",
			"a plan that \"plan --save\" wrote, in place of the standing week")},
		&cli.StringFlag{Name: "rule", Usage: option(strings.Join(week.RuleNames, "|"),
			"who goes short: every dish alike, the last rank first, or what earns least (default: fair)")},
	}
}

// output are the options that say how an answer is given.
func output() []cli.Flag {
	return []cli.Flag{
		&cli.BoolFlag{Name: "json", Usage: option("", "answer as JSON; \"kettletree help json\" documents it")},
		&cli.BoolFlag{Name: "csv", Usage: option("", "answer as CSV, with a row of column names")},
		outFlag(),
	}
}

func outFlag() cli.Flag {
	return &cli.StringFlag{Name: "out", Aliases: []string{"o"}, Usage: option("FILE",
		"write the answer to a file, not to standard output")}
}

// shockFlags are the options that ask about changes, one for each kind.
func shockFlags() (flags []cli.Flag) {
	for _, k := range week.ShockKinds {
		flags = append(flags, &cli.StringSliceFlag{Name: k.Name, Usage: option(k.Takes, k.Means)})
	}
	return flags
}

// period reads the options that frame a question, but for what is on hand.
func period(c *cli.Context) (p week.Period, err error) {
	today, err := now()
	if err != nil {
		return p, err
	}
	sinceMonday := (int(today.Weekday()) + 6) % 7
	p = week.Period{From: today.Truncate(24*time.Hour).AddDate(0, 0, -sinceMonday), Days: 7}
	if c.Command.Name == "tonight" {
		p = week.Period{From: today.Truncate(24 * time.Hour), Days: 1}
	}
	if from := c.String("from"); c.IsSet("from") {
		if p.From, err = time.Parse(time.DateOnly, from); err != nil {
			return p, &usageError{fmt.Sprintf("--from %q is not a date", from), "write it as 2026-11-23"}
		}
	}
	if days := c.String("days"); c.IsSet("days") {
		p.Days, err = strconv.Atoi(days)
		if err != nil || p.Days < 1 || p.Days > week.MostDays {
			return p, &usageError{fmt.Sprintf("--days %q is not a number of days", days),
				fmt.Sprintf("write a whole number from 1 to %d", week.MostDays)}
		}
	}
	if rule := c.String("rule"); c.IsSet("rule") {
		at := slices.Index(week.RuleNames, rule)
		if at < 0 {
			return p, &usageError{fmt.Sprintf("there is no rule %q", rule),
				"write one of: " + strings.Join(week.RuleNames, ", ")}
		}
		p.Rule = flow.Ration(at)
	}
	if c.Bool("json") && c.Bool("csv") {
		return p, &usageError{"--json and --csv are both asked for", "choose one"}
	}
	return p, nil
}

// checked is a kitchen with all that was found in it and in what is on hand. The week is nil when any of it is an
// error.
type checked struct {
	file   string
	week   *week.Week
	faults kitchen.Diagnostics
	asOf   []string // where what is on hand comes from and as of when, and what was decided; nil when there is no log book
}

// readKitchen reads and checks the kitchen that the arguments name; it is nil when a fault is an error.
func readKitchen(c *cli.Context, args []string) (*checked, *kitchen.Kitchen, error) {
	k := &checked{file: kitchenFile(args)}
	src, err := read(c.Context, c.App.Reader, k.file)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			err = &hinted{err,
				"name a kitchen file, or a folder with a kitchen.yaml; examples/first-pot has one to copy"}
		}
		return nil, nil, err
	}
	var kit *kitchen.Kitchen
	kit, k.faults = kitchen.Read(k.file, src)
	return k, kit, nil
}

// load reads and checks the kitchen that the arguments name and lays it over the period.
func load(c *cli.Context, args []string) (*checked, error) {
	if len(args) > 1 {
		return nil, &usageError{fmt.Sprintf("%q stands after the kitchen file", args[1]),
			"give one kitchen file, or none for kitchen.yaml here"}
	}
	p, err := period(c)
	if err != nil {
		return nil, err
	}
	k, kitchen, err := readKitchen(c, args)
	if err != nil {
		return nil, err
	}
	if kitchen == nil {
		return k, nil
	}
	return k, k.lay(c, kitchen, p)
}

// lay lays a kitchen over a period, with what is on hand by a list or by the log book, or over the days of a plan.
func (k *checked) lay(c *cli.Context, kit *kitchen.Kitchen, p week.Period) (err error) {
	if name := c.String("on-hand"); name != "" {
		if name == "-" && k.file == "-" {
			return &usageError{msg: "the kitchen and what is on hand can't both come from standard input"}
		}
		src, err := read(c.Context, c.App.Reader, name)
		if err != nil {
			return err
		}
		var faults kitchen.Diagnostics
		p.OnHand, faults = kitchen.ReadOnHand(name, src, kit, p.From)
		k.faults = append(k.faults, faults...)
	}
	var j *logbook.Book
	var present *logbook.Present
	if file := logbook.Path(k.file); c.String("on-hand") == "" && k.file != "-" && c.Command.Name != "guide" && logbook.Exists(file) {
		if j, err = logbook.Open(c.Context, file); err != nil {
			return told(err)
		}
		defer func() { _ = j.Close() }()
	}
	if j != nil && c.String("plan") == "" {
		if present, err = k.fromLogBook(c, j, kit, &p); err != nil {
			return err
		}
	}
	if k.faults.Err() != nil {
		return nil
	}
	if name := c.String("plan"); name != "" {
		k.week, err = planned(c, name, kit, p.Rule)
	} else {
		k.week, err = week.Over(kit, p)
	}
	if err == nil && present != nil {
		k.week.Change(present.Lay)
	}
	if err == nil && j != nil {
		err = k.decided(c.Context, j)
	}
	if err == nil && present != nil {
		k.week.Change(present.Stores)
	}
	if err == nil && p.Rule == week.Best {
		k.week.Settle = plan.Best(c.Context, k.week)
	}
	return err
}

// decided makes what was decided, or found out, by now part of the week.
func (k *checked) decided(ctx context.Context, j *logbook.Book) error {
	asOf, err := now()
	if err != nil {
		return err
	}
	made, odd, err := j.Decisions(ctx, k.week, asOf)
	if err != nil {
		return told(err)
	}
	if len(made) > 0 {
		k.asOf = append(k.asOf, "with "+strings.Join(made, "; "))
	}
	k.asOf = append(k.asOf, odd...)
	return nil
}

// planned is the week of a kept plan, which has days and stock of its own.
func planned(c *cli.Context, name string, kitchen *kitchen.Kitchen, rule flow.Ration) (*week.Week, error) {
	for _, own := range []string{"from", "days", "on-hand"} {
		if c.IsSet(own) {
			return nil, &usageError{fmt.Sprintf("--plan and --%s are both given", own),
				"a plan has its own days and its own stock: leave --" + own + " out, or plan again with it"}
		}
	}
	src, err := read(c.Context, c.App.Reader, name)
	if err != nil {
		return nil, err
	}
	return plan.Load(name, src, kitchen, rule)
}

// byPlan are the commands that show whole days as they are planned, done or not. With a log book their week begins
// yesterday, whose pots come out today; see shownFrom.
var byPlan = []string{"clock", "labels"}

// shownFrom is the first day of a week that is shown where no day is named: today, of a week that begins yesterday.
func shownFrom(c *cli.Context, w *week.Week) (day int, err error) {
	if c.IsSet("from") || c.IsSet("on-hand") || c.IsSet("plan") || !logbook.Exists(logbook.Path(kitchenFile(c.Args().Slice()))) {
		return 0, nil
	}
	today, err := now()
	return int(today.Sub(w.From).Hours() / 24), err
}

// fromJournal takes what is on hand from the log book beside the kitchen file, and says as of when. A kitchen with a
// log book is asked about from today on, where no day is named; today goes on from now.
func (k *checked) fromLogBook(c *cli.Context, j *logbook.Book, kit *kitchen.Kitchen, p *week.Period) (*logbook.Present, error) {
	file := logbook.Path(k.file)
	asOf, err := now()
	if err != nil {
		return nil, err
	}
	today := asOf.Truncate(24 * time.Hour)
	switch {
	case c.IsSet("from") && !p.From.Equal(today) || c.IsSet("from") && slices.Contains(byPlan, c.Command.Name):
		asOf = p.From
	case slices.Contains(byPlan, c.Command.Name):
		if p.From = today.AddDate(0, 0, -1); c.IsSet("days") {
			p.Days++
		}
		asOf = p.From
	default:
		p.From = today
	}
	present, err := j.Present(c.Context, kit, p.From, asOf)
	if err != nil {
		return nil, told(err)
	}
	stock := present.Stock
	if stock.Entries == 0 && len(present.Pots) == 0 {
		k.asOf = []string{fmt.Sprintf("%s has nothing from before %s, so nothing is on hand; --from asks about a later day",
			file, asOf.Format(logbook.Minutes))}
		return present, nil
	}
	k.asOf = []string{fmt.Sprintf("on hand as of %s, by %s", stock.AsOf.Format(logbook.Minutes), file)}
	if n := len(stock.Odd); n > 0 {
		k.asOf[0] += fmt.Sprintf("; what does not add up (%d) is told by \"kettletree log show\"", n)
	}
	k.asOf = append(k.asOf, present.Told(kit)...)
	var past []logbook.Lot
	p.OnHand, past = stock.OnHand(kit, p.From)
	for at := 0; at < len(past); { // lots of an item stand together, the oldest first
		l := past[at]
		for at++; at < len(past) && past[at].Item == l.Item; at++ {
			l.Amount += past[at].Amount
			l.Made = past[at].Made
		}
		name, keeps := kit.Graph.Items[l.Item].Name, kit.Terms.Keeps[l.Item]
		k.faults = append(k.faults, kitchen.Diagnostic{Pos: kitchen.Pos{File: file}, Severity: kitchen.Warning, ID: "past-keeping",
			Msg: fmt.Sprintf("%s of %q kept until %s, so it is not counted", kit.Quantity(l.Item, l.Amount), name,
				l.Made.AddDate(0, 0, keeps-1).Format(time.DateOnly)),
			Hint: fmt.Sprintf("once it is thrown away: kettletree log binned %s %s", kit.Quantity(l.Item, l.Amount), name)})
	}
	return present, nil
}

// openWeek is load for commands that go on only with a sound kitchen. What was found is told.
func openWeek(c *cli.Context, args []string) (*week.Week, error) {
	k, err := load(c, args)
	if err != nil {
		return nil, err
	}
	k.tell(c.App.ErrWriter)
	if k.week == nil {
		return nil, errTold
	}
	for _, line := range k.asOf {
		fmt.Fprintf(c.App.ErrWriter, "kettletree: %s\n", line)
	}
	return k.week, nil
}

// tell prints all faults, and how many there are.
func (k *checked) tell(w io.Writer) {
	if len(k.faults) > 0 {
		fmt.Fprintf(w, "%v\nkettletree: %s\n", k.faults, k.counted())
	}
}

// counted is "2 errors, 1 warning".
func (k *checked) counted() string {
	var parts []string
	for _, s := range []kitchen.Severity{kitchen.Error, kitchen.Warning} {
		n := 0
		for _, d := range k.faults {
			if d.Severity == s {
				n++
			}
		}
		switch {
		case n == 1:
			parts = append(parts, "1 "+s.String())
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", n, s))
		}
	}
	return strings.Join(parts, ", ")
}

// kitchenName is the file that is read where none is named, or where a folder is.
const kitchenName = "kitchen.yaml"

func kitchenFile(args []string) string {
	if len(args) == 0 {
		return kitchenName
	}
	if isFolder(args[0]) {
		return filepath.Join(args[0], kitchenName)
	}
	return args[0]
}

func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// apart takes a kitchen file away from the arguments of a command that also wants a name, on either side of it.
func apart(c *cli.Context, what string) (name string, kitchen []string, err error) {
	args := c.Args().Slice()
	switch len(args) {
	case 0:
		return "", nil, &usageError{"of which " + what + "?", "kettletree " + c.Command.Name + " --help has an example"}
	case 1:
		return args[0], nil, nil
	case 2:
		if looksLikeKitchen(args[0]) && !looksLikeKitchen(args[1]) {
			return args[1], args[:1], nil
		}
		return args[0], args[1:], nil
	}
	return "", nil, &usageError{fmt.Sprintf("%q is one too many", args[2]),
		fmt.Sprintf("give one %s and one kitchen file; put a name of several words in quotes", what)}
}

func looksLikeKitchen(arg string) bool {
	ext := strings.ToLower(filepath.Ext(arg))
	return arg == "-" || ext == ".yaml" || ext == ".yml" || isFolder(arg)
}

// read reads a file, "-" for standard input. It stops where a file is too large for the reader to take it, which then
// says so, and when ctx ends.
func read(ctx context.Context, stdin io.Reader, name string) ([]byte, error) {
	type text struct {
		src []byte
		err error
	}
	done := make(chan text, 1)
	go func() { // a terminal or a pipe may let us wait
		from := stdin
		if name != "-" {
			f, err := os.Open(name)
			if err != nil {
				done <- text{nil, err}
				return
			}
			defer func() { _ = f.Close() }() // what was read is read
			from = f
		}
		src, err := io.ReadAll(io.LimitReader(from, kitchen.MostBytes+1))
		done <- text{src, err}
	}()
	select {
	case t := <-done:
		if t.err != nil {
			return nil, at("read", name, t.err)
		}
		return t.src, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// shocks reads the changes that are asked about, kind by kind.
func shocks(c *cli.Context, w *week.Week) (list []week.Shock, err error) {
	for _, k := range week.ShockKinds {
		for _, text := range c.StringSlice(k.Name) {
			s, err := w.Shock(k.Name, text)
			if err != nil {
				return nil, &usageError{msg: err.Error()}
			}
			list = append(list, s)
		}
	}
	return list, nil
}

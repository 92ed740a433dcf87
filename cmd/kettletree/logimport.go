package main

// log import: deliveries, sales and stock-take sheets from files, shown and written down.

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// importing are the options of log import beside --yes.
func importing() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "dates", Usage: option(joined(logbook.DateOrders),
			"with import: how dates such as 3/4/2026 are meant (default: as the file's other dates tell)")},
		&cli.StringFlag{Name: "decimals", Usage: option(joined(logbook.AllDecimals),
			"with import: what parts decimals (default: as the file's other numbers tell)")},
		&cli.StringSliceFlag{Name: "means", Usage: option("NAME=OURS",
			"with import: the dish or item that a name means, or none to leave its rows out; kept with --yes")},
		&cli.BoolFlag{Name: "ask", Usage: option("", "with import: ask what is not clear, and whether to log the rows")},
	}
}

// joined lists the words that an option takes.
func joined[T ~string](words []T) string {
	var quoted []string
	for _, w := range words {
		if strings.Contains(string(w), " ") {
			w = T(fmt.Sprintf("%q", w))
		}
		quoted = append(quoted, string(w))
	}
	return strings.Join(quoted, "|")
}

// chosen is the word that an option was given, of those that it takes; "" when it was not given.
func chosen[T ~string](c *cli.Context, option string, words []T) (T, error) {
	said := T(strings.ToLower(c.String(option)))
	if c.IsSet(option) && !slices.Contains(words, said) {
		return "", &usageError{fmt.Sprintf("--%s takes no %q", option, c.String(option)), "write " + strings.ReplaceAll(joined(words), "|", " or ")}
	}
	return said, nil
}

// fileImport is one call of log import.
type fileImport struct {
	*logging
	kitchen *kitchen.Kitchen
	name    string // of the file
	text    []byte
	manner  logbook.Manner
	names   string // the file of names that are kept
	said    bool   // whether names were said that are to be kept
	answers *bufio.Reader
}

// takeOver shows what a file says and, with --yes or on a yes, writes it down.
func (l *logging) takeOver() error {
	t, err := l.takeover()
	if err != nil {
		return err
	}
	file, err := t.read()
	if err != nil {
		return err
	}
	write, ask := l.c.Bool("yes"), l.c.Bool("ask")
	if !write {
		fresh, from, err := t.fresh(file)
		if err != nil {
			return err
		}
		if !ask || len(fresh) == 0 {
			return t.tell(file, fresh, from, false)
		}
		fmt.Fprintf(l.c.App.ErrWriter, "%s\nWrite this to %s? [y/N] ",
			strings.TrimRight(show.Preview(page(l.c), answered(file, fresh, from, false)), "\n")+"\n", l.file)
		switch said, err := t.answer(); {
		case err != nil:
			return err
		case said != "y" && said != "yes":
			fmt.Fprintln(l.c.App.ErrWriter, "Nothing is written.")
			return nil
		}
	}
	j, err := logbook.Open(l.c.Context, l.file)
	if err != nil {
		return told(err)
	}
	defer func() { _ = j.Close() }()
	kept, from, err := j.Import(l.c.Context, file, l.now)
	if err != nil {
		return told(err)
	}
	logged(l.c, t.name, kept)
	if t.said {
		if err := save(t.names, t.manner.Names.CSV()); err != nil {
			return errors.Join(t.tell(file, kept, from, true), fmt.Errorf("the rows are logged, but what names mean is not kept: %w", err))
		}
		done(l.c, "do not log it again; \"kettletree log show\" shows it", "what names mean is kept in %s", t.names)
	}
	return t.tell(file, kept, from, true)
}

// takeover reads the command line, the file, and the names that are kept.
func (l *logging) takeover() (t *fileImport, err error) {
	if len(l.args) == 0 {
		return nil, &usageError{"import which file?", "name a file with the ending .csv or .xlsx"}
	}
	if err := l.noMore(1); err != nil {
		return nil, err
	}
	t = &fileImport{logging: l, name: l.args[0], names: logbook.NamesPath(kitchenFile(l.kitchen)), answers: bufio.NewReader(l.c.App.Reader)}
	if t.name == "-" && l.c.Bool("ask") {
		return nil, &usageError{"the file and the answers can't both come from standard input", "name the file"}
	}
	t.manner.At, t.manner.Now = l.at, l.now
	if t.manner.Dates, err = chosen(l.c, "dates", logbook.DateOrders); err != nil {
		return nil, err
	}
	if t.manner.Decimals, err = chosen(l.c, "decimals", logbook.AllDecimals); err != nil {
		return nil, err
	}
	if t.kitchen, err = l.sound(); err != nil {
		return nil, err
	}
	if src, err := read(l.c.Context, l.c.App.Reader, t.names); err == nil {
		var found kitchen.Diagnostics
		if t.manner.Names, found = logbook.ReadNames(t.names, src); found != nil {
			(&opened{file: t.names, faults: found}).tell(l.c.App.ErrWriter)
			return nil, errTold
		}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, said := range l.c.StringSlice("means") {
		naming, err := logbook.Meaning(t.kitchen, said)
		if e, ok := errors.AsType[*measure.Error](err); ok {
			return nil, &usageError{"--means: " + e.Msg, e.Hint}
		}
		t.keep(naming)
	}
	t.text, err = read(l.c.Context, l.c.App.Reader, t.name)
	return t, err
}

// keep takes up what was said of a name.
func (t *fileImport) keep(naming logbook.Naming) {
	t.manner.Names, t.said = t.manner.Names.With(naming), true
}

// read reads the file. With --ask, what is not clear is asked, and the file read again.
func (t *fileImport) read() (*logbook.File, error) {
	for {
		file, asked, found := logbook.Read(t.kitchen, t.name, t.text, t.manner)
		if file != nil || !t.c.Bool("ask") || len(asked) < len(found) { // something else is wrong, too
			(&opened{file: t.name, faults: found}).tell(t.c.App.ErrWriter)
			if file == nil {
				return nil, errTold
			}
			return file, nil
		}
		for _, q := range asked {
			if err := t.ask(q); err != nil {
				return nil, err
			}
		}
	}
}

// ask asks a question until there is an answer to it.
func (t *fileImport) ask(q logbook.Question) error {
	rows := ""
	if q.Rows > 1 {
		rows = fmt.Sprintf(" (on %d rows)", q.Rows)
	}
	for {
		switch q.About {
		case logbook.AboutDates:
			fmt.Fprintf(t.c.App.ErrWriter, "%q%s: does the day stand first, or the month? ", q.Written, rows)
		case logbook.AboutDecimals:
			fmt.Fprintf(t.c.App.ErrWriter, "%q%s: are decimals parted by a point or by a comma? ", q.Written, rows)
		default:
			what := map[bool]string{true: "dish", false: "item"}[q.Dish]
			if len(q.Choices) > 0 {
				what = strings.Join(q.Choices, " or ")
			}
			fmt.Fprintf(t.c.App.ErrWriter, "%q%s: which %s is that? Its name, or none to leave it out: ", q.Written, rows, what)
		}
		said, err := t.answer()
		if err != nil {
			return err
		}
		switch q.About {
		case logbook.AboutDates:
			if n := slices.IndexFunc(logbook.DateOrders, func(o logbook.DateOrder) bool { return begins(string(o), said) }); n >= 0 {
				t.manner.Dates = logbook.DateOrders[n]
				return nil
			}
		case logbook.AboutDecimals:
			if n := slices.IndexFunc(logbook.AllDecimals, func(d logbook.Decimals) bool { return begins(string(d), said) }); n >= 0 {
				t.manner.Decimals = logbook.AllDecimals[n]
				return nil
			}
		default:
			naming, err := q.Naming(t.kitchen, said)
			if err == nil {
				t.keep(naming)
				return nil
			}
			fmt.Fprintln(t.c.App.ErrWriter, err)
		}
	}
}

// begins tells whether an answer begins a word: d is day first.
func begins(word, answer string) bool { return answer != "" && strings.HasPrefix(word, answer) }

// answer waits for a line that is typed, in small letters.
func (t *fileImport) answer() (string, error) {
	type typed struct {
		line string
		err  error
	}
	said := make(chan typed, 1)
	go func() {
		line, err := t.answers.ReadString('\n')
		said <- typed{strings.ToLower(strings.TrimSpace(line)), err}
	}()
	select {
	case line := <-said:
		if line.err != nil && line.line == "" {
			return "", &hinted{errors.New("there is no answer, so nothing is written"), "answer each question, or say it with --dates, --decimals or --means"}
		}
		return line.line, nil
	case <-t.c.Context.Done():
		return "", context.Cause(t.c.Context)
	}
}

// fresh are the entries of a file that are new. A preview makes no log book.
func (t *fileImport) fresh(file *logbook.File) (fresh []logbook.Entry, from []string, err error) {
	if !logbook.Exists(t.file) {
		return file.Entries, nil, nil
	}
	j, err := logbook.Open(t.c.Context, t.file)
	if err != nil {
		return nil, nil, told(err)
	}
	defer func() { _ = j.Close() }()
	fresh, from, err = j.Fresh(t.c.Context, file)
	return fresh, from, told(err)
}

// tell shows the entries of a file that are new; from names the files that had the others before.
func (t *fileImport) tell(file *logbook.File, entries []logbook.Entry, from []string, written bool) error {
	return give(t.c, answered(file, entries, from, written), show.Takeover,
		func(a *logbook.Takeover) show.Sheet { return show.LogSheet(a.Entries) })
}

// answered is what is said about a file.
func answered(file *logbook.File, entries []logbook.Entry, from []string, written bool) *logbook.Takeover {
	return &logbook.Takeover{File: file.Name, Columns: file.Columns, Unused: append([]string{}, file.Unused...),
		ReadAs: append([]string{}, file.ReadAs...), Names: append([]logbook.Taken{}, file.Names...),
		Packs: append([]logbook.Taken{}, file.Packs...), Left: append([]logbook.Taken{}, file.Left...),
		Written: written && len(entries) > 0, Already: strings.Join(from, ", "), Known: len(file.Entries) - len(entries),
		Entries: logbook.Lines(nil, nil, entries, entries)}
}

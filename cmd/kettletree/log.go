package main

// log: what happened in the kitchen, written down, shown and put right.

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/tongue"
)

// What log does beside writing down an entry, whose kinds are words of their own.
const (
	logCount  = "count"
	logShow   = "show"
	logUndo   = "undo"
	logImport = "import"
	logExport = "export"
	logCheck  = "check"
	logDay    = "day"
)

// logWords are what may stand behind log.
func logWords() (words []string) {
	for _, k := range logbook.Kinds {
		words = append(words, string(k))
	}
	return append(words, logCount, logShow, logDay, logUndo, logImport, logExport, logCheck)
}

// logWord is the word of log that some arguments begin with, which may be several: "did not come"; "" where they begin with none.
func logWord(args []string) string {
	written := strings.Join(args, " ") + " "
	for _, word := range logWords() {
		if strings.HasPrefix(written, word+" ") {
			return word
		}
	}
	return ""
}

// logHelp is the help on a word of log.
func logHelp(word string) string { return helpText("log/" + strings.ReplaceAll(word, " ", "-")) }

func logCommand() *cli.Command {
	return &cli.Command{
		Name: "log", Usage: "log what came in, was cooked, sold, binned and counted; show it, correct it",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "at", Usage: option("TIME",
				"when it happened, such as 22:30, the last one, or \"2026-11-24 14:05\"; a date alone is midnight (default: now, or "+
					"when the corrected entry did)")},
			&cli.StringFlag{Name: "corrects", Usage: option("N", "the entry that this one replaces")},
			&cli.StringFlag{Name: "last", Usage: option("N", "with show: how many of the latest entries (default: 20)")},
			&cli.StringFlag{Name: "html", Usage: option("FILE", "with day: write it as one page to print")},
			&cli.StringFlag{Name: "sound", Usage: option("FILE", "with export: write what is sound of a damaged log book")},
			&cli.BoolFlag{Name: "past", Usage: option("", "with binned: all that is past its date")},
			&cli.BoolFlag{Name: "yes", Usage: option("", "log it though it looks wrong; with import: log the rows, not only show them")},
		}, importing(), output()),
		Action: log,
	}
}

func log(c *cli.Context) error {
	words := logWords()
	args := parted(c.Args().Slice(), words)
	var kitchen []string
	if len(args) > 0 && !slices.Contains(words, args[0]) && looksLikeKitchen(args[0]) {
		kitchen, args = args[:1], parted(args[1:], words)
	}
	if len(args) == 0 {
		return &usageError{"log what?", "write one of: " + strings.Join(words, ", ")}
	}
	if len(kitchen) > 0 && kitchen[0] == "-" {
		return &usageError{"a log book lies beside a kitchen file, and standard input has none", "name the file"}
	}
	if c.Bool("json") && c.Bool("csv") {
		return &usageError{"--json and --csv can't be used together", "choose one"}
	}
	l := &logging{c: c, kitchen: kitchen, file: logbook.Path(kitchenFile(kitchen)), word: args[0], args: args[1:]}
	var err error
	if l.now, l.zone, err = zonedNow(); err != nil {
		return err
	}
	if l.at = l.now; c.IsSet("at") {
		if l.at, err = lastMoment(c.String("at"), l.now); err != nil {
			return &usageError{fmt.Sprintf("--at %q is not a time", c.String("at")), "write it as 22:30, or 2026-11-24 14:05"}
		}
	}
	if l.at.Year() < 2000 {
		return &usageError{fmt.Sprintf("--at %s is before log books began", l.at.Format(logbook.Minutes)), "write it as 2026-11-24 14:05"}
	}
	if l.at.After(l.now) {
		return &usageError{fmt.Sprintf("--at %s is in the future", l.at.Format(logbook.Minutes)),
			"log what has happened; it is now " + l.now.Format(logbook.Minutes)}
	}
	switch {
	case args[0] == string(logbook.Binned) && c.Bool("past"):
		return l.binPast()
	case slices.Contains(logbook.Kinds, logbook.Kind(args[0])):
		return l.entry()
	case args[0] == logCount:
		return l.count()
	case args[0] == logShow:
		return l.show()
	case args[0] == logUndo:
		return l.undo()
	case args[0] == logImport:
		return l.takeOver()
	case args[0] == logExport:
		return l.export()
	case args[0] == logCheck:
		return l.check()
	case args[0] == logDay:
		return l.day()
	}
	return &usageError{fmt.Sprintf("log has no word %q", args[0]), meant(args[0], words, "write one of: "+
		strings.Join(words, ", "))}
}

// parted takes an entry apart behind its kind, which may be of several words, be it quoted as a whole or not; all else behind its
// first word. The name of a kitchen file may have blanks.
func parted(args, words []string) []string {
	if len(args) == 0 {
		return args
	}
	if kind, text, ok := logbook.KindOf(strings.Join(args, " ")); ok && (slices.Contains(words, args[0]) || !looksLikeKitchen(args[0])) {
		return []string{string(kind), text}
	}
	first, rest, more := strings.Cut(strings.TrimSpace(args[0]), " ")
	if !more || !slices.Contains(words, first) && looksLikeKitchen(args[0]) {
		return args
	}
	return append([]string{first, strings.TrimSpace(rest)}, args[1:]...)
}

// logging is one call of log.
type logging struct {
	c       *cli.Context
	kitchen []string // the argument that names it, if there is one
	file    string   // of the log book
	now, at time.Time
	zone    string // of the clock, "" where it is the usual one here
	word    string
	args    []string           // behind the word
	beside  map[int64][]string // what is to be said of entries that were just written
}

// sound reads the kitchen file. What was found in it is said only when it can't be used.
func (l *logging) sound() (*kitchen.Kitchen, error) {
	k, kitchen, err := readKitchen(l.c, l.kitchen)
	if err != nil {
		return nil, err
	}
	if kitchen == nil {
		k.tell(l.c.App.ErrWriter)
		return nil, errTold
	}
	return kitchen, nil
}

func noLogBook(file string) error {
	return &hinted{fmt.Errorf("there is no log book %s: nothing was logged yet", filepath.ToSlash(file)),
		"the first entry makes it; \"kettletree log --help\" shows how"}
}

// openLogBook opens a log book that is there already.
func openLogBook(ctx context.Context, file string) (*logbook.Book, error) {
	if !logbook.Exists(file) {
		return nil, noLogBook(file)
	}
	j, err := logbook.Open(ctx, file)
	return j, told(err)
}

// told passes on what an error says should be done.
func told(err error) error {
	if e, ok := errors.AsType[*logbook.FileError](err); ok {
		return &hinted{e, e.Hint}
	}
	if e, ok := errors.AsType[*logbook.EntryError](err); ok {
		return &hinted{e, e.Hint}
	}
	if e, ok := errors.AsType[*plan.FileError](err); ok {
		return &hinted{e, e.Hint}
	}
	return err
}

// number reads the number of an entry.
func number(s string) (int64, error) {
	n, err := strconv.ParseInt(s, 10, 64)
	if err != nil || n < 1 {
		return 0, &usageError{fmt.Sprintf("%q is not the number of an entry", s), "\"kettletree log show\" lists them"}
	}
	return n, nil
}

// entry writes down what was typed.
func (l *logging) entry() error {
	kitchen, err := l.sound()
	if err != nil {
		return err
	}
	kind, text := logbook.Kind(l.word), strings.Join(l.args, " ")
	e, err := logbook.Parse(kitchen, kind, text)
	if fault, ok := errors.AsType[*measure.Error](err); ok {
		fmt.Fprintln(l.c.App.ErrWriter, misread(l.word, text, fault))
		return errTold
	}
	e.At, e.Written, e.Zone = l.at, l.now, l.zone
	onDay, err := e.SetDay(kitchen, l.at)
	if err != nil {
		return told(err)
	}
	if l.c.IsSet("corrects") {
		if e.Corrects, err = number(l.c.String("corrects")); err != nil {
			return err
		}
		if !l.c.IsSet("at") && !onDay {
			e.At = time.Time{} // that of the other
		}
	}
	open := logbook.Open
	if e.NamesLot() {
		open = openLogBook
	}
	j, err := open(l.c.Context, l.file)
	if err != nil {
		return told(err)
	}
	defer func() { _ = j.Close() }()
	j.Know(kitchen)
	byPlan, _ := plan.ReadFile(plan.Path(kitchen.File)) // one that can't be read keeps nobody from writing
	planned := menu.AsPlanned(kitchen, byPlan)
	entries, err := j.Settle(l.c.Context, kitchen, planned, e)
	if err != nil {
		return told(err)
	}
	for _, e := range entries {
		err := j.CheckLots(l.c.Context, kitchen, e)
		if fault, ok := errors.AsType[*measure.Error](err); ok {
			fmt.Fprintln(l.c.App.ErrWriter, misread(l.word, text, fault))
			return errTold
		} else if err != nil {
			return told(err)
		}
	}
	if err := l.doubted(j, kitchen, planned, entries); err != nil {
		return err
	}
	kept, err := j.Append(l.c.Context, entries...)
	if err != nil {
		return told(err)
	}
	logged(l.c, "this", kept)
	for i := range kept {
		said, err := j.OfPlanned(l.c.Context, planned, &kept[i])
		if err != nil {
			return told(err)
		}
		if l.say(kept[i].ID, said); kept[i].Kind == logbook.Received {
			l.say(kept[i].ID, inCold(kitchen, &kept[i]))
		}
	}
	return l.answer(j, kitchen, kept)
}

// misread shows a fault in an entry as those in files are shown.
func misread(word, text string, fault *measure.Error) kitchen.Diagnostic {
	at := min(fault.At, len(text))
	end := min(at+fault.Len, len(text))
	return kitchen.Diagnostic{Pos: kitchen.Pos{File: "log " + word, Line: 1, Col: utf8.RuneCountInString(text[:at]) + 1},
		Len: max(1, utf8.RuneCountInString(text[at:end])), ID: "bad-entry", Msg: fault.Msg, Hint: fault.Hint, Excerpt: text}
}

// say keeps in mind what is to be said of an entry.
func (l *logging) say(entry int64, said string) {
	if l.beside == nil {
		l.beside = map[int64][]string{}
	}
	if said != "" {
		l.beside[entry] = append(l.beside[entry], said)
	}
}

// inCold is the caution on what came in that is fish in which histamine forms when it warms; "" for none.
func inCold(k *kitchen.Kitchen, e *logbook.Entry) string {
	var named []string
	for _, a := range e.Gives {
		if at, err := k.FindItem(a.Item); err == nil && k.Warms(at) {
			named = append(named, a.Item)
		}
	}
	if named == nil {
		return ""
	}
	at, section := k.Code.TakenIn()
	return show.TakeInCold(tongue.Voice{}, named, at, section)
}

// answer shows some entries of the log book.
func (l *logging) answer(j *logbook.Book, kitchen *kitchen.Kitchen, some []logbook.Entry) error {
	a, err := l.log(j, kitchen, some)
	if err != nil {
		return told(err)
	}
	for i := range a.Entries {
		a.Entries[i].Remarks = slices.Concat(l.beside[a.Entries[i].Entry], a.Entries[i].Remarks)
	}
	return give(l.c, a, show.Log, logSheet)
}

// log are some entries with what is to be said about each.
func (l *logging) log(j *logbook.Book, kitchen *kitchen.Kitchen, some []logbook.Entry) (*logbook.Log, error) {
	corrections, err := j.Corrections(l.c.Context)
	if err != nil {
		return nil, err
	}
	var stock *logbook.Stock
	if kitchen != nil {
		byPlan, _ := plan.ReadFile(plan.Path(kitchen.File)) // one that can't be read keeps nobody from looking
		if stock, err = j.AsTold(l.c.Context, kitchen, menu.AsPlanned(kitchen, byPlan), l.now); err != nil {
			return nil, err
		}
	}
	return &logbook.Log{LogBook: l.file, Entries: logbook.Lines(kitchen, stock, corrections, some)}, nil
}

// noMore refuses arguments that say nothing.
func (l *logging) noMore(from int) error {
	if len(l.args) > from {
		return &usageError{fmt.Sprintf("%q is too much after log %s", l.args[from], l.word), "kettletree log --help shows how"}
	}
	return nil
}

func (l *logging) show() error {
	last := 20
	if text := l.c.String("last"); l.c.IsSet("last") {
		n, err := strconv.Atoi(text)
		if last = n; err != nil || n < 1 {
			return &usageError{fmt.Sprintf("--last %q is not a number of entries", text), "write a whole number from 1 on"}
		}
	}
	if err := l.noMore(0); err != nil {
		return err
	}
	kitchen, err := l.sound()
	if err != nil {
		return err
	}
	j, err := openLogBook(l.c.Context, l.file)
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }()
	j.Know(kitchen)
	latest, err := j.Latest(l.c.Context, last)
	if err != nil {
		return told(err)
	}
	a, err := l.log(j, kitchen, latest)
	if err == nil {
		a.Chain, a.Last, err = j.Head(l.c.Context)
	}
	if err != nil {
		return told(err)
	}
	return give(l.c, a, show.Log, logSheet)
}

func logSheet(a *logbook.Log) show.Sheet { return show.LogSheet(a.Entries) }

func (l *logging) undo() error {
	if len(l.args) == 0 {
		return &usageError{"undo which entry?", "\"kettletree log show\" lists them"}
	}
	id, err := number(l.args[0])
	if err == nil {
		err = l.noMore(1)
	}
	if err != nil {
		return err
	}
	j, err := openLogBook(l.c.Context, l.file)
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }()
	e, err := j.Undo(l.c.Context, id, l.now)
	if err != nil {
		return told(err)
	}
	logged(l.c, fmt.Sprintf("undo %d", id), []logbook.Entry{e})
	lit, err := j.LitWith(l.c.Context, id)
	if err != nil {
		return told(err)
	}
	if lit > 0 {
		l.say(e.ID, fmt.Sprintf("entry %d, which lit the batch with it, stands; undo %d takes it back too", lit, lit))
	}
	return l.answer(j, nil, []logbook.Entry{e})
}

// day shows what was recorded on a day, as an inspector asks for it.
func (l *logging) day() error {
	kitchen, err := l.sound()
	if err != nil {
		return err
	}
	day := kitchen.DayAt(l.now)
	if len(l.args) > 0 && l.args[0] != "" {
		if day, err = pastDay(l.args[0], day); err != nil {
			return err
		}
		if err := l.noMore(1); err != nil {
			return err
		}
	}
	j, err := openLogBook(l.c.Context, l.file)
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }()
	j.Know(kitchen)
	end := kitchen.DayBegins(day.AddDate(0, 0, 1)).Add(-time.Second)
	if end.After(l.now) {
		end = l.now
	}
	record, err := j.DayOf(l.c.Context, kitchen, day, end)
	if err != nil {
		return told(err)
	}
	logs, err := j.CoolingLogs(l.c.Context, kitchen, end)
	if err != nil {
		return told(err)
	}
	a := &show.DayRecord{Day: record, Cooling: clock.JudgeCooling(kitchen.Code, logs, nil, nil, end, tongue.Voice{})}
	if file := l.c.String("html"); file != "" {
		page, err := show.RecordPage(show.Page{}, a)
		if err != nil {
			return err
		}
		if err := save(file, page); err != nil {
			return err
		}
	}
	return give(l.c, a, show.Record, show.RecordSheet)
}

// pastDay is a date, or the last day of a weekday, today counted.
func pastDay(text string, today time.Time) (time.Time, error) {
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		day = today
		for back := 0; back < 7 && !kitchen.DayIs(day, text); back++ {
			day = day.AddDate(0, 0, -1)
		}
		if !kitchen.DayIs(day, text) {
			return day, &usageError{fmt.Sprintf("%q is not a day", text), "write tue, or a date as 2026-11-24"}
		}
	}
	if day.After(today) {
		return day, &usageError{fmt.Sprintf("%s is in the future", text), "it shows what was logged"}
	}
	return day, nil
}

// export writes all entries out, whether the kitchen file is sound or not: as CSV, or as JSON, one entry a line.
func (l *logging) export() error {
	if err := l.noMore(0); err != nil {
		return err
	}
	if l.c.IsSet("sound") {
		return l.saveSound(l.c.String("sound"))
	}
	j, err := openLogBook(l.c.Context, l.file)
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }()
	all, err := j.Entries(l.c.Context)
	if err != nil {
		return told(err)
	}
	text, err := l.exported(all)
	if err != nil {
		return err
	}
	return put(l.c, text)
}

// exported are entries as they are exported.
func (l *logging) exported(all []logbook.Entry) ([]byte, error) {
	lines := logbook.Lines(nil, nil, all, all)
	if l.c.Bool("json") {
		text, err := show.JSONLines(lines)
		return []byte(text), err
	}
	text, err := show.LogSheet(lines).CSV()
	return []byte(text), err
}

// saveSound exports what is sound of a log book, be it damaged or not.
func (l *logging) saveSound(file string) error {
	if file == "" {
		return &usageError{"--sound needs the name of a file", "--sound saved.csv"}
	}
	all, c, err := logbook.SoundEntries(l.c.Context, l.file)
	if err != nil {
		return told(err)
	}
	if c.Whole && len(all) == 0 { // of an older version, perhaps
		j, err := openLogBook(l.c.Context, l.file)
		if err != nil {
			return err
		}
		all, err = j.Entries(l.c.Context)
		if err := errors.Join(err, j.Close()); err != nil {
			return told(err)
		}
	}
	if len(all) == 0 && !c.Whole {
		return &hinted{fmt.Errorf("%s: no entry can be read", filepath.ToSlash(l.file)), "go back to the last backup: kettletree restore FILE"}
	}
	text, err := l.exported(all)
	if err == nil {
		err = save(file, text)
	}
	if err != nil {
		return err
	}
	done(l.c, "it is whole; there is no need to save it again", "%s has what is sound", file)
	said := fmt.Sprintf("%s has %s.\n", file, entriesOf(len(all)))
	if n := int(c.Entries) - len(all); n > 0 {
		said = fmt.Sprintf("%s has %s of %d. \"kettletree log check\" names those that are lost.\n", file, entriesOf(len(all)), c.Entries)
	}
	_, err = fmt.Fprint(l.c.App.Writer, printing(said))
	return err
}

func entriesOf(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}

// check goes through the whole log book.
func (l *logging) check() error {
	if err := l.noMore(0); err != nil {
		return err
	}
	if !logbook.Exists(l.file) {
		return noLogBook(l.file)
	}
	c, err := logbook.Check(l.c.Context, l.file)
	if err != nil {
		return told(err)
	}
	if err := give(l.c, c, show.Checked, show.CheckedSheet); err != nil {
		return err
	}
	if !c.Whole {
		return errTold
	}
	return nil
}

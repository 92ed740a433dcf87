package main

// cooling: a cooling log against the limits of a published code.

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/tongue"
)

func coolingCommand() *cli.Command {
	return &cli.Command{
		Name: "cooling", Usage: "check a cooling log, reading by reading, against a published code",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "air", Usage: option("TEMPERATURE",
				"the air that the food cools in, such as \"3 C\": projects when the next limit is reached")},
			&cli.StringSliceFlag{Name: "from-room", Usage: option("ITEM",
				"it was made of ingredients at room temperature, so the limit for that applies")},
			&cli.StringFlag{Name: "svg", Usage: option("FILE", "draw the curves, as SVG")},
			langFlag(),
		}, output()),
		Action: cooling,
	}
}

func cooling(c *cli.Context) error {
	var name string
	var kit []string
	var err error
	fromLogBook := c.NArg() == 0 || c.NArg() == 1 && looksLikeKitchen(c.Args().First())
	if fromLogBook {
		kit = c.Args().Slice()
	} else if name, kit, err = apart(c, "log"); err != nil {
		return err
	}
	if c.Bool("json") && c.Bool("csv") {
		return &usageError{"--json and --csv can't be used together", "choose one"}
	}
	k, err := codeOf(c, name, kit)
	if err != nil {
		return err
	}
	var air *kitchen.Degrees
	if text := c.String("air"); c.IsSet("air") {
		d, err := kitchen.ReadAir(text)
		if err != nil {
			return &usageError{msg: "--air " + err.Error()}
		}
		air = &d
	}
	var logs []kitchen.CoolingLog
	var now time.Time // of a file, nobody knows whether more was read
	if fromLogBook {
		logs, now, err = coolingByLogBook(c)
	} else {
		logs, err = coolingFile(c, name, k, air)
	}
	if err != nil {
		return err
	}
	var items []string
	for _, l := range logs {
		items = append(items, l.Item)
	}
	for _, item := range c.StringSlice("from-room") {
		if !slices.Contains(items, item) {
			return &usageError{"--from-room: the log has no " + item, meant(item, items, "name an item as the log does")}
		}
	}
	code := &kitchen.Codes[0]
	if k != nil {
		code = k.Code
	}
	fromRoom := c.StringSlice("from-room")
	voice, err := coolingIn(c, k, logs, fromRoom)
	if err != nil {
		return err
	}
	a := clock.JudgeCooling(code, logs, air, fromRoom, now, voice)
	if file := c.String("svg"); file != "" {
		if err := save(file, show.CoolingCurves(voice, a)); err != nil {
			return err
		}
	}
	return give(c, a, show.Cooling, show.CoolingSheet)
}

// coolingIn is the voice of --lang. Logs, and those of fromRoom among them, get the names that the kitchen file has in the language.
func coolingIn(c *cli.Context, k *kitchen.Kitchen, logs []kitchen.CoolingLog, fromRoom []string) (tongue.Voice, error) {
	tag, err := languageOf(c)
	if err != nil || !c.IsSet("lang") {
		return tongue.Voice{}, err
	}
	called, money := func(name string) string { return name }, ""
	if k != nil {
		money = k.Money
		called = func(name string) string {
			if i, err := k.FindItem(name); err == nil {
				if said, ok := k.NameIn(kitchen.NamedItem, i, tag); ok {
					return said
				}
			}
			return name
		}
	}
	tag = tongue.Region(tag, money)
	voice := tongue.In(tag)
	for n := range logs {
		said := voice.Logged(logs[n], called)
		for r := range fromRoom {
			if fromRoom[r] == logs[n].Item {
				fromRoom[r] = said
			}
		}
		logs[n].Item = said
	}
	return voice, c.Set("lang", tag.String()) // for the page
}

// coolingFile reads the log of a file.
func coolingFile(c *cli.Context, name string, k *kitchen.Kitchen, air *kitchen.Degrees) ([]kitchen.CoolingLog, error) {
	src, err := read(c.Context, c.App.Reader, name)
	if err != nil {
		return nil, err
	}
	logs, faults := kitchen.ReadCooling(name, src, k, air)
	(&opened{file: name, faults: faults}).tell(c.App.ErrWriter)
	if logs == nil {
		return nil, errTold
	}
	return logs, nil
}

// coolingByLogBook takes the log from what was written down in the last day.
func coolingByLogBook(c *cli.Context) (logs []kitchen.CoolingLog, now time.Time, err error) {
	k, j, now, err := written(c)
	if err != nil {
		return nil, now, err
	}
	defer func() { _ = j.Close() }()
	logs, err = j.CoolingLogs(c.Context, k, now)
	if err != nil {
		return nil, now, told(err)
	}
	if len(logs) == 0 {
		return nil, now, &hinted{fmt.Errorf("no temperature was logged in the day before %s", now.Format(logbook.Minutes)),
			"kettletree log temperature " + logbook.Form(k, logbook.Temperature) + ", or name a log: kettletree cooling --help"}
	}
	return logs, now, nil
}

// codeOf is the kitchen whose code and names count. Where none is named and none lies here it is nil: the usual code
// counts, and names are not checked.
func codeOf(c *cli.Context, log string, args []string) (*kitchen.Kitchen, error) {
	file := kitchenFile(args)
	if file == "-" && log == "-" {
		return nil, &usageError{msg: "the kitchen and the log can't both come from standard input"}
	}
	src, err := read(c.Context, c.App.Reader, file)
	if len(args) == 0 && errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	found := &opened{file: file}
	k, faults := kitchen.Read(file, src)
	if found.faults = faults; k == nil {
		found.tell(c.App.ErrWriter)
		return nil, errTold
	}
	return k, nil
}

package main

// The language of what is handed to staff and guests.

import (
	"fmt"

	"github.com/urfave/cli/v2"
	"golang.org/x/text/language"

	"kettletree/cmd/kettletree/board"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

func langFlag() cli.Flag {
	return &cli.StringFlag{Name: "lang", Usage: option("LANGUAGE", "en, es (es-MX, es-US, es-ES), zh or zh-Hant (default: en)")}
}

// languageOf is the language that --lang asks for.
func languageOf(c *cli.Context) (language.Tag, error) {
	text := c.String("lang")
	if !c.IsSet("lang") {
		return language.English, nil
	}
	tag, err := language.Parse(text)
	if err != nil || !tongue.Speaks(tag) {
		return language.English, &usageError{fmt.Sprintf("nothing is written in the language %q", text), "write " + tongue.Offered()}
	}
	return tag, nil
}

// toldIn is the week under the names that the kitchen file gives in the language of --lang. Names that it does not give are listed
// on standard error.
func toldIn(c *cli.Context, w *week.Week) (tongue.Voice, *week.Week, error) {
	tag, err := languageOf(c)
	if err != nil || !c.IsSet("lang") {
		return tongue.Voice{}, w, err
	}
	told, missing := w.InLanguage(tag)
	if len(missing) > 0 {
		fmt.Fprintln(c.App.ErrWriter, missing)
	}
	tag = tongue.Region(tag, w.Money)
	return tongue.In(tag), told, c.Set("lang", tag.String()) // for the page
}

// phrases says the notes of answers in the language of --lang.
func phrases(c *cli.Context, k *kitchen.Kitchen, notes []string) {
	tag, err := languageOf(c)
	if err != nil || !c.IsSet("lang") || k == nil {
		return
	}
	say := board.Phrases(tag, k)
	for n, text := range notes {
		notes[n] = say(text)
	}
}

// worded says the cautions of an answer in the language of --lang in JSON; what is laid out says them itself.
func worded(c *cli.Context, v tongue.Voice, cautions []string) {
	if !c.Bool("json") {
		return
	}
	for n, text := range cautions {
		cautions[n] = v.Word(text)
	}
}

// inEither reads what an option names: under the file's own names, or under those that it gives in the language of --lang.
func inEither[T any](own, told *week.Week, read func(*week.Week) (T, error)) (T, error) {
	v, err := read(own)
	if err != nil && told != own {
		if other, second := read(told); second == nil {
			return other, nil
		}
	}
	return v, err
}

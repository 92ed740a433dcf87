package main

// Help: on the page that its reader has, and all of it as a manual page.

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
)

func init() { // cli asks nobody how wide the page is
	plain := cli.HelpPrinterCustom
	cli.HelpPrinterCustom = func(w io.Writer, template string, data any, functions map[string]any) {
		var b strings.Builder
		plain(&b, template, data, functions)
		_, _ = io.WriteString(w, show.Help(pageOn(w, true), b.String())) // as the plain printer, which tells of no fault either
	}
}

func helpCommand() *cli.Command {
	return &cli.Command{
		Name: "help", Usage: "say more about a command or a topic",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "man", Usage: option("", "all of it as a manual page")}},
		Action: func(c *cli.Context) error {
			topic := c.Args().First()
			names := topicNames()
			about := slices.Contains(names, topic)
			for _, known := range c.App.Commands {
				names = append(names, known.Name)
			}
			switch {
			case c.Bool("man") && topic != "":
				return &usageError{"--man is all of the help", "leave out --man, or " + topic}
			case c.Bool("man"):
				_, err := io.WriteString(c.App.Writer, manual(c.App))
				return err
			case topic == "":
				return cli.ShowAppHelp(c)
			case topic == "json": // a list with columns of its own
				_, err := io.WriteString(c.App.Writer, helpText(topic))
				return err
			case about:
				_, err := io.WriteString(c.App.Writer, show.Help(page(c), helpText(topic)))
				return err
			case topic == "log" && logWord(c.Args().Tail()) != "":
				_, err := io.WriteString(c.App.Writer, show.Help(page(c), logHelp(logWord(c.Args().Tail()))))
				return err
			case slices.Contains(names, topic):
				return cli.ShowCommandHelp(c, topic)
			}
			return &usageError{fmt.Sprintf("there is no help on %q", topic),
				meant(topic, names, "kettletree --help lists the commands")}
		},
	}
}

// manual is the help as a manual page, in the macros of man(7): the commands by who asks, the words of log, the topics. The JSON of all
// answers is left out for its length.
func manual(app *cli.App) string {
	var b strings.Builder
	section := func(macro, title, text string) {
		fmt.Fprintf(&b, ".%s %s\n.nf\n", macro, roff(title))
		for line := range strings.Lines(show.Help(show.Page{Width: 72}, strings.Trim(text, "\n"))) {
			b.WriteString(roff(strings.TrimSuffix(line, "\n")) + "\n")
		}
		b.WriteString(".fi\n")
	}
	rendered := func(template string, data any) string {
		var text strings.Builder
		cli.HelpPrinterCustom(&text, template, data, nil)
		return text.String()
	}

	b.WriteString(`'\" -*- coding: utf-8 -*-` + "\n.TH KETTLETREE 1\n")
	fmt.Fprintf(&b, ".SH NAME\n%s\n", roff(app.Name+" - "+app.Usage))
	section("SH", "SYNOPSIS", "kettletree COMMAND [ARGUMENT ...] [KITCHEN] [OPTION ...]")
	section("SH", "DESCRIPTION", helpText("kettletree")+"\n"+strings.TrimPrefix(appHelp, "{{.Description}}\n"))
	for _, g := range groups {
		fmt.Fprintf(&b, ".SH %s\n", roff(strings.ToUpper(g.who)))
		for _, name := range g.commands {
			section("SS", name, rendered(commandHelp, app.Command(name)))
			if name == "log" {
				for _, word := range logWords() {
					section("SS", "log "+word, logHelp(word))
				}
			}
		}
	}
	b.WriteString(".SH TOPICS\n")
	for _, t := range topics {
		if t.name != "json" {
			section("SS", t.name+": "+t.about, helpText(t.name))
		}
	}
	return b.String()
}

// roff is a line of text that a formatter of manual pages shows as it is.
func roff(line string) string {
	line = strings.NewReplacer(`\`, `\e`, "-", `\-`, "'", `\(aq`, "`", `\(ga`, "^", `\(ha`, "~", `\(ti`).Replace(line)
	if strings.HasPrefix(line, ".") {
		line = `\&` + line
	}
	return line
}

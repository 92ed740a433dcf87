package main

// Completion in the shell: scripts that ask the program itself what may come next.

import (
	"embed"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// completionScripts are named by their shell. Each calls "kettletree complete" with the words of the command line up to
// the one that is being written.
//
//go:embed completion
var completionScripts embed.FS

var shells = []string{"bash", "fish", "zsh"}

func completionCommand() *cli.Command {
	return &cli.Command{
		Name: "completion", Usage: "print the script that completes commands in bash, fish or zsh",
		Action: func(c *cli.Context) error {
			shell := c.Args().First()
			if !slices.Contains(shells, shell) {
				return &usageError{fmt.Sprintf("there is no completion for the shell %q", shell),
					"write one of: " + strings.Join(shells, ", ")}
			}
			script, err := completionScripts.ReadFile("completion/" + shell)
			if err != nil {
				return err
			}
			_, err = c.App.Writer.Write(script)
			return err
		},
	}
}

// completeCommand is for the scripts only.
func completeCommand() *cli.Command {
	return &cli.Command{
		Name: "complete", Hidden: true, SkipFlagParsing: true,
		Action: func(c *cli.Context) error {
			words := c.Args().Slice()
			if len(words) == 0 {
				return nil
			}
			written := words[len(words)-1]
			for _, text := range candidates(c, words[:len(words)-1], written) {
				if strings.HasPrefix(text, written) {
					fmt.Fprintln(c.App.Writer, text)
				}
			}
			return nil
		},
	}
}

// candidates are what may stand behind some words. Nothing means that a file may, for all that is known here.
func candidates(c *cli.Context, before []string, written string) (list []string) {
	if len(before) == 0 {
		for _, cmd := range c.App.Commands {
			if !cmd.Hidden {
				list = append(list, cmd.Name)
			}
		}
		return list
	}
	at := slices.IndexFunc(c.App.Commands, func(cmd *cli.Command) bool { return cmd.Name == before[0] })
	if at < 0 {
		return nil
	}
	cmd, last := c.App.Commands[at], before[len(before)-1]
	if strings.HasPrefix(last, "-") && !strings.Contains(last, "=") {
		name := strings.TrimLeft(last, "-")
		if flag := flagNamed(cmd, name); flag != nil && flag.(cli.DocGenerationFlag).TakesValue() {
			if name == "rule" {
				return strings.Split(ruleNames(" "), " ")
			}
			return named(c, before, name)
		}
	}
	if strings.HasPrefix(written, "-") {
		for _, f := range cmd.Flags {
			list = append(list, "--"+f.Names()[0])
		}
		return list
	}
	switch cmd.Name {
	case "help":
		return append(candidates(c, nil, ""), topicNames()...)
	case "completion":
		return shells
	case "log":
		if len(before) == 1 {
			return logWords()
		}
	case "trace", "why", "yields", "taste":
		return named(c, before, cmd.Name)
	}
	return nil
}

// named are the names of a kitchen that an option or command may be given, the kitchen being the one among the words.
func named(c *cli.Context, before []string, asked string) (list []string) {
	var args []string
	for _, w := range before[1:] {
		if looksLikeKitchen(w) && w != "-" {
			args = []string{w}
		}
	}
	file := kitchenFile(args)
	src, err := read(c.Context, c.App.Reader, file)
	if err != nil {
		return nil
	}
	k, _ := kitchen.Read(file, src)
	if k == nil {
		return nil
	}
	askedOf := map[graph.Role][]string{
		graph.Bought: {"short", "price", "spoil", "need", "trace", "why"},
		graph.Made:   {"spoil", "need", "trace", "why"},
		graph.Sold:   {"sells", "strike", "need", "trace", "why"},
	}
	for _, it := range k.Graph.Items {
		if slices.Contains(askedOf[it.Role], asked) {
			list = append(list, it.Name)
		}
	}
	for _, st := range k.Graph.Steps[:len(k.Steps)] {
		switch asked {
		case "lose", "late", "why", "yields", "taste":
			list = append(list, st.Name)
		case "yield":
			for _, out := range st.Gives {
				list = append(list, st.Name+"/"+k.Graph.Items[out.Item].Name)
			}
		}
	}
	return list
}

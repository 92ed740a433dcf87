package main

// The command line before the options are parsed: options may stand before and after what they are about.

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
	"github.com/urfave/cli/v2"
)

// formerOptions are options of earlier versions, by what they are called now.
var formerOptions = map[string]string{"fix": "batches", "apply": "into-file"}

// permuted puts the options of a command before its other arguments, where the parser looks for them. Behind "--"
// nothing is an option. The value of an option may begin with a dash. Names of options begin with a letter, so neither
// -18 nor an arrow is one.
func permuted(app *cli.App, args []string) ([]string, error) {
	if len(args) < 2 {
		return args, nil
	}
	at := slices.IndexFunc(app.Commands, func(c *cli.Command) bool { return c.Name == args[1] })
	if at < 0 || app.Commands[at].SkipFlagParsing {
		return args, nil
	}
	cmd := app.Commands[at]
	if word := entryOfHelp(args); word != "" {
		return []string{args[0], "help", "log", word}, nil
	}
	ends := len(args)
	if at := slices.Index(args, "--"); at >= 0 {
		ends = at
	}
	if at := slices.IndexFunc(args[:ends], func(a string) bool { return a == "--help" || a == "-h" }); at >= 0 { // whatever else was typed by then
		return []string{args[0], args[1], args[at]}, nil
	}
	options, others := args[:2:2], []string{"--"}
	for rest := args[2:]; len(rest) > 0; rest = rest[1:] {
		arg := rest[0]
		if arg == "--" {
			others = append(others, rest[1:]...)
			break
		}
		if !optionLike.MatchString(arg) {
			others = append(others, arg)
			continue
		}
		name, _, joined := strings.Cut(strings.TrimLeft(arg, "-"), "=")
		flag := flagNamed(cmd, name)
		if flag == nil {
			var known []string
			for _, f := range cmd.Flags {
				known = append(known, "--"+f.Names()[0])
			}
			written, _, _ := strings.Cut(arg, "=")
			hint := meant(written, known, "kettletree "+cmd.Name+" --help lists the options")
			if is, ok := formerOptions[name]; ok && flagNamed(cmd, is) != nil {
				hint = "it is now called --" + is
			}
			return nil, &usageError{fmt.Sprintf("%s has no option %q", cmd.Name, written), hint}
		}
		takes := flag.(cli.DocGenerationFlag).TakesValue()
		switch {
		case !takes && joined:
			return nil, &usageError{msg: fmt.Sprintf("option --%s takes no value", name)}
		case takes && !joined && len(rest) == 1:
			return nil, &usageError{fmt.Sprintf("option --%s needs a value", name),
				"kettletree " + cmd.Name + " --help says which"}
		case takes && !joined:
			options, rest = append(options, arg+"="+rest[1]), rest[1:]
		default:
			options = append(options, arg)
		}
	}
	return append(options, others...), nil
}

// entryOfHelp is the word of log that help is asked for, as in "log sold --help"; "" for any other command line.
func entryOfHelp(args []string) string {
	if args[1] != "log" || !slices.ContainsFunc(args, func(a string) bool { return a == "--help" || a == "-h" }) {
		return ""
	}
	for n := range args[2:min(len(args), 4)] { // a kitchen may stand before it
		if word := logWord(args[2+n:]); word != "" {
			return word
		}
	}
	return ""
}

var optionLike = regexp.MustCompile(`^-\pL|^--`)

// flagNamed is an option of a command; nil when it has none of the name.
func flagNamed(cmd *cli.Command, name string) cli.Flag {
	for _, f := range append(slices.Clone(cmd.Flags), cli.HelpFlag) {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
}

// letters are those of a word, sorted.
func letters(word string) string {
	list := []rune(word)
	slices.Sort(list)
	return string(list)
}

// meant asks whether the nearest of some names was meant; when none is near it says otherwise.
func meant(written string, names []string, otherwise string) string {
	nearest, best := "", max(2, utf8.RuneCountInString(written)/3)+1
	for _, n := range names {
		slip := letters(written) == letters(n) // of which two changed places
		if d := levenshtein.ComputeDistance(written, n); d < best && (slip || 2*d < max(utf8.RuneCountInString(written), utf8.RuneCountInString(n))) {
			nearest, best = n, d
		}
	}
	if nearest == "" {
		return otherwise
	}
	return fmt.Sprintf("did you mean %q?", nearest)
}

package main

// change: one thing in the kitchen file is changed in place, and what follows is shown before it is written.

import (
	"cmp"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/aymanbagabas/go-udiff"
	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// changeActs are what can be done, with what each takes.
var changeActs = []struct {
	word, takes string
	args        int
}{
	{"set", "NAME KEY VALUE", 3}, {"clear", "NAME KEY", 2}, {"add", "LIST NAME [KEY VALUE]...", 2}, {"rename", "NAME NEW", 2}, {"copy", "NAME NEW", 2},
	{"split", "STEP NEW THROUGH LINE...", 4}, {"remove", "NAME", 1},
}

func changeCommand() *cli.Command {
	return &cli.Command{
		Name: "change", Usage: "change one thing in the kitchen file, and see first what follows",
		Flags: slices.Concat([]cli.Flag{
			&cli.BoolFlag{Name: "into-file", Usage: option("", "write it, if you say yes")},
			&cli.BoolFlag{Name: "yes", Usage: option("", "with --into-file: write without asking")},
		}, output()[:1], output()[2:], framing()),
		Action: change,
	}
}

func change(c *cli.Context) error {
	if c.Bool("yes") && !c.Bool("into-file") {
		return &usageError{"--yes only works with --into-file", "only a change that is written needs a yes"}
	}
	args := c.Args().Slice()
	var file []string
	if n := len(args) - 1; n > 0 && looksLikeKitchen(args[n]) {
		args, file = args[:n], args[n:]
	} else if len(args) > 0 && looksLikeKitchen(args[0]) {
		args, file = args[1:], args[:1]
	}
	o, err := options(c, file)
	if err != nil {
		return err
	}
	if o.Kitchen.Name == "-" {
		return &usageError{"standard input can't be changed in place", "name the kitchen file"}
	}
	edits, err := changeEdits(c, o.Kitchen, args)
	if err != nil {
		return err
	}
	if args[0] == "remove" {
		if err := stillUsed(o.Kitchen, args[1], edits); err != nil {
			return err
		}
	}
	changing := kitchen.Change
	if args[0] == "set" || args[0] == "add" { // what a card takes and nobody has named before is bought from now on
		changing = kitchen.ChangeAdding
	}
	text, err := changing(o.Kitchen.Name, o.Kitchen.Text, edits...)
	return proposeChange(c, o, text, err)
}

// stillUsed says what hangs on something that can't be taken away for it.
func stillUsed(src menu.Source, name string, edits []kitchen.Edit) error {
	_, err := kitchen.Change(src.Name, src.Text, edits...)
	if err == nil {
		return nil
	}
	list, bare, err := listed(src, name)
	if err != nil {
		return err
	}
	hangs, err := kitchen.HangsOn(src.Name, src.Text, list, bare)
	if err != nil || hangs == nil {
		return err
	}
	return &hinted{fmt.Errorf("%q is still used: %s", bare, strings.Join(hangs, "; ")), "take it off there first"}
}

// changeEdits are the edits that words ask for.
func changeEdits(c *cli.Context, src menu.Source, args []string) ([]kitchen.Edit, error) {
	var words []string
	for _, a := range changeActs {
		words = append(words, a.word)
	}
	if len(args) == 0 {
		return nil, &usageError{"change what?", "begin with one of " + strings.Join(words, ", ") + "; kettletree change --help has examples"}
	}
	at := slices.Index(words, args[0])
	if at < 0 {
		return nil, &usageError{fmt.Sprintf("%q is nothing that change does", args[0]), meant(args[0], words, "begin with one of "+strings.Join(words, ", "))}
	}
	act, args := changeActs[at], args[1:]
	more := act.word == "add" || act.word == "split"
	if len(args) < act.args || len(args) > act.args && !more || act.word == "add" && len(args)%2 != 0 {
		return nil, &usageError{fmt.Sprintf("change %s takes %s", act.word, act.takes), "put what has several words in quotes"}
	}
	if act.word == "add" {
		if kitchen.OneOf(args[0]) == "" {
			return nil, &usageError{fmt.Sprintf("the kitchen file has no list %q", args[0]), meant(args[0], kitchen.Lists, "write one of "+strings.Join(kitchen.Lists, ", "))}
		}
		blanks := map[string]string{}
		for i := 2; i < len(args); i += 2 {
			if !slices.ContainsFunc(kitchen.Blanks(args[0]), func(b kitchen.Blank) bool { return b.Key == args[i] }) {
				return nil, &usageError{fmt.Sprintf("a %s has no %q", kitchen.OneOf(args[0]), args[i]), "kettletree help kitchen lists the keys"}
			}
			blanks[args[i]] = blankText(args[i], args[i+1])
		}
		return []kitchen.Edit{kitchen.Enter(args[0], args[1], blanks)}, nil
	}
	list, name, err := listed(src, args[0])
	if err != nil {
		return nil, unamended(c, &kitchen.Kitchen{File: src.Name}, err)
	}
	switch act.word {
	case "set":
		if args[1] == "takes" || args[1] == "gives" {
			return lineSet(src, list, name, args[1], args[2])
		}
		return []kitchen.Edit{kitchen.Fill(list, name, args[1], blankText(args[1], args[2])), kitchen.Guess(list, name, args[1], false)}, nil
	case "clear":
		return []kitchen.Edit{kitchen.Unset(list, name, args[1])}, nil
	case "rename":
		edits := []kitchen.Edit{kitchen.Rename(name, args[1])}
		if wasSaid(src) {
			edits = append(edits, kitchen.Was(args[1], name))
		}
		return edits, nil
	case "copy":
		return []kitchen.Edit{kitchen.Copy(list, name, args[1])}, nil
	case "split":
		return splitEdit(src, name, args[1], args[2], args[3:])
	}
	return []kitchen.Edit{kitchen.Drop(list, name)}, nil
}

// wasSaid tells whether something beside the kitchen file may speak of what is in it: a log book, or a kept plan.
func wasSaid(src menu.Source) bool {
	_, err := os.Lstat(plan.Path(src.Name))
	return err == nil || logbook.Exists(logbook.Path(src.Name))
}

// blankText is what was typed on a command line as a form would have it: "tue 1; sat 2" is in lines.
func blankText(key, text string) string {
	if key == "method" || key == "looks like" {
		return text
	}
	var lines []string
	for part := range strings.SplitSeq(text, ";") {
		lines = append(lines, strings.TrimSpace(part))
	}
	return strings.Join(lines, "\n")
}

// listed finds the list in which something stands. A name that stands in several is written as steps/soup.
func listed(src menu.Source, name string) (list, bare string, err error) {
	if in, rest, ok := strings.Cut(name, "/"); ok && kitchen.OneOf(in) != "" {
		return in, rest, nil
	}
	lists, err := kitchen.ListsOf(src.Name, src.Text, name)
	if err != nil {
		return "", "", err
	}
	switch {
	case len(lists) > 1:
		return "", "", &kitchen.AmendError{Msg: fmt.Sprintf("%q stands under %s", name, strings.Join(lists, " and under ")), Hint: fmt.Sprintf("write %q", lists[0]+"/"+name)}
	case len(lists) == 1:
		return lists[0], name, nil
	}
	k, _ := kitchen.Read(src.Name, src.Text)
	if k != nil {
		if i, err := k.FindItem(name); err == nil && k.Graph.Items[i].Name == name { // a step gives it, and nothing else is said of it
			return kitchen.InMade, name, nil
		}
	}
	var names []string
	for _, in := range kitchen.Lists {
		all, _ := kitchen.NamesIn(src.Name, src.Text, in)
		names = append(names, all...)
	}
	return "", "", &kitchen.AmendError{Msg: fmt.Sprintf("nothing in the kitchen file is called %q", name), Hint: meant(name, names, "write the name as the file does")}
}

// lineSet changes the line of a card that is about the same item, or adds one.
func lineSet(src menu.Source, list, name, key, line string) ([]kitchen.Edit, error) {
	now, err := kitchen.Blanked(src.Name, src.Text, list, name)
	if err != nil {
		return nil, err
	}
	lines := strings.Split(now[key], "\n")
	if at := slices.IndexFunc(lines, func(l string) bool { return kitchen.SameItem(l, line, key) }); at >= 0 {
		lines[at] = line
	} else {
		lines = append(lines, line)
	}
	return []kitchen.Edit{kitchen.Fill(list, name, key, strings.Join(lines, "\n"))}, nil
}

// splitEdit splits a step; what is done in the second is named by its lines, or by the items on them.
func splitEdit(src menu.Source, step, second, through string, moved []string) ([]kitchen.Edit, error) {
	now, err := kitchen.Blanked(src.Name, src.Text, kitchen.InSteps, step)
	if err != nil {
		return nil, err
	}
	at := map[string][]int{}
	for _, m := range moved {
		found := false
		for _, key := range []string{"takes", "gives"} {
			for n, line := range strings.Split(now[key], "\n") {
				if line == m || kitchen.SameItem(line, "1 kg "+m, key) {
					at[key], found = append(at[key], n), true
				}
			}
		}
		if !found {
			return nil, &usageError{fmt.Sprintf("%q takes and gives no %q", step, m), "name what goes over to the second step as its card does"}
		}
	}
	return []kitchen.Edit{kitchen.Split(step, second, through, at["takes"], at["gives"])}, nil
}

// takeProposals writes all that is proposed for open questions, as guesses.
func takeProposals(c *cli.Context, o menu.Options, w *week.Week, a *ask.OpenQuestions) error {
	var edits []kitchen.Edit
	for n, q := range w.Questions {
		if proposal := a.Questions[n].Proposal; proposal != "" && !q.Guessed {
			edits = append(edits, q.Answer(proposal, true)...)
		}
	}
	text, err := kitchen.Change(o.Kitchen.Name, o.Kitchen.Text, edits...)
	return proposeChange(c, o, text, err)
}

// proposeChange shows what another text of the kitchen file changes and what follows, and writes it where that is asked for; wrong is why there
// is none.
func proposeChange(c *cli.Context, o menu.Options, text []byte, wrong error) error {
	src := o.Kitchen
	if err := wrong; err != nil {
		return unamended(c, &kitchen.Kitchen{File: src.Name}, err)
	}
	after := o
	after.Kitchen.Text = text
	a, err := differ(c, o, after)
	if err != nil {
		return err
	}
	p := &show.Amendment{Difference: a, Diff: udiff.Unified(src.Name, src.Name, string(src.Text), string(text))}
	if p.Diff == "" || !c.Bool("into-file") {
		return give(c, p, func(page show.Page, p *show.Amendment) string {
			return show.Amended(page, p) + "\n" + show.Unwritten(page, src.Name, p.Diff != "")
		}, nil)
	}
	says := c.Command.Name
	if len(a.Changes) > 0 {
		says = a.Changes[0].String()
	}
	if more := len(a.Changes) - 1; more > 0 {
		says += fmt.Sprintf("; and %d more", more)
	}
	return intoFile(c, src.Name, cmp.Or(says, "change"), src.Text, text, p, &p.Written, show.Amended, func(p *show.Amendment) bool { return p.Diff != "" })
}

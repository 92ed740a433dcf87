package kitchen

// Approvals: who has approved, in writing, that a stock which seeds its own next batch begins a new day 1 each time.

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// approvedKey names who has approved it.
const approvedKey = "date approved by"

// noApproval are words that stand where nobody has approved anything, or not yet.
var noApproval = []string{"yes", "no", "none", "nobody", "no one", "not yet", "unknown", "pending", "n/a", "na", "tbd", "true", "false", "ok"}

// approver reads who has approved a date mark. It is printed on labels, so what names nobody is no approval.
func approver(s string) (string, error) {
	by := strings.TrimSpace(s)
	if strings.ContainsFunc(by, unicode.IsLetter) && !slices.Contains(noApproval, strings.ToLower(strings.TrimRight(by, ".!?"))) {
		return by, nil
	}
	return "", &measure.Error{Msg: fmt.Sprintf("%q does not say who has approved it", by), Len: len(s),
		Hint: "write the authority and its letter, such as county health authority by letter of 2 March 2026; without an approval in writing remove the key"}
}

// letter reads what a supplier wrote of parasites in raw fish. A word such as yes is no letter.
func letter(s string) (string, error) {
	says, err := approver(s)
	if err != nil {
		err = &measure.Error{Msg: fmt.Sprintf("%q does not say what stands in the letter", strings.TrimSpace(s)), Len: len(s),
			Hint: "write what it says and its date, such as \"fish house, 2 March 2026: frozen at -20 °C for 7 days\"; without a letter remove the key"}
	}
	return says, err
}

// Renewed tells whether an approval begins a new day 1 for an item: it is carried on from yesterday, and cooked through each time.
func (k *Kitchen) Renewed(item int) bool {
	return k.Approved[item] != "" && k.carriedOn(item, k.Cooks)
}

// carriedOn tells whether a step of some sort is seeded with an item that came of it on an earlier day.
func (k *Kitchen) carriedOn(item int, sort func(step int) bool) bool {
	for s := range k.Steps {
		if sort(s) && slices.ContainsFunc(k.Graph.Steps[s].Takes, func(l graph.Line) bool {
			return slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return c.Item == item }) && k.seeds(s, l, item)
		}) {
			return true
		}
	}
	return false
}

// checkApprovals warns of approvals that begin no day 1: they would look like one.
func (r *reader) checkApprovals() {
	for i, by := range r.k.Approved {
		switch at := r.approvedAt[i]; {
		case by == "" || r.k.Renewed(i):
		case !r.k.carriedOn(i, func(int) bool { return true }):
			r.warn(r.span(at), "approved-without-use", "remove the key: it is for a stock that its own step takes \"from yesterday\"",
				"its own step does not carry %q on from yesterday, so that an approval begins no new day 1 for it", r.items[i].Name)
		default:
			r.warn(r.span(at), "approved-without-use", "write \"cooks through: yes\" under that step if it does, or remove the key",
				"the step that carries %q on does not cook it through, so that the approval begins no new day 1 for it", r.items[i].Name)
		}
	}
}

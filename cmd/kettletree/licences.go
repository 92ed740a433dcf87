package main

// licences: what the program holds of others, and under which licences.

import (
	"embed"
	"encoding/json"
	"fmt"
	"path"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
)

// licenceTexts has parts.json and the texts that it names. TestLicences writes what comes from Go modules; the texts of
// what is compiled into them are kept by hand.
//
//go:embed licences
var licenceTexts embed.FS

// licensedPart is a part of the program, as parts.json has it.
type licensedPart struct {
	Name     string   `json:"name"`
	Module   bool     `json:"module"`
	Licences []string `json:"licences"`
	Texts    []string `json:"texts"`
}

func licencesCommand() *cli.Command {
	return &cli.Command{
		Name: "licences", Usage: "what this program holds of others, and the texts of their licences",
		Flags: output(),
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return &usageError{fmt.Sprintf("%q stands behind %q", c.Args().Get(1), c.Args().First()), "name one part, or none for all"}
			}
			parts := partsOfThis()
			if c.NArg() == 0 {
				a := &show.Licences{Parts: []show.Licensed{}}
				for _, p := range parts {
					a.Parts = append(a.Parts, p.Licensed)
				}
				return give(c, a, show.LicenceList, show.LicenceSheet)
			}
			part, err := partNamed(c.Args().First(), parts)
			if err != nil {
				return err
			}
			var texts []string
			for _, file := range part.texts {
				texts = append(texts, licenceText(file))
			}
			part.Text = strings.Join(texts, "\n"+strings.Repeat("=", 78)+"\n\n")
			a := &show.Licences{Parts: []show.Licensed{part.Licensed}}
			text := func(p show.Page, _ *show.Licences) string { return show.LicenceText(p, part.Licensed) }
			return give(c, a, text, show.LicenceSheet)
		},
	}
}

// licensed is a part of this program, with the files of its texts.
type licensed struct {
	show.Licensed
	texts []string
}

// partsOfThis are the parts of the program that runs: other systems need other modules. One that does not know what it
// was built from tells of all.
func partsOfThis() (list []licensed) {
	var all []licensedPart
	if err := json.Unmarshal([]byte(licenceText("parts.json")), &all); err != nil {
		panic("mistake: parts.json: " + err.Error())
	}
	versions := map[string]string{}
	if built, ok := debug.ReadBuildInfo(); ok {
		versions["Go"] = built.GoVersion
		for _, m := range built.Deps {
			versions[m.Path] = m.Version
		}
	}
	for _, p := range all {
		version, known := versions[p.Name]
		if p.Module && !known && len(versions) > 1 {
			continue
		}
		list = append(list, licensed{show.Licensed{Name: p.Name, Version: version, Licences: p.Licences}, p.Texts})
	}
	return list
}

// partNamed finds a part by its name, or by as much of it as no other has.
func partNamed(name string, parts []licensed) (licensed, error) {
	var found, names []string
	at := 0
	for i, p := range parts {
		names = append(names, strings.ToLower(p.Name), path.Base(p.Name))
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
		if strings.Contains(strings.ToLower(p.Name), strings.ToLower(name)) {
			found, at = append(found, p.Name), i
		}
	}
	switch len(found) {
	case 1:
		return parts[at], nil
	case 0:
		return licensed{}, &usageError{fmt.Sprintf("there is no part %q", name), meant(strings.ToLower(name), names, "kettletree licences lists them")}
	}
	return licensed{}, &usageError{fmt.Sprintf("%q may be %s", name, strings.Join(slices.Sorted(slices.Values(found)), " or ")),
		"write more of the name"}
}

func licenceText(file string) string {
	text, err := licenceTexts.ReadFile("licences/" + file)
	if err != nil {
		panic("mistake: there is no licence text: " + err.Error())
	}
	return string(text)
}

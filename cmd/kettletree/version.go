package main

// Which build this is.

import (
	"cmp"
	"runtime/debug"
)

// version is the version of the module, or "(devel)", and the revision that it was built from, as far as they are known.
func version(info *debug.BuildInfo, known bool) string {
	const devel = "(devel)"
	if !known {
		return devel
	}
	text := cmp.Or(info.Main.Version, devel)
	set := map[string]string{}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	if revision := set["vcs.revision"]; revision != "" {
		text += ", revision " + revision[:min(len(revision), 12)]
		if set["vcs.modified"] == "true" {
			text += " with changes"
		}
	}
	return text
}

package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVersion(t *testing.T) {
	settings := []debug.BuildSetting{{Key: "vcs", Value: "git"}, {Key: "vcs.revision", Value: "0123456789abcdef0123"}}
	modified := append(settings, debug.BuildSetting{Key: "vcs.modified", Value: "true"})
	for want, info := range map[string]*debug.BuildInfo{
		"(devel)":                        {},
		"v1.2.0":                         {Main: debug.Module{Version: "v1.2.0"}},
		"(devel), revision 0123456789ab": {Main: debug.Module{Version: "(devel)"}, Settings: settings},
		"(devel), revision 0123456789ab with changes": {Settings: modified},
	} {
		assert.Equal(t, want, version(info, true))
	}
	assert.Equal(t, "(devel)", version(nil, false))
	got := runIn(t, nil, "--version")
	assert.Zero(t, got.code)
	assert.Regexp(t, `^kettletree \S.*\n$`, got.stdout)
	assert.Empty(t, got.stderr)
}

// Every word of log has its help, by --help behind it and by "help log", with a form that the program reads.
func TestEveryWordOfLogHasItsHelp(t *testing.T) {
	for _, word := range logWords() {
		got := runIn(t, nil, "log", word, "--help")
		assert.Zero(t, got.code, got.stderr)
		assert.Contains(t, got.stdout, "kettletree log [KITCHEN] "+word)
		assert.Equal(t, got.stdout, runIn(t, nil, "help", "log", word).stdout)
		assert.Equal(t, got.stdout, runIn(t, nil, "log", "examples/first-pot", word, "--help").stdout)
	}
	assert.Contains(t, runIn(t, nil, "log", "--help").stdout, "Options:")
}

package main

// The notice of licences holds what is linked, no more and no less. When a module comes, goes or changes its licence,
// write the notice again, and look at what changed:
//
//	go test ./cmd/kettletree -run TestLicences -update

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// systems are those for which the program is built; see .ci/run. Each may link modules of its own.
var systems = []string{"linux", "darwin", "windows"}

// compiledIn is what the modules hold in other languages than Go, and data: its licence, and how its version is known.
// When a version changes, look whether its licence still is the one that is kept.
var compiledIn = []struct {
	name, text string
	licences   []string
	in         string // module
	file, says string // a file of the module, and what it has of this version
}{
	{"Graphviz", "graphviz.txt", []string{"EPL-1.0"}, "github.com/goccy/go-graphviz", "graphviz.version", "12.1.2"},
	{"Expat", "expat.txt", []string{"MIT"}, "github.com/goccy/go-graphviz", "internal/wasm/graphviz.wasm", "expat_2.6.3"},
	{"wasi-libc", "wasi-libc.txt", []string{"MIT", "BSD-2-Clause", "ISC"}, "github.com/goccy/go-graphviz",
		"internal/wasm/build/Dockerfile", "wasi-sdk-24"},
	{"Unicode", "unicode.txt", []string{"Unicode-3.0"}, "golang.org/x/text", "LICENSE", ""},
}

// vendored are files of others that stand in this repository as they were published: the package of the npm registry, its version, and
// the SHA-256 of the file. When one is replaced, look whether its licence still is the one that is kept.
var vendored = []struct {
	name, text string
	licences   []string
	file, sum  string
}{
	{"Idiomorph", "idiomorph.txt", []string{"0BSD"}, "board/static/idiomorph.min.js", // idiomorph 0.8.0, dist/idiomorph.min.js
		"4cbd535caf7663a51eda9bce6595371c384fc430d54b8d414e29a61167f19f96"},
}

// elsewhere are texts that do not stand beside the packages that are linked.
var elsewhere = map[string]string{
	"github.com/golang/freetype": "licenses/ftl.txt", // of the two that LICENSE gives the choice of
	"gonum.org/v1/gonum":         "THIRD_PARTY_LICENSES/*",
}

// notHere are texts of what the program does not hold: with the package that they are of, or, with "", of a picture, of
// test data, of what is a module of its own, or of a licence that was not chosen.
var notHere = map[string]string{
	"modernc.org/memory/LICENSE-LOGO":          "",
	"modernc.org/sqlite/LICENSE-3RD-PARTY.md":  "",
	"modernc.org/sqlite/LICENSE-SQLITE_VEC":    "modernc.org/sqlite/vec",
	"gonum.org/v1/gonum/W3C-TestSuite-LICENSE": "",
	"gonum.org/v1/gonum/W3C-BSD-LICENSE":       "",
	"gonum.org/v1/gonum/Bogaert-LICENSE":       "gonum.org/v1/gonum/integrate/quad",
	"gonum.org/v1/gonum/Oxford-LICENSE":        "gonum.org/v1/gonum/integrate/quad",
	"gonum.org/v1/gonum/Fike-LICENSE":          "gonum.org/v1/gonum/num/hyperdual",
	"gonum.org/v1/gonum/MT19937-LICENSE":       "gonum.org/v1/gonum/mathext/prng",
	"gonum.org/v1/gonum/MT19937-64-LICENSE":    "gonum.org/v1/gonum/mathext/prng",
}

// namedBy tells a licence by words of its text. The names are those of SPDX.
var namedBy = []struct {
	name  string
	words *regexp.Regexp
}{
	{"Apache-2.0", regexp.MustCompile(`Apache License\s+Version 2\.0`)},
	{"BSL-1.0", regexp.MustCompile(`(?i)Boost Software License`)},
	{"MIT", regexp.MustCompile(`(?s)Permission is hereby granted, free of charge.*The above copyright notice and this\s+permission`)},
	{"BSD-3-Clause", regexp.MustCompile(`(?is)Redistributions? and use in source and binary.*(Neither|names? .{1,80} (may|must) not be used).*endorse`)},
	{"BSD-2-Clause", regexp.MustCompile(`(?is)Redistribution and use in source and binary`)},
	{"FTL", regexp.MustCompile(`(?i)FreeType\s+(Project\s+)?License`)},
	{"SunPro", regexp.MustCompile(`Developed at SunPro`)},
	{"public domain", regexp.MustCompile(`(?i)public\s+domain`)},
}

func licencesOf(text string) (names []string) {
	for _, l := range namedBy {
		if l.words.MatchString(text) && !(l.name == "BSD-2-Clause" && slices.Contains(names, "BSD-3-Clause")) {
			names = append(names, l.name)
		}
	}
	return names
}

func TestLicences(t *testing.T) {
	want := noticeOfBuild(t)
	if *update {
		for name, text := range want {
			require.NoError(t, os.WriteFile(filepath.Join("licences", name), text, 0o666))
		}
	}
	const again = "write the notice again, and look at what changed: go test ./cmd/kettletree -run TestLicences -update"
	entries, err := os.ReadDir("licences")
	require.NoError(t, err)
	for _, e := range entries {
		file := filepath.Join("licences", e.Name())
		if want[e.Name()] == nil && *update {
			require.NoError(t, os.Remove(file))
			continue
		}
		if !assert.NotNil(t, want[e.Name()], "nothing that is linked has the text %s; %s", e.Name(), again) {
			continue
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, string(want[e.Name()]), string(text), again)
		delete(want, e.Name())
	}
	for name := range want {
		assert.Fail(t, "a text is missing: "+name, again)
	}
}

// noticeOfBuild is what must stand in the folder of licences, by the names of the files.
func noticeOfBuild(t *testing.T) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	parts := []licensedPart{{Name: "Go"}}
	add := func(p *licensedPart, file string) {
		text := readText(t, file)
		names := licencesOf(text)
		kind := strings.ToLower(strings.Join(names, "-"))
		if len(names) == 0 {
			kind = strings.ToLower(strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)))
			require.Contains(t, []string{"patents", "notice"}, kind, "%s is of a licence without a name: see namedBy", file)
		}
		sum := sha256.Sum256([]byte(text))
		name := strings.ReplaceAll(kind, " ", "-") + "-" + hex.EncodeToString(sum[:4]) + ".txt"
		files[name] = []byte(text)
		p.Texts = append(p.Texts, name)
		for _, n := range names {
			if !slices.Contains(p.Licences, n) {
				p.Licences = append(p.Licences, n)
			}
		}
	}
	root := goCommand(t, "", "env", "GOROOT")
	for _, name := range []string{"LICENSE", "PATENTS"} {
		add(&parts[0], filepath.Join(root, name))
	}
	linked := linkedModules(t)
	for _, m := range linked {
		p := licensedPart{Name: m.path, Module: true}
		for _, file := range m.texts(t) {
			add(&p, file)
		}
		require.NotEmpty(t, p.Licences, "%s has no licence", m.path)
		parts = append(parts, p)
	}
	for _, c := range compiledIn {
		at := slices.IndexFunc(linked, func(m linkedModule) bool { return m.path == c.in })
		require.GreaterOrEqual(t, at, 0, "%s is linked no more: take %s out of compiledIn", c.in, c.name)
		assert.Contains(t, readText(t, filepath.Join(linked[at].dir, c.file)), c.says,
			"%s holds another version of %s: look whether licences/%s is still right", c.in, c.name, c.text)
		parts = append(parts, licensedPart{Name: c.name, Licences: c.licences, Texts: []string{c.text}})
		text, err := os.ReadFile(filepath.Join("licences", c.text)) // kept by hand
		require.NoError(t, err)
		files[c.text] = text
	}
	for _, v := range vendored {
		src, err := os.ReadFile(v.file)
		require.NoError(t, err)
		assert.Equal(t, v.sum, fmt.Sprintf("%x", sha256.Sum256(src)), "%s is another file: look whether licences/%s is still right", v.file, v.text)
		parts = append(parts, licensedPart{Name: v.name, Licences: v.licences, Texts: []string{v.text}})
		text, err := os.ReadFile(filepath.Join("licences", v.text)) // kept by hand
		require.NoError(t, err)
		files[v.text] = text
	}
	slices.SortFunc(parts, func(a, b licensedPart) int { return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	var index bytes.Buffer
	index.WriteString("[\n")
	for i, p := range parts {
		line, err := json.Marshal(p)
		require.NoError(t, err)
		index.Write(line)
		index.WriteString(map[bool]string{true: "\n", false: ",\n"}[i == len(parts)-1])
	}
	index.WriteString("]\n")
	files["parts.json"] = index.Bytes()
	return files
}

// readText reads a text, with the line ends of this project.
func readText(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	lines := strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " \t")
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n") + "\n"
}

// linkedModule is a module with the folders of the packages that are linked.
type linkedModule struct {
	path, dir string
	packages  []string
}

// linkedModules are those of all systems.
func linkedModules(t *testing.T) (list []linkedModule) {
	t.Helper()
	for _, system := range systems {
		lines := goCommand(t, system, "list", "-deps", "-f",
			"{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Dir}}\t{{$.Dir}}{{end}}{{end}}", ".")
		for line := range strings.Lines(lines) {
			f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
			if len(f) != 3 {
				continue
			}
			at := slices.IndexFunc(list, func(m linkedModule) bool { return m.path == f[0] })
			if at < 0 {
				at = len(list)
				list = append(list, linkedModule{path: f[0], dir: f[1]})
			}
			if !slices.Contains(list[at].packages, f[2]) {
				list[at].packages = append(list[at].packages, f[2])
			}
		}
	}
	return list
}

func goCommand(t *testing.T, system string, args ...string) string {
	t.Helper()
	c := exec.Command("go", args...)
	c.Env = append(os.Environ(), "CGO_ENABLED=0")
	if system != "" {
		c.Env = append(c.Env, "GOOS="+system, "GOARCH=amd64")
	}
	out, err := c.Output()
	require.NoError(t, err, "go %v", args)
	return strings.TrimSpace(string(out))
}

// texts are the files of licences beside the packages that are linked, and in the folders above them.
func (m linkedModule) texts(t *testing.T) (files []string) {
	t.Helper()
	held := func(file string) bool {
		of, not := notHere[m.path+"/"+file]
		linked := slices.Contains(m.packages, filepath.Join(m.dir, filepath.FromSlash(strings.TrimPrefix(of, m.path))))
		assert.False(t, of != "" && linked, "%s is linked: take %s out of notHere", of, file)
		return !not
	}
	isText := regexp.MustCompile(`(?i)^(un)?licen[cs]e|^copying|^copyright|^notice|^patents`)
	folders := []string{m.dir}
	for _, dir := range m.packages {
		for ; len(dir) > len(m.dir); dir = filepath.Dir(dir) {
			if !slices.Contains(folders, dir) {
				folders = append(folders, dir)
			}
		}
	}
	slices.Sort(folders)
	for _, dir := range folders {
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		for _, e := range entries {
			if !e.IsDir() && isText.MatchString(e.Name()) && filepath.Ext(e.Name()) != ".go" && held(e.Name()) {
				files = append(files, filepath.Join(dir, e.Name()))
			}
		}
	}
	if more := elsewhere[m.path]; more != "" {
		found, err := filepath.Glob(filepath.Join(m.dir, filepath.FromSlash(more)))
		require.NoError(t, err)
		require.NotEmpty(t, found, "%s has no %s", m.path, more)
		files = append(files, slices.DeleteFunc(found, func(f string) bool { return !held(filepath.Base(f)) })...)
	}
	return files
}

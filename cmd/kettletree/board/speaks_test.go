package board

// Every page that the board has, by its table of routes, in Spanish and Chinese: no English word of the table of sentences stands on it.

import (
	"flag"
	"fmt"
	"html"
	"maps"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
	"golang.org/x/text/language"
	"golang.org/x/text/language/display"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// busy is a pozole cantina on Tuesday afternoon in whose log book there is something of each kind.
func busy(t *testing.T) *served {
	t.Helper()
	o := openBoard(t, "three-kettles")
	src, err := os.ReadFile(filepath.Join(o.folder, "on-hand.csv"))
	require.NoError(t, err)
	var entries []string
	for row := range strings.Lines(string(src)) {
		if f := strings.Split(strings.TrimSpace(row), ","); len(f) == 3 && f[0] != "item" {
			entries = append(entries, "counted "+f[1]+" "+f[0])
		}
	}
	for at, list := range map[string][]string{"2026-11-24 00:00": entries,
		"2026-11-24 13:00": {"sold 4 red pozole at lunch", "lost night kettle of 2026-11-24", "binned 1 kg lard, fell", "struck white pozole at 2026-11-24 dinner",
			"received 12 kg pork shoulder for 67.20 from \"butcher\" lot A7", "temperature kettle stock 62 C", "did not come 20 kg pork trotters"}} {
		status, page, _ := o.send(http.MethodPost, "/write", url.Values{"text": list, "at": {at}}, nil)
		require.Equal(t, 200, status, page)
	}
	return o
}

var (
	unread   = regexp.MustCompile(`(?s)<script\b.*?</script>|<style\b.*?</style>|<code>.*?</code>|<q lang="en">.*?</q>|<q>.*?</q>|<span class="filed" lang="en">.*?</span>|<textarea.*?</textarea>|<option lang="en".*?</option>|<ul class="filed" lang="en">.*?</ul>|</text>\s*<text[^>]*>|<pre[^>]*lang="en".*?</pre>|<!--.*?-->`)
	tags     = regexp.MustCompile(`<[^>]*>`)
	anchored = regexp.MustCompile(`<a\b[^>]*href="(/[^"]*)"`)
	wording  = regexp.MustCompile(`[A-Za-zÀ-ÿ]+(?:'[a-z]+)?`)
	labelled = regexp.MustCompile(`(?:aria-label|placeholder|title|alt)="([^"]*)"`)
)

// englishWords are those of the table's English sentences that its sentences in another language never use.
func englishWords(in int) map[string]bool {
	other, all := map[string]bool{}, map[string]bool{}
	for _, w := range slices.Concat(tongue.Shared, tongue.Board) {
		for _, word := range wording.FindAllString(w[in], -1) {
			other[strings.ToLower(word)] = true
		}
	}
	for _, w := range slices.Concat(tongue.Shared, tongue.Board) {
		for _, word := range wording.FindAllString(w[0], -1) {
			if word = strings.ToLower(word); len(word) > 2 && !other[word] {
				all[word] = true
			}
		}
	}
	return all
}

// ownNames are the names of a kitchen, which its pages may show as they are, with those of lists and codes.
func ownNames(t *testing.T, k *kitchen.Kitchen, src []byte) *regexp.Regexp {
	t.Helper()
	s := newSpeaker(language.Spanish, k)
	names := []string{k.Name, "kettletree", "kitchen.logbook", "kitchen.yaml", "US FDA Food Code 2022", "Food Code", "USD"}
	for _, tag := range tongue.Spoken {
		names = append(names, display.Self.Name(tag))
	}
	for name := range s.own {
		names = append(names, name)
	}
	for _, one := range kitchen.AllergenLists {
		names = append(names, one.Source)
		for _, c := range one.Codes {
			names = append(names, c.Name)
			names = append(names, c.Kinds...)
		}
	}
	var file yaml.Node
	require.NoError(t, yaml.Unmarshal(src, &file))
	var walk func(n *yaml.Node, measured bool)
	walk = func(n *yaml.Node, measured bool) { // what the file says in words of its own: how a thing is made and looks, who works where, what is measured
		if n.Kind == yaml.ScalarNode && (measured || strings.Contains(n.Value, " ")) {
			names = append(names, n.Value)
		}
		for i, c := range n.Content {
			walk(c, measured || n.Kind == yaml.MappingNode && i%2 == 1 && (n.Content[i-1].Value == "measures" || n.Content[i-1].Value == "handling"))
		}
	}
	walk(&file, false)
	for i, name := range names {
		names[i] = strings.TrimFunc(strings.Join(strings.Fields(name), " "), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	}
	names = slices.DeleteFunc(names, func(n string) bool { return n == "" })
	slices.SortFunc(names, func(a, b string) int { return len(b) - len(a) })
	for i := range names {
		names[i] = regexp.QuoteMeta(names[i])
	}
	return regexp.MustCompile(`(?i)\b(?:` + strings.Join(names, "|") + `)\b`)
}

// englishOn finds English words in what a page says itself, each with what stands around it.
func englishOn(page string, names *regexp.Regexp, isEnglish func(string) bool) (found []string) {
	said := page
	for _, m := range labelled.FindAllStringSubmatch(page, -1) {
		said += "<i>" + m[1] + "</i>"
	}
	said = strings.Join(strings.Fields(unread.ReplaceAllString(said, " ")), " ") // lines of a text are one
	for text := range strings.SplitSeq(tags.ReplaceAllString(said, "\n"), "\n") {
		if !slices.ContainsFunc(wording.FindAllString(html.UnescapeString(text), -1), isEnglish) {
			continue // names are taken out of few texts, for that takes long
		}
		bare := names.ReplaceAllString(html.UnescapeString(text), "")
		for _, word := range wording.FindAllString(bare, -1) {
			if isEnglish(word) {
				at := strings.Index(bare, word)
				found = append(found, word+": ..."+bare[max(0, at-60):min(len(bare), at+60)])
			}
		}
	}
	return found
}

// every has the test follow the links of the pages too: go test ./cmd/kettletree/board -run EveryPageSpeaks -every
var every = flag.Bool("every", false, "hold pages that take long, and what links lead to, to their languages too")

func TestEveryPageSpeaks(t *testing.T) {
	o := busy(t)
	src, err := os.ReadFile(filepath.Join(o.folder, "kitchen.yaml"))
	require.NoError(t, err)
	names := ownNames(t, o.board.watch.state().kitchen, src)
	for in, tag := range tongue.Languages {
		if in == 0 {
			continue
		}
		english := englishWords(in)
		require.Greater(t, len(english), 200)
		isEnglish := func(word string) bool { return english[strings.ToLower(word)] }
		seen, queue := map[string]bool{}, []string{}
		add := func(link string) {
			u, err := url.Parse(html.UnescapeString(link))
			require.NoError(t, err, link)
			q := u.Query()
			q.Del(languageWord)
			kind := u.Path
			for _, name := range slices.Sorted(maps.Keys(q)) {
				kind += " " + name
				if name == "kind" {
					kind += q.Get(name)
				}
			}
			if !slices.Contains(Reads(), u.Path) || seen[kind] {
				return
			}
			seen[kind] = true
			q.Set(languageWord, tag.String())
			queue = append(queue, u.Path+"?"+q.Encode())
		}
		for _, path := range Reads() {
			add(path)
		}
		found := map[string][]string{}
		for n := 0; n < len(queue); n++ {
			if !*every && slices.Contains([]string{"/chance", "/weak", "/plan"}, strings.TrimSuffix(queue[n], "?"+languageWord+"="+tag.String())) {
				continue // they are seconds of work
			}
			status, page, _ := o.get(queue[n])
			assert.Less(t, status, 500, queue[n])
			if *every && n < len(Reads()) {
				for _, m := range anchored.FindAllStringSubmatch(page, -1) {
					add(m[1])
				}
			}
			for _, text := range englishOn(page, names, isEnglish) {
				found[text] = append(found[text], queue[n])
			}
		}
		if *every {
			require.Greater(t, len(queue), len(Reads()), "links lead on")
		}
		for text, at := range found {
			assert.Fail(t, "English on a page", "%s in %s: %s", fmt.Sprint(slices.Compact(at)[:1]), tag, text)
		}
	}
}

// What a page says where its question can't be taken, where something is asked about, and where nothing is written yet.
func TestEveryAnswerSpeaks(t *testing.T) {
	small := openBoard(t, "first-pot")
	small.now = moments(t, "2026-11-24 14:05")
	for o, asks := range map[*served][]string{
		busy(t): {"/map?item=red+pozole&short=pork+trotters=100%25", "/map?item=kettle+stock&lose=night+kettle@2026-11-24", "/?sells=red+pozole=%2B20%25", "/?lose=night+kettle@wed=foo",
			"/?late=night+kettle@wed=foo", "/?lose=foo", "/clock?on=foo", "/clock?ready=foo", "/buy?on=foo", "/log?kind=foo", "/trace", "/trace?lot=foo"},
		small: {"/?spoil=foo", "/specials", "/plan?day=foo", "/stock-take", "/trace", "/tonight", "/map?by=foo"},
	} {
		src, err := os.ReadFile(filepath.Join(o.folder, "kitchen.yaml"))
		require.NoError(t, err)
		names := ownNames(t, o.board.watch.state().kitchen, src)
		for in, tag := range tongue.Languages[1:] {
			english := englishWords(in + 1)
			for _, at := range asks {
				status, page, _ := o.send(http.MethodGet, at, nil, http.Header{"Accept-Language": {tag.String()}})
				assert.Less(t, status, 500, at)
				words := englishOn(page, names, func(word string) bool { return english[strings.ToLower(word)] })
				assert.Empty(t, append(words, marked.FindAllString(page, -1)...), "%s in %s", at, tag)
			}
		}
	}
}

// marked is what a page itself says is English, for it has no other words for it.
var marked = regexp.MustCompile(`(?s)<span lang="en">.{1,300}?</span>`)

// The odds of a week as it is written, and what is likely to be counted, are said in the language of the page.
func TestChanceAndChipsSpeak(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 5 kg pulled hen")
	src, err := os.ReadFile(filepath.Join(o.folder, "kitchen.yaml"))
	require.NoError(t, err)
	k, faults := kitchen.Read("kitchen.yaml", src)
	require.Empty(t, faults)
	for lang, wants := range map[string][2]string{"es": {"Si todo va según lo escrito, vendes ", "gallina deshebrada"}, "zh-Hans": {"如果一切照写的来，卖 ", "手撕鸡肉"}} {
		s := newSpeaker(language.Make(lang), k)
		assert.Contains(t, string(s.Said("If all goes as written, you sell 1,005 portions and earn 8,244.02 USD of contribution.")), wants[0])
		assert.Equal(t, "86", s.Phrase("86"), "portions, not the button that strikes a dish off")
		for _, kind := range []string{"counted", "temperature"} {
			_, text, _ := o.send(http.MethodGet, "/log?kind="+kind, nil, http.Header{"Cookie": {languageCookie + "=" + lang}})
			assert.Contains(t, text, `#entry">`+wants[1]+"</a>", lang)
			assert.NotContains(t, text, `#entry">pulled hen</a>`, lang)
		}
	}
}

package board

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/logbook"
)

var (
	aForm   = regexp.MustCompile(`(?s)<form\b([^>]*)>(.*?)</form>`)
	typedIn = regexp.MustCompile(`<textarea\b|<input\b(?:[^>]*type="(?:text|search|number|time|date|datetime-local)"[^>]*|[^>]*)>`)
	asType  = regexp.MustCompile(`type="(\w+)`)
)

// Every form of every page into which something can be typed is kept on the device: data-keep says what it is (forms.js).
func TestEveryFormIsKept(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy", "counted 60 L kettle stock")
	paths := Reads()
	for _, k := range logbook.Kinds {
		paths = append(paths, "/log?kind="+strings.ReplaceAll(string(k), " ", "+"))
	}
	for _, list := range []string{"bought", "steps", "made", "dishes", "specials", "vessels", "suppliers"} {
		paths = append(paths, "/kitchen?new=yes&list="+list)
	}
	paths = append(paths, "/kitchen?list=steps&name=night+kettle", "/kitchen?list=dishes&name=red+pozole", "/buy?check=all", "/map?item=kettle+stock", "/draw?pick=steps+night+kettle",
		"/weigh?step=bone+out+shoulder", "/weigh?new=yes", "/log?corrects=1", "/stocktake", "/costs?item=red+pozole", "/draw?new=dishes", "/taste?of=night+kettle")
	found := 0
	lost := map[string]string{}
	for _, path := range paths {
		_, page, _ := o.get(path)
		for _, f := range aForm.FindAllStringSubmatch(page, -1) {
			for _, field := range typedIn.FindAllString(f[2], -1) {
				if kind := asType.FindStringSubmatch(field); kind != nil && strings.HasPrefix(field, "<input") &&
					!strings.Contains("text search number time date datetime", kind[1]) {
					continue
				}
				found++
				if strings.Contains(f[1], `action="/pair"`) {
					continue // a code lets whoever has it in, once: no device keeps one
				}
				if !strings.Contains(f[1]+f[2], "data-keep=") {
					if lost[f[1]] == "" {
						lost[f[1]] = path + ": " + field
					}
				}
			}
		}
	}
	require.Greater(t, found, 40)
	for form, where := range lost {
		assert.Fail(t, "what is typed is lost", "%s in <form%s>", where, form)
	}
}

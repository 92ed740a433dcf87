package board

import (
	"net/http"
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/kitchen"
)

var filedWord = regexp.MustCompile(`<span class="filed" lang="en">(.*?)</span>`)

// What every blank of the forms that change the kitchen is called, and what goes there, stands in the language of the page.
func TestBlanksInLanguageOfPage(t *testing.T) {
	o := openBoard(t, "three-kettles")
	for _, lang := range []string{"es", "zh"} {
		for _, list := range kitchen.Lists {
			status, page, _ := o.get("/kitchen?" + url.Values{"list": {list}, "new": {"yes"}, "lang": {lang}}.Encode())
			assert.Equal(t, http.StatusOK, status)
			for _, left := range filedWord.FindAllStringSubmatch(page, -1) {
				assert.Fail(t, "not in "+lang, "%s: %s", list, left[1])
			}
		}
	}
}

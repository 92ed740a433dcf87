package board

// The language of a device: chosen under More and kept in a cookie, first proposed by the browser; a link may name one for itself.

import (
	"net/http"

	"golang.org/x/text/language"
	"golang.org/x/text/language/display"

	"kettletree/menu/tongue"
)

const (
	languageCookie = "kettletree-language"
	// languageWord is the query parameter that names a language for a page and what it leads to; it changes no device.
	languageWord = "lang"
)

// languageOf is the language in which a request is answered: that of its address, else of the device, else the first that the browser
// asks for and sentences stand in, else English. Its region says how numbers are written.
func languageOf(r *http.Request) language.Tag {
	chosen := []string{r.URL.Query().Get(languageWord)}
	if c, err := r.Cookie(languageCookie); err == nil {
		chosen = append(chosen, c.Value)
	}
	for _, text := range chosen {
		if tag, ok := spokenTag(text); ok {
			return tag
		}
	}
	wanted, _, err := language.ParseAcceptLanguage(r.Header.Get("Accept-Language")) // the most wanted first
	if err == nil {
		for _, one := range wanted {
			if tag, ok := spokenTag(one.String()); ok {
				return tag
			}
		}
	}
	return language.English
}

// spokenTag is a language that pages are in, by what matters of its tag: the language, and of Spanish the region, by which numbers
// are written.
func spokenTag(text string) (language.Tag, bool) {
	tag, err := language.Parse(text)
	if err != nil {
		return tag, false
	}
	is, ok := tongue.Matched(tag)
	if region, sure := tag.Region(); ok && is == language.Spanish && sure == language.Exact {
		is, err = language.Compose(is, region)
	}
	return is, ok && err == nil
}

// languageFact is a language to choose: its tag and its own name for itself.
type languageFact struct {
	Tag, Name string
	Is        bool // it is the device's
}

// Languages are those that a device may choose.
func (s *speaker) Languages() (list []languageFact) {
	for _, l := range tongue.Spoken {
		list = append(list, languageFact{l.String(), display.Self.Name(l), l == s.voice.Language()})
	}
	return list
}

// chooseLanguage keeps a device's language. The page that it goes back to is shown in it, so the address no longer names another.
func (b *Board) chooseLanguage(w http.ResponseWriter, r *http.Request) {
	tag, ok := spokenTag(r.PostFormValue("language"))
	if !ok {
		b.refuse(w, r, http.StatusBadRequest, &Refusal{Msg: "the board does not speak that language", Hint: "choose one of the languages under More"})
		return
	}
	http.SetCookie(w, &http.Cookie{Name: languageCookie, Value: tag.String(), Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode,
		Secure: b.Door.Secure, MaxAge: 400 * 24 * 3600})
	to, q := b.back(r)
	q.Del(languageWord)
	leadTo(w, r, to, q)
}

// scriptSentences are those that scripts say.
var scriptSentences = []string{
	"Offline. Showing %[1]s.", "Offline. Showing the last answer.", "What you type is kept on this device until it can be sent.",
	"Something changed. What you're typing is kept; the page updates when you send it.",
	"Not written down.", "What was typed is kept in the form that it was typed into.",
	"No answer came, so this may not be written down. It is kept here: send it again when the connection is back. It is never written twice.", "Send again", "Open the form", "When",
	"This device keeps no more: leave this page open until all is sent.",
	"This device has to be paired again: the board no longer knows it.", "Pair it", "The board is open in too many places: here, changes are no longer shown by themselves.", "Show them here",
	"Kept from %[1]s, not sent.", "Discard", "This was typed at %[1]s. When did it happen? Check the time, then send it.", "Smaller", "Larger",
	"Figures", "Take back the last figure", "Next figure", "Done",
}

// scriptWords are those sentences by their English, for the page to carry; an English page needs none.
func (s *speaker) scriptWords() map[string]string {
	if s.voice.English() {
		return nil
	}
	all := map[string]string{}
	for _, english := range scriptSentences {
		all[english] = s.voice.Word(english)
	}
	return all
}

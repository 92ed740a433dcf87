package board

// The templates of pages, in each language that somebody reads them in.

import (
	"html/template"
	"sync"

	"golang.org/x/text/language"

	"kettletree/menu/kitchen"
)

// layouts are the templates of pages and of what stands alone, each made when it is first shown.
type layouts struct {
	asset func(string) (string, error)

	mu       sync.Mutex
	speakers map[spoken]*speaker
	made     map[madeFor]*template.Template
}

// spoken is what a speaker speaks, and of which kitchen; madeFor is what a template is made of.
type (
	spoken struct {
		tag     language.Tag
		kitchen *kitchen.Kitchen
	}
	madeFor struct {
		speaker *speaker
		file    string
	}
)

// mostSpeakers is how many are kept: one for each language and way to write numbers. When a kitchen file is written again, its speakers
// are soon too many, and all begin again.
const mostSpeakers = 12

// speaker is the one for a language and a kitchen.
func (l *layouts) speaker(tag language.Tag, k *kitchen.Kitchen) *speaker {
	l.mu.Lock()
	defer l.mu.Unlock()
	of := spoken{tag, k}
	if s := l.speakers[of]; s != nil {
		return s
	}
	if l.speakers == nil || len(l.speakers) >= mostSpeakers {
		l.speakers, l.made = map[spoken]*speaker{}, map[madeFor]*template.Template{}
	}
	l.speakers[of] = newSpeaker(tag, k)
	return l.speakers[of]
}

// of is the template of a file with what a speaker says.
func (l *layouts) of(s *speaker, file string) *template.Template {
	l.mu.Lock()
	defer l.mu.Unlock()
	made := l.made[madeFor{s, file}]
	if made == nil {
		made = template.Must(template.New("").Funcs(words).Funcs(s.phrases()).Funcs(template.FuncMap{"asset": l.asset}).
			ParseFS(htmlFiles, "html/layout.html", "html/study.html", "html/field.html", "html/proposed.html", "html/"+file+".html"))
		l.made[madeFor{s, file}] = made
	}
	return made
}

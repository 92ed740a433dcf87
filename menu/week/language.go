package week

import (
	"golang.org/x/text/language"

	"kettletree/menu/kitchen"
)

// InLanguage is the week told in a language: its kitchen has the names that the file gives in it, and the file's own where it gives
// none; those are warnings, one for each, or one for the whole file when it gives none at all. Nothing else differs.
func (w *Week) InLanguage(tag language.Tag) (*Week, kitchen.Diagnostics) {
	kitchen, missing := w.Kitchen.Told(tag)
	told := *w
	told.Kitchen, told.Tongue = kitchen, tag
	return &told, missing
}

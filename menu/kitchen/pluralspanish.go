package kitchen

// What several of a Spanish name are called.

import (
	"strings"
	"unicode/utf8"
)

// ofWhat are words behind which a Spanish name says of what, or with what: they end what the plural changes.
var ofWhat = map[string]bool{"de": true, "del": true, "al": true, "a": true, "con": true, "sin": true, "en": true, "para": true, "por": true}

// pluralSpanish is what several things of a Spanish name are called: each word up to the first preposition in the plural
// (hoja de laurel, hojas de laurel; huevo duro, huevos duros).
func pluralSpanish(name string) string {
	words := strings.Split(name, " ")
	for k, w := range words {
		if ofWhat[strings.ToLower(w)] {
			break
		}
		words[k] = pluralWord(w)
	}
	return strings.Join(words, " ")
}

// pluralWord follows the rules of the Spanish academies (Ortografía and Gramática básica, from memory).
func pluralWord(w string) string {
	last, size := utf8.DecodeLastRuneInString(w)
	stem := w[:len(w)-size]
	switch {
	case strings.ContainsRune("aeiouáéó", last):
		return w + "s"
	case strings.ContainsRune("íú", last):
		return w + "es"
	case last == 'z':
		return stem + "ces"
	case last == 's':
		if bare := withoutAccent(stem); bare != stem { // anís, anises
			return bare + "ses"
		}
		return w
	case last >= 'a' && last <= 'z':
		return withoutAccent(stem) + string(last) + "es"
	}
	return w
}

// withoutAccent takes the accent off a last vowel, which stands there no longer once a syllable follows: limón, limones.
func withoutAccent(stem string) string {
	last, size := utf8.DecodeLastRuneInString(stem)
	if bare, ok := map[rune]string{'á': "a", 'é': "e", 'í': "i", 'ó': "o", 'ú': "u"}[last]; ok {
		return stem[:len(stem)-size] + bare
	}
	return stem
}

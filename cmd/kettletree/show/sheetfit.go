package show

// How the tasks of a sheet are laid on pages, and in what size they are printed so that they fit.

import (
	"math"
	"slices"
	"strings"

	"kettletree/menu/clock"
)

// fitted puts a sheet into words that fit a page; what no page holds goes on on further ones, for nothing to do may be left off. A page
// ends where nothing that came out of a pot still waits to be cooled, if that fits.
func (s sheetWords) fitted(a *clock.Sheet) []sheetView {
	for parts := 1; ; parts++ {
		for _, cuts := range [][]int{clearCuts(a.Tasks, parts), evenCuts(a.Tasks, parts)} {
			list, fit := []sheetView{}, true
			for n, part := range divided(a, cuts) {
				v, fits := s.onPage(&part)
				if fit = fit && fits; parts > 1 {
					v.When = s.Voice.Say("%[1]s, %[2]s", v.When, s.Voice.Say("page %[1]s of %[2]s", count(n+1), count(parts)))
				}
				list = append(list, v)
			}
			if fit || parts >= len(a.Tasks) {
				return list
			}
		}
	}
}

// evenCuts are the tasks before which pages end that have as many tasks each.
func evenCuts(tasks []clock.Row, parts int) (cuts []int) {
	for n := 1; n <= parts; n++ {
		cuts = append(cuts, len(tasks)*n/parts)
	}
	return cuts
}

// clearCuts are those nearest to them that part nothing that comes out from its being worked on, such as cooled, pulled or strained.
func clearCuts(tasks []clock.Row, parts int) []int {
	parted := make([]bool, len(tasks)+1)
	out := map[string]int{}
	for i, r := range tasks {
		for _, x := range r.Of {
			if from, ok := out[x.Item]; ok && r.Do == clock.Work {
				for cut := from + 1; cut <= i; cut++ {
					parted[cut] = true
				}
			}
		}
		for _, x := range r.Out {
			out[x.Item] = i
		}
	}
	cuts, last := evenCuts(tasks, parts), 0
	for n, even := range cuts[:parts-1] {
		for off := range len(tasks) {
			if cut := even + off; cut < len(tasks) && !parted[cut] {
				cuts[n] = cut
				break
			}
			if cut := even - off; cut > last && !parted[cut] {
				cuts[n] = cut
				break
			}
		}
		cuts[n] = max(cuts[n], last)
		last = cuts[n]
	}
	return cuts
}

// divided is a sheet in parts, by the clock. Each has the limits that are met in its time; what holds for the day stands on the first.
func divided(a *clock.Sheet, cuts []int) (list []clock.Sheet) {
	limits, from := a.Limits, 0
	for n, to := range cuts {
		part := *a
		part.Tasks, part.Limits = a.Tasks[from:to], limits
		if n > 0 {
			part.Unfit, part.Overdue = nil, nil
		}
		if to < len(a.Tasks) {
			if met := slices.IndexFunc(limits, func(r clock.Row) bool { return r.At >= a.Tasks[to].At }); met >= 0 {
				part.Limits, limits = limits[:met], limits[met:]
			} else {
				limits = nil
			}
		}
		list, from = append(list, part), to
	}
	return list
}

// onPage puts a sheet into words, in letters as large as a page allows, and says whether one holds it.
func (s sheetWords) onPage(a *clock.Sheet) (v sheetView, fits bool) {
	v = s.view(a)
	v.Pictured = true
	if v.Size, fits = sheetSize(&v); fits && v.Size <= smallestPictured {
		return v, true
	}
	v.Pictured = false                           // letters that can be read go before pictures
	for _, s.brief = range []bool{false, true} { // what it is for is left off first
		v.Tasks = s.tasks(a)
		v.Brief = s.brief && slices.ContainsFunc(v.Tasks, func(t taskView) bool { return t.How != "" })
		if v.Size, fits = sheetSize(&v); fits {
			return v, true
		}
	}
	return v, false
}

// sheetSizes are those in which a sheet is tried, in points and columns; what is smaller is not read in a kitchen.
var sheetSizes = []struct {
	points  float64
	columns int
}{{12, 1}, {11, 1}, {10, 1}, {9, 1}, {9, 2}, {8, 2}}

// smallestPictured is the place among them of the smallest in which pictures are printed, and photoHigh how high they then are with
// what is about them, in points.
const (
	smallestPictured = 3
	photoHigh        = 85.0 + 6
)

// A page of A4 or US letter paper less its margins and what lines are rounded by, in points, by the smaller of the two, and of lines, of the size of their letters.
const (
	sheetWide, sheetHigh = 544.0, 734.0
	lineHigh             = 1.28
	inset, insetStation  = 5.2, 6.2 // of boxes and times: a station's say "by" and name days
	noteSize, boldWide   = 0.9, 1.1
	footHigh             = 26.0 // two lines or three of small letters, less what lines are counted too high
)

// letterWides are how wide letters are, of their size, in the widest of the fonts that a sheet is printed in; others are as wide as figures,
// and Chinese as wide as high.
var letterWides = []struct {
	letters string
	wide    float64
}{{"ijlíIJ", 0.3}, {" .,", 0.32}, {"/:;f-()t¡rs!z", 0.4}, {"\"*°c?¿Lkx", 0.55}, {"mMW%½¼¾⅓⅔→_", 0.97}, {"wADGHNOQUVBCKRX", 0.78}}

// linesOf is how many lines a text takes in a width, of the size of its letters: it breaks between words, and Chinese anywhere.
func linesOf(text string, in float64) float64 {
	lines, at, word, gap := 1.0, 0.0, 0.0, 0.0 // at: how far the line is filled; word: how wide what must stay together is
	place := func() {
		if at > 0 && at+gap+word > in {
			lines, at, gap = lines+1, 0, 0
		}
		at, word, gap = at+gap+word, 0, 0
		if at > in { // a word wider than a line
			lines += math.Ceil(at/in) - 1
			at = in
		}
	}
	for _, r := range text {
		wide := 0.64
		for _, l := range letterWides {
			if strings.ContainsRune(l.letters, r) {
				wide = l.wide
			}
		}
		switch {
		case r == ' ':
			place()
			gap = wide
		case width(string(r)) > 1:
			place()
			word = 1
			place()
		default:
			word += wide
		}
	}
	place()
	return lines
}

// sheetSize is the largest size in which a sheet is one page, or the smallest, in which it is not.
func sheetSize(v *sheetView) (size int, fits bool) {
	for n, size := range sheetSizes {
		before := inset
		if v.Station && size.columns == 1 { // in two columns "by 11:00" takes two lines
			before = insetStation
		}
		wide := (sheetWide - 14*float64(size.columns-1)) / float64(size.columns)
		lines := func(in float64, text string) float64 {
			if text == "" {
				return 0
			}
			return linesOf(text, 0.98*in/size.points) * size.points * lineHigh
		}
		high := size.points*4.5 + 8
		for _, list := range [][]string{v.Limits, v.Unfit, v.Overdue} {
			if len(list) > 0 {
				high += size.points*lineHigh + 10
			}
			for _, text := range list {
				high += lines(sheetWide-24, text)
			}
		}
		tasks := 0.0
		below := append([]string{v.Below}, v.Mind...) // those in bold letters, indented
		if v.Brief {
			below = append(below, v.Elsewhere)
		}
		for _, text := range below {
			high += lines((sheetWide-16)/boldWide, text)
		}
		for _, t := range v.Tasks {
			in := wide - before*size.points
			if v.Brief {
				t.How = ""
			}
			tasks += lines(in/boldWide, t.What) + lines(in, t.Amounts) + lines(in, t.How) + lines(in/noteSize, t.Note)*noteSize + 5
			if v.Pictured && t.Photo != nil {
				tasks += photoHigh
			}
		}
		if high+tasks/float64(size.columns)*(1+0.03*float64(size.columns-1))+footHigh <= sheetHigh {
			return n, true
		}
	}
	return len(sheetSizes) - 1, false
}

package draw

// Work over time as SVG: one lane for each place, the hours from left to right, and under each lane what is done in it.

import (
	"bytes"
	"fmt"
	"slices"
)

// Lanes is work over time.
type Lanes struct {
	Title   string
	Caption string
	Sheets  []LaneSheet // one under the other
	Notes   []string
}

// LaneSheet is one stretch of time. Minutes count from any midnight.
type LaneSheet struct {
	Title    string
	From, To int // From is before To
	Marks    []LaneMark
	Lanes    []Lane
}

// LaneMark is a moment that counts for all lanes: a line through them.
type LaneMark struct {
	At   int
	Name string
}

// Lane is one place.
type Lane struct {
	Name string
	Bars []LaneBar
	Acts []LaneAct
}

// LaneBar is something that holds the place for a time. What lies outside the sheet is cut off, and its end drawn open.
type LaneBar struct {
	From, To int
	Name     string
	Clash    bool // it can't be there: drawn hatched
}

// LaneSign is the shape of a mark in a lane and before the line that tells of it.
type LaneSign uint8

const (
	NoSign  LaneSign = iota
	InSign           // a filled triangle that points down, into the lane
	OutSign          // an empty triangle that points up, out of it
	DueSign          // an empty circle: due by then
)

// LaneAct is something that is done.
type LaneAct struct {
	At   int
	When string // as it is said: "22:30", "by 11:30"
	Sign LaneSign
	Text string
}

// The sheet of lanes, in units of which a narrow telephone shows about one for each dot, and A4 about 1.4 points.
const (
	laneW      = 384.0
	laneMargin = 8.0
	laneBar    = 20.0
	laneSigns  = 17.0 // two rows of marks
	laneLine   = 12.5
	lanePaged  = 1400 // units: what is higher is not shrunk to a page, for it could not be read
	laneWhen   = 50.0 // from the time to the text
	mostWide   = 760  // dots: on a wide screen it grows no further
)

var (
	laneTitle = face{15, true}
	laneHead  = face{12, true}
	laneName  = face{10.5, true}
	laneText  = face{10.5, false}
	laneSmall = face{9, false}
)

// RenderLanes draws work over time. The same lanes give the same bytes.
func RenderLanes(l Lanes) []byte {
	s := &laneDrawing{y: laneMargin}
	s.paragraph(laneTitle, l.Title)
	s.paragraph(laneText, l.Caption)
	for _, sheet := range l.Sheets {
		s.sheet(sheet)
	}
	if len(l.Notes) > 0 {
		s.y += 8
		s.line(laneMargin, s.y, laneW-laneMargin, s.y, 0.8, "")
		s.y += 4
	}
	for _, n := range l.Notes {
		s.y += 2
		s.paragraph(laneText, n)
	}
	var b bytes.Buffer
	fmt.Fprintf(&b,
		`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" preserveAspectRatio="xMinYMin" role="img" aria-labelledby="lanes-title" style="display:block;width:100%%;max-width:%dpx;height:auto;background:#fff" font-family="%s">`+"\n",
		decimal(laneW), decimal(s.y+laneMargin), mostWide, fonts)
	fmt.Fprintf(&b, `<title id="lanes-title">%s</title>`+"\n", esc(l.Title))
	if s.y <= lanePaged {
		b.WriteString("<style>@media print{svg[aria-labelledby=lanes-title]{max-height:250mm}}</style>\n")
	}
	b.WriteString(`<defs><pattern id="lanes-clash" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
		`<rect width="5" height="5" fill="#fff"/><rect width="2" height="5" fill="#777"/></pattern></defs>` + "\n")
	fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="#fff"/>`+"\n", decimal(laneW), decimal(s.y+laneMargin))
	b.Write(s.Bytes())
	b.WriteString("</svg>\n")
	return b.Bytes()
}

type laneDrawing struct {
	bytes.Buffer
	y float64
}

// say writes one line of text, its baseline at y. end sets it to end at x, middle about x.
func (s *laneDrawing) say(f face, x, y float64, anchor, text string) {
	weight := ""
	if f.bold {
		weight = ` font-weight="bold"`
	}
	if anchor != "" {
		anchor = ` text-anchor="` + anchor + `"`
	}
	fmt.Fprintf(s, `<text x="%s" y="%s" font-size="%s"%s%s>%s</text>`+"\n", decimal(x), decimal(y), decimal(f.size),
		weight, anchor, esc(text))
}

func (s *laneDrawing) line(x1, y1, x2, y2, wide float64, dashes string) {
	if dashes != "" {
		dashes = ` stroke-dasharray="` + dashes + `"`
	}
	fmt.Fprintf(s, `<path d="M%s %sL%s %s" stroke="#000" stroke-width="%s"%s fill="none"/>`+"\n", decimal(x1),
		decimal(y1), decimal(x2), decimal(y2), decimal(wide), dashes)
}

// paragraph writes wrapped text and moves on below it.
func (s *laneDrawing) paragraph(f face, text string) {
	const most = 60 // lines
	if text == "" {
		return
	}
	for _, line := range f.wrap(text, laneW-2*laneMargin, most) {
		s.y += f.size * 1.2
		s.say(f, laneMargin, s.y-f.size*0.2, "", line)
	}
}

// at is where a moment of a sheet stands.
func (sheet *LaneSheet) at(minute int) float64 {
	minute = max(sheet.From, min(minute, sheet.To))
	return laneMargin + 2 + (laneW-2*laneMargin-4)*float64(minute-sheet.From)/float64(sheet.To-sheet.From)
}

func (s *laneDrawing) sheet(sheet LaneSheet) {
	s.y += 12
	s.line(laneMargin, s.y, laneW-laneMargin, s.y, 2, "")
	s.y += 3
	s.paragraph(laneHead, sheet.Title)
	for _, lane := range sheet.Lanes {
		s.lane(&sheet, lane)
	}
}

// hours draws the row of hours above a lane, as many as have room.
func (s *laneDrawing) hours(sheet *LaneSheet, bottom float64) {
	every := 60
	for _, step := range []int{60, 120, 180, 360, 720, 1440} {
		if every = step; float64(sheet.To-sheet.From)/float64(step)*32 <= laneW-2*laneMargin {
			break
		}
	}
	for h := (sheet.From + every - 1) / every * every; h <= sheet.To; h += every {
		x := sheet.at(h)
		s.line(x, s.y-2, x, bottom, 0.4, "1 2")
		anchor := "middle"
		if x < laneMargin+12 {
			anchor = "start"
		} else if x > laneW-laneMargin-12 {
			anchor = "end"
		}
		s.say(laneSmall, x, s.y-4, anchor, fmt.Sprintf("%d:00", h/60%24))
	}
}

func (s *laneDrawing) lane(sheet *LaneSheet, lane Lane) {
	s.y += 6
	s.paragraph(laneName, lane.Name)
	rows := laneRows(lane.Bars)
	s.y += laneSmall.size + 4
	top := s.y
	bottom := top + laneBar*float64(max(1, len(rows))) + laneSigns
	s.hours(sheet, bottom)
	for _, m := range sheet.Marks {
		if m.At >= sheet.From && m.At <= sheet.To {
			s.line(sheet.at(m.At), top, sheet.at(m.At), bottom, 1.6, "")
		}
	}
	s.line(sheet.at(sheet.From), bottom, sheet.at(sheet.To), bottom, 0.8, "")
	for n, row := range rows {
		for k, bar := range row {
			free := laneW - laneMargin
			if k+1 < len(row) {
				free = sheet.at(row[k+1].From)
			}
			s.bar(sheet, bar, top+laneBar*float64(n)+2, free)
		}
	}
	for _, a := range lane.Acts {
		y := bottom - 3
		if a.Sign == OutSign { // what goes in at the same time stands under it
			y -= laneSigns / 2
		}
		s.sign(a.Sign, sheet.at(a.At), y)
	}
	s.y = bottom + 3
	for _, a := range lane.Acts {
		s.act(a)
	}
}

// laneRows puts bars that overlap one under the other.
func laneRows(bars []LaneBar) (rows [][]LaneBar) {
	sorted := slices.Clone(bars)
	slices.SortStableFunc(sorted, func(a, b LaneBar) int { return a.From - b.From })
next:
	for _, bar := range sorted {
		for r := range rows {
			if rows[r][len(rows[r])-1].To <= bar.From {
				rows[r] = append(rows[r], bar)
				continue next
			}
		}
		rows = append(rows, []LaneBar{bar})
	}
	return rows
}

// bar draws a bar with its name: in it, or behind it where it is too short and nothing stands there up to free.
func (s *laneDrawing) bar(sheet *LaneSheet, bar LaneBar, y, free float64) {
	x1, x2, high := sheet.at(bar.From), sheet.at(bar.To), laneBar-6
	fill := "#e4e4e4"
	if bar.Clash {
		fill = "url(#lanes-clash)"
	}
	fmt.Fprintf(s, `<rect x="%s" y="%s" width="%s" height="%s" fill="%s"/>`+"\n", decimal(x1), decimal(y),
		decimal(x2-x1), decimal(high), fill)
	s.line(x1, y, x2, y, 1, "")
	s.line(x1, y+high, x2, y+high, 1, "")
	if bar.From >= sheet.From {
		s.line(x1, y, x1, y+high, 1.6, "")
	}
	if bar.To <= sheet.To {
		s.line(x2, y, x2, y+high, 1.6, "")
	}
	name := bar.Name
	if bar.Clash {
		name = "! " + name
	}
	room, x := x2-x1-6, x1+3
	if full := laneSmall.width(name); full > room && x2+5+full <= free-3 {
		room, x = full+1, x2+5
	}
	if room < 14 {
		return
	}
	name = laneSmall.wrap(name, room, 1)[0]
	if bar.Clash || x > x2 {
		fmt.Fprintf(s, `<rect x="%s" y="%s" width="%s" height="%s" fill="#fff"/>`+"\n", decimal(x-1), decimal(y+2),
			decimal(laneSmall.width(name)+3), decimal(high-4))
	}
	s.say(laneSmall, x, y+high-4, "", name)
}

// sign draws the shape of a mark, its foot at y.
func (s *laneDrawing) sign(sign LaneSign, x, y float64) {
	const a = 3.4
	switch sign {
	case InSign:
		fmt.Fprintf(s, `<path d="M%s %sh%sl%s %sz" fill="#000"/>`+"\n", decimal(x-a), decimal(y-2*a+1), decimal(2*a),
			decimal(-a), decimal(2*a-1))
	case OutSign:
		fmt.Fprintf(s, `<path d="M%s %sh%sl%s %sz" fill="#fff" stroke="#000" stroke-width="1.1"/>`+"\n", decimal(x-a),
			decimal(y), decimal(2*a), decimal(-a), decimal(-2*a+1))
	case DueSign:
		fmt.Fprintf(s, `<circle cx="%s" cy="%s" r="%s" fill="#fff" stroke="#000" stroke-width="1.1"/>`+"\n", decimal(x),
			decimal(y-a+0.6), decimal(a-0.6))
	}
}

func (s *laneDrawing) act(a LaneAct) {
	const mostLines = 12
	lines := laneText.wrap(a.Text, laneW-2*laneMargin-laneWhen-12, mostLines)
	for n, line := range lines {
		s.y += laneLine
		if n == 0 {
			s.say(laneName, laneMargin, s.y-2.5, "", a.When)
			s.sign(a.Sign, laneMargin+laneWhen+4, s.y-2.5)
		}
		s.say(laneText, laneMargin+laneWhen+12, s.y-2.5, "", line)
	}
	s.y++
}

//go:build browser

package main

// The picture of the board that README shows: of the answer that its map gives, too.

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// TestBrowserPicture looks at the mishap of README's first command on a phone and on a tablet, and wants both to say what the command
// says. With -update the two become README's picture.
func TestBrowserPicture(t *testing.T) {
	target, err := filepath.Abs(boardPicture)
	require.NoError(t, err)
	frame := []string{"--from", "2026-11-23", "--on-hand", filepath.Join(copyOfExamples(t), "three-kettles", "on-hand.csv")}
	o := openBoard(t, "three-kettles", frame...)
	lost := runIn(t, nil, append([]string{"whatif", o.folder, "--lose", "night kettle@tue"}, frame...)...)
	require.Zero(t, lost.code, lost.stderr)
	first, _, _ := strings.Cut(strings.ReplaceAll(lost.stdout, "\n", " "), " of contribution.")
	var shots []image.Image
	for _, at := range []struct {
		s    screen
		path string
	}{
		{screen{"phone", 360, 640, true}, "/?lose=night+kettle@tue"},
		{screen{"tablet", 820, 640, false}, "/map?item=pulled+hen&lose=night+kettle@tue&part=yes"},
	} {
		b := openTab(t, o, at.s)
		b.open(at.path)
		b.sees(first)
		shot, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
		require.NoError(t, err)
		picture, err := png.Decode(bytes.NewReader(shot))
		require.NoError(t, err)
		shots = append(shots, picture)
	}
	if !*update {
		return
	}
	require.NoError(t, os.WriteFile(target, sideBySide(t, shots), 0o666))
}

// sideBySide lays pictures beside each other, each in a thin frame.
func sideBySide(t *testing.T, pictures []image.Image) []byte {
	const gap, frame = 16, 2
	w, h := -gap, 0
	for _, p := range pictures {
		w, h = w+p.Bounds().Dx()+2*frame+gap, max(h, p.Bounds().Dy()+2*frame)
	}
	sheet := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(sheet, sheet.Bounds(), image.White, image.Point{}, draw.Src)
	at := 0
	for _, p := range pictures {
		size := p.Bounds().Size()
		edge := image.Rect(at, 0, at+size.X+2*frame, size.Y+2*frame)
		draw.Draw(sheet, edge, image.NewUniform(color.Gray{0x55}), image.Point{}, draw.Src)
		draw.Draw(sheet, edge.Inset(frame), p, p.Bounds().Min, draw.Src)
		at += size.X + 2*frame + gap
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, sheet))
	return b.Bytes()
}

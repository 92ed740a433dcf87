package taste

// A photo without what the camera wrote into it: the place, the time, the device, a small picture of its own, a film behind it. What the picture
// needs to be shown stays: its colours, and which way is up.

import (
	"bytes"
	"encoding/binary"
	"errors"
	"slices"
)

// errTorn says that a photo ends before it is over, or is damaged.
var errTorn = errors.New("the photo is not whole")

// bared is a JPEG or PNG photo as it is kept.
func bared(form string, data []byte) ([]byte, error) {
	if form == "png" {
		return barePNG(data)
	}
	return bareJPEG(data)
}

// The markers of a JPEG file (ITU-T T.81, table B.1).
const (
	jpegMark  = 0xff
	jpegBegin = 0xd8
	jpegEnd   = 0xd9
	jpegScan  = 0xda // what follows its header is the picture, up to a marker that is neither stuffed nor a restart
	jpegApp   = 0xe0 // to 0xef: what applications write
	jpegNote  = 0xfe
)

// bareJPEG keeps of what applications wrote the profile of the colours (ICC.1, annex B) and Adobe's word on how they are coded (T.872, 6.5.3), and writes again
// which way is up.
func bareJPEG(data []byte) ([]byte, error) {
	out := []byte{jpegMark, jpegBegin}
	turned := uint16(0)
	for at := 2; at+4 <= len(data); {
		if data[at] != jpegMark {
			return nil, errTorn
		}
		kind := data[at+1]
		if kind == jpegMark { // filled up
			at++
			continue
		}
		if kind == jpegEnd {
			break
		}
		length := int(binary.BigEndian.Uint16(data[at+2:]))
		if length < 2 || at+2+length > len(data) {
			return nil, errTorn
		}
		segment := data[at : at+2+length]
		at += len(segment)
		switch body := segment[4:]; {
		case kind == jpegApp+1 && turned == 0:
			if turned = upOf(body); turned > 1 {
				out = append(out, upSegment(turned)...)
			}
		case kind == jpegApp+2 && bytes.HasPrefix(body, []byte("ICC_PROFILE\x00")), kind == jpegApp+14 && bytes.HasPrefix(body, []byte("Adobe")):
			out = append(out, segment...)
		case kind >= jpegApp && kind < jpegApp+16, kind == jpegNote:
		default:
			out = append(out, segment...)
		}
		if kind != jpegScan {
			continue
		}
		end := scanEnd(data[at:])
		if end < 0 {
			return nil, errTorn
		}
		out = append(out, data[at:at+end]...)
		if at += end; data[at+1] == jpegEnd {
			return append(out, jpegMark, jpegEnd), nil // a film may follow
		}
	}
	return nil, errTorn
}

// scanEnd is where the coded picture ends and a marker follows; -1 where none does.
func scanEnd(data []byte) int {
	for at := 0; at+1 < len(data); at++ {
		if data[at] == jpegMark && data[at+1] != 0 && data[at+1] != jpegMark && (data[at+1] < 0xd0 || data[at+1] > 0xd7) {
			return at
		}
	}
	return -1
}

// The tag that says which way is up, and its type (Exif 2.32, 4.6.4.A and 4.6.2).
const (
	exifHead  = "Exif\x00\x00"
	upTag     = 0x0112
	exifShort = 3
)

// upOf reads which way is up from a segment of Exif, 1 to 8; 0 where it does not say.
func upOf(body []byte) uint16 {
	tiff, is := bytes.CutPrefix(body, []byte(exifHead))
	if !is || len(tiff) < 8 {
		return 0
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(tiff[:2]) == "MM" {
		order = binary.BigEndian
	}
	first := int64(order.Uint32(tiff[4:]))
	if first+2 > int64(len(tiff)) {
		return 0
	}
	for n, at := 0, first+2; n < int(order.Uint16(tiff[first:])) && at+12 <= int64(len(tiff)); n, at = n+1, at+12 {
		if order.Uint16(tiff[at:]) == upTag && order.Uint16(tiff[at+2:]) == exifShort {
			if up := order.Uint16(tiff[at+8:]); up >= 1 && up <= 8 {
				return up
			}
		}
	}
	return 0
}

// upSegment says which way is up, and nothing else.
func upSegment(up uint16) []byte {
	tiff := []byte("MM\x00\x2a\x00\x00\x00\x08\x00\x01")
	for _, v := range []uint16{upTag, exifShort, 0, 1, up, 0, 0, 0} {
		tiff = binary.BigEndian.AppendUint16(tiff, v)
	}
	body := slices.Concat([]byte(exifHead), tiff)
	return slices.Concat(binary.BigEndian.AppendUint16([]byte{jpegMark, jpegApp + 1}, uint16(len(body)+2)), body)
}

// pngKept are the chunks of a PNG file that are kept beside those without which there is no picture (W3C PNG, 11.3): colours, what shows through, and how
// close its dots are.
var pngKept = []string{"tRNS", "gAMA", "cHRM", "sRGB", "iCCP", "cICP", "sBIT", "pHYs"}

const pngHead = "\x89PNG\r\n\x1a\n"

// barePNG drops what is written beside the picture.
func barePNG(data []byte) ([]byte, error) {
	out := []byte(pngHead)
	for at := len(pngHead); at+12 <= len(data); {
		length := int64(binary.BigEndian.Uint32(data[at:]))
		if int64(at)+12+length > int64(len(data)) {
			return nil, errTorn
		}
		chunk := data[at : at+12+int(length)]
		kind := string(chunk[4:8])
		if kind[0]&0x20 == 0 || slices.Contains(pngKept, kind) { // a capital: the picture can't be shown without it
			out = append(out, chunk...)
		}
		if kind == "IEND" {
			return out, nil
		}
		at += len(chunk)
	}
	return nil, errTorn
}

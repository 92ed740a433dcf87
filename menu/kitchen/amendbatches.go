package kitchen

// Changes of the standing week in a kitchen file: how many batches of a step there are on which weekday.

import (
	"bytes"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"kettletree/graph/measure"
)

// Standing is how many batches of a step the standing week has, by [time.Weekday].
type Standing struct {
	Step    int
	Batches [7]float64
}

// String is how it is written behind "batches": "{tue-thu: 2, sat: 1}".
func (s Standing) String() string {
	var parts []string
	at := func(n int) (day int, batches float64) {
		day = (int(time.Monday) + n) % 7
		return day, s.Batches[day]
	}
	for n := 0; n < 7; {
		day, batches := at(n)
		last, end := day, n+1
		for ; end < 7; end++ {
			next, same := at(end)
			if same != batches {
				break
			}
			last = next
		}
		days := Weekdays[day]
		if last != day {
			days += "-" + Weekdays[last]
		}
		if batches > 0 {
			parts = append(parts, fmt.Sprintf("%s: %s", days, measure.FormatNumber(batches)))
		}
		n = end
	}
	if parts == nil {
		return "{daily: 0}"
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// AmendBatches gives the text of the kitchen file with other batches in the standing week, as [Kitchen.Amend] does.
func (k *Kitchen) AmendBatches(src []byte, standing ...Standing) ([]byte, error) {
	return k.changed(src, nil, standing)
}

// restood is a text with other batches of a step.
func (k *Kitchen) restood(src []byte, s Standing) ([]byte, error) {
	name := k.Graph.Steps[s.Step].Name
	byHand := &AmendError{Msg: fmt.Sprintf("the batches of %q are written in a way that can't be changed in place", name),
		Hint: fmt.Sprintf("write them by hand: batches: %s", s)}
	body := k.node(src, "steps", name)
	if body == nil {
		return nil, byHand
	}
	_, was := entry(body, "batches")
	if was == nil {
		return k.stand(src, body, s, byHand)
	}
	at := placeOf(src, was)
	if was.Kind != yaml.MappingNode || at >= len(src) || src[at] != '{' {
		return nil, byHand
	}
	length := bytes.IndexAny(src[at:], "}\"'#\r\n")
	if length < 0 || src[at+length] != '}' {
		return nil, byHand // over several lines, or with more in it than days and numbers
	}
	tail := src[at+length+1:]
	end := len(tail)
	if found := lineEnd.FindIndex(tail); found != nil {
		end = found[0]
	}
	rest := realigned("", string(tail[:end]), utf8.RuneCountInString(s.String())-length-1)
	return bytes.Join([][]byte{src[:at], []byte(s.String()), []byte(rest), tail[end:]}, nil), nil
}

// stand is a text with batches of a step that had none: they are written before what it gives.
func (k *Kitchen) stand(src []byte, body *yaml.Node, s Standing, byHand error) ([]byte, error) {
	key, _ := entry(body, "gives")
	if key == nil || key.Style&quotedStyles != 0 {
		return nil, byHand
	}
	at := placeOf(src, key)
	text := "batches: " + s.String() + ", "
	if body.Style&yaml.FlowStyle == 0 {
		from := bytes.LastIndexByte(src[:at], '\n') + 1
		if len(bytes.Trim(src[from:at], " ")) > 0 {
			return nil, byHand
		}
		newline := "\n"
		if bytes.HasSuffix(src[:from], []byte("\r\n")) {
			newline = "\r\n"
		}
		text = "batches: " + s.String() + newline + string(src[from:at])
	}
	return bytes.Join([][]byte{src[:at], []byte(text), src[at:]}, nil), nil
}

package kitchen

// The JSON Schema of the kitchen file, printed from the table of keys.

import (
	"bytes"
	"encoding/json"
)

// Schema is a JSON Schema (2020-12) of the kitchen file, with which editors complete and check it. What it cannot know
// is whether names exist, and whether what is written can be: that is for [Read] to say.
func Schema() []byte {
	root := kitchenForm.schema()
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = "A kettletree kitchen file"
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(root); err != nil {
		panic("mistake: the schema cannot be printed: " + err.Error())
	}
	return b.Bytes()
}

// object is a JSON object; it is printed with its keys sorted.
type object = map[string]any

// schema says in the words of JSON Schema what may stand in a place.
func (f *form) schema() object {
	if f.or != nil {
		alone := *f
		alone.or = nil
		return object{"anyOf": []object{alone.schema(), f.or.schema()}}
	}
	switch f.shape {
	case number:
		return object{"type": "number", "minimum": 0, "maximum": mostMoney}
	case halved:
		return object{"type": "number", "minimum": 0, "maximum": mostWhole, "multipleOf": 0.5}
	case whole:
		return object{"type": "integer", "minimum": f.least, "maximum": mostWhole}
	case list:
		s := object{"type": "array", "items": f.of.schema()}
		if f.filled {
			s["minItems"] = 1
		}
		return s
	case entries:
		names := object{"pattern": entire(f.pattern)}
		if f.pattern == namePattern {
			names["maxLength"] = MostLetters
			names["not"] = object{"pattern": orInName}
		}
		return object{"type": "object", "propertyNames": names, "additionalProperties": f.of.schema()}
	case fields:
		properties, needed := object{}, []string{}
		for _, k := range f.keys {
			s := k.takes.schema()
			s["description"] = k.doc
			properties[k.name] = s
			if k.needed {
				needed = append(needed, k.name)
			}
		}
		return object{"type": "object", "properties": properties, "required": needed, "additionalProperties": false}
	}
	s := object{"type": "string"}
	if f.words != nil {
		s["enum"] = f.words
	}
	if f.pattern != "" {
		s["pattern"] = entire(f.pattern)
	}
	if f == anyText {
		s["maxLength"] = MostLetters
	}
	return s
}

// entire makes a pattern cover a whole text; spaces after it, which only quotes can hold, do not matter.
func entire(pattern string) string { return "^(?:" + pattern + ") *$" }

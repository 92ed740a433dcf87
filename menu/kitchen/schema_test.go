package kitchen

// The schema and the reader hold together: what one refuses for its shape, the other does.

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
)

func compiledSchema(t testing.TB) *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("kitchen.schema.json", doc))
	schema, err := c.Compile("kitchen.schema.json")
	require.NoError(t, err)
	return schema
}

// asJSON is a YAML file as an editor sees it: keys are strings, and so are dates.
func asJSON(src []byte) (any, error) {
	var n yaml.Node
	if err := yaml.Load(src, &n, yaml.WithUniqueKeys()); err != nil {
		return nil, err
	}
	var value func(n *yaml.Node) any
	value = func(n *yaml.Node) any {
		switch n.Kind {
		case yaml.DocumentNode:
			return value(n.Content[0])
		case yaml.MappingNode:
			m := map[string]any{}
			for i := 0; i+1 < len(n.Content); i += 2 {
				m[n.Content[i].Value] = value(n.Content[i+1])
			}
			return m
		case yaml.SequenceNode:
			l := []any{}
			for _, c := range n.Content {
				l = append(l, value(c))
			}
			return l
		case yaml.AliasNode:
			return value(n.Alias)
		}
		switch n.Tag {
		case "!!int", "!!float":
			if !json.Valid([]byte(n.Value)) {
				return n.Value // .inf: a number that JSON does not have
			}
			return json.Number(n.Value)
		case "!!bool":
			return n.Value == "true"
		case "!!null":
			return nil
		}
		return n.Value
	}
	return value(&n), nil
}

func TestSchemaTakesSoundKitchens(t *testing.T) {
	schema := compiledSchema(t)
	examples, err := filepath.Glob(filepath.FromSlash("../../examples/*/kitchen.yaml"))
	require.NoError(t, err)
	own, err := filepath.Glob(filepath.FromSlash("testdata/*.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, own)
	for _, file := range append(examples, own...) {
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		k, faults := Read(file, src)
		assert.NotNil(t, k, "%s", faults.Error())
		doc, err := asJSON(src)
		require.NoError(t, err)
		assert.NoError(t, schema.Validate(doc), file)
	}
}

func TestSchemaRefusesWhatItCanKnow(t *testing.T) {
	schema := compiledSchema(t)
	for _, c := range faultCases(t) {
		doc, err := asJSON(c.src)
		if err != nil {
			continue // not YAML: an editor says so by itself
		}
		err = schema.Validate(doc)
		if c.schemaSees {
			assert.Error(t, err, c.name)
		} else {
			assert.NoError(t, err, c.name)
		}
	}
}

// Every key of the table says what it is for, and the schema hands that on.
func TestEveryKeyIsDescribed(t *testing.T) {
	schema := string(Schema())
	var walk func(f *form)
	walk = func(f *form) {
		if f == nil {
			return
		}
		assert.NotEmpty(t, f.what)
		for _, k := range f.keys {
			assert.NotEmpty(t, k.doc, k.name)
			assert.Contains(t, schema, k.name)
			walk(k.takes)
		}
		walk(f.of)
		walk(f.or)
	}
	walk(kitchenForm)
	assert.Equal(t, schema, string(Schema()))
}

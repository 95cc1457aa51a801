package brief_test

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"ullage/optimize/brief"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(brief.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("brief.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("brief.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON is what an editor checks: the TOML as a JSON value.
func asJSON(t *testing.T, src []byte) any {
	t.Helper()
	var v map[string]any
	if err := toml.Unmarshal(src, &v); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestSchemaAcceptsDemos(t *testing.T) {
	s := compiled(t)
	files, _ := filepath.Glob(demos + "*.toml")
	for _, f := range files {
		if err := s.Validate(asJSON(t, read(t, f))); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
}

// TestSchemaRejects names what an editor must underline.
func TestSchemaRejects(t *testing.T) {
	s := compiled(t)
	for _, name := range []string{
		"unknown-table", "unknown-key", "unknown-nested-key", "unknown-part-key", "missing-key", "missing-tables", "missing-nose",
		"missing-shape", "missing-parts", "missing-part-mass", "half-tail", "half-ballast", "weighed-half", "title-number",
		"site-no-table", "part-no-list", "no-unit", "no-unit-text", "no-number", "unknown-unit", "wrong-dimension", "ratio-text",
		"fin-count", "material-unknown", "tube-half", "tube-no-table", "volume-length", "unknown-word", "vary-unknown", "vary-word", "vary-words", "tube-fitted", "canopy-list", "words-elsewhere", "vary-no-span", "vary-both", "vary-choices",
		"vary-count", "vary-count-choices", "goal-unknown", "goal-word", "goal-table", "goal-up-to", "limit-unknown", "limit-no-bound",
		"limit-dimension", "scatter-unknown", "scatter-count", "scatter-day", "scatter-day-value", "robust-range", "robust-unknown", "robust-word", "goal-as", "search-text", "search-range", "search-unknown",
	} {
		if s.Validate(asJSON(t, read(t, demos+"bad/"+name+".toml"))) == nil {
			t.Errorf("the schema accepts bad/%s.toml, want a fault", name)
		}
	}
}

func TestSchemaIsStable(t *testing.T) {
	if !bytes.Equal(brief.Schema(), brief.Schema()) {
		t.Error("two calls of Schema differ")
	}
}

package table_test

import (
	"encoding/json"
	"errors"
	"math"
	"os/exec"
	"path/filepath"
	"reflect"
	"strconv"
	"testing"

	"ullage/output/runs"
	"ullage/output/table"
	"ullage/testdata/python"
)

// A reading is what one reader found in a file; see testdata/python/read_table.py.
type reading struct {
	Names    []string
	Types    []string
	Nullable []bool // pyarrow only
	Nulls    []int
	Rows     [][]any
	Schema   map[string]string
	Fields   []map[string]string // pyarrow only
}

// allKinds is a table with every kind of column, nulls, empty lists and text
// that is easily mangled. Floats are chosen to lose digits in any detour.
func allKinds(rows int) table.Table {
	t := table.Table{Columns: []table.Column{
		{Name: "design", Unit: "1", Role: table.Identity, Doc: "number of the design"},
		{Name: "fins_span_m", Unit: "m", Role: table.Varied, Doc: "span of one fin"},
		{Name: "apogee_m", Unit: "m", Role: table.Goal, Sense: "highest", Doc: "highest point"},
		{Name: "lean_deg", Unit: "deg", Role: table.Figure, Doc: "applies to no row"},
		{Name: "slack_margin_cal", Unit: "cal", Role: table.Slack, Doc: "positive inside"},
		{Name: "phase", Unit: "1", Role: table.Identity, Doc: "naïve ° text"},
		{Name: "binding", Unit: "1", Role: table.Identity, Doc: "limits"},
		{Name: "knee", Unit: "1", Role: table.Identity, Doc: "first row"},
	}}
	var (
		design []int32
		span   []float64
		goals  [3]table.Nullable
		phase  []string
		lists  [][]string
		knee   []bool
	)
	texts := []string{"water", "", "gas, \"quoted\"\n", "Höhe °"}
	for i := range rows {
		design = append(design, int32(i-1))
		span = append(span, []float64{math.Pi, math.SmallestNonzeroFloat64, -math.MaxFloat64, 0.1 + 0.2}[i%4])
		goals[0] = append(goals[0], 142.0000000000001+float64(i))
		if i%3 == 1 {
			goals[0][i] = math.NaN()
		}
		goals[1] = append(goals[1], math.NaN())
		goals[2] = append(goals[2], -float64(i)/3)
		phase = append(phase, texts[i%4])
		lists = append(lists, texts[:i%3])
		knee = append(knee, i == 0)
	}
	for i, v := range []any{design, span, goals[0], goals[1], goals[2], phase, lists, knee} {
		t.Columns[i].Values = v
	}
	return t
}

func testMeta() table.Meta {
	return table.Meta{Brief: runs.Hash([]byte("title = \"x\"\n")), Seed: math.MaxUint64, Version: "v0.1.0 °"}
}

func readings(t *testing.T, path string) map[string]reading {
	t.Helper()
	out, err := exec.Command(python.Python(t), "../../testdata/python/read_table.py", path).Output()
	if err != nil {
		var failed *exec.ExitError
		if errors.As(err, &failed) {
			t.Fatalf("read_table.py %s: %v\n%s", path, err, failed.Stderr)
		}
		t.Fatal(err)
	}
	var found map[string]reading
	if err := json.Unmarshal(out, &found); err != nil {
		t.Fatal(err)
	}
	return found
}

func TestIndependentReadersAgree(t *testing.T) {
	types := map[string][]string{
		"pyarrow": {"int32", "double", "double", "double", "double", "string", "list<", "bool"},
		"polars":  {"Int32", "Float64", "Float64", "Float64", "Float64", "String", "List(String)", "Boolean"},
		"duckdb":  {"INTEGER", "DOUBLE", "DOUBLE", "DOUBLE", "DOUBLE", "VARCHAR", "VARCHAR[]", "BOOLEAN"},
	}
	for _, extension := range []string{".parquet", ".arrow"} {
		for _, rows := range []int{0, 1, 7, 5000} { // 5000: several data pages and repeated dictionary entries
			t.Run(extension+"/"+strconv.Itoa(rows), func(t *testing.T) {
				want := allKinds(rows)
				path := filepath.Join(t.TempDir(), "t"+extension)
				if err := table.Write(path, want, testMeta()); err != nil {
					t.Fatal(err)
				}
				found := readings(t, path)
				if len(found) != 3 {
					t.Fatalf("%d readers answered, want 3", len(found))
				}
				for name, got := range found {
					compare(t, name, got, want, types[name])
					if name == "pyarrow" {
						compareFields(t, got, want)
					}
					if name == "pyarrow" || extension == ".parquet" {
						compareSchema(t, name, got.Schema, want)
					}
				}
			})
		}
	}
}

// The schemas of a table's two files are equal, down to the fields inside of
// lists and all metadata, as pyarrow sees them.
func TestSchemasAreEqual(t *testing.T) {
	var paths []string
	for _, extension := range []string{".parquet", ".arrow"} {
		paths = append(paths, filepath.Join(t.TempDir(), "t"+extension))
		if err := table.Write(paths[len(paths)-1], allKinds(7), testMeta()); err != nil {
			t.Fatal(err)
		}
	}
	var differ []string
	python.Run(t, "../../testdata/python/compare_schemas.py", paths, &differ)
	for _, d := range differ {
		t.Error(d)
	}
}

func compare(t *testing.T, reader string, got reading, want table.Table, types []string) {
	t.Helper()
	if len(got.Names) != len(want.Columns) || len(got.Rows) != want.Rows() {
		t.Fatalf("%s: %d columns, %d rows, want %d, %d", reader, len(got.Names), len(got.Rows), len(want.Columns), want.Rows())
	}
	for j, c := range want.Columns {
		if got.Names[j] != c.Name {
			t.Errorf("%s: column %d is %s, want %s", reader, j, got.Names[j], c.Name)
		}
		if kind := got.Types[j]; kind != types[j] && (types[j] != "list<" || kind[:5] != types[j]) {
			t.Errorf("%s: %s has type %s, want %s", reader, c.Name, kind, types[j])
		}
		nulls, wrong := 0, 0
		for i := range got.Rows {
			v := cell(c, i)
			if v == nil {
				nulls++
			}
			if wrong == 0 && !reflect.DeepEqual(got.Rows[i][j], v) {
				t.Errorf("%s: %s row %d = %v, want %v", reader, c.Name, i, got.Rows[i][j], v)
				wrong++
			}
		}
		if got.Nulls[j] != nulls {
			t.Errorf("%s: %s has %d nulls, want %d", reader, c.Name, got.Nulls[j], nulls)
		}
	}
}

// cell returns a value as it comes out of JSON.
func cell(c table.Column, i int) any {
	switch v := c.Values.(type) {
	case []float64:
		return v[i]
	case table.Nullable:
		if math.IsNaN(v[i]) {
			return nil
		}
		return v[i]
	case []int32:
		return float64(v[i])
	case []bool:
		return v[i]
	case []string:
		return v[i]
	case [][]string:
		list := []any{}
		for _, s := range v[i] {
			list = append(list, s)
		}
		return list
	}
	return "no such kind"
}

func compareFields(t *testing.T, got reading, want table.Table) {
	t.Helper()
	for j, c := range want.Columns {
		for key, value := range map[string]string{"unit": c.Unit, "role": string(c.Role), "sense": c.Sense, "doc": c.Doc} {
			if got.Fields[j][key] != value {
				t.Errorf("%s: %s is %q, want %q", c.Name, key, got.Fields[j][key], value)
			}
		}
		if _, nullable := c.Values.(table.Nullable); got.Nullable[j] != nullable {
			t.Errorf("%s: nullable %v, want %v", c.Name, got.Nullable[j], nullable)
		}
	}
}

func compareSchema(t *testing.T, reader string, got map[string]string, want table.Table) {
	t.Helper()
	m := testMeta()
	for key, value := range map[string]string{
		"ullage.format": "1", "ullage.version": m.Version, "ullage.brief_sha256": m.Brief,
		"ullage.seed": "18446744073709551615",
	} {
		if got[key] != value {
			t.Errorf("%s: schema metadata %s is %q, want %q", reader, key, got[key], value)
		}
	}
	units := map[string]string{}
	if err := json.Unmarshal([]byte(got["ullage.units"]), &units); err != nil {
		t.Fatalf("%s: ullage.units %q: %v", reader, got["ullage.units"], err)
	}
	for _, c := range want.Columns {
		if units[c.Name] != c.Unit {
			t.Errorf("%s: ullage.units has %q for %s, want %q", reader, units[c.Name], c.Name, c.Unit)
		}
	}
}

package output_test

import (
	"slices"
	"strings"
	"testing"

	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
	"ullage/testdata/briefs"
)

// Words go into a table as they are and come back as the numbers of a design; one
// that is none is refused by name, whoever wrote it.
func TestWordsComeBack(t *testing.T) {
	b := briefs.Parse(t, briefs.Edited(t, "field-day.toml", "[vary]\n", `[vary]
"body.nose.shape" = { choices = ["cone", "ogive"] }
`))
	rows := output.Settings(b)
	at := slices.IndexFunc(rows, func(s output.Setting) bool { return s.Key == "body.nose.shape" })
	x := b.Own()
	if word := rows[at].Written(x); word != "ogive" {
		t.Errorf("the brief's own nose is %v, want ogive", word)
	}
	x[at] = 1 // a cone
	front := output.NewFlights(b, "run", 2)
	none := &study.Kept{Numbers: make([]float64, len(output.Numbers(b))), Outcome: "landed"}
	front.Set(0, 1, b.Own(), none)
	front.Set(1, 2, x, none)
	sorted := front.Table(2)
	back, err := output.Designs(b, sorted)
	if err != nil || len(back) != 2 {
		t.Fatal(back, err)
	}
	i := slices.IndexFunc(sorted.Columns, func(c table.Column) bool { return c.Name == "body_nose_shape" })
	if c := sorted.Columns[i]; c.Sense != "one of cone, ogive" || !slices.Equal(c.Values.([]string), []string{"cone", "ogive"}) || back[0][at] != 1 || back[1][at] != 2 {
		t.Errorf("column %+v, designs %v, want cone before ogive", c, back)
	}
	sorted.Columns[i].Values = []string{"cone", "cube"}
	if _, err := output.Designs(b, sorted); err == nil || !strings.Contains(err.Error(), `column body_nose_shape: "cube", want one of cone, ogive, ellipsoid, parabola`) {
		t.Errorf("a word that is none: %v", err)
	}
}

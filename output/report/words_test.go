package report

import (
	"slices"
	"testing"

	"ullage/optimize/brief"
	"ullage/output/table"
	"ullage/output/text"
	"ullage/testdata/briefs"
)

// An axis of words holds the place of each among the choices, in the order of the
// brief, and the table the word.
func TestAxisOfWords(t *testing.T) {
	p := &Page{brief: briefs.Parse(t, briefs.Edited(t, "field-day.toml", "[vary]\n", "[vary]\n\"fins.edges\" = { choices = [\"faired\", \"radiused\", \"cut\"] }\n"))}
	m := metricOf(brief.QuantityByKey("fins.edges"))
	values := []float64{1, 3, 1} // cut, faired, cut
	a := p.axis(&m, text.ColumnOf(m.Key, m.Unit, values), values)
	if !slices.Equal(a.Words, []string{"faired", "radiused", "cut"}) || !slices.Equal(a.Values, []table.Number{3, 1, 3}) || !slices.Equal(a.Text, []string{"cut", "faired", "cut"}) {
		t.Errorf("axis %+v, want faired, radiused, cut; 3, 1, 3; cut, faired, cut", a)
	}
	length := metricOf(brief.MustQuantity("fins.span"))
	if a := p.axis(&length, text.ColumnOf(length.Key, length.Unit, []float64{0.1}), []float64{0.1}); a.Words != nil || a.Values[0] != 100 {
		t.Errorf("an axis of lengths is %+v, want 100 mm", a)
	}
}

package brief_test

import (
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
)

// TestQuantitiesAreDistinct sets every quantity to a value of its own and reads
// all of them back: no two rows of the table share a field or a key.
func TestQuantitiesAreDistinct(t *testing.T) {
	var r model.Rocket
	var s model.Site
	all := brief.Quantities()
	seen := map[string]bool{}
	for i, q := range all {
		if seen[q.Key] {
			t.Errorf("%s stands in the table twice", q.Key)
		}
		seen[q.Key] = true
		q.Set(&r, &s, float64(i+1))
	}
	for i, q := range all {
		if got := q.Value(&r, &s); got != float64(i+1) {
			t.Errorf("%s = %v after Set, want %d", q.Key, got, i+1)
		}
	}
}

func TestQuantityText(t *testing.T) {
	for key, want := range map[string]string{
		"chamber.throat": "9 mm", "chamber.fill": "0.3", "fins.count": "4", "site.temperature": "17 degC", "chamber.pressure": "7.3 bar",
	} {
		v := map[string]float64{
			"chamber.throat": 0.009, "chamber.fill": 0.3, "fins.count": 4, "site.temperature": 290.15, "chamber.pressure": 730000.0000000001,
		}[key]
		for _, q := range brief.Quantities() {
			if q.Key == key && q.Text(v) != want {
				t.Errorf("%s: Text(%v) = %q, want %q", key, v, q.Text(v), want)
			}
		}
	}
}

// TestReference finds every key of the table on a line of its own.
func TestReference(t *testing.T) {
	lines := strings.Split(brief.Reference(), "\n")
	for _, q := range brief.Quantities() {
		n := 0
		for _, line := range lines {
			if strings.HasPrefix(line, q.Key+" ") && strings.Contains(line, q.Doc) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s stands on %d lines of the reference, want 1", q.Key, n)
		}
	}
}

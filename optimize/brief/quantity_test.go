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

// TestKeys finds every quantity once, with its meaning and its range, before any
// figure, and sections whole.
func TestKeys(t *testing.T) {
	all := brief.KeysOf("")
	for _, q := range brief.Quantities() {
		n := 0
		for _, k := range all {
			if k.Name == q.Key && k.Doc == q.Doc && k.Range != "" && k.Default != "" && !k.IsFigure {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s stands %d times among the keys, want once", q.Key, n)
		}
	}
	seen, last := map[string]bool{}, ""
	for _, k := range all {
		section, _, _ := strings.Cut(k.Name, ".")
		if k.IsFigure {
			section = "figures"
		}
		if section != last && seen[section] {
			t.Errorf("%s stands apart from the keys of its section", k.Name)
		}
		seen[section], last = true, section
	}
}

// TestKeysOf finds keys by their names, by what they are and by what people call
// them.
func TestKeysOf(t *testing.T) {
	for word, want := range map[string]string{
		"throat": "chamber.throat", "water-tested": "chamber.proof", "Parachute": "recovery.canopy", "bottle": "chamber.bore", "weight": "payload.mass", "apogee": "apogee",
	} {
		found := false
		for _, k := range brief.KeysOf(word) {
			found = found || k.Name == want
		}
		if !found {
			t.Errorf("KeysOf(%q) lacks %s", word, want)
		}
	}
	if all := brief.KeysOf("zeppelin"); len(all) > 0 {
		t.Errorf("KeysOf(zeppelin) = %v, want none", all)
	}
}

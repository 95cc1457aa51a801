package brief_test

import (
	"fmt"
	"slices"
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// Changes names what differs in force, by key and as typed, and no value that is
// only typed otherwise.
func TestChanges(t *testing.T) {
	a := briefs.Demo(t, "field-day.toml")
	src := briefs.Edited(t, "field-day.toml", `throat   = "10.5 mm"`, `throat   = "1.05 cm"`, `mass = "220 g"`, `mass = "230 g"`,
		"[search]", "[scatter.day]\n\"site.wind\" = \"2 m/s\"\n[search]")
	b := briefs.Parse(t, src, "recovery.delay=4.5 s", "ballast.mass=10 g", "ballast.station=60 mm", "body.drag=1")
	var got []string
	for _, c := range brief.Changes(a, b) {
		got = append(got, fmt.Sprintf("%s %q %q", c.Key, c.Was, c.Now))
	}
	want := []string{
		`payload.mass "220 g" "230 g"`, `recovery.delay "4 s" "4.5 s"`, `scatter.day.site.wind "" "2 m/s"`, `ballast.mass "" "10 g"`, `ballast.station "" "60 mm"`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("Changes = %q, want %q", got, want)
	}
	if same := brief.Changes(a, a); same != nil {
		t.Errorf("a brief differs from itself: %v", same)
	}
}

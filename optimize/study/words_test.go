package study_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"ullage/optimize"
	"ullage/testdata/briefs"
)

// A search over fin count and fin material finds those with which the rocket
// flies highest, as far as searches of each pair alone do.
func TestSearchFindsTheBestChoice(t *testing.T) {
	src := string(briefs.Edited(
		t, "highest-in-class.toml", `shear_modulus = "3.5 GPa"`, `material = "plywood"`,
		"margin        = { at_least = 1.0 }", "margin        = { at_least = 1.0 }\nflutter_factor = { at_least = 1.5 }",
	))
	best := func(src string, set ...string) (apogee float64, choice string) {
		t.Helper()
		b := briefs.Parse(t, []byte(src), set...)
		found, err := optimize.Evolve(context.Background(), problem(t, b), optimize.Settings{Seed: 1, Flights: 12000}, 2, nil)
		if err != nil || !found.Met {
			t.Fatalf("%v, limits met: %t", err, found.Met)
		}
		r, _ := b.At(found.Archive[0].X)
		return -found.Archive[0].Goals[0], fmt.Sprint(r.Fins.Count, " of ", b.FinMaterial(&r))
	}
	want, top := "", 0.0
	for _, count := range []string{"3", "4"} {
		for _, material := range []string{"plywood", "foam board", "balsa", "aluminium"} {
			apogee, choice := best(src, "fins.count="+count, "fins.material="+material)
			t.Logf("%s: %.2f m", choice, apogee)
			if apogee > top {
				want, top = choice, apogee
			}
		}
	}
	apogee, found := best(strings.Replace(src, "[vary]\n", "[vary]\n\"fins.material\" = { choices = [\"foam board\", \"plywood\", \"aluminium\", \"balsa\"] }\n", 1))
	if found != want || apogee < top-0.2 {
		t.Errorf("the search finds %s with %.2f m, want %s with %.2f m", found, apogee, want, top)
	}
}

package report

import (
	"math"
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
)

// A flight under scatter keeps the limits that there are, each alone, and what does
// not land keeps none.
func TestLandingsKeepEachLimit(t *testing.T) {
	nan := math.NaN()
	flights := []study.Landing{{Drift: 40, Speed: 5}, {Drift: -60, Speed: 5}, {Drift: 40, Speed: 7}, {Drift: 60, Speed: 7}, {Drift: nan, Speed: 5}, {Drift: 40, Speed: nan}}
	const drift, speed = "drift = { at_most = \"50 m\" }\n", "landing_speed = { at_most = \"6 m/s\" }\n"
	for _, row := range []struct{ limits, want string }{
		{drift + speed, "1 of 6 flights land within both limits: drift at most 50.0 m either way, landing speed at most 6.00 m/s; 2 without a landing"},
		{drift + "landing_speed = \"none\"\n", "2 of 6 flights land within the limit: drift at most 50.0 m either way; 2 without a landing"},
		{speed, "2 of 6 flights land within the limit: landing speed at most 6.00 m/s; 2 without a landing"},
		{"landing_speed = \"none\"\n", "4 of 6 flights land; nothing limits how far or how fast"},
	} {
		src := strings.Replace(string(sample.Brief("").Source), "landing_speed = \"none\"\n", row.limits, 1)
		b, err := brief.Parse("plan.toml", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		l := (&Page{brief: b}).landing(flights)
		if l.Words != row.want || len(l.Drift) != 4 || len(l.Speed) != 4 {
			t.Errorf("%q of %d, want %q", l.Words, len(l.Drift), row.want)
		}
	}
}

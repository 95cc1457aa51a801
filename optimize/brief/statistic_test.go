package brief_test

import (
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

func TestStatisticFlights(t *testing.T) {
	for _, row := range []struct {
		why               string
		goal, day         string
		near, proof, day3 int
	}{
		{"means: four flights, five hundred", `"highest"`, "", 4, 500, 1},
		{"days make no difference to a mean", `"highest"`, briefs.ADay, 4, 500, 1},
		{"any of the flights may be a choice of three", `{ highest = true, as = "best 2 of 3" }`, "", 4, 500, 1},
		{"as many as are chosen of", `{ highest = true, as = "best 2 of 6" }`, "", 6, 500, 1},
		{"two whole days, and 167", `{ highest = true, as = "best 2 of 3" }`, briefs.ADay, 6, 501, 3},
	} {
		b := briefs.Roomy(t, []string{`apogee         = "highest"`, "apogee = " + row.goal, "[search]", row.day + "[search]"}, "search.robust.draws=200")
		if p := b.Plan(); p.Near != row.near || p.Each != row.proof || p.PerDay != row.day3 {
			t.Errorf("%s: %d and %d flights, %d of a day; want %d, %d, %d", row.why, p.Near, p.Each, p.PerDay, row.near, row.proof, row.day3)
		}
	}
}

func TestStatisticWords(t *testing.T) {
	for text, want := range map[string]brief.Statistic{
		"mean": {}, "p10": {Tenth: true}, "best 2 of 3": {Best: 2, Of: 3}, "best 10 of 10": {Best: 10, Of: 10},
	} {
		b := briefs.Roomy(t, []string{`apogee         = "highest"`, `apogee = { highest = true, as = "` + text + `" }`}, "search.robust.draws=200")
		if got := b.Goals[0].As; got != want || got.String() != text {
			t.Errorf("as = %q: %+v, %s", text, got, got)
		}
	}
}

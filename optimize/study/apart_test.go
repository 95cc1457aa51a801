package study_test

import (
	"context"
	"math"
	"testing"

	"ullage/optimize"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// Where nothing keeps the limits the first row is the nearest to them, and no
// two rows are neighbours.
func TestNearestAreApart(t *testing.T) {
	b := briefs.Demo(t, "field-day.toml", "chamber.throat=6 mm")
	p, err := study.Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	found, err := optimize.Evolve(context.Background(), p, optimize.Settings{Seed: 1, Flights: 1500}, 2, nil)
	if err != nil || found.Met {
		t.Fatalf("found %v, %v; want no design within the limits", found.Met, err)
	}
	front := study.Settle(context.Background(), b, &found, 2)
	if front.Met || len(front.Rows) < 2 || len(front.Rows) > len(found.Archive) {
		t.Fatalf("met %v, %d rows of %d", front.Met, len(front.Rows), len(found.Archive))
	}
	for i := range front.Rows {
		for k := range i {
			farthest := 0.0
			for q := range b.Vary {
				farthest = max(farthest, math.Abs(front.Rows[i].X[q]-front.Rows[k].X[q])/b.Vary[q].Step)
			}
			if farthest < 1.5 {
				t.Errorf("designs %d and %d differ by %v steps", k+1, i+1, farthest)
			}
		}
	}
	for q, v := range found.Archive[0].X {
		if front.Rows[0].X[q] != v {
			t.Errorf("row 1 is %v, want the least violating, %v", front.Rows[0].X, found.Archive[0].X)
			break
		}
	}
}

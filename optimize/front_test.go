package optimize_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"ullage/optimize"
)

// plainFront compares all with all: of equal goals the largest slack stays, of
// those the first.
func plainFront(designs []optimize.Design) []optimize.Design {
	var out []optimize.Design
	for i, d := range designs {
		beaten := false
		for j, e := range designs {
			noWorse := true
			for k := range d.Goals {
				noWorse = noWorse && e.Goals[k] <= d.Goals[k]
			}
			equal := slices.Equal(d.Goals, e.Goals)
			beaten = beaten || noWorse && !equal || equal && (e.Slack > d.Slack || e.Slack == d.Slack && j < i)
		}
		if !beaten {
			out = append(out, d)
		}
	}
	slices.SortFunc(out, func(a, b optimize.Design) int { return slices.Compare(a.Goals, b.Goals) })
	return out
}

func TestFrontIsWhole(t *testing.T) {
	for goals := 1; goals <= 5; goals++ {
		for _, levels := range []int{3, 40, 1 << 30} { // many ties, some, none
			t.Run(fmt.Sprintf("goals=%d/levels=%d", goals, levels), func(t *testing.T) {
				rng := rand.New(rand.NewPCG(uint64(goals), uint64(levels)))
				front := optimize.NewFront(1, goals)
				var all []optimize.Design
				for i := range 1500 {
					d := optimize.Design{X: []float64{float64(i)}}
					d.Slack = float64(rng.IntN(3))
					for range goals {
						d.Goals = append(d.Goals, float64(rng.IntN(levels)))
					}
					all = append(all, d)
					front.Offer(d.X, d.Goals, d.Slack)
				}
				got, want := front.Designs(), plainFront(all)
				if !reflect.DeepEqual(got, want) {
					t.Errorf("%d members, want %d:\n%v\n%v", len(got), len(want), got, want)
				}
			})
		}
	}
}

// More than the search's archive holds from 3 goals on: nothing is thinned out.
func TestFrontIsUnbounded(t *testing.T) {
	front := optimize.NewFront(1, 3)
	const n = 12000
	for i := range n {
		x := float64(i)
		front.Offer([]float64{x}, []float64{x, -x, 0}, 0)
	}
	if got := len(front.Designs()); got != n {
		t.Errorf("%d members, want %d", got, n)
	}
}

package pad

import (
	"context"
	"slices"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A Roomy is a design that is GO.
type Roomy struct {
	X       []float64
	At      int // its place among the designs of the run; -1: it is none of them
	Flights int // of the search that found it, else 0
}

// How the designs of a run step back from their limits. Ours.
const (
	glance       = 1     // deviations off the limits below which a design of a run is not flown 400 times
	stepBack     = 2     // deviations off the limits to which a search keeps
	roomFlights  = 24000 // of that search at most
	roomProspect = 200   // of its designs that are flown 400 times at most
)

// Room returns the best design of a run of b that is GO, the nearest to the
// ideal of those that are. Where none of them is, it searches from them with
// the limits held stepBack deviations off and returns the best GO of what that
// finds. It reports false where nothing is GO, or ctx ended first. The result
// does not depend on workers.
func Room(ctx context.Context, b *brief.Brief, designs [][]float64, workers int) (Roomy, bool) {
	if at := bestGo(ctx, b, prospects(ctx, b, ordered(b, designs), workers), workers); at != nil {
		return Roomy{X: at, At: slices.IndexFunc(designs, func(x []float64) bool { return slices.Equal(x, at) })}, true
	}
	from := designs[:min(len(designs), b.Search.Front)]
	others, flights, err := study.SearchBack(ctx, b, from, stepBack, min(b.Search.Flights, roomFlights), roomProspect, workers)
	if err != nil {
		return Roomy{}, false // nothing is left to vary or to aim for
	}
	at := bestGo(ctx, b, ordered(b, others), workers)
	return Roomy{X: at, At: -1, Flights: flights}, at != nil
}

// prospects returns the designs that a few flights do not rule out, in their
// order.
func prospects(ctx context.Context, b *brief.Brief, designs [][]float64, workers int) [][]float64 {
	inside, err := study.Inside(ctx, b, designs, glance, workers)
	if err != nil {
		return designs
	}
	var some [][]float64
	for i, x := range designs {
		if inside[i] {
			some = append(some, x)
		}
	}
	return some
}

// ordered returns designs with all goals, the nearest to the ideal first.
func ordered(b *brief.Brief, designs [][]float64) [][]float64 {
	var flown, goals [][]float64
	for i, g := range study.GoalsOf(b, designs) {
		if g != nil {
			flown, goals = append(flown, designs[i]), append(goals, g)
		}
	}
	var all [][]float64
	for _, at := range study.Order(goals) {
		all = append(all, flown[at])
	}
	return all
}

// bestGo returns the first design that is GO, nil where none is.
func bestGo(ctx context.Context, b *brief.Brief, designs [][]float64, workers int) []float64 {
	var callers []func(*model.Rocket, *model.Site) bool
	for range min(workers, len(designs)) {
		callers = append(callers, goes(b, study.NewCaller(b), model.NewScratch()))
	}
	for len(designs) > 0 && ctx.Err() == nil {
		some := designs[:min(workers, len(designs))]
		designs = designs[len(some):]
		going := make([]bool, len(some))
		study.Each(ctx, len(some), len(some), func() func(i int) {
			return func(i int) {
				r, s := b.At(some[i])
				going[i] = callers[i](&r, &s)
			}
		})
		if at := slices.Index(going, true); at >= 0 {
			return some[at]
		}
	}
	return nil
}

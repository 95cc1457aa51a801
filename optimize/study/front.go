package study

import (
	"context"
	"math"
	"slices"
	"sort"
	"sync"
	"sync/atomic"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
)

// A Front is what a search or a sweep found, nearest to the ideal first. The
// first row is the knee.
type Front struct {
	Rows  []Row
	Paths [][]model.Sample // of each row
	Met   bool             // some row keeps every limit
	Proof Count            // of a robust search
}

// A Count is what a proof took.
type Count struct {
	Screened int // designs flown to choose those that are worth a proof
	Checked  int // designs flown for the proof
	Dropped  int // of them: some limit does not hold with the confidence
	Flights  int // of both
}

// Settle returns the front of what a search found: the best of its archive, in
// a robust search those of them that are proved to keep the limits. Where ctx
// ends first it is not whole.
func Settle(ctx context.Context, b *brief.Brief, found *optimize.Outcome, workers int) Front {
	switch {
	case b.Search.Robust.Draws > 0:
	case found.Met:
		return flown(ctx, b, optimize.Choose(found.Archive, b.Search.Front), nil, true, RowOf, workers)
	default:
		nearest := apart(b, found.Archive)
		return flown(ctx, b, nearest[:min(len(nearest), b.Search.Front)], nil, false, RowOf, workers)
	}
	p := Prove(ctx, b, found, workers)
	designs := make([]optimize.Design, len(p.Designs))
	for i := range p.Designs {
		designs[i] = p.Designs[i].Design
	}
	front := flown(ctx, b, designs, p.Designs, p.Met, RowOf, workers)
	front.Proof = p.Count
	return front
}

// What a Draft tells at most. Ours: a tenth of a second of flights.
const (
	draftRows    = 100
	draftArchive = 400
)

// Draft returns what can be said at once of a search that is told to end: of its
// front and its archive designs from end to end, flown as set and without canopy.
// What takes more flights is left out: timer settings and proofs.
func Draft(b *brief.Brief, found *optimize.Outcome, workers int) (Front, []Row) {
	archive, designs := found.Archive, []optimize.Design(nil)
	if found.Met {
		archive = evenly(archive, draftArchive)
		designs = optimize.Choose(archive, min(b.Search.Front, draftRows))
	} else {
		archive = archive[:min(len(archive), draftArchive)]
		designs = apart(b, archive)
		designs = designs[:min(len(designs), b.Search.Front, draftRows)]
	}
	met := found.Met && b.Search.Robust.Draws == 0
	front := flown(context.Background(), b, designs, nil, met, quickRowOf, workers)
	return front, Archive(context.Background(), b, front.Rows, archive, workers)
}

// evenly returns n designs at most, from the first to the last.
func evenly(all []optimize.Design, n int) []optimize.Design {
	some := make([]optimize.Design, min(n, len(all)))
	for i := range some {
		some[i] = all[i*(len(all)-1)/max(len(some)-1, 1)]
	}
	return some
}

// apart leaves out designs that differ from one before them by no more than a
// step in every quantity: they tell a builder nothing new.
func apart(b *brief.Brief, designs []optimize.Design) []optimize.Design {
	same := func(d, kept optimize.Design) bool {
		for i := range b.Vary {
			v := &b.Vary[i]
			step := v.Step
			if step == 0 {
				step = (v.To - v.From) / 200 // 0 of choices, which all differ
			}
			const rounding = 1 + 1e-9
			if math.Abs(d.X[i]-kept.X[i]) > rounding*step {
				return false
			}
		}
		return true
	}
	var some []optimize.Design
	for _, d := range designs {
		if !slices.ContainsFunc(some, func(kept optimize.Design) bool { return same(d, kept) }) {
			some = append(some, d)
		}
	}
	return some
}

// flown flies designs for all that a front tells, nearest to the ideal first;
// where none keeps the limits, in their order: the least violating first. Proofs
// are parallel to the designs, or none; rowOf makes the rows. Where ctx ends first
// some rows are left out.
func flown(ctx context.Context, b *brief.Brief, designs []optimize.Design, proofs []Proof, met bool, rowOf maker, workers int) Front {
	f := Front{Met: met, Rows: make([]Row, len(designs)), Paths: make([][]model.Sample, len(designs))}
	order := nearest(designs)
	if !met {
		slices.Sort(order)
	}
	Each(ctx, len(order), workers, func() func(i int) {
		scratch := model.NewScratch()
		return func(i int) {
			x := designs[order[i]].X
			rocket, site := b.At(x)
			flight, path := model.Path(&rocket, &site, scratch)
			f.Rows[i], f.Paths[i] = rowOf(b, i+1, x, &flight, scratch), path
			if proofs != nil {
				f.Rows[i].Proof = &proofs[order[i]]
			}
		}
	})
	return f
}

// A maker makes the row of a design from its flight, as RowOf does.
type maker func(b *brief.Brief, design int, x []float64, f *model.Flight, scratch *model.Scratch) Row

// Rows flies designs for all that a front tells, numbered from 1 in the order
// given. It reports false where ctx ended first. The result does not depend on
// workers.
func Rows(ctx context.Context, b *brief.Brief, designs [][]float64, workers int) ([]Row, bool) {
	rows := make([]Row, len(designs))
	whole := Each(ctx, len(designs), workers, func() func(i int) {
		scratch := model.NewScratch()
		return func(i int) {
			rocket, site := b.At(designs[i])
			flight := model.Fly(&rocket, &site, scratch)
			rows[i] = RowOf(b, i+1, designs[i], &flight, scratch)
		}
	})
	return rows, whole
}

// Each calls what the workers return for every i below n, several at a time:
// each worker is called once, in a goroutine of its own. It reports false where
// ctx ended first: then some are left out.
func Each(ctx context.Context, n, workers int, worker func() func(i int)) bool {
	var taken atomic.Int64
	var busy sync.WaitGroup
	for range min(workers, n) {
		busy.Go(func() {
			do := worker()
			for i := int(taken.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(taken.Add(1)) - 1 {
				do(i)
			}
		})
	}
	busy.Wait()
	return ctx.Err() == nil
}

// nearest returns the order of designs by their goals.
func nearest(designs []optimize.Design) []int {
	goals := make([][]float64, len(designs))
	for i := range designs {
		goals[i] = designs[i].Goals
	}
	return Order(goals)
}

// Archive returns the rows of an archive: those of the front that was chosen
// from it, then all others, nearest to the ideal first. The others go without
// their timer settings, which take more flights than all the rest. The result
// does not depend on workers; where ctx ends first it is not whole.
func Archive(ctx context.Context, b *brief.Brief, front []Row, archive []optimize.Design, workers int) []Row {
	var others []optimize.Design
	for _, d := range archive {
		if !slices.ContainsFunc(front, func(r Row) bool { return slices.Equal(r.X, d.X) }) {
			others = append(others, d)
		}
	}
	order := nearest(others)
	rows := make([]Row, len(front)+len(others))
	copy(rows, front)
	Each(ctx, len(order), workers, func() func(i int) {
		scratch := model.NewScratch()
		return func(i int) {
			x, place := others[order[i]].X, len(front)+i
			rocket, site := b.At(x)
			flight := model.Fly(&rocket, &site, scratch)
			rows[place] = quickRowOf(b, place+1, x, &flight, scratch)
		}
	})
	return rows
}

// Order returns the indices of a front's designs, the nearest to the ideal
// first: goals (minimised, one slice a design) are normalised by their range
// over the front, and distance is Euclidean. Equal distances keep their order.
func Order(goals [][]float64) []int {
	order := make([]int, len(goals))
	distance := make([]float64, len(goals))
	for i := range goals {
		order[i] = i
		for j := range goals[i] {
			low, high := extent(goals, j)
			if high > low {
				d := (goals[i][j] - low) / (high - low)
				// Rounded before the sum: a fused multiply-add would order
				// near ties differently on another CPU.
				distance[i] += float64(d * d)
			}
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return distance[order[a]] < distance[order[b]] })
	return order
}

func extent(goals [][]float64, j int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, g := range goals {
		low, high = min(low, g[j]), max(high, g[j])
	}
	return low, high
}

// landingDraws is how often each design of a front is flown for where it comes
// down: enough to see a cloud, few beside the flights of the search.
const landingDraws = 100

// A Landing is where one flight under scatter comes down, in m downwind of the
// pad, and how fast, in m/s; both NaN where it does not land.
type Landing struct {
	Drift, Speed float64
}

// Landings flies the rows of a front under scatter, all under the same draws,
// and returns where each comes down; none where nothing scatters. The result
// does not depend on workers; where ctx ends first it is not whole.
func Landings(ctx context.Context, b *brief.Brief, rows []Row, workers int) [][]Landing {
	if len(b.Scatter)+len(b.Day) == 0 {
		return nil
	}
	all := make([][]Landing, len(rows))
	Each(ctx, len(rows), workers, func() func(i int) {
		fly := Scatterer(b, landingDraws, b.Search.Seed)
		return func(i int) {
			for _, f := range fly(rows[i].X).Each {
				all[i] = append(all[i], Landing{Drift: figure(&f, model.Drift), Speed: figure(&f, model.LandingSpeed)})
			}
		}
	})
	return all
}

package main

import (
	"slices"
	"sync"
	"sync/atomic"

	"ullage/optimize/study"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/output"
)

// ordered returns the values of designs, nearest to the ideal first.
func ordered(designs []optimize.Design) [][]float64 {
	goals := make([][]float64, len(designs))
	for i := range designs {
		goals[i] = designs[i].Goals
	}
	xs := make([][]float64, 0, len(designs))
	for _, i := range output.Order(goals) {
		xs = append(xs, designs[i].X)
	}
	return xs
}

// flown flies the designs of a front, in their order, and returns their rows
// and trajectories.
func flown(b *brief.Brief, xs [][]float64) ([]output.Row, [][]model.Sample) {
	scratch := model.NewScratch()
	var rows []output.Row
	var paths [][]model.Sample
	for i, x := range xs {
		rocket, site := b.At(x)
		flight, path := model.Path(&rocket, &site, scratch)
		row := rowOf(b, i+1, x, &flight, scratch)
		row.Knee = i == 0
		rows, paths = append(rows, row), append(paths, path)
	}
	return rows, paths
}

// archived returns the rows of an archive: those of the front that was chosen
// from it, then all others, nearest to the ideal first. The others go without
// their timer settings, which take more flights than all the rest.
func archived(b *brief.Brief, front []output.Row, archive, chosen []optimize.Design, workers int) []output.Row {
	var others []optimize.Design
	for _, d := range archive {
		if !slices.ContainsFunc(chosen, func(c optimize.Design) bool { return slices.Equal(c.X, d.X) }) {
			others = append(others, d)
		}
	}
	xs := ordered(others)
	rows := make([]output.Row, len(front)+len(xs))
	copy(rows, front)
	var taken atomic.Int64
	var busy sync.WaitGroup
	for range workers {
		busy.Go(func() {
			scratch := model.NewScratch()
			for {
				i := int(taken.Add(1)) - 1
				if i >= len(xs) {
					return
				}
				rocket, site := b.At(xs[i])
				flight := model.Fly(&rocket, &site, scratch)
				place := len(front) + i
				rows[place] = rowWith(b, place+1, xs[i], &flight, study.Bare(&rocket, &site, &flight, scratch))
			}
		})
	}
	busy.Wait()
	return rows
}

package answers

import (
	"context"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A Scattered is one design under scatter, with what becomes of it where
// something goes wrong.
type Scattered struct {
	Design int // from 1; 0: the brief's own
	X      []float64
	study.Scattered
	WhatIfs []WhatIf
}

// Scatter flies designs of b, of which Design and X are given, each so many
// times under the same draws, and fills in the rest. The result does not depend
// on workers. It reports false where ctx ended first.
func Scatter(ctx context.Context, b *brief.Brief, designs []Scattered, draws int, seed uint64, workers int) bool {
	return study.Each(ctx, len(designs), workers, func() func(i int) {
		fly, scratch := study.Scatterer(b, draws, seed), model.NewScratch()
		return func(i int) {
			d := &designs[i]
			d.Scattered, d.WhatIfs = fly(d.X), whatIfs(b, d.X, scratch)
		}
	})
}

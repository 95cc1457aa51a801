package main

import (
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
)

// answersOf works out what a builder asks of the first design of a front: what
// its limits cost it, how far each quantity may move, or which limit is the
// hardest where no design meets all.
func answersOf(b *brief.Brief, l output.Layout, rows []output.Row, met bool) *runs.Answers {
	switch {
	case len(rows) == 0:
		return nil
	case !met:
		return &runs.Answers{Hardest: hardest(l, rows)}
	}
	a := &runs.Answers{Goal: l.Goals[0].Key, Knee: text.Knee(l, rows)}
	x := rows[0].X
	for _, p := range answers.Prices(b, x) {
		limit := table.Quantity{Key: p.Limit.Metric.Key, Unit: p.Limit.Unit}
		a.Prices = append(a.Prices, runs.NewPrice(limit, l.Goals[0], p.PerUnit))
	}
	for _, band := range answers.Bands(b, x) {
		a.Bands = append(a.Bands, runs.NewBand(table.Quantity{Key: band.Key, Unit: band.Unit}, band.From, band.To))
	}
	return a
}

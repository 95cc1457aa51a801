package main

import (
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/output"
)

// answersOf works out what a builder asks of the first design of a front: what
// its limits cost it, how far each quantity may move, or which limit is the
// hardest where no design meets all.
func answersOf(b *brief.Brief, l output.Layout, rows []output.Row, met bool) *output.Answers {
	switch {
	case len(rows) == 0:
		return nil
	case !met:
		return &output.Answers{Hardest: hardest(l, rows)}
	}
	a := &output.Answers{Goal: l.Goals[0].Key, Knee: l.KneeText(rows)}
	x := rows[0].X
	for _, p := range answers.Prices(b, x) {
		limit := output.Quantity{Key: p.Limit.Metric.Key, Unit: p.Limit.Unit}
		a.Prices = append(a.Prices, output.NewPrice(limit, l.Goals[0], p.PerUnit))
	}
	for _, band := range answers.Bands(b, x) {
		a.Bands = append(a.Bands, output.NewBand(output.Quantity{Key: band.Key, Unit: band.Unit}, band.From, band.To))
	}
	return a
}

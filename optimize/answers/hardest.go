package answers

import (
	"slices"

	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// Answers say of a front's first design what a builder asks first.
type Answers struct {
	Prices  []Price
	Bands   []Band
	Hardest *Hardest // instead of both, where no design keeps every limit
}

// Of works out the answers for a front of b: what its limits cost the first
// design and how far each quantity may move, or which limit is the hardest. It
// returns nil for a front without designs.
func Of(b *brief.Brief, f *study.Front) *Answers {
	switch {
	case len(f.Rows) == 0:
		return nil
	case !f.Met:
		h := HardestOf(b, f.Rows)
		return &Answers{Hardest: &h}
	}
	x := f.Rows[0].X
	return &Answers{Prices: prices(b, x), Bands: bands(b, x)}
}

// A Hardest is the limit that most of the designs nearest to all limits miss.
type Hardest struct {
	Limit  *brief.Limit // nil: none of them could be flown to its end
	Missed int          // designs that miss it
	Of     int          // designs
}

// HardestOf returns the limit of b that most of the rows miss, the first of
// several.
func HardestOf(b *brief.Brief, rows []study.Row) Hardest {
	h := Hardest{Of: len(rows)}
	for i := range b.Limits {
		l, missed := &b.Limits[i], 0
		for k := range rows {
			if slices.Contains(rows[k].Missed(b), l.Metric.Key) {
				missed++
			}
		}
		if missed > h.Missed {
			h.Limit, h.Missed = l, missed
		}
	}
	return h
}

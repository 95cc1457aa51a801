package answers

import (
	"context"
	"math"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/optimize/study"
)

// A Doubt is how far a figure of a design may be off before any flight of it
// has been measured: by flights over what is not known of the rocket. That is
// the same on every flight, unlike scatter, which is not mixed in.
type Doubt struct {
	Figure    model.Figure
	Value     float64         // as modelled, in SI; it need not lie in the middle
	Low, High float64         // 5 and 95 % of the flights, in SI
	Most      *brief.Quantity // what weighs most in it; nil where nothing moves it
}

// Doubted lists the figures of which Doubts tells, in its order.
var Doubted = [...]model.Figure{model.Apogee, model.Drift, model.LandingSpeed, model.Acceleration}

const (
	doubtFlights = 200
	doubtSeed    = 1 // fixed: the interval of a design is the same for every seed
	doubtLow     = 0.05
	doubtHigh    = 0.95
)

// A Doubter works out doubts of designs of one brief. It belongs to one
// goroutine.
type Doubter struct {
	draws   *scatter.Draws
	laws    []scatter.Law
	scratch *model.Scratch
}

// NewDoubter returns a Doubter of designs of b.
func NewDoubter(b *brief.Brief) *Doubter {
	return &Doubter{
		draws: scatter.ForDoubts(b, doubtFlights, doubtSeed), laws: scatter.Doubts(b), scratch: model.NewScratch(),
	}
}

// Doubts returns how far the figures of Doubted may be off for r at s, whose
// own flight is f; none where that has not all of them.
func (d *Doubter) Doubts(r *model.Rocket, s *model.Site, f *model.Flight) []Doubt {
	doubts := make([]Doubt, len(Doubted))
	for i, id := range Doubted {
		v, ok := f.Figure(id)
		if !ok {
			return nil
		}
		doubts[i] = Doubt{Figure: id, Value: v}
	}
	values := make([][]float64, len(Doubted))
	for i := range d.draws.Flights() {
		rocket, site := *r, *s
		d.draws.At(i, r, s, &rocket, &site)
		flight := model.Fly(&rocket, &site, d.scratch)
		for k, id := range Doubted {
			if v, ok := flight.Figure(id); ok {
				values[k] = append(values[k], v)
			}
		}
	}
	for k := range doubts {
		slices.Sort(values[k])
		doubts[k].Low, doubts[k].High = constraints.Quantile(values[k], doubtLow), constraints.Quantile(values[k], doubtHigh)
	}
	d.weigh(doubts, r, s)
	return doubts
}

// weigh names what weighs most in each doubt, by moving one thing at a time to
// either side, as far as 5 and 95 % of its flights lie.
func (d *Doubter) weigh(doubts []Doubt, r *model.Rocket, s *model.Site) {
	const side = 1.6448536269514722 // deviations below which 95 % of a normal distribution lie
	most := make([]float64, len(doubts))
	for i := range d.laws {
		moved := make([][2]float64, len(doubts))
		for k, z := range []float64{-side, side} {
			rocket, site := d.laws[i].Alone(z, r, s)
			flight := model.Fly(&rocket, &site, d.scratch)
			for j := range doubts {
				moved[j][k] = doubts[j].Value
				if v, ok := flight.Figure(doubts[j].Figure); ok {
					moved[j][k] = v
				}
			}
		}
		for j := range doubts {
			if width := math.Abs(moved[j][1] - moved[j][0]); width > most[j] {
				most[j], doubts[j].Most = width, d.laws[i].Quantity
			}
		}
	}
}

// DoubtsOf returns the doubts of rows of b, in their order; none for a row that
// did not land. The result does not depend on workers; where ctx ends first it is
// not whole.
func DoubtsOf(ctx context.Context, b *brief.Brief, rows []study.Row, workers int) [][]Doubt {
	all := make([][]Doubt, len(rows))
	study.Each(ctx, len(rows), workers, func() func(i int) {
		d := NewDoubter(b)
		return func(i int) {
			r, s := b.At(rows[i].X)
			f := model.Fly(&r, &s, d.scratch)
			all[i] = d.Doubts(&r, &s, &f)
		}
	})
	return all
}

package study

import (
	"math"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// A Scattered is what flights of one design under scatter report. Where days
// differ each flight is one of another day.
type Scattered struct {
	Nominal model.Flight         // as set
	Flights int                  // under scatter
	Each    []model.Flight       // these, in the order of their draws
	Chances []constraints.Chance // of keeping each limit
	All     constraints.Chance   // of landing, and keeping all of them
	Spreads [model.FigureCount]constraints.Spread

	// Within is the deviation among flights of one day, 0 where days do not
	// differ or no day has two flights with the figure.
	Within [model.FigureCount]float64
}

// Scatterer returns a function that flies designs under so many draws, the
// same for every design, other than those of a search. It holds scratch: one
// for each worker. All of them have the same draws.
func Scatterer(b *brief.Brief, draws int, seed uint64) func(x []float64) Scattered {
	day := 1
	if len(b.Day) > 0 {
		day = 2 // the second flight of a day only tells how far its flights differ
	}
	e := newEnsemble(b, scatter.New(b, scatter.Report, draws*day, day, seed))
	return func(x []float64) Scattered {
		s := Scattered{Flights: draws}
		var flights []model.Flight
		e.fly(x, func(f model.Flight) { flights = append(flights, f) })
		s.Nominal = model.Fly(&e.rocket, &e.site, e.scratch)
		for _, met := range e.met {
			s.Chances = append(s.Chances, constraints.Chance{Met: met, Flights: draws})
		}
		s.All = constraints.Chance{Met: e.all, Flights: draws}
		values := make([]float64, 0, draws)
		for id := range model.Figures {
			values = values[:0]
			apart, pairs := 0.0, 0
			for i := 0; i < len(flights); i += day {
				v, ok := flights[i].Figure(model.Figure(id))
				if !ok {
					continue
				}
				values = append(values, v)
				if w, ok := flights[i+day-1].Figure(model.Figure(id)); ok { // alone of its day, it is off itself by 0
					apart += float64((v - w) * (v - w))
					pairs++
				}
			}
			s.Spreads[id] = constraints.Spreads(values)
			if pairs > 0 {
				// Two flights of a day differ by twice their variance.
				s.Within[id] = math.Sqrt(apart / float64(2*pairs))
			}
		}
		for i := range draws {
			flights[i] = flights[i*day]
		}
		s.Each = flights[:draws]
		return s
	}
}

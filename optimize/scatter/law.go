package scatter

import (
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize/brief"
)

// A Law is how one quantity differs from what a design sets: by a normal
// distribution cut at three deviations, or evenly and one way.
type Law struct {
	brief.Scatter
	Reach float64 // SI; where it is not 0 the quantity lies evenly between its own value and so far beyond, whatever the deviation
}

// Laws returns the laws of what a brief says scatters.
func Laws(scatters []brief.Scatter) []Law {
	all := make([]Law, len(scatters))
	for i, s := range scatters {
		all[i].Scatter = s
	}
	return all
}

// normal returns the law of a quantity by its key; relative deviations are
// shares of its value.
func normal(key string, deviation float64, relative bool) Law {
	return Law{Scatter: brief.Scatter{Quantity: brief.MustQuantity(key), Deviation: deviation, Relative: relative}}
}

// Usual is the scatter of a rocket whose brief names none (common practice, no
// source). Mass and balance point can only scatter on a rocket that was weighed,
// or is flown as if it had been.
var Usual = []Law{
	normal("chamber.pressure", 0.02, true),
	normal("chamber.fill", 0.01, false),
	normal("weighed.mass", 0.01, true),
	normal("weighed.balance", 0.003, false),
	normal("recovery.delay", 0.1, false),
	normal("site.wind", 1, false),
	normal("site.tilt", math.Pi/180, false),
}

// ForCall returns the draws by which a design is called go or no-go, each
// flight one of another day, and whether they are the usual ones, the brief
// naming none.
func ForCall(b *brief.Brief, n int, seed uint64) (d *Draws, usual bool) {
	if len(b.Scatter)+len(b.Day) == 0 {
		return draw(nil, Usual, Calling, n, 1, seed), true
	}
	return New(b, Calling, n, 1, seed), false
}

// Doubts returns what is not known of a rocket. Before any flight was measured
// the widths are judgements (common practice, no source). In a brief that was
// fitted, the deviations of [scatter.day], which the fit wrote there, replace
// those of the same quantities.
func Doubts(b *brief.Brief) []Law {
	all := []Law{
		normal("body.drag", 0.20, true),
		normal("chamber.jet", 0.02, false),
		normal("chamber.gas_thrust", 0.10, false),
		normal("recovery.drag", 0.15, true),
		normal("recovery.latency", 0.1, false),
		normal("chamber.pressure", 0.02, true),
		evenly("chamber.drawn", 0.5),
		evenly("chamber.gas_temperature", 10),
	}
	const stiff = 12e5 // Pa; a chamber made for more hardly grows
	if b.Rocket.Chamber.Growth == 0 && b.Rocket.Chamber.Pressure < stiff {
		all = append(all, evenly("chamber.growth", 0.01/1e5))
	}
	if b.Fitted == "" {
		return all // what differs from day to day tells nothing of the model
	}
	for _, found := range b.Day {
		if i := slices.IndexFunc(all, func(l Law) bool { return l.Key == found.Key }); i >= 0 {
			all[i] = Law{Scatter: found}
		}
	}
	return all
}

func evenly(key string, reach float64) Law {
	return Law{Scatter: brief.Scatter{Quantity: brief.MustQuantity(key)}, Reach: reach}
}

// ForDoubts returns draws of what is not known: the same on every flight of a
// rocket, unlike scatter, which is not mixed in.
func ForDoubts(b *brief.Brief, n int, seed uint64) *Draws {
	return draw(nil, Doubts(b), Doubting, n, 1, seed)
}

// Alone returns a law's effect by itself: r and s as they are after a move of z
// deviations, |z| ≤ 3, from the design own at around.
func (s *Law) Alone(z float64, own *model.Rocket, around *model.Site) (r model.Rocket, site model.Site) {
	r, site = *own, *around
	s.Deviate(z, s.Value(own, around), &r, &site)
	return r, site
}

// share returns the chance that a deviation cut at three stays below z.
func share(z float64) float64 {
	return (below(z) - below(-farthest)) / (below(farthest) - below(-farthest))
}

// Bounds returns the least and the greatest value, SI, that a draw may give a
// quantity of r: its range of validity and, for the pressure, up to the proof
// pressure.
func Bounds(q *brief.Quantity, r *model.Rocket) (low, high float64) {
	low, high = q.Min, q.Max
	if q.Key == "chamber.pressure" {
		high = min(high, r.Chamber.Proof)
	}
	return low, high
}

// Deviate moves a quantity of r or site by z deviations, |z| ≤ 3, which are those
// around the design's own value, SI.
//
// Where one of the Bounds lies within three deviations, the distribution is cut
// there: z keeps its quantile.
func (s *Law) Deviate(z, own float64, r *model.Rocket, site *model.Site) {
	if s.Reach != 0 {
		if s.Key == "chamber.gas_temperature" && own == 0 {
			own = site.Temperature // what a brief that gives none means
		}
		s.Set(r, site, own+s.Reach*share(z))
		return
	}
	sigma := s.Sigma(own)
	if sigma == 0 {
		return
	}
	v := s.Value(r, site)
	low, high := Bounds(s.Quantity, r)
	from, to := (low-v)/sigma, (high-v)/sigma
	switch {
	case from <= -farthest && to >= farthest:
	case to <= -farthest: // a design beyond its bound stays as near as may be
		z = to
	case from >= farthest:
		z = from
	default:
		z = between(max(from, -farthest), min(to, farthest), share(z))
	}
	// Rounding must not leave the range.
	s.Set(r, site, min(max(v+sigma*z, low), high))
}

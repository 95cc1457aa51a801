package pad

import (
	"math"

	"ullage/optimize/study"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// A Fall is where and how a rocket may come down, in flights under scatter with
// the guide leaned up to ten degrees more to either side.
type Fall struct {
	Upwind, Downwind float64 // m from the pad, the farthest each way, ≥ 0; NaN where it cannot be said
	Speed            float64 // m/s, the largest vertical speed at touch-down
	Energy           float64 // J, the largest kinetic energy at touch-down
}

// leans are how far the guide may stand off its tilt, in rad: it is set by eye,
// and a wind that turns is a lean (common practice, no source).
var leans = [...]float64{-10 * math.Pi / 180, 10 * math.Pi / 180, -5 * math.Pi / 180, 5 * math.Pi / 180, 0}

// fallDraws is how many draws are flown at each lean.
const fallDraws = 100

// FallFlights is how many flights a Fall is the farthest of.
const FallFlights = len(leans) * fallDraws

// leastDryMargin is the dry margin, in calibres, below which it cannot be said
// where a rocket comes down: it may turn over at any time (common practice, no
// source).
const leastDryMargin = 1.0

// falls flies a rocket of b under scatter with its canopy and without it. The
// circle without canopy is never smaller than that with it. A rocket whose dry
// margin is below one calibre, or of which a flight does not come down, has no
// distance.
func falls(b *brief.Brief, r *model.Rocket, s *model.Site, scratch *model.Scratch) (with, without Fall) {
	said := steady(r, s)
	eachFall(b, r, s, scratch, func(f, bare *model.Flight) bool {
		said = with.add(f, s.Wind) && said
		said = without.add(bare, s.Wind) && said
		return true
	})
	without.Upwind, without.Downwind = max(without.Upwind, with.Upwind), max(without.Downwind, with.Downwind)
	if !said {
		with.Upwind, with.Downwind = math.NaN(), math.NaN()
		without.Upwind, without.Downwind = math.NaN(), math.NaN()
	}
	return with, without
}

// fallsWithin reports whether the farthest touch-downs are within a field, in
// less time than falls where they are not: it stops at the first beyond.
func fallsWithin(b *brief.Brief, r *model.Rocket, s *model.Site, scratch *model.Scratch) bool {
	if math.IsInf(b.Field.Upwind, 1) && math.IsInf(b.Field.Downwind, 1) {
		return true
	}
	within := steady(r, s)
	var reach Fall
	eachFall(b, r, s, scratch, func(f, bare *model.Flight) bool {
		within = reach.add(f, s.Wind) && reach.add(bare, s.Wind) && within &&
			OnPaper(reach.Upwind) <= b.Field.Upwind && OnPaper(reach.Downwind) <= b.Field.Downwind
		return within
	})
	return within
}

// steady reports whether it can be said where a rocket comes down.
func steady(r *model.Rocket, s *model.Site) bool {
	st, ok := model.Weigh(r, s)
	return ok && st.DryMargin >= leastDryMargin
}

// eachFall flies a rocket with its canopy and without it under every draw and
// lean until visit returns false.
func eachFall(b *brief.Brief, r *model.Rocket, s *model.Site, scratch *model.Scratch, visit func(f, bare *model.Flight) bool) {
	draws, usual := scatter.ForCall(b, fallDraws, 1)
	own := *r
	if st, ok := model.Weigh(r, s); ok && usual {
		own = study.OnScale(r, &st) // whose mass and balance point can scatter
	}
	for _, lean := range leans {
		around := *s
		around.Tilt += lean
		for i := range draws.Flights() {
			var rocket model.Rocket
			var site model.Site
			draws.At(i, &own, &around, &rocket, &site)
			f, bare := model.Fly(&rocket, &site, scratch), model.Bare(&rocket, &site, scratch)
			if !visit(&f, &bare) {
				return
			}
		}
	}
}

// add takes a flight in and reports whether it came down. A planned wind from
// behind turns upwind and downwind round.
func (a *Fall) add(f *model.Flight, wind float64) bool {
	drift, ok := f.Figure(model.Drift)
	if wind < 0 {
		drift = -drift
	}
	speed, _ := f.Figure(model.LandingSpeed)
	energy, _ := f.Figure(model.LandingEnergy)
	a.Upwind, a.Downwind = max(a.Upwind, -drift), max(a.Downwind, drift)
	a.Speed, a.Energy = max(a.Speed, speed), max(a.Energy, energy)
	return ok
}

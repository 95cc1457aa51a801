package model

import "math"

// A gust is a 1−cos bump of wind along the way from the end of the guide.
type gust struct {
	on     bool
	speed  float64 // m/s at its height, downwind
	length float64 // m
	over   float64 // m, the way after which the rocket has answered it
	past   bool    // it has gone that way
}

// GustIncidence returns the largest angle of attack, in rad, that r meets in a
// gust of site.Gust off the guide, or reports that there is none: the rocket does
// not get that far, or is not stable there. It takes six flights.
//
// A gust goes with the wind or against it and begins where the guide ends,
//
//	w = ½ U (1 − cos(2π s/ℓ)),  0 ≤ s ≤ ℓ
//
// over the distance s from there, with ℓ a quarter, a half and the whole of the
// wavelength in which the rocket pitches whatever its speed,
//
//	λ = 2π √(I/(½ ρ S CN_α (x_cp − x_cg)))
//
// at the end of the guide. Angles count from there over two wavelengths and to
// the end of thrust, whichever is longer, but not beyond the top or the opening.
// Source: lengths scanned as in CS 25.341 (from memory); the wavelength is that
// of the linear pitch oscillation in flight straight on.
func GustIncidence(r *Rocket, site *Site, s *Scratch) (incidence float64, ok bool) {
	taping := s.tape.on
	s.tape.on = false
	defer func() { s.gust, s.tape.on = gust{}, taping }()
	if !fits(r, site) {
		return 0, false
	}
	for _, share := range [...]float64{0.25, 0.5, 1} {
		for _, speed := range [...]float64{site.Gust, -site.Gust} {
			s.gust = gust{on: true, speed: speed, length: share}
			s.reset(r, site)
			if s.rise(r) != 0 || s.gust.over == 0 {
				return 0, false
			}
			incidence = max(incidence, s.peaks[incidenceGauge])
		}
	}
	return incidence, true
}

// gustOver reports whether a flight through a gust has nothing more to tell.
func (s *Scratch) gustOver() bool {
	g := &s.gust
	return g.on && (g.past && s.phase == CoastPhase || !s.climbing || !s.guided && g.over == 0)
}

// meet turns the length of the gust, a share of the wavelength until then, into
// that at the instant computed last, where the guide ends. There is none for a
// rocket that is not stable.
func (g *gust) meet(s *Scratch) {
	v, now := &s.vehicle, &s.now
	arm := s.margin() * v.diameter
	wave := 2 * math.Pi * math.Sqrt(now.heft.inertia/(0.5*now.density*v.section*(v.lift.bodySlope+now.slope)*arm))
	if arm > 0 && !math.IsInf(wave, 0) && !math.IsNaN(wave) {
		g.length *= wave
		g.over = 2 * wave
	}
}

// wind returns the gust's, in m/s, at a distance from the pad beyond the guide, in m.
func (g *gust) wind(way float64) float64 {
	if way <= 0 || way >= g.length {
		return 0
	}
	return g.speed / 2 * (1 - math.Cos(2*math.Pi*way/g.length))
}

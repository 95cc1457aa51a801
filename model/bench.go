package model

// stand is more mass, in kg, than any jet lifts.
const stand = 1e9

// standTolerance is the integrator's: thrust is read inside steps that are long
// where nothing moves.
const standTolerance = 1e-6

// Bench holds r down, as a test stand does, without its launch tube and in calm
// air, and appends to dst a sample at each of the times that lie between release
// and the end of the jets: their Thrust, Impulse, Pressure and Water mean what they
// do in flight. The times are in s after release and rise.
func Bench(dst []Sample, r *Rocket, site *Site, times []float64, s *Scratch) []Sample {
	held, calm := *r, *site
	held.Ballast.Mass += stand
	held.Chamber.Tube = Tube{}
	calm.Tilt, calm.Wind = 0, 0
	if s.Tolerance == 0 {
		s.Tolerance = standTolerance
		defer func() { s.Tolerance = 0 }()
	}
	f, all := s.flyAt(dst, &held, &calm, times)
	if f.Outcome != NoLiftOff { // there is no such rocket
		return dst
	}
	return all
}

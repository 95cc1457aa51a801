package model

import "math"

// Bare flies r with a canopy that never opens: where it comes down, and how
// fast, when everything that should open it fails; as of any flight, the worse of
// as computed and nose first.
func Bare(r *Rocket, site *Site, s *Scratch) Flight {
	bare := *r
	bare.Recovery.Delay = math.Inf(1)
	return Fly(&bare, site, s)
}

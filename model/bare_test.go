package model

import (
	"math/rand/v2"
	"testing"
)

// The bare flight is the flight itself up to the opening, and has no canopy.
func TestBare(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 1))
	s := NewScratch()
	for range 20 {
		r, site := design(rng)
		r.Recovery.Delay = 7
		before := r.Recovery
		f, bare := mustFly(t, r, site), Bare(r, site, s)
		if bare.Outcome != Landed || r.Recovery != before {
			t.Fatalf("outcome %v, recovery %+v after %+v", bare.Outcome, r.Recovery, before)
		}
		absent(t, &bare, canopyFigures...)
		for _, id := range []Figure{GuideSpeed, Impulse, ThrustEndSpeed} {
			near(t, Figures[id].Key, figure(t, &bare, id), figure(t, &f, id), 1e-12)
		}
		if hard, soft := figure(t, &bare, LandingSpeed), figure(t, &f, LandingSpeed); hard < 4*soft {
			t.Errorf("bare landing at %g m/s, under the canopy at %g", hard, soft)
		}
		// Any timer that ends after touch-down gives the same bits.
		r.Recovery.Delay = figure(t, &bare, FlightTime) + 1
		if late := Fly(r, site, s); late != bare {
			t.Errorf("a timer of %g s: %+v, want the bare %+v", r.Recovery.Delay, late, bare)
		}
	}
}

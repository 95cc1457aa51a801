package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestPathAt holds that samples come at the times that were asked for, and
// from the flight that Path samples.
func TestPathAt(t *testing.T) {
	r, site := design(rand.New(rand.NewPCG(21, 1)))
	s := NewScratch()
	flight, path := Path(r, site, s)
	quick, _ := flight.Figure(FlightTime)
	recorded, _ := PathAt(nil, r, site, nil, s)
	whole, _ := recorded.Figure(FlightTime) // integrated under the canopy too, which Fly is not
	near(t, "flight time", quick, whole, 1e-3)
	opening := r.Recovery.Delay + r.Recovery.Latency
	times := []float64{-1, 0, 0.05, 0.05, opening, opening + 1e-9, whole / 2, whole - 1e-6, whole + 1}
	_, at := PathAt(nil, r, site, times, s)
	var got []float64
	for _, p := range at {
		got = append(got, p.T)
	}
	if want := times[1:8]; !slices.Equal(got, want) {
		t.Fatalf("samples at %v, want %v", got, want)
	}
	if at[4].Phase != CoastPhase && at[4].Phase != CanopyPhase || at[5].Phase != CanopyPhase {
		t.Errorf("phases about the opening: %v, %v", at[4].Phase, at[5].Phase)
	}
	// The integrator takes the same steps: what is asked for changes no bit.
	again := []float64{}
	for _, p := range path {
		if len(again) == 0 || p.T > again[len(again)-1] {
			again = append(again, p.T)
		}
	}
	_, at = PathAt(nil, r, site, again[:len(again)-1], s)
	for i, j := 0, 0; i < len(at); i++ {
		for path[j].T != at[i].T {
			j++
		}
		// An event ends a step a little short of what the interpolant says there.
		if d := math.Abs(path[j].Z - at[i].Z); d > 1e-9 {
			t.Errorf("at %v s: %v m, the path has %v m", at[i].T, at[i].Z, path[j].Z)
		}
	}
	r.Payload.Mass = 100
	if f, none := PathAt(nil, r, site, times, s); f.Outcome == Landed || len(none) > 0 {
		t.Errorf("%v with %d samples, want no flight and none", f.Outcome, len(none))
	}
}

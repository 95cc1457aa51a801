package model

import (
	"math"
	"testing"
)

// TestBench holds the thrust on a stand to the flight's at its start, to the
// jet's own law, and its impulse to that of a flight, which differs only by the
// air's pressure on the way up: less than 1 %.
func TestBench(t *testing.T) {
	r, site := carbon()
	s := NewScratch()
	flight := Fly(r, site, s)
	var times []float64
	for i := range 2000 {
		times = append(times, float64(i)*1e-3)
	}
	samples := Bench(nil, r, site, times, s)
	if len(samples) < 100 || len(samples) == len(times) {
		t.Fatalf("%d samples of %d, want some to lie behind the end", len(samples), len(times))
	}
	impulse := 0.0
	for i, p := range samples {
		if p.Z != 0 || p.Speed != 0 {
			t.Fatalf("at %v s: %v m, %v m/s", p.T, p.Z, p.Speed)
		}
		if i > 0 {
			impulse += (p.Thrust + samples[i-1].Thrust) / 2 * (p.T - samples[i-1].T)
		}
	}
	// By straight lines from millisecond to millisecond.
	if last := samples[len(samples)-1].Impulse; math.Abs(last/impulse-1) > 1e-3 {
		t.Errorf("impulse %v N s at the end, the thrust sums up to %v N s", last, impulse)
	}
	want, _ := flight.Figure(Impulse)
	if math.Abs(impulse/want-1) > 0.01 {
		t.Errorf("%v N s on the stand, %v N s in flight", impulse, want)
	}
	_, path := PathAt(nil, r, site, []float64{0}, s)
	if first := samples[0].Thrust; math.Abs(first/path[0].Thrust-1) > 1e-9 {
		t.Errorf("%v N at release on the stand, %v N in flight", first, path[0].Thrust)
	}
	// A stand measures the jet: thrust goes with the square of its coefficient,
	// but for the approach of the water, (A_t/A)² of it.
	less := *r
	less.Chamber.Jet = 0.9 * r.Chamber.Jet
	weak := Bench(nil, &less, site, []float64{0}, s)
	ratio := math.Pow(r.Chamber.Throat/r.Chamber.Bore, 4)
	k := func(c float64) float64 { return 1/(c*c) - ratio }
	if got, want := weak[0].Thrust/samples[0].Thrust, k(r.Chamber.Jet)/k(less.Chamber.Jet); math.Abs(got-want) > 1e-9 {
		t.Errorf("thrust times %v with 0.9 of the jet's coefficient, want %v", got, want)
	}
	less.Chamber.Bore = 2 * r.Body.Diameter
	if none := Bench(nil, &less, site, times, s); len(none) > 0 {
		t.Errorf("%d samples of a rocket that cannot exist", len(none))
	}
}

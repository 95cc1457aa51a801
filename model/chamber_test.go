package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// vessels are chambers from spherical to slender, with flat and deep ends.
func vessels() []vessel {
	var all []vessel
	for _, c := range []Chamber{
		{Bore: 0.087, Cylinder: 0.69, End: 0.0435},
		{Bore: 0.1, Cylinder: 0, End: 0.05},
		{Bore: 0.06, Cylinder: 0.3, End: 0.01},
		{Bore: 0.11, Cylinder: 0.05, End: 0.16},
		{Bore: 0.087, Cylinder: 0.69, End: 1e-6},
	} {
		all = append(all, newVessel(&c))
	}
	return all
}

// section returns the area at height z from the ellipse itself.
func (v *vessel) section(z float64) float64 {
	e := 0.0
	switch {
	case z < v.end:
		e = (v.end - z) / v.end
	case z > v.end+v.cylinder:
		e = (z - v.end - v.cylinder) / v.end
	}
	return v.area * max(1-e*e, 0)
}

// below integrates ∫A dz and ∫z A dz from the pole to h by Simpson's rule on
// each piece, which is exact for these cubics.
func (v *vessel) below(h float64) (volume, moment float64) {
	for _, piece := range [][2]float64{{0, v.end}, {v.end, v.end + v.cylinder}, {v.end + v.cylinder, v.length}} {
		a, b := piece[0], min(piece[1], h)
		if b <= a {
			continue
		}
		m := (a + b) / 2
		fa, fm, fb := v.section(a), v.section(m), v.section(b)
		volume += (b - a) / 6 * (fa + 4*fm + fb)
		moment += (b - a) / 6 * (a*fa + 4*m*fm + b*fb)
	}
	return volume, moment
}

// Rounding: the arc cosine of the closed form loses half the digits where an
// end is nearly empty, hence absolute floors of 1e-12 of the whole.
func TestLevel(t *testing.T) {
	for i, v := range vessels() {
		whole, whole1 := v.below(v.length)
		near(t, "volume", v.volume, whole, 1e-12)
		last := -1.0
		for j := range 401 {
			q := float64(j) / 400
			h, moment := v.level(q * v.volume)
			if h <= last && j > 0 {
				t.Fatalf("vessel %d: level(%g) = %g, not above %g", i, q, h, last)
			}
			last = h
			volume, first := v.below(h)
			if math.Abs(volume-q*v.volume) > 1e-12*whole {
				t.Errorf("vessel %d: level(%g V) = %g, below which there are %g V", i, q, h, volume/whole)
			}
			if math.Abs(moment-first) > 1e-12*whole1 {
				t.Errorf("vessel %d: moment at %g V = %g, want %g", i, q, moment, first)
			}
		}
		if h, _ := v.level(0); h != 0 {
			t.Errorf("vessel %d: empty to %g", i, h)
		}
		if h, m := v.level(v.volume); math.Abs(h-v.length) > 1e-12 || math.Abs(m-v.volume*v.length/2) > 1e-12*whole1 {
			t.Errorf("vessel %d: full to %g with moment %g, want %g and %g", i, h, m, v.length, v.volume*v.length/2)
		}
	}
}

// Continuous at the joints of ends and cylinder.
func TestLevelJoints(t *testing.T) {
	for i, v := range vessels() {
		for _, at := range []float64{v.capVolume, v.volume - v.capVolume} {
			h1, m1 := v.level(at * (1 - 1e-13))
			h2, m2 := v.level(at * (1 + 1e-13))
			if math.Abs(h2-h1) > 1e-9*v.length || math.Abs(m2-m1) > 1e-9*v.volume*v.length {
				t.Errorf("vessel %d at %g: level jumps from %g, %g to %g, %g", i, at, h1, m1, h2, m2)
			}
		}
	}
}

// Two hemispheres of 100 mm are a sphere: 4/3 π R³, half of it to the middle,
// and a spherical cap π h² (3R − h)/3.
func TestHemispheres(t *testing.T) {
	v := newVessel(&Chamber{Bore: 0.1, End: 0.05})
	near(t, "sphere", v.volume, 4./3*math.Pi*0.05*0.05*0.05, 1e-14)
	h, moment := v.level(v.volume / 2)
	near(t, "half full", h, 0.05, 1e-12)
	near(t, "centroid of half a sphere", moment/(v.volume/2), 0.05-3./8*0.05, 1e-12)
	h, _ = v.level(math.Pi * 0.02 * 0.02 * (3*0.05 - 0.02) / 3)
	near(t, "cap", h, 0.02, 1e-12)
}

// The first moment is that of the water's centroid, which lies below the
// surface and rises with it.
func TestLevelCentroid(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for i, v := range vessels() {
		for range 200 {
			a, b := rng.Float64()*v.volume, rng.Float64()*v.volume
			if a > b {
				a, b = b, a
			}
			ha, ma := v.level(a)
			hb, mb := v.level(b)
			if ca, cb := ma/a, mb/b; ca >= ha || cb >= hb || ca > cb {
				t.Errorf("vessel %d: centroids %g under %g, %g under %g", i, ca, ha, cb, hb)
			}
		}
	}
}

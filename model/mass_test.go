package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Two points, then a rod, by hand.
func TestHeftAdd(t *testing.T) {
	h := heft{}.add(2, 1, 0).add(1, 4, 0)
	if h.mass != 3 || math.Abs(h.cg-2) > 1e-15 || math.Abs(h.inertia-6) > 1e-14 {
		t.Errorf("2 kg at 1 m and 1 kg at 4 m: %+v, want 3 kg at 2 m, 6 kg m²", h)
	}
	rod := heft{}.addPart(&Part{Mass: 3, Station: 5, Length: 2})
	if rod.inertia != 1 {
		t.Errorf("rod of 3 kg and 2 m: %v kg m², want m L²/12 = 1", rod.inertia)
	}
	if h := (heft{}).add(0, 7, 0); h != (heft{}) {
		t.Errorf("nothing added to nothing: %+v", h)
	}
}

// sliced sums thin slices of what v carries: the dry parts as rods, water and
// gas as discs of the chamber's own section.
func sliced(r *Rocket, v *vehicle, water, gas float64) heft {
	const n = 4000
	var m, first, second float64
	put := func(mass, station, own float64) {
		m += mass
		first += mass * station
		second += mass*station*station + own
	}
	fins := finPart(&r.Fins)
	for _, p := range append([]Part{fins, r.Payload, r.Ballast}, r.Parts...) {
		for i := range n {
			put(p.Mass/n, p.Station+p.Length*((float64(i)+0.5)/n-0.5), 0)
		}
	}
	radius := r.Body.Diameter / 2
	second += m * radius * radius / 4
	surface, _ := v.vessel.level(water)
	free := v.vessel.volume - water
	for i := range n {
		z := surface * (float64(i) + 0.5) / n
		dm := WaterDensity * v.vessel.section(z) * surface / n
		put(dm, v.exit-z, dm*v.vessel.section(z)/(4*math.Pi))
	}
	_, below := v.vessel.level(water)
	put(gas, v.exit-(v.vessel.volume*v.vessel.length/2-below)/free, 0)
	cg := first / m
	return heft{mass: m, cg: cg, inertia: second - m*cg*cg}
}

// In a chamber with flat ends the water is a cylinder and the model's inertia
// exact; the slices err by 1/n² = 6e-8. With hemispheres the water's own
// m(h²/12 + R²/4) is an approximation: 2.1 % of the whole when nearly full.
func TestHeftAgainstSlices(t *testing.T) {
	for _, c := range []struct{ end, cylinder, tol float64 }{{1e-9, 0.777, 1e-6}, {0.0435, 0.690, 0.025}} {
		r, s := carbon()
		r.Chamber.End, r.Chamber.Cylinder = c.end, c.cylinder
		v := newVehicle(r, s)
		for _, fill := range []float64{0, 0.02, 0.3, 0.7, 0.97} {
			water := fill * v.vessel.volume
			got, surface := v.heft(water, 0.05)
			want := sliced(r, &v, water, 0.05)
			near(t, "mass", got.mass, want.mass, 1e-6)
			near(t, "cg", got.cg, want.cg, 1e-6)
			near(t, "inertia", got.inertia, want.inertia, c.tol)
			height, _ := v.vessel.level(water)
			near(t, "surface", surface, v.exit-height, 1e-14)
		}
	}
}

// trapezoid integrates the fin as a polygon: area and centroid by the shoelace
// formula. Corners: root lead, tip lead, tip trail, root trail.
func trapezoid(f *Fins) (area, along float64) {
	x := [4]float64{f.Station, f.Station + f.Rake, f.Station + f.Rake + f.Tip, f.Station + f.Root}
	y := [4]float64{0, f.Span, f.Span, 0}
	for i := range x {
		j := (i + 1) % 4
		cross := x[i]*y[j] - x[j]*y[i]
		area += cross / 2
		along += (x[i] + x[j]) * cross / 6
	}
	return math.Abs(area), along / area
}

func TestFinPart(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 100 {
		f := Fins{
			Count: 3 + rng.IntN(2), Root: 0.05 + 0.2*rng.Float64(), Tip: 0.2 * rng.Float64(), Span: 0.02 + 0.2*rng.Float64(),
			Rake: 0.3*rng.Float64() - 0.1, Thickness: 0.002, Station: rng.Float64(), Density: 1600, Fillets: 0.01 * rng.Float64(),
		}
		p := finPart(&f)
		area, along := trapezoid(&f)
		near(t, "fin mass", p.Mass, float64(f.Count)*area*f.Thickness*f.Density+f.Fillets, 1e-12)
		near(t, "fin station", p.Station, along, 1e-12)
		near(t, "fin length", p.Length, (f.Root+f.Tip)/2, 1e-14)
	}
}

func TestWeighed(t *testing.T) {
	r, _ := carbon()
	r.Ballast.Mass = 0.02
	summed := dryHeft(r)

	// The scale agrees with the sums: nothing changes.
	r.Weighed = Weighed{Mass: summed.mass, Balance: summed.cg, Payload: r.Payload.Mass, Ballast: r.Ballast.Mass}
	same := dryHeft(r)
	near(t, "mass", same.mass, summed.mass, 1e-14)
	near(t, "cg", same.cg, summed.cg, 1e-14)
	near(t, "inertia", same.inertia, summed.inertia, 1e-12)

	// Heavier and further aft: mass and balance are the scale's, the inertia
	// grows with the mass.
	r.Weighed = Weighed{Mass: 1.1 * summed.mass, Balance: summed.cg + 0.03, Payload: r.Payload.Mass, Ballast: r.Ballast.Mass}
	heavy := dryHeft(r)
	near(t, "weighed mass", heavy.mass, 1.1*summed.mass, 1e-14)
	near(t, "balance", heavy.cg, summed.cg+0.03, 1e-14)
	near(t, "weighed inertia", heavy.inertia, 1.1*summed.inertia, 1e-12)

	// Payload and ballast put in later count at their own stations.
	r.Payload.Mass += 0.05
	r.Ballast.Mass -= 0.015
	changed := dryHeft(r)
	want := heavy.add(0.05, r.Payload.Station, 0).add(-0.015, r.Ballast.Station, 0)
	near(t, "changed mass", changed.mass, want.mass, 1e-14)
	near(t, "changed cg", changed.cg, want.cg, 1e-12)
	near(t, "changed inertia", changed.inertia, want.inertia, 1e-3) // the whole's ¼ m (d/2)² follows the mass
}

package model

import (
	"math"
	"testing"

	"ullage/model/air"
)

// carbon is a 4.5 l composite rocket at 15 bar.
func carbon() (*Rocket, *Site) {
	r := &Rocket{
		Body: Body{
			Diameter: 0.090, Length: 1.36, Roughness: 20e-6, Drag: 1,
			Nose: Nose{Ogive, 0.24}, Tail: Tail{0.075, 0.03},
		},
		Chamber: Chamber{
			Bore: 0.087, Cylinder: 0.690, End: 0.0435, Pressure: 15e5, Proof: 22.5e5, Throat: 0.011,
			Fill: 0.3, Gas: Moist, Jet: 0.97, GasJet: 0.95,
		},
		Fins: Fins{
			Count: 3, Root: 0.13, Tip: 0.07, Span: 0.13, Rake: 0.06, Thickness: 0.002, Station: 1.185,
			Density: 1600, ShearModulus: 3.5e9, Edges: Radiused, Fillets: 0.009,
		},
		Parts: []Part{
			{"pressure chamber", 0.42, 0.96, 0.777},
			{"payload bay", 0.16, 0.36, 0.25},
			{"canopy and line", 0.05, 0.22, 0},
		},
		Payload:  Part{"payload", 0.08, 0.25, 0},
		Ballast:  Part{"ballast", 0, 0.06, 0},
		Recovery: Recovery{Canopy: 0.95, Drag: 0.75, Delay: 5.2, Latency: 0.3, Line: 400},
	}
	s := &Site{
		Temperature: 290.15, Pressure: 99800, Humidity: 0.55, Wind: 3, WindExponent: 0.143,
		Guide: 1.5, Tilt: 2 * math.Pi / 180,
	}
	return r, s
}

func mustFly(t *testing.T, r *Rocket, s *Site) Flight {
	t.Helper()
	f := Fly(r, s, NewScratch())
	if f.Outcome != Landed {
		t.Fatalf("outcome %v, want landed", f.Outcome)
	}
	return f
}

func figure(t *testing.T, f *Flight, id Figure) float64 {
	t.Helper()
	v, ok := f.Figure(id)
	if !ok {
		t.Fatalf("%s is absent", Figures[id].Key)
	}
	return v
}

func TestShow(t *testing.T) {
	r, s := carbon()
	f := mustFly(t, r, s)
	fine := NewScratch()
	fine.Tolerance = 1e-11
	g := Fly(r, s, fine)
	t.Log(f.Evaluations, g.Evaluations, f.Warnings.Keys(), g.Outcome)
	for i := range FigureCount {
		v, ok := f.Figure(Figure(i))
		w, _ := g.Figure(Figure(i))
		t.Logf("%-22s %12.6g %12.6g %9.2g %v %s", Figures[i].Key, v, w, v/w-1, ok, Figures[i].Unit)
	}
	_ = air.Gravity
}

func BenchmarkFly(b *testing.B) {
	r, s := carbon()
	sc := NewScratch()
	b.ReportAllocs()
	for b.Loop() {
		Fly(r, s, sc)
	}
}

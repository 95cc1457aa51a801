package model

import "testing"

const leastAbove = 1e-12

// sidesOfBounds are numbers of a rocket just inside what fits and just outside.
var sidesOfBounds = []struct {
	what    string
	set     func(r *Rocket, s *Site, v float64)
	is, not []float64
}{
	{"body.diameter", func(r *Rocket, _ *Site, v float64) { r.Body.Diameter = v }, []float64{0.087}, []float64{0.0869, 0, -1}},
	{"body.diameter around a chamber like a hair", func(r *Rocket, _ *Site, v float64) {
		r.Body.Diameter, r.Body.Tail, r.Chamber.Bore, r.Chamber.Throat = v, Tail{}, 5e-10, 1e-10
	}, []float64{1e-10}, []float64{0}},
	{"body.drag", func(r *Rocket, _ *Site, v float64) { r.Body.Drag = v }, []float64{leastAbove}, []float64{0, -1}},
	{"nose.length", func(r *Rocket, _ *Site, v float64) { r.Body.Nose.Length = v }, []float64{0.045, 1.33}, []float64{0.0449, 0, 1.3301}},
	{"nose.length of a cone", func(r *Rocket, _ *Site, v float64) { r.Body.Nose = Nose{Cone, v} }, []float64{leastAbove}, []float64{0, -leastAbove}},
	{"tail.diameter", func(r *Rocket, _ *Site, v float64) { r.Body.Tail.Diameter = v }, []float64{0, 0.09}, []float64{-leastAbove, 0.0901}},
	{"tail.length", func(r *Rocket, _ *Site, v float64) { r.Body.Tail.Length = v }, []float64{0, 1.12}, []float64{-leastAbove, 1.1201}},
	{"bore", func(r *Rocket, _ *Site, v float64) { r.Chamber.Bore = v }, []float64{0.0111, 0.09}, []float64{0.011, 0, -1, 0.0901}},
	{"cylinder", func(r *Rocket, _ *Site, v float64) { r.Chamber.Cylinder = v }, []float64{0, 1.273}, []float64{-leastAbove, 1.2731}},
	{"cylinder, beyond its room by a rounding of 1e-9", func(r *Rocket, _ *Site, v float64) { r.Chamber.Cylinder = 1.273 + v }, []float64{0.98e-9}, []float64{1.02e-9}},
	{"growth times pressure, likewise", func(r *Rocket, _ *Site, v float64) { r.Chamber.Growth = (0.25 + v) / r.Chamber.Pressure }, []float64{0.98e-9}, []float64{1.02e-9}},
	{"end", func(r *Rocket, _ *Site, v float64) { r.Chamber.End = v }, []float64{leastAbove, 0.335}, []float64{0, -leastAbove, 0.3351}},
	{"neck", func(r *Rocket, _ *Site, v float64) { r.Chamber.Neck = v }, []float64{0, 0.583}, []float64{-leastAbove, 0.5831}},
	{"volume over that of the profile", func(r *Rocket, _ *Site, v float64) { r.Chamber.Volume = v * SummedVolume(&r.Chamber) }, []float64{0, 0.5, 2}, []float64{0.4999, 2.0001, -0.5}},
	{"volume over that of the profile, with a wide throat", func(r *Rocket, _ *Site, v float64) {
		r.Chamber.Throat, r.Chamber.Volume = 0.08, v*SummedVolume(&r.Chamber)
	}, []float64{0.846, 1}, []float64{0.845}},
	{"throat", func(r *Rocket, _ *Site, v float64) { r.Chamber.Throat = v }, []float64{leastAbove, 0.0869}, []float64{0, -leastAbove, 0.087}},
	{"fill", func(r *Rocket, _ *Site, v float64) { r.Chamber.Fill = v }, []float64{0, 0.999}, []float64{-leastAbove, 1}},
	{"pressure", func(r *Rocket, _ *Site, v float64) { r.Chamber.Pressure = v }, []float64{leastAbove}, []float64{0, -1}},
	{"proof", func(r *Rocket, _ *Site, v float64) { r.Chamber.Proof = v }, []float64{leastAbove}, []float64{0, -1}},
	{"growth times pressure", func(r *Rocket, _ *Site, v float64) { r.Chamber.Growth = v / r.Chamber.Pressure }, []float64{0, 0.25}, []float64{-leastAbove, 0.2501}},
	{"gas temperature", func(r *Rocket, _ *Site, v float64) { r.Chamber.GasTemperature = v }, []float64{0, 250}, []float64{-leastAbove}},
	{"gas", func(r *Rocket, _ *Site, v float64) { r.Chamber.Gas = Gas(v) }, []float64{1, 2}, []float64{0}},
	{"jet", func(r *Rocket, _ *Site, v float64) { r.Chamber.Jet = v }, []float64{leastAbove, 1}, []float64{0, -leastAbove, 1.0001}},
	{"contraction", func(r *Rocket, _ *Site, v float64) { r.Chamber.Contraction = v }, []float64{leastAbove, 1}, []float64{0, -leastAbove, 1.0001}},
	{"drawn", func(r *Rocket, _ *Site, v float64) { r.Chamber.Drawn = v }, []float64{0, 1}, []float64{-leastAbove, 1.0001}},
	{"gas jet", func(r *Rocket, _ *Site, v float64) { r.Chamber.GasJet = v }, []float64{leastAbove}, []float64{0, -leastAbove}},
	{"gas thrust", func(r *Rocket, _ *Site, v float64) { r.Chamber.GasThrust = v }, []float64{leastAbove}, []float64{0, -leastAbove}},
	{"tube.length on a guide of 1.5 m, the chamber being 0.777 m", func(r *Rocket, _ *Site, v float64) { r.Chamber.Tube = Tube{0.011, v} }, []float64{0, leastAbove, 0.777}, []float64{-leastAbove, 0.7771}},
	{"tube.diameter", func(r *Rocket, _ *Site, v float64) { r.Chamber.Tube = Tube{v, 0.3} }, []float64{leastAbove, 0.011}, []float64{0, -leastAbove, 0.0111}},
	{"diameter of a tube that is not there", func(r *Rocket, _ *Site, v float64) { r.Chamber.Tube = Tube{v, 0} }, []float64{0, -1, 0.011}, []float64{0.0111}},
	{"length of a tube that is left out", func(r *Rocket, _ *Site, v float64) { r.Chamber.Tube, r.Chamber.NoTube = Tube{1, v}, true }, []float64{-1, 9}, nil},
	{"fins.count", func(r *Rocket, _ *Site, v float64) { r.Fins.Count = int(v) }, []float64{1, 3}, []float64{0, -1}},
	{"fins.root", func(r *Rocket, _ *Site, v float64) { r.Fins.Root = v }, []float64{leastAbove, 0.175}, []float64{0, -leastAbove, 0.1751}},
	{"fins.tip", func(r *Rocket, _ *Site, v float64) { r.Fins.Tip = v }, []float64{0, 5}, []float64{-leastAbove}},
	{"fins.span", func(r *Rocket, _ *Site, v float64) { r.Fins.Span = v }, []float64{leastAbove}, []float64{0, -leastAbove}},
	{"fins.thickness", func(r *Rocket, _ *Site, v float64) { r.Fins.Thickness = v }, []float64{leastAbove}, []float64{0, -leastAbove}},
	{"fins.station", func(r *Rocket, _ *Site, v float64) { r.Fins.Station = v }, []float64{0, 1.23}, []float64{-leastAbove, 1.2301}},
	{"fins.density", func(r *Rocket, _ *Site, v float64) { r.Fins.Density = v }, []float64{leastAbove}, []float64{0, -1}},
	{"fins.shear_modulus", func(r *Rocket, _ *Site, v float64) { r.Fins.ShearModulus = v }, []float64{leastAbove}, []float64{0, -1}},
	{"canopy", func(r *Rocket, _ *Site, v float64) { r.Recovery.Canopy = v }, []float64{0, leastAbove}, []float64{-leastAbove}},
	{"drag of a canopy", func(r *Rocket, _ *Site, v float64) { r.Recovery.Drag = v }, []float64{leastAbove}, []float64{0, -1}},
	{"drag of no canopy", func(r *Rocket, _ *Site, v float64) { r.Recovery = Recovery{Drag: v} }, []float64{0, -1}, nil},
	{"guide", func(_ *Rocket, s *Site, v float64) { s.Guide = v }, []float64{0}, []float64{-leastAbove}},
	{"temperature", func(_ *Rocket, s *Site, v float64) { s.Temperature = v }, []float64{leastAbove}, []float64{0, -1}},
	{"pressure of the air", func(_ *Rocket, s *Site, v float64) { s.Pressure = v }, []float64{leastAbove}, []float64{0, -1}},
}

// Each number of a rocket and its site has its bounds alone: at the last value inside
// there is such a rocket, beyond it there is none.
func TestFitsBothSides(t *testing.T) {
	for _, c := range sidesOfBounds {
		for want, values := range map[bool][]float64{true: c.is, false: c.not} {
			for _, v := range values {
				r, s := carbon()
				c.set(r, s, v)
				if got := fits(r, s); got != want {
					t.Errorf("%s of %v: there is such a rocket: %v, want %v", c.what, v, got, want)
				}
			}
		}
	}
}

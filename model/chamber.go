package model

import "math"

// WaterDensity is that of water at 20 °C, in kg/m³ (IAPWS-95: 998.207;
// 10 bar adds 0.04 %).
const WaterDensity = 998.2

// A vessel is the inside of the chamber: ellipsoidal end, cylinder,
// ellipsoidal end. Heights are measured from the pole at the nozzle. A measured
// volume scales the area of every section alike; a neck between the pole and
// the exit plane holds no water.
type vessel struct {
	radius, area  float64 // m, m², of the bore
	end, cylinder float64 // m
	capVolume     float64 // m³, of one end
	volume        float64 // m³
	length        float64 // m
}

func newVessel(c *Chamber) vessel {
	v := vessel{radius: c.Bore / 2, end: c.End, cylinder: c.Cylinder}
	if c.Volume > 0 {
		v.radius *= math.Sqrt(c.Volume / SummedVolume(c))
	}
	v.area = math.Pi * v.radius * v.radius
	v.capVolume = v.area * v.end * 2 / 3
	v.volume = 2*v.capVolume + v.area*v.cylinder
	v.length = 2*v.end + v.cylinder
	return v
}

// SummedVolume returns the volume, in m³, of bore, cylinder and ends of c,
// whatever volume was measured.
//
//	V = A (cylinder + 4/3 end), two half ellipsoids of revolution
func SummedVolume(c *Chamber) float64 {
	return math.Pi * c.Bore * c.Bore / 4 * (c.Cylinder + c.End*4/3)
}

// level returns the height of the free surface, in m, above the nozzle pole
// and the first moment of the water about the pole, in m⁴, when the chamber
// stands upright with the given volume of water, in m³.
//
// In an end of depth b, V = A(h²/b − h³/(3b²)), whose root in h is that of a
// cubic, and ∫z dV = A(2h³/(3b) − h⁴/(4b²)); the far end is the mirror image.
func (v *vessel) level(volume float64) (height, moment float64) {
	top := v.end + v.cylinder
	switch {
	case volume <= 0:
		return 0, 0
	case volume < v.capVolume:
		h := v.end * capHeight(volume/v.capVolume)
		return h, v.capMoment(h)
	case volume <= v.volume-v.capVolume:
		h := v.end + (volume-v.capVolume)/v.area
		return h, v.capMoment(v.end) + v.area*(h*h-v.end*v.end)/2
	default:
		empty := max(v.volume-volume, 0)
		g := v.end * capHeight(empty/v.capVolume) // depth of the empty part below the far pole
		full := v.volume * v.length / 2
		return top + v.end - g, full - (empty*v.length - v.capMoment(g))
	}
}

// capMoment returns ∫z dV from the pole of an end to height h ≤ end, in m⁴.
func (v *vessel) capMoment(h float64) float64 {
	return v.area * h * h * h / v.end * (2./3 - h/(4*v.end))
}

// capHeight returns h/b of an ellipsoidal end of depth b that holds the share
// q of its volume: the root in [0, 1] of y² − y³/3 = 2q/3.
//
// With y = s √q it is s² − √q s³/3 = 2/3, where two of Newton's steps lead from
// a parabola within 0.4 % to less than 1e-10.
func capHeight(q float64) float64 {
	r := math.Sqrt(q)
	s := 0.8179 + r*(0.08648+r*0.09242)
	for range 2 {
		s -= (s*s*(1-r*s*(1./3)) - 2./3) / (s * (2 - r*s))
	}
	return r * s
}

package model

import (
	"math"

	"ullage/model/air"
)

// A vehicle is a rocket at a site, with everything worked out that stays the
// same during a flight.
type vehicle struct {
	air        air.Column
	body       Body
	outline    outline // of body
	vessel     vessel
	charge     charge
	dry        heft
	drag       drag
	lift       lift
	section    float64 // m², body cross-section: the reference area
	diameter   float64 // m
	exit       float64 // m, station of the nozzle exit plane
	pole       float64 // m, station of the chamber's pole at the nozzle
	stream     float64 // m², of the jet of water
	pad        float64 // Pa, of the air there
	give       float64 // m³/Pa, by which pressure widens the chamber
	release    float64 // K, of the gas then
	drawn      float64 // 1, of Chamber
	tube       float64 // m², section of the launch tube
	tubeLength float64 // m
	jetK       float64 // 1, K of waterJet
	gasJet     float64 // m², of the jet of gas
	gasThrust  float64 // 1, thrust of it over that of an ideal one
	water      float64 // m³ at release
	perFlutter float64 // 1/√Pa, one over flutterScale
	guide      float64 // m
	lean       float64 // rad, pitch of the guide, + downwind
	canopy     float64 // m², drag area when full
	filling    float64 // m, air path from opening to full
}

// fillDiameters is the air path in which a solid flat circular canopy fills,
// over its nominal diameter (Knacke, Parachute Recovery Systems Design Manual,
// NWC TP 6575, 1991; from memory).
const fillDiameters = 8

func newVehicle(r *Rocket, s *Site) (v vehicle) {
	v.set(r, s)
	return v
}

// set works v out anew. It keeps the air and the outline, which are mostly the
// same from flight to flight.
func (v *vehicle) set(r *Rocket, s *Site) {
	c, tube := &r.Chamber, r.Chamber.tube()
	if r.Body != v.body {
		v.body, v.outline = r.Body, newOutline(&r.Body)
	}
	v.air.Set(s.Temperature, s.Pressure, s.Humidity, s.Wind, s.WindExponent)
	*v = vehicle{
		air:        v.air,
		body:       v.body,
		outline:    v.outline,
		vessel:     newVessel(c),
		dry:        dryHeft(r),
		drag:       newDrag(r, &v.outline),
		lift:       newLift(r, &v.outline),
		section:    math.Pi * r.Body.Diameter * r.Body.Diameter / 4,
		diameter:   r.Body.Diameter,
		exit:       r.Body.Length,
		pole:       r.Body.Length - c.Neck,
		drawn:      c.Drawn,
		tube:       math.Pi * tube.Diameter * tube.Diameter / 4,
		tubeLength: tube.Length,
		gasThrust:  c.GasThrust,
		perFlutter: 1 / flutterScale(&r.Fins),
		guide:      s.Guide,
		lean:       -s.Tilt,
		canopy:     r.Recovery.Drag * math.Pi * r.Recovery.Canopy * r.Recovery.Canopy / 4,
		filling:    fillDiameters * r.Recovery.Canopy,
	}
	throat := math.Pi * c.Throat * c.Throat / 4
	v.stream, v.gasJet = c.Contraction*throat, c.GasJet*throat
	ratio := v.stream / v.vessel.area
	v.jetK = 1/(c.Jet*c.Jet) - ratio*ratio
	v.water = c.Fill * v.vessel.volume
	v.pad, v.give = s.Pressure, c.Growth*v.vessel.volume
	v.release = s.Temperature
	if c.GasTemperature > 0 {
		v.release = c.GasTemperature
	}
	v.charge = newCharge(c.Gas, s.Pressure+c.Pressure, v.vessel.volume+v.give*c.Pressure-v.water, v.release)
}

// A measured volume below LeastShare or above MostShare of SummedVolume is that
// of another vessel (the bounds are ours).
const LeastShare, MostShare = 0.5, 2.0

// fits reports whether the rocket can exist: the model's own check, since a
// search varies what a brief has checked only at one point.
func fits(r *Rocket, s *Site) bool {
	b, c, f := &r.Body, &r.Chamber, &r.Fins
	sized := b.Diameter > 0 && b.Nose.Length > 0 && c.Cylinder >= 0 && c.End > 0 && c.Throat > 0 &&
		f.Count > 0 && f.Root > 0 && f.Tip >= 0 && f.Span > 0 && f.Thickness > 0 &&
		r.Recovery.Canopy >= 0 && s.Guide >= 0 && s.Temperature > 0 && s.Pressure > 0
	// What was left out of a Rocket in Go, and means nothing at 0.
	unset := b.Drag <= 0 || b.Nose.Shape == 0 || c.Gas == 0 || c.GasJet <= 0 || c.GasThrust <= 0 || c.Proof <= 0 ||
		f.Density <= 0 || f.ShearModulus <= 0 || f.Edges == 0 || r.Recovery.Canopy > 0 && r.Recovery.Drag <= 0
	sound := !unset && c.Neck >= 0 && b.Tail.Length >= 0 && b.Tail.Diameter >= 0 && f.Station >= 0
	if c.Volume != 0 { // one that belongs to the profile, and still wider than the throat
		share := c.Volume / SummedVolume(c)
		sound = sound && share >= LeastShare && share <= MostShare && c.Throat*c.Throat < c.Bore*c.Bore*share
	}
	if t := c.tube(); t.Length != 0 {
		sound = sound && t.Length > 0 && t.Diameter > 0
	}
	const rounding = 1e-9
	return sized && sound && nests(r, s) && c.Fill >= 0 && c.Fill < 1 && c.Pressure > 0 && c.Jet > 0 && c.Jet <= 1 &&
		c.Contraction > 0 && c.Contraction <= 1 && c.Drawn >= 0 && c.Drawn <= 1 &&
		c.Growth >= 0 && c.Growth*c.Pressure <= MostGrowth+rounding && c.GasTemperature >= 0
}

// heft returns mass, centre and inertia with water and gas aboard, and the
// station of the free surface.
func (v *vehicle) heft(water, gas float64) (h heft, surface float64) {
	height, moment := v.vessel.level(water)
	h = v.dry
	// A step may end a little behind the water, at less than none: counting that
	// too leaves no kink there.
	if water != 0 {
		m := WaterDensity * water
		r := v.vessel.radius
		h = h.add(m, v.pole-moment/water, m*(height*height/12+r*r/4))
	}
	free := v.vessel.volume - water
	centroid := (v.vessel.volume*v.vessel.length/2 - moment) / free
	return h.add(gas, v.pole-centroid, 0), v.pole - height
}

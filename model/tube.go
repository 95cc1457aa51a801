package model

import "math"

// On a launch tube no water leaves: the gas in the chamber and in the tube
// behind it, thin-walled and full of the same gas, pushes on the tube's
// section. Friction, leaks and water that stands in the tube are left out.
//
//	F = (p − p_a) A_tube,  V = V_c − V_w + A_tube·travel
//
// Common practice, no source.
//
// The work of the thrust over the tube, less that of weight, is the rocket's
// energy: the tests hold it to that.

// tube returns the launch tube that is used, the zero Tube where there is none.
func (c *Chamber) tube() Tube {
	if c.NoTube {
		return Tube{}
	}
	return c.Tube
}

// travel returns the distance along the guide, in m, in state y.
func travel(y []float64) float64 { return math.Sqrt(y[along]*y[along] + y[height]*y[height]) }

// tubeVolume returns the volume, in m³, of the gas in chamber and tube.
func (s *Scratch) tubeVolume(y []float64) float64 {
	v := &s.vehicle
	return v.room(y[water], v.tube*travel(y), y[gas])
}

// aboard returns the gas, in kg, that is in the chamber and not in the tube.
func (s *Scratch) aboard(y []float64) float64 {
	return s.vehicle.charge.mass() * s.chamberShare(y)
}

// chamberShare returns the share of the gas that is in the chamber.
func (s *Scratch) chamberShare(y []float64) float64 {
	return 1 - s.vehicle.tube*travel(y)/s.tubeVolume(y)
}

// leaveTube ends the tube at t: the gas in it stays behind.
func (s *Scratch) leaveTube(y []float64, t float64) {
	share := s.chamberShare(y)
	c := &s.vehicle.charge
	c.dry *= share
	c.vapour *= share
	s.flight.set(TubeTime, t)
	s.flight.set(TubeSpeed, math.Hypot(y[vAlong], y[vHeight]))
	s.enterWater(y, t)
}

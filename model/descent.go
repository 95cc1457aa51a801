package model

import (
	"math"

	"ullage/model/air"
)

// openingPeak is the measured peak at a full canopy over the steady drag there:
// measured ones are 1.5 to 1.7 times it (Lingard; Knacke, Parachute Recovery
// Systems Design Manual, NWC TP 6575, 1991; from memory).
const openingPeak = 1.7

// Components of the state under the canopy: the four of motion as while
// ascending, then the air path since opening.
const (
	airPath     = vHeight + 1 // m
	descentSize = airPath + 1
)

// A falling is a Scratch as the system of a rocket under its canopy.
type falling Scratch

func (s *Scratch) descend(y, dy []float64) { (*falling)(s).Rates(0, y, dy) }

// Rates writes the rates of a point mass under an opening canopy to dy: the
// canopy's drag area grows with the square of the air path until it is full,
// and the vehicle's own drag acts with the total airspeed. It leaves the
// canopy's drag in pull.
func (f *falling) Rates(_ float64, y, dy []float64) {
	s := (*Scratch)(f)
	v, now := &s.vehicle, &s.now
	density, perSound, perNu := v.air.Flow(y[height])
	ux, uz := y[vAlong]-v.air.Wind(y[height]), y[vHeight]
	speed2 := ux*ux + uz*uz
	speed := math.Sqrt(speed2)
	now.airSpeed, now.mach = speed, speed*perSound
	now.ground2 = y[vAlong]*y[vAlong] + y[vHeight]*y[vHeight]
	canopy := v.canopy
	if !s.full {
		open := y[airPath] / v.filling
		canopy *= open * open
	}
	body := v.section * v.drag.coefficient(speed2, perNu, perSound)
	half := 0.5 * density * speed
	s.pull = half * speed * canopy
	k := half * (canopy + body) / s.settled.mass
	now.felt2 = k * speed * k * speed
	dy[along], dy[height] = y[vAlong], y[vHeight]
	dy[vAlong], dy[vHeight] = -k*ux, -k*uz-air.Gravity
	dy[airPath] = speed
}

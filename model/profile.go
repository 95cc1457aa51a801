package model

import "math"

// nosePoints is how many points a drawn nose has beside its tip.
const nosePoints = 20

// Profile returns the body's side as it is drawn: stations and radii, in m, from
// the nose tip to the nozzle exit.
func (b *Body) Profile() [][2]float64 {
	var points [][2]float64
	for i := range nosePoints + 1 {
		share := float64(i) / nosePoints
		r, _ := b.Nose.radius(b.Diameter/2, math.Sqrt(share))
		points = append(points, [2]float64{b.Nose.Length * share, r})
	}
	aft := b.Diameter / 2
	if b.Tail.Length > 0 {
		points = append(points, [2]float64{b.Length - b.Tail.Length, aft})
		aft = b.Tail.Diameter / 2
	}
	return append(points, [2]float64{b.Length, aft})
}

// Sheet returns the corners of a fin on a body of that radius: stations and
// distances from the axis, in m, from the root's leading end round.
func (f *Fins) Sheet(radius float64) [4][2]float64 {
	return [4][2]float64{
		{f.Station, radius},
		{f.Station + f.Rake, radius + f.Span},
		{f.Station + f.Rake + f.Tip, radius + f.Span},
		{f.Station + f.Root, radius},
	}
}

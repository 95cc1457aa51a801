package model

import "math"

// bodyCross returns the drag coefficient of the cross-flow over a body of that
// length over its diameter: 1.2, a long cylinder's, times what is left of it on a
// finite one.
//
// Source: USAF DATCOM 4.2.1.2 and Jorgensen, NASA TR R-474 (from memory);
// Matthews, Aeronautical Engineer's Data Book, has 0.74 at 5 and 0.82 at 10.
func bodyCross(slender float64) float64 {
	lengths := [...]float64{2, 4, 8, 12, 16, 20}
	shares := [...]float64{0.56, 0.60, 0.66, 0.71, 0.74, 0.76}
	const last = len(lengths) - 1
	if slender >= lengths[last] {
		return 1.2 * shares[last]
	}
	for i := last; i > 0; i-- {
		if slender > lengths[i-1] {
			u := (slender - lengths[i-1]) / (lengths[i] - lengths[i-1])
			return 1.2 * (shares[i-1] + u*(shares[i]-shares[i-1]))
		}
	}
	return 1.2 * shares[0]
}

// The cross-flow over fins: a square plate's drag coefficient (Matthews,
// Aeronautical Engineer's Data Book), and the share of a panel that a fin shows
// it, the mean of |cos³| over roll.
const (
	finCross = 1.17
	finShown = 4 / (3 * math.Pi)
)

// fadeMach is the Mach number above which fin lift is held.
const fadeMach = 0.8

// A lift holds the normal-force slopes that a design settles, each with the
// station where it acts.
type lift struct {
	nose, tail, fins float64 // m, stations
	tailSlope        float64 // 1/rad
	bodySlope        float64 // 1/rad, of nose and tail
	bodyMoment       float64 // m/rad, their slopes times their stations
	finScale         float64 // slope of all fins · (2 + √(4 + (β finAspect)²))
	finAspect        float64 // AR/cos Γ
	side             float64 // m², body planform times its cross-flow coefficient
	sideAt           float64 // m, its centroid
	finSide          float64 // m², of the fins seen in the cross-flow, likewise
}

// finCP returns the station, in m, of the fins' centre of pressure (Barrowman
// 1966, from memory).
func finCP(f *Fins) float64 {
	sum := f.Root + f.Tip
	return f.Station + f.Rake/3*(f.Root+2*f.Tip)/sum + (sum-f.Root*f.Tip/sum)/6
}

// newLift settles the slopes.
//
//	fins: (1 + r/(s+r)) n/2 · 2π AR (A_f/S)/(2 + √(4 + (β AR/cos Γ)²)),  AR = 2 s²/A_f
//
// with the interference term halved for six fins. Source: Barrowman 1966/1967
// (interference, from memory), Diederich, NACA TN 2335 (slope, from memory).
func newLift(r *Rocket, o *outline) lift {
	f := &r.Fins
	radius := r.Body.Diameter / 2
	s := math.Pi * radius * radius
	panel := f.Span * (f.Root + f.Tip) / 2
	ar := 2 * f.Span * f.Span / panel
	interference := radius / (f.Span + radius)
	if f.Count == 6 {
		interference /= 2
	}
	n := float64(f.Count)
	midSweep := math.Atan((f.Rake + (f.Tip-f.Root)/2) / f.Span)
	return lift{
		nose: o.noseCP, tail: o.tailCP, fins: finCP(f),
		tailSlope: o.tailSlope, bodySlope: 2 + o.tailSlope, bodyMoment: 2*o.noseCP + o.tailSlope*o.tailCP,
		finScale:  (1 + interference) * n / 2 * 2 * math.Pi * ar * panel / s,
		finAspect: ar / math.Cos(midSweep),
		side:      o.planform * bodyCross(r.Body.Length/r.Body.Diameter), sideAt: o.centroid,
		finSide: n * panel * finShown * finCross,
	}
}

// finSlope returns the fins' normal-force slope, in 1/rad, at the square of a
// Mach number.
func (l *lift) finSlope(mach2 float64) float64 {
	if mach2 > fadeMach*fadeMach {
		mach2 = fadeMach * fadeMach
	}
	return l.finScale / (2 + math.Sqrt(4+(1-mach2)*l.finAspect*l.finAspect))
}

// cp returns the station, in m, of the centre of pressure for fins of the
// given slope at small angles of attack.
func (l *lift) cp(fins float64) float64 {
	return (l.bodyMoment + fins*l.fins) / (l.bodySlope + fins)
}

// damping returns Σ|CN_α,i| (x_i − x_cg)², in m²: the pitch damping moment is
// −ω ½ρVS times it (strip theory).
func (l *lift) damping(fins, cg float64) float64 {
	a, b, c := l.nose-cg, l.tail-cg, l.fins-cg
	return 2*a*a + math.Abs(l.tailSlope)*b*b + fins*c*c
}

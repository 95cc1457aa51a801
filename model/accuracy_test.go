package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// floor is what a figure that can be near 0 may err by whatever its size: a
// tenth of what anyone can measure.
var floor = map[Figure]float64{
	Margin: 0.002, GuideMargin: 0.002, DryMargin: 0.002, // cal
	UnstableTime:  1e-3, // s
	DeployLate:    2e-3, // s
	ThrustEndLean: 1e-4, // rad
	PeakIncidence: 1e-4, // rad
	Drift:         0.05, // m
	DeploySpeed:   0.01, // m/s, near apogee in calm air
	// m, where a tumbling rocket comes down under thrust
	ThrustEndHeight: 0.01,
	DeployHeight:    0.01,
}

// offBy returns the error of a figure in units of what is allowed: 0.1 %, or
// its floor.
func offBy(id Figure, got, want float64) float64 {
	return math.Abs(got-want) / max(1e-3*math.Abs(want), floor[id])
}

// Every figure at the default tolerance is within 0.1 %, or its floor, of the
// same flight at 1e-11.
func TestDefaultTolerance(t *testing.T) {
	const designs = 300
	rng := rand.New(rand.NewPCG(2026, 7))
	coarse, fine := NewScratch(), NewScratch()
	fine.Tolerance = 1e-11
	var worst [FigureCount]float64
	evaluations := 0
	for i := range designs {
		r, s := design(rng)
		if i%2 == 1 {
			furnish(rng, r)
		}
		f, g := Fly(r, s, coarse), Fly(r, s, fine)
		evaluations += f.Evaluations
		if f.Outcome != g.Outcome || f.Warnings != g.Warnings {
			t.Errorf("design %d: %v %v, want %v %v", i, f.Outcome, f.Warnings.Keys(), g.Outcome, g.Warnings.Keys())
		}
		for id := range Figure(FigureCount) {
			got, ok := f.Figure(id)
			want, has := g.Figure(id)
			if ok != has {
				t.Errorf("design %d: %s present %v, want %v", i, Figures[id].Key, ok, has)
			}
			if !has {
				continue
			}
			off := offBy(id, got, want)
			worst[id] = max(worst[id], off)
			if off > 1 {
				t.Errorf("design %d: %s = %.7g, want %.7g (%+v %+v)", i, Figures[id].Key, got, want, r.Chamber, s)
			}
		}
	}
	for id, off := range worst {
		t.Logf("%-22s worst error %.4f of what is allowed", Figures[id].Key, off)
	}
	t.Logf("%d evaluations a flight", evaluations/designs)
}

// furnish draws what few rockets have: water drawn without thrust, a jet that
// contracts, gas of another temperature and thrust, a wall that stretches.
func furnish(rng *rand.Rand, r *Rocket) {
	c := &r.Chamber
	c.Drawn, c.Contraction = rng.Float64(), 0.6+0.4*rng.Float64()
	c.GasTemperature, c.GasThrust = 260+60*rng.Float64(), 0.7+0.5*rng.Float64()
	c.Growth = MostGrowth * rng.Float64() / c.Pressure
}

// Angles in gusts at the default tolerance are within 0.1 %, or their floor, of those
// at 1e-11.
func TestGustTolerance(t *testing.T) {
	rng := rand.New(rand.NewPCG(2026, 9))
	coarse, fine := NewScratch(), NewScratch()
	fine.Tolerance = 1e-11
	n := 0
	for i := range 40 {
		r, s := design(rng)
		if i%2 == 1 {
			furnish(rng, r)
		}
		got, ok := GustIncidence(r, s, coarse)
		want, has := GustIncidence(r, s, fine)
		if ok != has {
			t.Errorf("design %d: present %v, want %v", i, ok, has)
		} else if off := offBy(PeakIncidence, got, want); off > 1 {
			t.Errorf("design %d: %g rad, want %g", i, got, want)
		} else if has {
			n++
		}
	}
	if n < 20 {
		t.Errorf("%d designs have such an angle, want most of 40", n)
	}
}

// dense flies at a fine tolerance and samples every 0.2 ms.
func dense(r *Rocket, site *Site) (Flight, []Sample, float64) {
	s := NewScratch()
	s.Tolerance = 1e-11
	s.tape.on, s.tape.every = true, 2e-4
	f := Fly(r, site, s)
	return f, s.tape.samples, s.tape.every
}

// sampledExtremes returns the largest of each figure in samples of a flight, of the
// margin and the flutter factor as −margin and 1/factor; how long it was unstable, in s,
// where samples are every s apart at most; and the airspeed at which it opened, in m/s,
// as flown. It ascends until ascent, in s.
func sampledExtremes(r *Rocket, site *Site, samples []Sample, every, ascent float64) (most map[Figure]float64, unstable, opened float64) {
	v := newVehicle(r, site)
	most = map[Figure]float64{Margin: math.Inf(-1), FlutterFactor: math.Inf(-1)}
	path, filled := 0.0, false
	var last Sample
	for _, p := range samples {
		note := func(id Figure, x float64) { most[id] = max(most[id], x) }
		note(Apogee, p.Z)
		if p.Phase == CanopyPhase {
			if opened == 0 {
				opened = p.AirSpeed
			}
			if last.Phase == CanopyPhase {
				path += (p.T - last.T) * (p.AirSpeed + last.AirSpeed) / 2
			}
			open := min(path/v.filling, 1)
			pull := func(p Sample) float64 { return 0.5 * v.air.At(p.Z).Density * p.AirSpeed * p.AirSpeed * v.canopy }
			note(OpeningForce, pull(p)*open*open)
			if open == 1 && !filled {
				filled = true
				past := (path - v.filling) / (p.AirSpeed * (p.T - last.T)) // share of the time between samples
				note(OpeningForce, 1.7*(pull(p)+past*(pull(last)-pull(p))))
			}
			last = p
			continue
		}
		air := v.air.At(p.Z)
		note(MaxSpeed, p.Speed)
		note(MaxMach, p.Mach)
		note(FlutterFactor, p.AirSpeed*v.perFlutter*air.PerSound*math.Sqrt(air.Pressure))
		if p.T <= ascent {
			note(Acceleration, p.Acceleration)
			if math.Hypot(p.X, p.Z) > site.Guide {
				note(Margin, -p.Margin)
				if p.Margin < 0 && p.T > last.T {
					unstable += min(p.T-last.T, every)
				}
			}
		}
		if p.Phase <= GasPhase {
			note(PeakThrust, p.Thrust)
			note(PeakIncidence, p.Incidence)
		}
		last = p
	}
	return most, unstable, opened
}

// Extremes are true extremes: those of dense samples, which can only miss the
// peak by what a smooth curve falls in 0.1 ms.
func TestExtremesAreTrue(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	forces := 0
	for i := range 12 {
		r, site := design(rng)
		if i%2 == 1 { // short fins: some are unstable for a while
			r.Fins.Span *= 0.75
		}
		f := mustFly(t, r, site)
		_, samples, every := dense(r, site)
		get := func(id Figure) float64 { return figure(t, &f, id) }
		ascent := min(get(ApogeeTime), r.Recovery.Delay+r.Recovery.Latency)
		most, unstable, opened := sampledExtremes(r, site, samples, every, ascent)
		if get(DeploySpeed) > opened*(1+1e-3) { // the force is that of a fall nose first
			delete(most, OpeningForce)
		} else {
			forces++
		}
		most[Margin], most[FlutterFactor] = -most[Margin], 1/most[FlutterFactor]
		for id, want := range most {
			if off := offBy(id, get(id), want); off > 1 {
				t.Errorf("design %d: %s = %.7g, dense samples give %.7g", i, Figures[id].Key, get(id), want)
			}
		}
		if math.Abs(get(UnstableTime)-unstable) > 1e-3+2*every {
			t.Errorf("design %d: unstable for %.4f s, dense samples give %.4f", i, get(UnstableTime), unstable)
		}
	}
	if forces < 2 {
		t.Errorf("%d forces of flights as flown, want some", forces)
	}
}

package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// By hand: at 1 l/s and 100 m/s² air comes through at 0.69 (1e-8)^(1/5) m.
func TestClearance(t *testing.T) {
	const drawing = 100 / (1e-3 * 1e-3)
	const height = 0.017332 // m
	if above, below := clearance(height*1.001, drawing), clearance(height*0.999, drawing); above <= 0 || below >= 0 {
		t.Errorf("clearance %g above the height and %g below it", above, below)
	}
}

// Where thrust is all that is felt, air comes through where the surface stands at
// 0.69 (C_c A_t M/ρ)^(1/5), whatever the pressure.
func TestDrawnShareWithoutDrag(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 1))
	for i := range 20 {
		r, site := design(rng)
		r.Body.Drag, r.Chamber.Pressure = 1e-12, 1e5*(6+10*rng.Float64())
		r.Chamber.Contraction = 1 - 0.3*rng.Float64()
		if i%2 == 1 {
			r.Chamber.Neck = 0.02
		}
		f := mustFly(t, r, site)
		v := newVehicle(r, site)
		area := r.Chamber.Contraction * math.Pi / 4 * r.Chamber.Throat * r.Chamber.Throat
		low, high := 0.0, v.water
		for range 60 {
			mid := (low + high) / 2
			height, _ := v.vessel.level(mid)
			mass := v.dry.mass + WaterDensity*mid + v.charge.mass()
			if height < 0.69*math.Pow(area*mass/WaterDensity, 0.2) {
				low = mid
			} else {
				high = mid
			}
		}
		near(t, "drawn_share", figure(t, &f, DrawnShare), low/v.water, 1e-4)
	}
}

// Water that gives no thrust leaves as fast as it did, and its impulse is gone:
// none from the moment when the stated share of what was left is aboard.
func TestDrawnWaterGivesNoThrust(t *testing.T) {
	for _, drawn := range []float64{0.3, 0.6, 1} {
		r, site := carbon()
		r.Chamber.Drawn, site.Wind, site.Tilt = drawn, 0, 0
		f, path := Path(r, site, NewScratch())
		dip := figure(t, &f, DrawnShare) * newVehicle(r, site).water
		pushed, idle := 0, 0
		for _, p := range path {
			if p.Phase != WaterPhase {
				continue
			}
			switch {
			case p.Water > drawn*dip*(1+1e-5) && p.Thrust > 0:
				pushed++
			case p.Water < drawn*dip*(1-1e-5) && p.Thrust == 0:
				idle++
			case math.Abs(p.Water/(drawn*dip)-1) > 1e-5:
				t.Errorf("drawn %g: %g N with %g of %g m³ left", drawn, p.Thrust, p.Water, dip)
			}
		}
		if pushed < 10 || idle < 1 {
			t.Errorf("drawn %g: %d samples with thrust and %d without", drawn, pushed, idle)
		}
		plain := altered(func(_ *Rocket, s *Site) { s.Wind, s.Tilt = 0, 0 })
		near(t, "water_time", figure(t, &f, WaterTime), figure(t, &plain, WaterTime), 2e-3) // the air is a little thinner higher up
		near(t, "drawn_share", figure(t, &f, DrawnShare), figure(t, &plain, DrawnShare), 1e-3)
		if a, b := figure(t, &f, Impulse), figure(t, &plain, Impulse); a >= b {
			t.Errorf("drawn %g: impulse %g N s, want less than %g", drawn, a, b)
		}
	}
}

// Nothing is drawn through where there is no water, nor where it stays aboard;
// all of it where the surface is as low as that at release.
func TestDrawnShareAtItsEnds(t *testing.T) {
	none := altered(func(r *Rocket, _ *Site) { r.Chamber.Fill = 0 })
	left := altered(func(r *Rocket, s *Site) { r.Chamber.Fill, r.Chamber.Throat, s.Guide = 0.9, 0.016, 0.3 })
	low := altered(func(r *Rocket, _ *Site) { r.Chamber.Fill = 0.004 })
	for _, c := range []struct {
		name string
		f    Flight
		want float64
	}{{"no water", none, 0}, {"water left aboard", left, 0}, {"a puddle", low, 1}} {
		if got := figure(t, &c.f, DrawnShare); got != c.want {
			t.Errorf("%s: drawn_share %g, want %g", c.name, got, c.want)
		}
	}
}

// The law was made for wide vessels: the warning comes where it puts the surface
// at the bore's radius: at half of it, where the law begins to leave what it was
// made for, it would come for nearly every rocket, and be read for none.
func TestOutletWideBegins(t *testing.T) {
	narrow, wide := 0, 0
	for throat := 0.026; throat < 0.046; throat += 0.001 {
		r, site := carbon()
		r.Chamber.Throat = throat
		f := mustFly(t, r, site)
		v := newVehicle(r, site)
		height, _ := v.vessel.level(figure(t, &f, DrawnShare) * v.water)
		if warned, passes := f.Warnings&OutletWide != 0, height > 0.087/2; warned != passes {
			t.Errorf("throat %g m: warned %v with the surface at %g m", throat, warned, height)
		} else if passes {
			wide++
		} else {
			narrow++
		}
	}
	if narrow == 0 || wide == 0 {
		t.Errorf("%d throats without the warning and %d with it, want some of both", narrow, wide)
	}
}

package model_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"ullage/model"
	"ullage/testdata/briefs"
	"ullage/testdata/kept"
)

// A flown is a rocket whose flights are kept: a demo brief, what is set in it, as in a
// brief, and what no brief sets.
type flown struct {
	name, brief string
	set         []string
	more        func(r *model.Rocket, s *model.Site)
	tolerance   float64
}

const day, bottle = "field-day.toml", "bottle.toml"

// kinds are flights of every kind there is, each named by what sets it apart.
var kinds = []flown{
	{name: "field day", brief: day},
	{name: "field day, for height", brief: briefs.High},
	{name: "bottle", brief: bottle},
	{name: "class", brief: "highest-in-class.toml"},
	{name: "lighter or stable", brief: "lighter-or-stable.toml"},
	{name: "integrated finely", brief: day, tolerance: 1e-7},
	{name: "integrated coarsely", brief: day, tolerance: 1e-3},
	{name: "bottle on a finer step, no canopy", brief: bottle, tolerance: 1e-6, more: noCanopy},
	{name: "no canopy", brief: day, more: noCanopy},
	{name: "a canopy that opens after the ground", brief: day, set: []string{"recovery.delay=40 s"}},
	{name: "late, nose down", brief: day, set: []string{"recovery.delay=6.5 s"}},
	{name: "late, and near the ground", brief: day, more: func(r *model.Rocket, _ *model.Site) { r.Recovery.Delay = 7.7 }},
	{name: "too late to fill", brief: day, more: func(r *model.Rocket, _ *model.Site) { r.Recovery.Delay = 8.1 }},
	{name: "opens in the water jet", brief: day, more: opens(0.05)},
	{name: "opens on the guide", brief: day, more: opens(0.02)},
	{name: "opens at release", brief: day, more: opens(0)},
	{name: "opens in the gas jet", brief: day, more: opens(0.2)},
	{name: "opens fast and rising", brief: day, more: opens(0.8)},
	{name: "opens just before the top, downwind", brief: briefs.High, set: []string{"recovery.delay=3.6 s", "site.wind=10 m/s"}},
	{name: "a small canopy", brief: day, set: []string{"recovery.canopy=25 cm"}},
	{name: "a large, light canopy", brief: day, set: []string{"recovery.canopy=300 cm", "recovery.drag=1.6"}},
	{name: "small fins, turning over", brief: day, set: []string{"fins.span=60 mm", "recovery.delay=7 s"}},
	{name: "small fins, turning over all the way", brief: day, set: []string{"fins.span=60 mm"}, more: opens(30)},
	{name: "small fins of a light rocket", brief: day, set: []string{"fins.span=50 mm", "payload.mass=40 g", "recovery.delay=6 s"}},
	{name: "fins all but gone, unstable", brief: day, set: []string{"fins.span=20 mm"}},
	{name: "unstable with water, stable without", brief: briefs.High, set: []string{"fins.span=70 mm", "payload.mass=0 g"}},
	{name: "upright in calm air", brief: day, set: []string{"site.wind=0 m/s", "site.tilt=0 deg"}},
	{name: "a gale and a lean", brief: day, set: []string{"site.wind=14 m/s", "site.tilt=10 deg", "site.wind_exponent=0.35"}},
	{name: "a lean of 20 degrees, no gust", brief: day, set: []string{"site.tilt=20 deg", "site.gust=0 m/s"}},
	{name: "the same wind at every height", brief: day, set: []string{"site.wind=6 m/s", "site.wind_exponent=0"}},
	{name: "a long rail", brief: day, set: []string{"site.guide=4 m"}},
	{name: "a short rail and a gust", brief: day, set: []string{"site.guide=0.2 m", "site.gust=8 m/s"}},
	{name: "high and cold", brief: day, set: []string{"site.temperature=-15 degC", "site.pressure=620 hPa", "site.elevation=3900 m", "site.humidity=1"}},
	{name: "hot and dry", brief: day, set: []string{"site.temperature=42 degC", "site.humidity=0"}},
	{name: "on a tube", brief: day, set: []string{"chamber.tube.diameter=10 mm", "chamber.tube.length=0.7 m"}},
	{name: "on a tube, a wall that stretches, dry gas", brief: day, set: []string{
		"chamber.tube.diameter=9 mm", "chamber.tube.length=0.5 m", "chamber.growth=1 %/bar", "chamber.gas=dry",
	}},
	{name: "no water on a tube", brief: day, set: []string{"chamber.tube.diameter=10 mm", "chamber.tube.length=0.7 m", "chamber.fill=0.01"}, more: dry},
	{name: "spent on the tube", brief: day, more: spent},
	{name: "opens on the tube", brief: day, set: []string{"chamber.tube.diameter=10 mm", "chamber.tube.length=0.7 m"}, more: opens(0.04)},
	{name: "a tube that is left out", brief: day, set: []string{"chamber.tube.diameter=10 mm", "chamber.tube.length=0.7 m"}, more: func(r *model.Rocket, _ *model.Site) { r.Chamber.NoTube = true }},
	{name: "held at first", brief: day, set: []string{"chamber.pressure=6 bar", "chamber.fill=0.2", "chamber.throat=4.2 mm", "payload.mass=80 g", "fins.span=130 mm", "recovery.delay=0.7 s", "site.guide=0.3 m", "site.wind=0 m/s", "site.tilt=0 deg"}},
	{name: "a gas jet that is never choked", brief: bottle, set: []string{"chamber.pressure=0.8 bar", "chamber.fill=200 ml", "ballast.mass=20 g"}},
	{name: "spent before the water is out", brief: bottle, set: []string{"chamber.pressure=1.5 bar", "chamber.fill=1300 ml", "ballast.mass=0 g"}},
	{name: "a drop of water", brief: day, set: []string{"chamber.fill=0.02"}},
	{name: "no water", brief: day, more: dry},
	{name: "nearly all water", brief: day, set: []string{"chamber.fill=0.82", "payload.mass=0 g"}},
	{name: "water drawn, a third useless", brief: day, set: []string{"chamber.drawn=0.3", "chamber.throat=16 mm"}},
	{name: "water drawn, most useless", brief: bottle, set: []string{"chamber.drawn=0.9"}},
	{name: "drawn from afar", brief: day, set: []string{"chamber.drawn=0.5", "chamber.fill=0.4", "chamber.bore=40 mm", "chamber.end=10 mm", "chamber.throat=16 mm", "payload.mass=0 g"}},
	{name: "a throat with a sharp edge", brief: day, set: []string{"chamber.jet=0.98", "chamber.contraction=0.62", "chamber.gas_jet=0.8", "chamber.gas_thrust=0.85"}},
	{name: "warm gas", brief: day, set: []string{"chamber.gas_temperature=45 degC"}},
	{name: "cold dry gas", brief: day, set: []string{"chamber.gas=dry", "chamber.gas_temperature=-5 degC"}},
	{name: "a wall that stretches", brief: day, set: []string{"chamber.growth=1.6 %/bar"}},
	{name: "a neck and a measured volume", brief: day, set: []string{"chamber.neck=40 mm", "chamber.volume=4.1 l"}},
	{name: "cone, cut fins, four", brief: day, set: []string{"body.nose.shape=cone", "fins.edges=cut", "fins.count=4"}},
	{name: "parabola, faired fins, six", brief: day, set: []string{"body.nose.shape=parabola", "fins.edges=faired", "fins.count=6", "fins.tip=0 mm"}},
	{name: "ellipsoid, smooth, no tail", brief: day, set: []string{"body.nose.shape=ellipsoid", "body.roughness=0 um"}, more: func(r *model.Rocket, _ *model.Site) { r.Body.Tail = model.Tail{} }},
	{name: "rough, a slender tail", brief: day, set: []string{"body.roughness=300 um", "body.tail.diameter=40 mm", "body.tail.length=120 mm", "body.drag=1.4"}},
	{name: "short and fat", brief: bottle, set: []string{"body.length=0.66 m", "body.diameter=200 mm", "body.nose.length=60 mm", "fins.station=550 mm"}},
	{name: "weighed", brief: day, set: []string{
		"fins.span=150 mm", "weighed.mass=1.1 kg", "weighed.balance=0.71 m", "weighed.payload=100 g", "weighed.ballast=0 g", "ballast.mass=25 g", "ballast.station=60 mm",
	}},
	{name: "heavy", brief: day, set: []string{"payload.mass=1.5 kg", "chamber.fill=0.35"}},
	{name: "beyond the speed of sound", brief: day, more: func(r *model.Rocket, _ *model.Site) {
		r.Chamber.Pressure, r.Chamber.Proof, r.Chamber.Fill, r.Payload.Mass, r.Recovery.Delay = 500e5, 700e5, 0.3, 0.04, 40
	}},
	{name: "slender", brief: day, set: []string{"body.length=2 m", "fins.station=1.8 m"}},
	{name: "blunt", brief: bottle, more: func(r *model.Rocket, _ *model.Site) {
		r.Body.Diameter, r.Body.Nose.Length, r.Ballast.Station = 0.4, 0.2, 0
	}},
	{name: "never lifts off", brief: day, set: []string{"payload.mass=20 kg"}},
	{name: "never lifts off its tube", brief: day, set: []string{"chamber.tube.diameter=3 mm", "chamber.tube.length=0.3 m"}},
	{name: "stuck on the rail", brief: day, set: []string{"chamber.pressure=1.5 bar", "chamber.fill=0.3"}, more: func(_ *model.Rocket, s *model.Site) { s.Guide = 30 }},
	{name: "no room for the chamber", brief: day, more: func(r *model.Rocket, _ *model.Site) { r.Chamber.Cylinder = 1.3 }},
	{name: "wind that is not a number", brief: day, more: func(_ *model.Rocket, s *model.Site) { s.Wind = math.NaN() }},
	{name: "a throat like a hair", brief: day, more: func(r *model.Rocket, _ *model.Site) { r.Chamber.Throat = 20e-6 }},
	{name: "aloft for nearly an hour", brief: day, more: aloft(835)},
	{name: "aloft for a little more", brief: day, more: aloft(845)},
	{name: "opens at release in calm air", brief: day, set: []string{"site.wind=0 m/s"}, more: opens(0)},
	{name: "a feather under a tent", brief: day, more: func(r *model.Rocket, _ *model.Site) { r.Recovery.Canopy, r.Recovery.Drag = 40, 100 }},
}

func noCanopy(r *model.Rocket, _ *model.Site) { r.Recovery = model.Recovery{} }

func dry(r *model.Rocket, _ *model.Site) { r.Chamber.Fill = 0 }

// aloft has a rocket fly high, and fall under a canopy of so much drag.
func aloft(drag float64) func(r *model.Rocket, s *model.Site) {
	return func(r *model.Rocket, _ *model.Site) {
		r.Chamber.Pressure, r.Chamber.Proof, r.Chamber.Fill, r.Recovery.Delay = 500e5, 700e5, 0.3, 10
		r.Recovery.Canopy, r.Recovery.Drag = 0.4, drag
	}
}

// spent has a rocket of little gas on a long and wide tube.
func spent(r *model.Rocket, s *model.Site) {
	r.Chamber.Tube, r.Chamber.Throat, s.Guide = model.Tube{Diameter: 0.079, Length: 0.76}, 0.08, 0.76
	r.Chamber.Pressure, r.Chamber.Fill = 1e5, 0.5
	r.Parts, r.Payload.Mass = []model.Part{{Name: "hull", Mass: 0.2, Station: 0.7, Length: 1}}, 0.01
}

// opens has the canopy open so many seconds after it moves.
func opens(at float64) func(r *model.Rocket, s *model.Site) {
	return func(r *model.Rocket, _ *model.Site) { r.Recovery.Delay, r.Recovery.Latency = at, 0 }
}

// drawn are rockets from wider ranges than any search of them would have, and some off
// hardly any guide.
func drawn() (all []flown) {
	rng := rand.New(rand.NewPCG(40, 4))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	for i := range 24 {
		all = append(all, flown{name: fmt.Sprintf("drawn %d", i+1), brief: day, more: func(r *model.Rocket, s *model.Site) {
			b, c, f := &r.Body, &r.Chamber, &r.Fins
			b.Nose.Shape, f.Edges, c.Gas = model.Shape(1+i%4), model.Edges(1+i%3), model.Gas(1+i%2)
			b.Roughness, b.Drag = between(0, 200e-6), between(0.7, 1.5)
			c.Pressure, c.Fill, c.Throat = between(3e5, 30e5), between(0.05, 0.6), between(0.005, 0.025)
			c.Proof = 1.5 * c.Pressure
			if i%5 == 1 {
				c.Growth = model.MostGrowth * rng.Float64() / c.Pressure
			}
			if i%5 == 2 {
				c.Drawn = rng.Float64()
			}
			if i%5 == 3 {
				c.Tube = model.Tube{Diameter: 0.98 * c.Throat, Length: between(0.1, 0.7)}
			}
			f.Count, f.Span, f.Rake = []int{3, 4, 6}[i%3], between(0.05, 0.2), between(-0.02, 0.12)
			r.Payload.Mass, r.Payload.Station = between(0, 0.5), between(0.15, 0.4)
			r.Recovery.Delay, r.Recovery.Canopy = between(1, 12), between(0.4, 2)
			s.Wind, s.WindExponent, s.Tilt, s.Guide = between(0, 12), between(0, 0.4), between(-0.1, 0.2), between(0.7, 3)
			s.Temperature, s.Pressure, s.Humidity, s.Gust = between(260, 315), between(7e4, 1.04e5), rng.Float64(), between(0, 8)
		}})
	}
	for _, guide := range []float64{0, 1e-5, 1e-3} { // m: the first step off it
		all = append(all, flown{name: fmt.Sprintf("a guide of %g m", guide), brief: day, more: func(_ *model.Rocket, s *model.Site) { s.Guide = guide }})
	}
	return all
}

func (f *flown) rocket(t *testing.T) (model.Rocket, model.Site) {
	t.Helper()
	b := briefs.Demo(t, f.brief, f.set...)
	r, s := b.Rocket, b.Site
	if f.more != nil {
		f.more(&r, &s)
	}
	return r, s
}

// Every flight of every kind is the one that was kept: outcome, warnings, work and
// figures, the angle in gusts, the statics, and the same with a canopy that fails.
func TestKeptFlights(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	for name, all := range map[string][]flown{"flights.txt": kinds, "drawn.txt": drawn()} {
		var out strings.Builder
		scratch := model.NewScratch()
		for _, c := range all {
			fmt.Fprintf(&out, "\n%s\n", c.name)
			r, s := c.rocket(t)
			scratch.Tolerance = c.tolerance
			f := model.Fly(&r, &s, scratch)
			fmt.Fprintln(&out, f.Outcome, f.Warnings.Keys(), f.Evaluations, "evaluations")
			for id, info := range model.Figures {
				if v, ok := f.Figure(model.Figure(id)); ok {
					fmt.Fprintln(&out, info.Key, v)
				}
			}
			gust, ok := model.GustIncidence(&r, &s, scratch)
			fmt.Fprintln(&out, "in a gust", gust, ok)
			bare := model.Bare(&r, &s, scratch)
			fmt.Fprint(&out, "bare ", bare.Outcome, bare.Warnings.Keys(), bare.Evaluations)
			for _, id := range []model.Figure{model.FlightTime, model.MaxSpeed, model.LandingSpeed, model.TouchdownSpeed, model.LandingEnergy, model.Drift} {
				v, _ := bare.Figure(id)
				fmt.Fprint(&out, " ", v)
			}
			fmt.Fprintln(&out)
		}
		kept.Same(t, name, out.String())
	}
}

// mean writes what the samples of a trajectory are on the average, field by field.
func mean(samples []model.Sample) string {
	var out strings.Builder
	fields := reflect.VisibleFields(reflect.TypeFor[model.Sample]())
	for i, field := range fields {
		sum := 0.0
		for _, p := range samples {
			if v := reflect.ValueOf(p).Field(i); v.CanFloat() {
				sum += v.Float()
			} else {
				sum += float64(v.Int()) // the phase
			}
		}
		fmt.Fprintf(&out, " %s %v", field.Name, sum/max(1, float64(len(samples))))
	}
	return out.String()
}

// Every trajectory is the one that was kept: how many samples it has and what they
// are on the average; the same at times that are asked for and on a test stand.
func TestKeptPaths(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	times := []float64{-1}
	for at := 1e-4; at < 30; at *= 1.11 {
		times = append(times, at)
	}
	var out strings.Builder
	scratch := model.NewScratch()
	for _, c := range kinds {
		r, s := c.rocket(t)
		scratch.Tolerance = c.tolerance
		f, path := model.Path(&r, &s, scratch)
		asked, at := model.PathAt(nil, &r, &s, times, scratch)
		stand := model.Bench(nil, &r, &s, times, scratch)
		line := func(what string, samples []model.Sample) {
			fmt.Fprintln(&out, what, len(samples), mean(samples))
		}
		fmt.Fprintf(&out, "\n%s\n", c.name)
		fmt.Fprintln(&out, f.Evaluations, asked.Evaluations, "evaluations")
		line("path", path)
		line("asked", at)
		line("stand", stand)
	}
	kept.Same(t, "paths.txt", out.String())
}

// What is known of every rocket before it flies is what was kept.
func TestKeptStatics(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, c := range kinds {
		r, s := c.rocket(t)
		st, ok := model.Weigh(&r, &s)
		fmt.Fprintf(&out, "%s %v %+v\n", c.name, ok, st)
	}
	fmt.Fprintln(&out)
	for _, c := range kinds[:5] {
		r, _ := c.rocket(t)
		for shape := model.Cone; shape <= model.Parabola; shape++ {
			r.Body.Nose.Shape = shape
			fmt.Fprintln(&out, c.name, shape, r.Body.Profile(), r.Fins.Sheet(r.Body.Diameter/2))
		}
	}
	kept.Same(t, "statics.txt", out.String())
}

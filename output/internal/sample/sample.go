// Package sample holds a brief and results that several tests of output look
// at.
package sample

import (
	"math"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
)

const degree = math.Pi / 180

// source varies an angle, has goals of both sorts, and limits on a figure, on an
// angle and on a settable quantity; that on the proof ratio is a default.
const source = `title = "A plan"
[body]
diameter = "90 mm"
length = "1.36 m"
nose = { shape = "ogive", length = "240 mm" }
[chamber]
bore = "87 mm"
cylinder = "690 mm"
end = "43.5 mm"
pressure = "6 bar"
proof = "12 bar"
throat = "11 mm"
fill = 0.3
[fins]
count = 3
root = "130 mm"
tip = "70 mm"
span = "130 mm"
rake = "60 mm"
thickness = "2 mm"
station = "1.185 m"
[[part]]
name = "all"
mass = "630 g"
station = "740 mm"
length = "900 mm"
[payload]
mass = "80 g"
station = "250 mm"
[recovery]
canopy = "90 cm"
delay = "5.2 s"
[site]
tilt = "2 deg"
[vary]
"chamber.throat" = { from = "6 mm", to = "16 mm" }
"payload.mass" = { from = "40 g", to = "240 g" }
"site.tilt" = { from = "0 deg", to = "5 deg" }
[goals]
apogee = "highest"
"payload.mass" = "highest"
[limits]
margin = { at_least = 1.0 }
peak_incidence = { at_most = "5 deg" }
"chamber.pressure" = { at_most = "8 bar" }
dry_margin = "none"
deploy_speed = "none"
landing_speed = "none"
`

// Brief returns the brief of the sample, with more lines of its source.
func Brief(more string, set ...string) *brief.Brief {
	b, err := brief.Parse("plan.toml", []byte(source+more), set...)
	if err != nil {
		panic(err)
	}
	return b
}

// Figures returns those of a row, NaN but for some.
func Figures(some map[model.Figure]float64) []float64 {
	all := make([]float64, len(study.Figures()))
	for i := range all {
		all[i] = math.NaN()
	}
	for id, v := range some {
		all[id] = v
	}
	return all
}

// Rows returns two rows of the brief: one whose pressure is at its limit, and
// one that misses two.
func Rows() []study.Row {
	return []study.Row{
		{
			Design: 1, X: []float64{0.011, 0.08, 2 * degree}, Outcome: model.Landed,
			Figures: Figures(map[model.Figure]float64{model.Apogee: 142.3, model.Margin: 1.32, model.PeakIncidence: 4 * degree, model.DeploySpeed: 9.87}),
			Slacks:  []float64{0.32, 1 * degree, 1e3, 0.5},
		},
		{
			Design: 2, X: []float64{0.0085, 0.24, 0}, Outcome: model.Landed, Warnings: model.MachHigh | model.FillExtreme,
			Figures: Figures(map[model.Figure]float64{model.Apogee: 98.449, model.Margin: 0.9}),
			Slacks:  []float64{-0.1, math.NaN(), 2e5, 0.5},
		},
	}
}

// Robust returns the brief of a robust search and the rows with what is proved of
// them: of the second, 10 flights of 60 keep the limit on the pressure.
func Robust() (*brief.Brief, []study.Row) {
	b := Brief("[scatter]\n\"site.wind\" = \"1 m/s\"\n[search]\nflights = 9000\n[search.robust]\ndraws = 60\nconfidence = 0.8\n")
	rows := Rows()
	for i, met := range [][]int{{60, 58, 60, 59}, {60, 60, 10, 60}} {
		p := &study.Proof{Design: optimize.Design{Result: optimize.Result{Goals: []float64{-131, -0.5}}}, Held: true}
		for _, n := range met {
			p.Chances = append(p.Chances, constraints.Chance{Met: n, Flights: 60})
		}
		rows[i].Proof = p
	}
	return b, rows
}

// Doubts are those of a flight; nothing weighs most in the landing speed.
func Doubts() []answers.Doubt {
	return []answers.Doubt{
		{Figure: model.Apogee, Value: 142.3, Low: 120, High: 151, Most: brief.MustQuantity("chamber.drawn")},
		{Figure: model.Drift, Value: -20, Low: -25.5, High: -15, Most: brief.MustQuantity("recovery.drag")},
		{Figure: model.LandingSpeed, Value: 5, Low: 4.4, High: 5.6},
		{Figure: model.Acceleration, Value: 20 * 9.80665, Low: 18 * 9.80665, High: 21 * 9.80665, Most: brief.MustQuantity("chamber.pressure")},
	}
}

// Scatter has spreads of a figure of all flights, of an angle, of one of some
// flights, and of none of the others. Its flights are flown.
func Scatter(designs int, days bool) output.Scatter {
	s := output.Scatter{Brief: Brief(""), Flights: 200, Seed: 7}
	if days {
		s.Brief = Brief("[scatter.day]\n\"body.drag\" = \"5 %\"\n")
	}
	for i := range designs {
		d := answers.Scattered{Design: i + 1, X: []float64{0.011, 0.08, 2 * degree}}
		rocket, site := s.Brief.At(d.X)
		d.Nominal = model.Fly(&rocket, &site, model.NewScratch())
		d.Chances = []constraints.Chance{{Met: 200, Flights: 200}, {Met: 9996, Flights: 10000}, {Met: 100, Flights: 200}, {Met: 200, Flights: 200}}
		d.All = constraints.Chance{Met: 99, Flights: 200}
		d.Within[model.Apogee] = 2
		d.Spreads[model.Apogee] = spread(200, 141.5, 3.25, 136, 137.5, 141, 146, 147)
		d.Spreads[model.Drift] = spread(200, 60, 20, 25, 30, 60, 90, 95)
		d.Spreads[model.PeakIncidence] = spread(200, 6*degree, 2*degree, 3*degree, 4*degree, 6*degree, 9*degree, 10*degree)
		d.Spreads[model.DeploySpeed] = spread(198, 9.5, 1, 8, 8.5, 9.5, 11, 11.5)
		d.WhatIfs = []answers.WhatIf{
			{Key: "as_set", Doc: "as set", Flight: d.Nominal},
			{Key: "canopy_fails", Doc: "canopy never opens", Flight: d.Nominal, Missed: []string{"landing_speed"}},
			{Key: "heavier", Doc: "50 g heavier at the payload", Flight: model.Flight{Outcome: model.NoLiftOff}},
		}
		s.Designs = append(s.Designs, d)
	}
	return s
}

// Effects has a step up and one down, a doubt, one change without a landing, and
// one too small to be shown. Its numbers are invented.
func Effects(design int) output.Effects {
	change := func(key string, step, share float64, doubt bool, missed []string, changes ...float64) answers.Effect {
		return answers.Effect{Quantity: brief.MustQuantity(key), Step: step, Share: share, Doubt: doubt, Missed: missed, Changes: changes}
	}
	e := output.Effects{Brief: Brief(""), Design: design, X: []float64{0.011, 0.08, 2 * degree}, Missed: []string{"peak_incidence"}}
	rocket, site := e.Brief.At(e.X)
	e.Flight = model.Fly(&rocket, &site, model.NewScratch())
	none := math.NaN()
	e.Changes = []answers.Effect{
		change("payload.mass", 0.01, 0, false, []string{"landing_speed"}, none, 0.123, none, none, -0.98066),
		change("body.drag", 0.2, 0.2, true, nil, -12.34, 0, -0.004, -30, 0),
		change("chamber.gas_temperature", 8.42, 0, true, []string{"margin", "apogee"}, 1.26, -0.001, 0.005, 0, 19.6133),
		change("fins.count", 1, 0, false, nil, -1.04, 0.2, 0, 0, 0),
		change("site.tilt", -degree, 0, false, nil, 0.04, 0, 0, 3, 0),
		change("chamber.fill", 0.01, 0, false, nil, 0.1, 0, 0, 0, 0),
		change("site.humidity", 0.2, 0, false, nil, 0.01, 0, 0, 0, 0),
	}
	return e
}

// Indices are those of a number that varies, and of one that does not.
func Indices() []output.IndexRow {
	of := func(v, half float64) output.Estimate {
		return output.Estimate{Value: table.Number(v), Low: table.Number(v - half), High: table.Number(v + half)}
	}
	return []output.IndexRow{
		{Number: "apogee", Quantity: "fins.span", First: of(0.25, 0.5), Total: of(0.25, 0.125), Rows: 64},
		{Number: "apogee", Quantity: "chamber.throat", First: of(0.5, 0.25), Total: of(0.75, 0.25), Rows: 64},
		{Number: "proof_ratio", Quantity: "fins.span", First: output.NoEstimate(), Total: output.NoEstimate(), Rows: 60},
		{Number: "proof_ratio", Quantity: "chamber.throat", First: output.NoEstimate(), Total: output.NoEstimate(), Rows: 60},
	}
}

// spread takes the percentiles in the order of the fields.
func spread(count int, mean, deviation float64, percentiles ...float64) constraints.Spread {
	p := percentiles
	return constraints.Spread{Count: count, Mean: mean, Deviation: deviation, P05: p[0], P10: p[1], P50: p[2], P90: p[3], P95: p[4]}
}

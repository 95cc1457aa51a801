// Package sample holds results that several tests of output look at.
package sample

import (
	"math"

	"ullage/model"
	"ullage/output"
)

const degree = math.Pi / 180

// Layout has an angle, goals of both sorts, and limits on a figure, on an
// angle and on a settable quantity.
func Layout() output.Layout {
	return output.Layout{
		Varied: []output.Quantity{
			{Key: "chamber.throat", Unit: "m", Doc: "nozzle diameter"},
			{Key: "payload.mass", Unit: "kg", Doc: "mass of the payload"},
			{Key: "site.tilt", Unit: "rad", Doc: "lean of the guide"},
		},
		Figures: []output.Quantity{
			{Key: "apogee", Unit: "m", Doc: "highest point"},
			{Key: "margin", Unit: "cal"},
			{Key: "peak_incidence", Unit: "rad"},
			{Key: "deploy_speed", Unit: "m/s"},
		},
		Goals: []output.Quantity{
			{Key: "apogee", Unit: "m", Sense: "highest"},
			{Key: "payload.mass", Unit: "kg", Sense: "highest"},
		},
		Limits: []output.Quantity{
			{Key: "margin", Unit: "cal"},
			{Key: "peak_incidence", Unit: "rad"},
			{Key: "chamber.pressure", Unit: "Pa"},
		},
	}
}

func Rows() []output.Row {
	return []output.Row{
		{
			Design: 1, X: []float64{0.011, 0.08, 2 * degree}, Outcome: model.Landed, Knee: true,
			Figures: []output.Value{output.Of(142.3, true), output.Of(1.32, true), output.Of(4*degree, true), output.Of(9.87, true)},
			Slacks:  []output.Value{output.Of(0.32, true), output.Of(1*degree, true), output.Of(1e3, true)},
			Binding: []string{"chamber.pressure"},
		},
		{
			Design: 2, X: []float64{0.0085, 0.24, 0}, Outcome: model.Landed, Warnings: model.MachHigh | model.FillExtreme,
			Figures: []output.Value{output.Of(98.449, true), output.Of(0.9, true), {}, {}},
			Slacks:  []output.Value{output.Of(-0.1, true), {}, output.Of(2e5, true)},
			Binding: []string{},
		},
	}
}

// Scatter has a figure of all flights, an angle, one of some flights, and
// none of the others.
func Scatter(designs int, days bool) output.Scatter {
	s := output.Scatter{Layout: Layout(), Flights: 200, Seed: 7, Confidence: 0.95}
	for i := range designs {
		d := output.Scattered{
			Design: i + 1, X: []float64{0.011, 0.08, 2 * degree},
			Nominal: make([]output.Value, model.FigureCount), Spreads: make([]output.Spread, model.FigureCount),
			Chances: []output.Chance{{1, 0.98513}, {0.9996, 0.97}, {0.5, 0.44}}, All: output.Chance{Share: 0.495, AtLeast: 0.4351},
		}
		if days {
			d.Within = make([]float64, model.FigureCount)
			d.Within[model.Apogee] = 2
		}
		d.Nominal[model.Apogee] = output.Of(142, true)
		d.Spreads[model.Apogee] = output.Spread{200, 141.5, 3.25, 136, 137.5, 141, 146, 147}
		d.Spreads[model.Drift] = output.Spread{200, 60, 20, 25, 30, 60, 90, 95}
		d.Spreads[model.PeakIncidence] = output.Spread{200, 6 * degree, 2 * degree, 3 * degree, 4 * degree, 6 * degree, 9 * degree, 10 * degree}
		d.Spreads[model.DeploySpeed] = output.Spread{198, 9.5, 1, 8, 8.5, 9.5, 11, 11.5}
		d.WhatIfs = []output.WhatIf{
			{Key: "as_set", Doc: "as set", Outcome: model.Landed, Apogee: output.Of(142, true), LandingSpeed: output.Of(5.4, true), Drift: output.Of(61, true)},
			{Key: "canopy_fails", Doc: "canopy never opens", Outcome: model.Landed, Apogee: output.Of(142, true), LandingSpeed: output.Of(48, true), Drift: output.Of(-7, true), Missed: []string{"landing_speed"}},
			{Key: "heavier", Doc: "50 g heavier at the payload", Outcome: model.NoLiftOff},
		}
		s.Designs = append(s.Designs, d)
	}
	return s
}

func Indices() []output.IndexRow {
	of := func(v, half float64) output.Estimate {
		return output.Estimate{Value: output.Of(v, true), Low: output.Of(v-half, true), High: output.Of(v+half, true)}
	}
	return []output.IndexRow{
		{Number: "apogee", Quantity: "fins.span", First: of(0.25, 0.5), Total: of(0.25, 0.125), Rows: 64},
		{Number: "apogee", Quantity: "chamber.throat", First: of(0.5, 0.25), Total: of(0.75, 0.25), Rows: 64},
		{Number: "proof_ratio", Quantity: "fins.span", Rows: 60},
		{Number: "proof_ratio", Quantity: "chamber.throat", Rows: 60},
	}
}

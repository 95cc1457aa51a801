// Package sample holds results that several tests of output look at.
package sample

import (
	"math"

	"ullage/model"
	"ullage/output"
	"ullage/output/table"
)

const degree = math.Pi / 180

// Layout has an angle, goals of both sorts, and limits on a figure, on an
// angle and on a settable quantity.
func Layout() output.Layout {
	return output.Layout{
		Varied: []table.Quantity{
			{Key: "chamber.throat", Unit: "m", Doc: "nozzle diameter"},
			{Key: "payload.mass", Unit: "kg", Doc: "mass of the payload"},
			{Key: "site.tilt", Unit: "rad", Doc: "lean of the guide"},
		},
		Figures: []table.Quantity{
			{Key: "apogee", Unit: "m", Doc: "highest point"},
			{Key: "margin", Unit: "cal"},
			{Key: "peak_incidence", Unit: "rad"},
			{Key: "deploy_speed", Unit: "m/s"},
		},
		Goals: []table.Quantity{
			{Key: "apogee", Unit: "m", Sense: "highest"},
			{Key: "payload.mass", Unit: "kg", Sense: "highest"},
		},
		Limits: []table.Quantity{
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
			Figures: []table.Value{table.Of(142.3, true), table.Of(1.32, true), table.Of(4*degree, true), table.Of(9.87, true)},
			Slacks:  []table.Value{table.Of(0.32, true), table.Of(1*degree, true), table.Of(1e3, true)},
			Binding: []string{"chamber.pressure"},
		},
		{
			Design: 2, X: []float64{0.0085, 0.24, 0}, Outcome: model.Landed, Warnings: model.MachHigh | model.FillExtreme,
			Figures: []table.Value{table.Of(98.449, true), table.Of(0.9, true), {}, {}},
			Slacks:  []table.Value{table.Of(-0.1, true), {}, table.Of(2e5, true)},
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
			Nominal: make([]table.Value, model.FigureCount), Spreads: make([]output.Spread, model.FigureCount),
			Chances: []output.Chance{{Share: 1, AtLeast: 0.98513}, {Share: 0.9996, AtLeast: 0.97}, {Share: 0.5, AtLeast: 0.44}}, All: output.Chance{Share: 0.495, AtLeast: 0.4351},
		}
		if days {
			d.Within = make([]float64, model.FigureCount)
			d.Within[model.Apogee] = 2
		}
		d.Nominal[model.Apogee] = table.Of(142, true)
		d.Spreads[model.Apogee] = spread(200, 141.5, 3.25, 136, 137.5, 141, 146, 147)
		d.Spreads[model.Drift] = spread(200, 60, 20, 25, 30, 60, 90, 95)
		d.Spreads[model.PeakIncidence] = spread(200, 6*degree, 2*degree, 3*degree, 4*degree, 6*degree, 9*degree, 10*degree)
		d.Spreads[model.DeploySpeed] = spread(198, 9.5, 1, 8, 8.5, 9.5, 11, 11.5)
		d.WhatIfs = []output.WhatIf{
			{Key: "as_set", Doc: "as set", Outcome: model.Landed, Apogee: table.Of(142, true), LandingSpeed: table.Of(5.4, true), Drift: table.Of(61, true)},
			{Key: "canopy_fails", Doc: "canopy never opens", Outcome: model.Landed, Apogee: table.Of(142, true), LandingSpeed: table.Of(48, true), Drift: table.Of(-7, true), Missed: []string{"landing_speed"}},
			{Key: "heavier", Doc: "50 g heavier at the payload", Outcome: model.NoLiftOff},
		}
		s.Designs = append(s.Designs, d)
	}
	return s
}

func Indices() []output.IndexRow {
	of := func(v, half float64) output.Estimate {
		return output.Estimate{Value: table.Of(v, true), Low: table.Of(v-half, true), High: table.Of(v+half, true)}
	}
	return []output.IndexRow{
		{Number: "apogee", Quantity: "fins.span", First: of(0.25, 0.5), Total: of(0.25, 0.125), Rows: 64},
		{Number: "apogee", Quantity: "chamber.throat", First: of(0.5, 0.25), Total: of(0.75, 0.25), Rows: 64},
		{Number: "proof_ratio", Quantity: "fins.span", Rows: 60},
		{Number: "proof_ratio", Quantity: "chamber.throat", Rows: 60},
	}
}

// spread takes the percentiles in the order of the fields.
func spread(count int, mean, deviation float64, percentiles ...float64) output.Spread {
	p := percentiles
	return output.Spread{Count: count, Mean: mean, Deviation: deviation, P05: p[0], P10: p[1], P50: p[2], P90: p[3], P95: p[4]}
}

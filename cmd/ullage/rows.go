package main

import (
	"math"

	"ullage/optimize/study"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/fit"
	"ullage/output"
	"ullage/output/table"
)

// layoutOf says which numbers the rows of a brief carry.
func layoutOf(b *brief.Brief) output.Layout {
	l := output.Layout{Fitted: fit.OriginOf(b.Source) != "", Figures: output.FlightFigures()}
	for _, e := range brief.Extras {
		l.Figures = append(l.Figures, table.Quantity{Key: e.Key, Unit: e.Unit, Doc: e.Doc})
	}
	for _, v := range b.Vary {
		l.Varied = append(l.Varied, table.Quantity{Key: v.Key, Unit: v.Unit, Doc: v.Doc})
	}
	for i := range b.Goals {
		g := &b.Goals[i]
		l.Goals = append(l.Goals, table.Quantity{Key: g.Key, Unit: g.Unit, Sense: g.Describe(), Doc: g.Doc})
	}
	if robust := b.Search.Robust; robust.Draws > 0 {
		l.Confidence = robust.Confidence
		for i := range b.Goals {
			l.Summed = append(l.Summed, summed(&b.Goals[i]))
		}
	}
	for i := range b.Limits {
		k := &b.Limits[i]
		l.Limits = append(l.Limits, table.Quantity{
			Key: k.Metric.Key, Unit: k.Unit, Sense: table.Bounds(k.AtLeast, k.AtMost, k.Size, k.Unit), Doc: k.Doc,
		})
	}
	return l
}

// summed says what stands for a goal in a robust search; a goal that is aimed
// for counts by how far it is off.
func summed(g *brief.Goal) string {
	if g.Sense == brief.Nearest {
		return g.As.String() + " off"
	}
	return g.As.String()
}

// rowOf completes the row of a flight of design x.
func rowOf(b *brief.Brief, design int, x []float64, f *model.Flight, scratch *model.Scratch) output.Row {
	return shown(b, study.RowOf(b, design, x, f, scratch))
}

// shown returns the rows of a front for the tables and texts of output.
func shownAll(b *brief.Brief, rows []study.Row) []output.Row {
	all := make([]output.Row, len(rows))
	for i := range rows {
		all[i] = shown(b, rows[i])
	}
	return all
}

func shown(b *brief.Brief, r study.Row) output.Row {
	row := output.Row{Design: r.Design, X: r.X, Outcome: r.Outcome, Warnings: r.Warnings, Knee: r.Design == 1}
	for _, v := range r.Figures {
		row.Figures = append(row.Figures, table.Of(v, !math.IsNaN(v)))
	}
	for _, v := range r.Slacks {
		row.Slacks = append(row.Slacks, table.Of(v, !math.IsNaN(v)))
	}
	if keys := r.Binding(b); len(keys) > 0 {
		row.Binding = keys
	}
	if p := r.Proof; p != nil {
		for k, v := range p.Goals {
			row.Goals = append(row.Goals, table.Of(b.Goals[k].Natural(v), true))
		}
		for _, c := range p.Chances {
			row.Chances = append(row.Chances, output.Chance{Share: c.Share(), AtLeast: c.AtLeast()})
		}
		row.Held = p.Held
	}
	return row
}

// series are the columns of a trajectory, beside design and phase.
var series = []struct {
	table.Quantity
	value func(*model.Sample) float64
	aloft bool // means nothing under the canopy
}{
	{table.Quantity{Key: "t", Unit: "s", Doc: "time after release"}, func(p *model.Sample) float64 { return p.T }, false},
	{table.Quantity{Key: "x", Unit: "m", Doc: "distance downwind of the pad"}, func(p *model.Sample) float64 { return p.X }, false},
	{table.Quantity{Key: "z", Unit: "m", Doc: "height above the pad"}, func(p *model.Sample) float64 { return p.Z }, false},
	{table.Quantity{Key: "speed", Unit: "m/s", Doc: "speed over ground"}, func(p *model.Sample) float64 { return p.Speed }, false},
	{table.Quantity{Key: "vertical_speed", Unit: "m/s", Doc: "upward speed"}, func(p *model.Sample) float64 { return p.Vertical }, false},
	{table.Quantity{Key: "airspeed", Unit: "m/s", Doc: "speed through the air"}, func(p *model.Sample) float64 { return p.AirSpeed }, false},
	{table.Quantity{Key: "mach", Unit: "1", Doc: "Mach number"}, func(p *model.Sample) float64 { return p.Mach }, false},
	{table.Quantity{Key: "mass", Unit: "kg", Doc: "mass with water and gas"}, func(p *model.Sample) float64 { return p.Mass }, false},
	{table.Quantity{Key: "acceleration", Unit: "m/s2", Doc: "acceleration felt aboard"}, func(p *model.Sample) float64 { return p.Acceleration }, false},
	{table.Quantity{Key: "pitch", Unit: "rad", Doc: "body axis from the vertical, positive downwind"}, func(p *model.Sample) float64 { return p.Pitch }, true},
	{table.Quantity{Key: "incidence", Unit: "rad", Doc: "angle of attack"}, func(p *model.Sample) float64 { return p.Incidence }, true},
	{table.Quantity{Key: "cg", Unit: "m", Doc: "centre of gravity from the nose tip"}, func(p *model.Sample) float64 { return p.CG }, true},
	{table.Quantity{Key: "cp", Unit: "m", Doc: "centre of pressure from the nose tip"}, func(p *model.Sample) float64 { return p.CP }, true},
	{table.Quantity{Key: "margin", Unit: "cal", Doc: "static margin"}, func(p *model.Sample) float64 { return p.Margin }, true},
	{table.Quantity{Key: "thrust", Unit: "N", Doc: "thrust"}, func(p *model.Sample) float64 { return p.Thrust }, true},
	{table.Quantity{Key: "chamber_pressure", Unit: "Pa", Doc: "absolute pressure in the chamber"}, func(p *model.Sample) float64 { return p.Pressure }, true},
	{table.Quantity{Key: "water", Unit: "m3", Doc: "water in the chamber"}, func(p *model.Sample) float64 { return p.Water }, true},
}

// pathTable returns the table of trajectories, one slice of samples a design.
func pathTable(paths [][]model.Sample) table.Table {
	quantities := make([]table.Quantity, len(series))
	for i, q := range series {
		quantities[i] = q.Quantity
	}
	var samples []output.Sample
	for i, path := range paths {
		for j := range path {
			p := &path[j]
			values := make([]float64, len(series))
			for k, q := range series {
				if values[k] = q.value(p); q.aloft && p.Phase == model.CanopyPhase {
					values[k] = math.NaN()
				}
			}
			samples = append(samples, output.Sample{Design: i + 1, Phase: p.Phase.String(), Values: values})
		}
	}
	return output.Paths(quantities, samples)
}

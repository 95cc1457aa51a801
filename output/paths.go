package output

import (
	"fmt"
	"math"

	"ullage/model"
	"ullage/output/runs"
	"ullage/output/table"
)

// series are the columns of a trajectory, beside design and phase.
var series = []struct {
	model.FigureInfo
	of    func(*model.Sample) *float64
	aloft bool // means nothing under the canopy
}{
	{model.FigureInfo{Key: "t", Unit: "s", Doc: "time after release"}, func(p *model.Sample) *float64 { return &p.T }, false},
	{model.FigureInfo{Key: "x", Unit: "m", Doc: "distance downwind of the pad"}, func(p *model.Sample) *float64 { return &p.X }, false},
	{model.FigureInfo{Key: "z", Unit: "m", Doc: "height above the pad"}, func(p *model.Sample) *float64 { return &p.Z }, false},
	{model.FigureInfo{Key: "speed", Unit: "m/s", Doc: "speed over ground"}, func(p *model.Sample) *float64 { return &p.Speed }, false},
	{model.FigureInfo{Key: "vertical_speed", Unit: "m/s", Doc: "upward speed"}, func(p *model.Sample) *float64 { return &p.Vertical }, false},
	{model.FigureInfo{Key: "airspeed", Unit: "m/s", Doc: "speed through the air"}, func(p *model.Sample) *float64 { return &p.AirSpeed }, false},
	{model.FigureInfo{Key: "mach", Unit: "1", Doc: "Mach number"}, func(p *model.Sample) *float64 { return &p.Mach }, false},
	{model.FigureInfo{Key: "mass", Unit: "kg", Doc: "mass with water and gas"}, func(p *model.Sample) *float64 { return &p.Mass }, false},
	{model.FigureInfo{Key: "acceleration", Unit: "m/s2", Doc: "acceleration felt aboard"}, func(p *model.Sample) *float64 { return &p.Acceleration }, false},
	{model.FigureInfo{Key: "pitch", Unit: "rad", Doc: "body axis from the vertical, positive downwind"}, func(p *model.Sample) *float64 { return &p.Pitch }, true},
	{model.FigureInfo{Key: "incidence", Unit: "rad", Doc: "angle of attack"}, func(p *model.Sample) *float64 { return &p.Incidence }, true},
	{model.FigureInfo{Key: "cg", Unit: "m", Doc: "centre of gravity from the nose tip"}, func(p *model.Sample) *float64 { return &p.CG }, true},
	{model.FigureInfo{Key: "cp", Unit: "m", Doc: "centre of pressure from the nose tip"}, func(p *model.Sample) *float64 { return &p.CP }, true},
	{model.FigureInfo{Key: "margin", Unit: "cal", Doc: "static margin"}, func(p *model.Sample) *float64 { return &p.Margin }, true},
	{model.FigureInfo{Key: "thrust", Unit: "N", Doc: "thrust"}, func(p *model.Sample) *float64 { return &p.Thrust }, true},
	{model.FigureInfo{Key: "chamber_pressure", Unit: "Pa", Doc: "absolute pressure in the chamber"}, func(p *model.Sample) *float64 { return &p.Pressure }, true},
	{model.FigureInfo{Key: "water", Unit: "m3", Doc: "water in the chamber"}, func(p *model.Sample) *float64 { return &p.Water }, true},
}

// Paths returns the table of trajectories in long form, one slice of samples a
// design: design and sample, both from 1 and together the key of a row, phase,
// then one nullable column a series. What means nothing under the canopy is null
// there.
func Paths(paths [][]model.Sample) table.Table {
	var designs, numbers []int32
	var samples []model.Sample
	for i, path := range paths {
		for k := range path {
			designs, numbers = append(designs, int32(i+1)), append(numbers, int32(k+1))
		}
		samples = append(samples, path...)
	}
	t := table.Table{Columns: []table.Column{
		identity("design", "number of the design in this run", designs),
		identity("sample", "number of the sample in the design's flight, in order of time", numbers),
		identity("phase", "phase of the flight", table.Gather(samples, func(s model.Sample) string { return s.Phase.String() })),
	}}
	for _, of := range series {
		c := figure(of.FigureInfo)
		c.Values = nullable(samples, of.Unit, func(s model.Sample) float64 {
			if of.aloft && s.Phase == model.CanopyPhase {
				return math.NaN()
			}
			return *of.of(&s)
		})
		t.Columns = append(t.Columns, c)
	}
	return t
}

// EachPath reads the trajectories of a run's designs, so many, from the folder dir
// and gives take one at a time, which is valid until it returns. It errs as
// runs.ScanTable does, where a column is missing or of another type, and where a
// design is beyond so many or has too many samples.
func EachPath(r runs.Run, dir string, designs int, take func(design int, path []model.Sample)) error {
	names := []string{"design", "phase"}
	for _, of := range series {
		names = append(names, table.ColumnName(of.Key, of.Unit))
	}
	p := pathReader{designs: designs, take: take}
	if err := r.ScanTable(dir, pathsName, names, p.part); err != nil {
		return err
	}
	p.end()
	return nil
}

// A pathReader gathers the samples of one design after the other.
type pathReader struct {
	designs int
	take    func(design int, path []model.Sample)

	design int // 0: none so far
	path   []model.Sample
}

func (p *pathReader) part(t table.Table) error {
	read := table.Reader{Table: t}
	designs, phases := table.Values[int32](&read, "design"), table.Values[string](&read, "phase")
	columns := make([][]float64, len(series))
	for k, of := range series {
		columns[k] = read.SI(table.ColumnName(of.Key, of.Unit), of.Unit)
	}
	if read.Err != nil {
		return read.Err
	}
	for i, n := range designs {
		if n < 1 || int(n) > p.designs {
			return fmt.Errorf("design %d, want 1 to %d", n, p.designs)
		}
		if int(n) != p.design {
			p.end()
			p.design = int(n)
		}
		if len(p.path) == mostSamples {
			return fmt.Errorf("design %d: more than %d samples", n, mostSamples)
		}
		s := model.Sample{Phase: phaseOf(phases[i])}
		for k, of := range series {
			*of.of(&s) = columns[k][i]
		}
		p.path = append(p.path, s)
	}
	return nil
}

// mostSamples is more than a flight has, of which some hundreds are kept.
const mostSamples = 1 << 18

func (p *pathReader) end() {
	if p.design > 0 {
		p.take(p.design, p.path)
	}
	p.path = p.path[:0]
}

// phaseOf returns the phase of a name, that of a coast for any other name.
func phaseOf(name string) model.Phase {
	for phase := model.TubePhase; phase <= model.CanopyPhase; phase++ {
		if phase.String() == name {
			return phase
		}
	}
	return model.CoastPhase
}

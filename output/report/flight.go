package report

import (
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize"
	"ullage/output/table"
)

// A trajectory is that of one design, thinned, in shown units.
type trajectory struct {
	Time   []float64      `json:"t"`      // s
	X      []float64      `json:"-"`      // m downwind
	Height []table.Number `json:"height"` // m
	Speed  []table.Number `json:"speed"`  // m/s
	Margin []table.Number `json:"margin"` // cal
	CG     []table.Number `json:"cg"`     // mm from the nose tip
	CP     []table.Number `json:"cp"`     // mm from the nose tip
	Thrust []table.Number `json:"thrust"` // N
	Marks  []mark         `json:"marks"`
	Guide  table.Number   `json:"guide"` // s, when the guide ends
	Ends   float64        `json:"ends"`  // s, when thrust ends
}

// A mark is an instant that has a name.
type mark struct {
	Time float64 `json:"t"` // s
	Word string  `json:"word"`
}

// endOf names the end of a phase.
var endOf = map[model.Phase]string{model.TubePhase: "tube ends", model.WaterPhase: "water out", model.GasPhase: "gas out"}

// bend is how far, as a share of a series' range, a thinned trajectory may lie
// off the samples: half a line's width in a chart of 200 pixels.
const bend = 0.0025

// newTrajectory thins a path; guide is the speed with which it leaves the guide,
// NaN where it does not.
func newTrajectory(path []model.Sample, guide float64) trajectory {
	t := table.Gather(path, func(s model.Sample) float64 { return s.T })
	of := func(value func(*model.Sample) float64, aloft bool) []float64 {
		return table.Gather(path, func(s model.Sample) float64 {
			if aloft && s.Phase == model.CanopyPhase {
				return math.NaN() // it means nothing there
			}
			return value(&s)
		})
	}
	series := [][]float64{
		of(func(s *model.Sample) float64 { return s.Z }, false), of(func(s *model.Sample) float64 { return s.Speed }, false),
		of(func(s *model.Sample) float64 { return s.Margin }, true), of(func(s *model.Sample) float64 { return s.CG }, true),
		of(func(s *model.Sample) float64 { return s.CP }, true), of(func(s *model.Sample) float64 { return s.Thrust }, true),
		of(func(s *model.Sample) float64 { return s.X }, false),
	}
	f, must := trajectory{Guide: table.Number(math.NaN())}, map[int]bool{}
	if len(path) == 0 {
		return f
	}
	f.mark(path, series[0], series[1], guide, must)
	kept := thin(t, series, must)
	f.Time = table.Gather(kept, func(i int) float64 { return digits(t[i]) })
	thinned := func(j int, scale float64) []table.Number {
		return table.Gather(kept, func(i int) table.Number { return table.Number(digits(series[j][i] * scale)) })
	}
	f.Height, f.Speed, f.Margin = thinned(0, 1), thinned(1, 1), thinned(2, 1)
	f.X = table.Gather(kept, func(i int) float64 { return series[6][i] })
	f.CG, f.CP, f.Thrust = thinned(3, 1e3), thinned(4, 1e3), thinned(5, 1)
	return f
}

// mark notes the instants that have a name, and that they must be kept.
func (f *trajectory) mark(path []model.Sample, heights, speeds []float64, guide float64, must map[int]bool) {
	if i := reaches(speeds, guide); i >= 0 {
		must[i] = true
		f.Guide = table.Number(digits(path[i].T))
		f.Marks = append(f.Marks, mark{digits(path[i].T), "guide ends"})
	}
	top := 0
	for i := range path {
		if heights[i] > heights[top] {
			top = i
		}
		if i == 0 || path[i].Phase == path[i-1].Phase {
			continue
		}
		must[i] = true
		if word, ok := endOf[path[i-1].Phase]; ok {
			f.Marks, f.Ends = append(f.Marks, mark{digits(path[i].T), word}), path[i].T
		}
		if path[i].Phase == model.CanopyPhase {
			f.Marks = append(f.Marks, mark{digits(path[i].T), "canopy opens"})
		}
	}
	must[top] = true
	f.Marks = append(f.Marks, mark{digits(path[top].T), "apogee"})
	f.Ends = digits(f.Ends)
}

// reaches returns the first sample with at least a given speed, or −1. The end
// of the guide is a sample, so that it is that one; the speeds come from two
// roundings.
func reaches(speed []float64, given float64) int {
	return slices.IndexFunc(speed, func(v float64) bool { return v >= given*(1-1e-9) }) // never of a NaN
}

// thin returns the indices of points whose straight joins stay within bend of
// all others; those of must, and both sides of a gap, are among them.
func thin(t []float64, series [][]float64, must map[int]bool) []int {
	allowed := table.Gather(series, func(s []float64) float64 {
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range s {
			if !math.IsNaN(v) {
				low, high = min(low, v), max(high, v)
			}
		}
		return bend * (high - low)
	})
	straight := func(from, to int) bool {
		for j, s := range series {
			for i := from; i < to; i++ {
				if math.IsNaN(s[i]) != math.IsNaN(s[to]) {
					return false
				}
				share := 0.0
				if t[to] > t[from] {
					share = (t[i] - t[from]) / (t[to] - t[from])
				}
				if math.Abs(s[from]+share*(s[to]-s[from])-s[i]) > allowed[j] { // never of a NaN
					return false
				}
			}
		}
		return true
	}
	kept := []int{0}
	for i := 1; i < len(t); i++ {
		if last := kept[len(kept)-1]; last < i-1 && (must[i-1] || !straight(last, i)) {
			kept = append(kept, i-1)
		}
	}
	if last := len(t) - 1; kept[len(kept)-1] < last {
		kept = append(kept, last)
	}
	return kept
}

// A growth is how the hypervolume grew: of the best island at each
// barrier, against the flights of all.
type growth struct {
	Flights []int     `json:"flights"`
	Share   []float64 `json:"share"` // %, of the whole run's at its end
}

func newGrowth(records []optimize.Record, whole float64) growth {
	h := growth{Flights: []int{}, Share: []float64{}}
	if whole <= 0 {
		return h
	}
	for i, r := range records {
		if i == 0 || r.Barrier != records[i-1].Barrier {
			h.Flights, h.Share = append(h.Flights, 0), append(h.Share, 0)
		}
		last := len(h.Flights) - 1
		h.Flights[last] += r.Flights
		h.Share[last] = max(h.Share[last], digits(100*r.Hypervolume/whole))
	}
	return h
}

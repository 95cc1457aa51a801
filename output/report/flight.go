package report

import (
	"fmt"
	"math"
	"slices"

	"ullage/output/table"
)

// A trajectory is the trajectory of one design, thinned, in shown units.
type trajectory struct {
	Time   []float64     `json:"t"`      // s
	Height []table.Value `json:"height"` // m
	Speed  []table.Value `json:"speed"`  // m/s
	Margin []table.Value `json:"margin"` // cal
	CG     []table.Value `json:"cg"`     // mm from the nose tip
	CP     []table.Value `json:"cp"`     // mm from the nose tip
	Thrust []table.Value `json:"thrust"` // N
	Marks  []mark        `json:"marks"`
	Guide  table.Value   `json:"guide"` // s, when the guide ends
	Ends   float64       `json:"ends"`  // s, when thrust ends
}

// A mark is an instant that has a name.
type mark struct {
	Time float64 `json:"t"` // s
	Word string  `json:"word"`
}

// endOf names the end of a phase.
var endOf = map[string]string{"tube": "tube ends", "water": "water out", "gas": "gas out"}

// bend is how far, as a share of a series' range, a thinned trajectory may lie
// off the samples: half a line's width in a chart of 200 pixels.
const bend = 0.0025

// trajectories returns the flights of designs, in their order; guide holds the
// speed with which each leaves the guide.
func trajectories(t table.Table, guide []table.Value) ([]trajectory, error) {
	designs := len(guide)
	r := table.Reader{Table: t}
	design, phase, seconds := table.Values[int32](&r, "design"), table.Values[string](&r, "phase"), table.Values[table.Value](&r, "t_s")
	series := make([][]table.Value, 0, 6)
	for _, q := range []table.Quantity{
		{Key: "z", Unit: "m"}, {Key: "speed", Unit: "m/s"}, {Key: "margin", Unit: "cal"}, {Key: "cg", Unit: "m"}, {Key: "cp", Unit: "m"}, {Key: "thrust", Unit: "N"},
	} {
		series = append(series, table.Values[table.Value](&r, table.ColumnName(q.Key, q.Unit)))
	}
	if r.Err != nil {
		return nil, r.Err
	}
	flights := make([]trajectory, designs)
	for first := 0; first < len(design); {
		end := first + 1
		for end < len(design) && design[end] == design[first] {
			end++
		}
		n := int(design[first])
		if n < 1 || n > designs {
			return nil, fmt.Errorf("design %d, want 1 to %d", n, designs)
		}
		of := make([][]table.Value, len(series))
		for i, s := range series {
			of[i] = s[first:end]
		}
		flights[n-1] = newTrajectory(table.Gather(seconds[first:end], func(v table.Value) float64 { return v.Number }), phase[first:end], of, guide[n-1])
		first = end
	}
	return flights, nil
}

func newTrajectory(t []float64, phase []string, series [][]table.Value, guide table.Value) trajectory {
	var f trajectory
	must, top := map[int]bool{}, 0
	if i := reaches(series[1], guide); i >= 0 {
		must[i] = true
		f.Guide = table.Of(digits(t[i]), true)
		f.Marks = append(f.Marks, mark{digits(t[i]), "guide ends"})
	}
	for i := range t {
		if series[0][i].Number > series[0][top].Number {
			top = i
		}
		if i == 0 || phase[i] == phase[i-1] {
			continue
		}
		must[i] = true
		if word, ok := endOf[phase[i-1]]; ok {
			f.Marks, f.Ends = append(f.Marks, mark{digits(t[i]), word}), t[i]
		}
		if phase[i] == "canopy" {
			f.Marks = append(f.Marks, mark{digits(t[i]), "canopy opens"})
		}
	}
	must[top] = true
	f.Marks = append(f.Marks, mark{digits(t[top]), "apogee"})
	f.Ends = digits(f.Ends)
	kept := thin(t, series, must)
	f.Time = table.Gather(kept, func(i int) float64 { return digits(t[i]) })
	of := func(j int, scale float64) []table.Value {
		return table.Gather(kept, func(i int) table.Value { return table.Of(digits(series[j][i].Number*scale), series[j][i].Applies) })
	}
	f.Height, f.Speed, f.Margin = of(0, 1), of(1, 1), of(2, 1)
	f.CG, f.CP, f.Thrust = of(3, 1e3), of(4, 1e3), of(5, 1)
	return f
}

// reaches returns the first sample with at least a given speed, or −1. The end
// of the guide is a sample, so that it is that one; the speeds come from two
// roundings.
func reaches(speed []table.Value, given table.Value) int {
	return slices.IndexFunc(speed, func(v table.Value) bool { return given.Applies && v.Applies && v.Number >= given.Number*(1-1e-9) })
}

// thin returns the indices of points whose straight joins stay within bend of
// all others; those of must, and both sides of a gap, are among them.
func thin(t []float64, series [][]table.Value, must map[int]bool) []int {
	allowed := table.Gather(series, func(s []table.Value) float64 {
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range s {
			if v.Applies {
				low, high = min(low, v.Number), max(high, v.Number)
			}
		}
		return bend * (high - low)
	})
	straight := func(from, to int) bool {
		for j, s := range series {
			for i := from; i < to; i++ {
				if s[i].Applies != s[to].Applies {
					return false
				}
				share := 0.0
				if t[to] > t[from] {
					share = (t[i] - t[from]) / (t[to] - t[from])
				}
				if math.Abs(s[from].Number+share*(s[to].Number-s[from].Number)-s[i].Number) > allowed[j] && s[i].Applies {
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

func newGrowth(t table.Table, whole float64) (growth, error) {
	r := table.Reader{Table: t}
	epoch, flights, hypervolume := table.Values[int32](&r, "epoch"), table.Values[int32](&r, "flights"), table.Values[float64](&r, "hypervolume")
	h := growth{Flights: []int{}, Share: []float64{}}
	if r.Err != nil || whole <= 0 {
		return h, r.Err
	}
	for i := range epoch {
		if i == 0 || epoch[i] != epoch[i-1] {
			h.Flights, h.Share = append(h.Flights, 0), append(h.Share, 0)
		}
		last := len(h.Flights) - 1
		h.Flights[last] += int(flights[i])
		h.Share[last] = max(h.Share[last], digits(100*hypervolume[i]/whole))
	}
	return h, nil
}

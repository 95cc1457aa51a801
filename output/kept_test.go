package output_test

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
	"ullage/testdata/kept"
)

// tell says what a table is, a column a line: its name, unit, role, sense and limit,
// its values, and what it holds in words.
func tell(out *strings.Builder, name string, t table.Table) {
	fmt.Fprintf(out, "=== %s, %d rows\n", name, t.Rows())
	for _, c := range t.Columns {
		kind := strings.TrimPrefix(fmt.Sprintf("%T", c.Values), "table.")
		fmt.Fprintf(out, "%s [%s] %s %q %q %s %v\n", c.Name, c.Unit, c.Role, c.Sense, c.Limit, kind, c.Values)
		if c.Doc != "" {
			fmt.Fprintf(out, "    %s\n", c.Doc)
		}
	}
}

// TestKeptTables keeps every table that is written, of broad briefs.
func TestKeptTables(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	b, rows := sample.Broad("")
	tell(&out, "a front", output.Front(b, rows, [][]answers.Doubt{doubts(), nil, nil, nil}))
	b, rows = sample.Proved()
	proved := output.Front(b, rows, nil)
	proved.Columns = proved.Columns[len(b.Vary)+len(study.Figures())+1:]
	tell(&out, "what a robust front has behind its figures", table.Table{Columns: proved.Columns[:len(b.Limits)*4+len(b.Goals)+3]})

	flights := output.NewFlights(b, "abc", 4)
	for i, x := range [][]float64{rows[2].X, rows[0].X, rows[1].X, rows[3].X} {
		numbers := make([]float64, len(output.Numbers(b)))
		for k := range numbers {
			numbers[k] = float64(i) + float64(k)/8
		}
		numbers[0] = []float64{math.NaN(), 1, 2, 3}[i]
		flights.Set(i, int64(7+i), x, &study.Kept{Numbers: numbers, Feasible: i%2 == 0, Outcome: []string{"landed", "no_lift_off"}[i%2]})
	}
	tell(&out, "flights of a sweep", flights.Table(3))
	tell(&out, "constants of a sweep", output.Constants(b, "abc"))
	tell(&out, "history", output.History(b, []optimize.Record{
		{Barrier: 1, Island: 0, Flights: 200, Feasible: 50, Hypervolume: 1.5},
		{Barrier: 1, Island: 1, Flights: 0, Hypervolume: 0, Best: []float64{-1.25, 2.5, 57, -131, -0.08}},
	}, []float64{0.5, 1}))
	tell(&out, "landings", output.Landings([][]study.Landing{{{Drift: 1, Speed: 5}, {Drift: math.NaN(), Speed: math.NaN()}}, {{Drift: -2, Speed: 6}}}))
	tell(&out, "indices", output.Indices(sample.Indices()))
	e := sample.Effects(3)
	tell(&out, "effects", e.Table())
	e.Changes[3].Word = "4"
	tell(&out, "effects of words", e.Table())
	tell(&out, "paths", output.Paths([][]model.Sample{{sampleAt(model.TubePhase, 1), sampleAt(model.CanopyPhase, 2)}, {sampleAt(model.GasPhase, 3)}}))
	s := sample.Scatter(2, true)
	scatter := s.Table()
	scatter.Columns = append(scatter.Columns[:16:16], scatter.Columns[len(scatter.Columns)-11:]...)
	tell(&out, "scatter, the first and the last columns", scatter)
	c := output.Compare([]output.Compared{compared("runs/a", 0), compared("runs/b", 5), compared("runs/c", -5)})
	beaten := c.Table()
	beaten.Columns = beaten.Columns[:12]
	tell(&out, "a comparison, its first columns", beaten)
	kept.Same(t, "tables.txt", out.String())
}

// doubts are of every figure that is doubted, in the order of answers.Doubted.
func doubts() []answers.Doubt {
	var all []answers.Doubt
	for i, id := range answers.Doubted {
		all = append(all, answers.Doubt{Figure: id, Value: 10 + float64(i), Low: 9 + float64(i), High: 12 + float64(i)})
	}
	return all
}

// sampleAt is a sample of which every number is another.
func sampleAt(phase model.Phase, of float64) model.Sample {
	s := model.Sample{Phase: phase}
	v, k := reflect.ValueOf(&s).Elem(), 0.0
	for i := range v.NumField() {
		if f := v.Field(i); f.Kind() == reflect.Float64 {
			k++
			f.SetFloat(of + k/100)
		}
	}
	return s
}

// compared is a run of the sample whose designs fly so much higher.
func compared(name string, higher float64) output.Compared {
	b, rows := sample.Brief(""), sample.Rows()
	for i := range rows {
		rows[i].Figures[model.Apogee] += higher
	}
	return output.Compared{Name: name, Brief: b, Rows: rows, Front: output.Front(b, rows, nil)}
}

// A number that a comparison is made in stands there for every run, also where a run
// does not vary it, and what some front does not have is left out or null.
func TestComparisonOfUnlikeFronts(t *testing.T) {
	a, b := compared("a", 0), compared("b", 1)
	drop := func(t *table.Table, name string) {
		for i := range t.Columns {
			if t.Columns[i].Name == name {
				t.Columns = append(t.Columns[:i:i], t.Columns[i+1:]...)
				return
			}
		}
	}
	for _, name := range []string{"apogee_m", "binding", "knee", "brief_sha256"} {
		drop(&b.Front, name)
	}
	got := output.Compare([]output.Compared{a, b}).Table()
	read := table.Reader{Table: got}
	if apogee := read.SI("apogee_m", "m"); len(apogee) != 4 || apogee[0] != 142.3 || !math.IsNaN(apogee[2]) {
		t.Errorf("apogees %v, want those of the first run and none", apogee)
	}
	for _, name := range []string{"binding", "knee", "brief_sha256"} {
		if read.Has(name) {
			t.Errorf("%s, which the second front lacks, is there", name)
		}
	}
	for _, name := range []string{"feasible", "warnings", "chamber_throat_m"} {
		if !read.Has(name) {
			t.Errorf("%s, which both fronts have, is not there", name)
		}
	}
	throat, _ := brief.MetricByKey("fins.span")
	if v := a.Number(&throat, &a.Rows[0]); v != 0.13 {
		t.Errorf("the span, which is not varied, is %v, want the brief's", v)
	}
}

package answers

import (
	"slices"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// TestDoubtsAreFlown draws the flights of the doubts again.
func TestDoubtsAreFlown(t *testing.T) {
	b, scratch := briefs.Demo(t, briefs.High), model.NewScratch()
	draws := scatter.ForDoubts(b, 200, 1)
	values := make([][]float64, len(Doubted))
	for i := range draws.Flights() {
		var r model.Rocket
		var s model.Site
		draws.At(i, &b.Rocket, &b.Site, &r, &s)
		f := model.Fly(&r, &s, scratch)
		for k, id := range Doubted {
			v, _ := f.Figure(id)
			values[k] = append(values[k], v)
		}
	}
	rows := []study.Row{{X: b.Own()}, {X: []float64{0.15, 0.012, 0.25, 0.1, 4.8}}, {X: b.Own()}}
	all := DoubtsOf(t.Context(), b, rows, 2)
	for _, doubts := range [][]Doubt{all[0], all[2]} {
		for k, d := range doubts {
			slices.Sort(values[k])
			low, high := constraints.Quantile(values[k], 0.05), constraints.Quantile(values[k], 0.95)
			if d.Low != low || d.High != high {
				t.Errorf("%s: %v to %v, want 5 and 95 %% of the flights, %v and %v", model.Figures[d.Figure].Key, d.Low, d.High, low, high)
			}
		}
	}
	r, s := b.At(rows[1].X)
	f := model.Fly(&r, &s, scratch)
	if v, _ := f.Figure(model.Apogee); len(all) != 3 || all[1][0].Value != v {
		t.Errorf("doubts of %d rows, of the second's height %v, want %v", len(all), all[1][0].Value, v)
	}
	if none := DoubtsOf(t.Context(), b, []study.Row{{X: []float64{0.15, 0.012, 0.25, 20, 4.8}}}, 1); none[0] != nil {
		t.Errorf("doubts of a rocket that stays on the pad: %+v", none[0])
	}
}

func TestFirstAffected(t *testing.T) {
	goal := func(id model.Figure) brief.Goal { return brief.Goal{Metric: brief.FigureMetric(id)} }
	mass, _ := brief.MetricByKey("payload.mass")
	payload := brief.Goal{Metric: mass}
	for _, row := range []struct {
		goals []brief.Goal
		want  model.Figure
	}{
		{nil, model.Apogee},
		{[]brief.Goal{payload}, model.Apogee},
		{[]brief.Goal{payload, goal(model.FlightTime), goal(model.LandingSpeed), goal(model.Margin)}, model.LandingSpeed},
		{[]brief.Goal{goal(model.Margin), goal(model.Apogee)}, model.Margin},
		{[]brief.Goal{goal(model.Apogee)}, model.Apogee},
	} {
		if got := Affected[FirstAffected(&brief.Brief{Goals: row.goals})]; got != row.want {
			t.Errorf("%d goals: %s, want %s", len(row.goals), model.Figures[got].Key, model.Figures[row.want].Key)
		}
	}
}

// TestHardest counts which limit most rows miss; a front that meets the limits
// has prices instead, one without rows nothing.
func TestHardest(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	row := func(missed ...int) study.Row {
		r := study.Row{X: b.Own(), Slacks: make([]float64, len(b.Limits))}
		for _, i := range missed {
			r.Slacks[i] = -1
		}
		return r
	}
	rows := []study.Row{row(0, 2), row(2, 3), row(3), row(1, 2, 3)}
	h := HardestOf(b, rows)
	if h.Limit != &b.Limits[2] || h.Missed != 3 || h.Of != 4 {
		t.Errorf("hardest %+v, want limit 2, the first of two that 3 of 4 rows miss", h)
	}
	if h = HardestOf(b, []study.Row{row()}); h.Limit != nil || h.Missed != 0 || h.Of != 1 {
		t.Errorf("hardest %+v of a row that misses none", h)
	}
	if a := Of(b, &study.Front{Rows: rows}); a == nil || a.Hardest == nil || a.Hardest.Missed != 3 || a.Prices != nil || a.Bands != nil {
		t.Errorf("answers of a front that misses limits: %+v", a)
	}
	if a := Of(b, &study.Front{Rows: rows, Met: true}); a == nil || a.Hardest != nil {
		t.Errorf("answers of a front that meets them: %+v", a)
	}
	if a := Of(b, &study.Front{}); a != nil {
		t.Errorf("answers of no front: %+v", a)
	}
}

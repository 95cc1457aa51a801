package answers_test

import (
	"math"
	"slices"
	"testing"

	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// An end of a range counts on either side, of choices too, but not where
// nothing can be beyond it.
func TestEndsOf(t *testing.T) {
	b := briefs.Parse(t, briefs.Edited(t, "bottle.toml", "[vary]", "[vary]\n\"chamber.throat\" = { choices = [\"9 mm\", \"7 mm\"] }\n\"fins.span\" = { from = \"50 mm\", to = \"95 mm\", step = \"10 mm\" }"))
	x := b.Own()
	at := func(key string, v float64) {
		for i := range b.Vary {
			if b.Vary[i].Key == key {
				x[i] = v
			}
		}
	}
	at("chamber.throat", 7e-3)
	at("fins.span", 90e-3) // the last whole step
	at("ballast.mass", 0)  // none is none
	got := map[string]float64{}
	for _, e := range answers.EndsOf(b, x) {
		got[e.Key] = e.Value
	}
	if len(got) != 2 || got["chamber.throat"] != 7e-3 || math.Abs(got["fins.span"]-90e-3) > 1e-12 {
		t.Errorf("EndsOf = %v, want the throat of 7 mm and the span of 90 mm", got)
	}
	at("chamber.throat", 9e-3)
	at("fins.span", 80e-3)
	if ends := answers.EndsOf(b, x); len(ends) != 1 || ends[0].Key != "chamber.throat" {
		t.Errorf("EndsOf = %v, want the throat alone", ends)
	}
}

// What stands within rounding of an end stands at it; where no brief may say more
// the end of its range is none.
func TestNoEndBeyondWhichNothingIs(t *testing.T) {
	b := briefs.Demo(t, "field-day.toml")
	at := slices.IndexFunc(b.Vary, func(v brief.Vary) bool { return v.Key == "chamber.fill" })
	v := &b.Vary[at]
	v.Step = 0
	x := b.Own()
	for i := range b.Vary {
		x[i] = (b.Vary[i].From + b.Vary[i].To) / 2
	}
	for _, row := range []struct {
		from, to, own float64
		want          []float64
	}{
		{0.2, 0.4, 0.2, []float64{0.2}},
		{0.2, 0.4, 0.4, []float64{0.4}},
		{0.2, 0.4, 0.3, nil},
		{0.2, 0.4, 0.2 + 1e-10, []float64{0.2}},
		{0.2, 0.4, 0.4 - 1e-10, []float64{0.4}},
		{0.2, 0.4, 0.2 + 1e-9, nil},
		{0.2, 0.4, 0.4 - 1e-9, nil},
		{v.Min, 0.4, v.Min, nil},
		{v.Min, 0.4, 0.4, []float64{0.4}},
		{0.2, v.Max, v.Max, nil},
		{0.2, v.Max, 0.2, []float64{0.2}},
	} {
		v.From, v.To, x[at] = row.from, row.to, row.own
		var got []float64
		for _, e := range answers.EndsOf(b, x) {
			got = append(got, e.Value)
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("fill of %v in %v to %v: ends %v, want %v", row.own, row.from, row.to, got, row.want)
		}
	}
}

// The best of a goal is sought among designs that keep every limit and have the
// number: of two, the first; a goal none has a number in, or whose best stands
// within all ranges, is not listed.
func TestBestsAtEnds(t *testing.T) {
	b := briefs.Demo(t, "field-day.toml") // apogee, payload, margin up to 2, all as high as may be
	inside, atEnd := b.Own(), b.Own()
	for i := range b.Vary {
		v := &b.Vary[i]
		inside[i] = (v.From + v.To) / 2
		atEnd[i] = inside[i]
		if v.Key == "payload.mass" {
			atEnd[i] = v.To
		}
	}
	row := func(x []float64, slack float64) study.Row {
		return study.Row{X: x, Slacks: []float64{slack}}
	}
	one := *b
	one.Limits = b.Limits[:1]
	none := math.NaN()
	for _, c := range []struct {
		why  string
		rows []study.Row
		of   []float64 // what each row is worth in the goal
		want bool      // the goal is listed: its best is the one at an end
	}{
		{"the higher stands at an end", []study.Row{row(inside, 1), row(atEnd, 1)}, []float64{1, 2}, true},
		{"the higher stands within", []study.Row{row(inside, 1), row(atEnd, 1)}, []float64{2, 1}, false},
		{"of two that are alike the first", []study.Row{row(inside, 1), row(atEnd, 1)}, []float64{2, 2}, false},
		{"the higher misses a limit", []study.Row{row(inside, 1), row(atEnd, -1)}, []float64{1, 2}, false},
		{"the first misses a limit", []study.Row{row(inside, -1), row(atEnd, 1)}, []float64{2, 1}, true},
		{"the first has no number", []study.Row{row(inside, 1), row(atEnd, 1)}, []float64{none, 1}, true},
		{"the second has no number", []study.Row{row(inside, 1), row(atEnd, 1)}, []float64{1, none}, false},
		{"none has a number", []study.Row{row(atEnd, 1), row(atEnd, 1)}, []float64{none, none}, false},
		{"none keeps the limit", []study.Row{row(atEnd, -1), row(atEnd, -1)}, []float64{1, 2}, false},
		{"no rows", nil, nil, false},
	} {
		for k := range one.Goals {
			values := make([][]float64, len(one.Goals))
			for j := range values {
				values[j] = make([]float64, len(c.rows))
				for i := range values[j] {
					values[j][i] = none
				}
			}
			values[k] = c.of
			all := answers.BestsAtEnds(&one, c.rows, values)
			if got := len(all) == 1 && all[0].Goal == &one.Goals[k] && len(all[0].Ends) == 1 && all[0].Ends[0].Key == "payload.mass"; got != c.want || !c.want && len(all) > 0 {
				t.Errorf("%s, in %s: %+v, want it listed %v", c.why, one.Goals[k].Key, all, c.want)
			}
		}
	}
}

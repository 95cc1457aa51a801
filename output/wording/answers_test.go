package wording

import (
	"encoding/json"
	"math"
	"testing"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/runs"
)

// The answers of a front as run.json keeps them, in its units.
func TestRecord(t *testing.T) {
	b := sample.Brief("", "chamber.throat=9 mm")
	b.Goals = b.Goals[:1]
	limit := func(id model.Figure) *brief.Limit { return &brief.Limit{Metric: brief.FigureMetric(id)} }
	record := Record(b, &answers.Answers{
		Prices: []answers.Price{{Limit: limit(model.Acceleration), PerUnit: 0.2}, {Limit: limit(model.FlutterFactor), PerUnit: 12}},
		Bands: []answers.Band{
			{Quantity: brief.MustQuantity("fins.span"), From: answers.End{Value: 0.12, By: "margin"}, To: answers.End{Value: 0.162, By: "apogee"}},
			{Quantity: brief.MustQuantity("chamber.fill"), From: answers.End{Value: 0.2}, To: answers.End{Value: 0.34, By: "acceleration"}},
		},
	}, sample.Rows(), sample.Doubts()[2:])
	got, err := json.Marshal(record)
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"goal":"apogee","knee":"apogee 142 m (best 142)",` +
		`"doubts":["landing speed 5.00 m/s as modelled; 4.40 to 5.60 before any measured flight",` +
		`"acceleration 20.0 gn as modelled; 18.0 to 21.0 before any measured flight, most of it for the gauge"],` +
		`"prices":[{"limit":"acceleration","goal":"apogee","per_unit":0.2,"unit":"m per m/s2"},` +
		`{"limit":"flutter_factor","goal":"apogee","per_unit":12,"unit":"m per 1"}],` +
		`"bands":[{"quantity":"fins.span","unit":"m","from":0.12,"from_by":"margin","to":0.162,"to_by":"apogee"},{"quantity":"chamber.fill","unit":"1","from":0.2,"to":0.34,"to_by":"acceleration"}]}`
	if string(got) != want {
		t.Errorf("JSON of answers = %s, want %s", got, want)
	}
}

// A price of a limit on an angle is for each degree, as files and people have it.
func TestPriceOfAnAngle(t *testing.T) {
	b := sample.Brief("")
	incidence := &brief.Limit{Metric: brief.FigureMetric(model.PeakIncidence)}
	record := Record(b, &answers.Answers{Prices: []answers.Price{{Limit: incidence, PerUnit: 57.295779513082323}}}, nil, nil)
	if p := record.Prices[0]; p.PerUnit < 0.999999 || p.PerUnit > 1.000001 || p.Unit != "m per deg" {
		t.Errorf("price of 57.3 m per rad = %+v, want 1 m per deg", p)
	}
	if lines := Prices(record.Prices); len(lines) != 1 || lines[0] != "peak_incidence costs 1.00 m of apogee per deg" {
		t.Errorf("Prices = %q", lines)
	}
}

// What a file names that there is not is left out.
func TestAnswersOfUnknownKeys(t *testing.T) {
	if got := Prices([]runs.Price{{Limit: "margin", Goal: "\x1b[31m"}, {Limit: "x", Goal: "apogee"}}); len(got) > 0 {
		t.Errorf("Prices = %q, want none", got)
	}
	if got := Bands([]runs.Band{{Quantity: "fins.spam"}}); len(got) > 0 {
		t.Errorf("Bands = %q, want none", got)
	}
}

func TestHardest(t *testing.T) {
	b := sample.Brief("")
	for _, c := range []struct {
		h    answers.Hardest
		want string
	}{
		{answers.Hardest{Limit: &b.Limits[1], Missed: 3, Of: 4}, "the hardest is peak_incidence: 3 of the 4 nearest designs miss it"},
		{answers.Hardest{Of: 4}, "none could be flown to its end"},
	} {
		if got := Hardest(c.h); got != c.want {
			t.Errorf("Hardest = %q, want %q", got, c.want)
		}
		if got := Record(b, &answers.Answers{Hardest: &c.h}, nil, nil).Hardest; got != c.want {
			t.Errorf("Record = %q, want %q", got, c.want)
		}
	}
	if Record(b, nil, nil, nil) != nil {
		t.Error("Record of no answers, want none")
	}
}

// The best of a goal is that of its sense; the first row's own value stands
// before it.
func TestKnee(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	third := rows[0]
	third.Figures = sample.Figures(map[model.Figure]float64{model.Apogee: 160, model.DryMass: 0.7})
	rows[0].Figures[model.DryMass], rows[1].Figures[model.DryMass] = 0.8, 0.9
	rows = append(rows, third)
	b.Goals[1] = brief.Goal{Metric: brief.FigureMetric(model.DryMass), Sense: brief.Lowest}
	if got, want := knee(b, rows), "apogee 142 m (best 160), dry_mass 800 g (best 700)"; got != want {
		t.Errorf("knee = %q, want %q", got, want)
	}
	// A target's best is the nearest to it, on either side.
	b.Goals[0] = brief.Goal{Metric: brief.FigureMetric(model.DryMass), Sense: brief.Nearest, Target: 0.72}
	b.Goals[1] = brief.Goal{Metric: brief.FigureMetric(model.Apogee), Sense: brief.Highest, UpTo: 150}
	if got, want := knee(b, rows), "dry_mass 800 g for 720 (nearest 700), apogee 142 m (best 150, all that counts)"; got != want {
		t.Errorf("knee with a target and a cap = %q, want %q", got, want)
	}
	if got := knee(b, nil); got != "" {
		t.Errorf("knee of no rows = %q, want nothing", got)
	}
}

// In a robust search the best is that of what flights are summed up by, as the
// table shows it.
func TestKneeOfARobustSearch(t *testing.T) {
	b := sample.Brief("[scatter]\n\"chamber.pressure\" = \"2 %\"\n[search]\nrobust = { draws = 100 }\n")
	b.Goals = []brief.Goal{
		{Metric: brief.FigureMetric(model.Apogee), Sense: brief.Highest, UpTo: math.Inf(1), As: brief.Statistic{Tenth: true}},
		{Metric: brief.FigureMetric(model.MaxSpeed), Sense: brief.Nearest, Target: 40},
	}
	rows := sample.Rows()[:2]
	rows[0].Proof = &study.Proof{Design: optimize.Design{Result: optimize.Result{Goals: []float64{-131, 3}}}}
	rows[1].Proof = &study.Proof{Design: optimize.Design{Result: optimize.Result{Goals: []float64{-135, 2.5}}}}
	if got, want := knee(b, rows), "p10 apogee 131 m (best 135), max_speed off 40.0 m/s by 3.00 m/s, mean (least 2.50)"; got != want {
		t.Errorf("knee = %q, want %q", got, want)
	}
}

// What is below a cap of a goal that is to be low counts as the cap.
func TestKneeWithALowestCap(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	b.Goals = []brief.Goal{{Metric: brief.FigureMetric(model.Apogee), Sense: brief.Lowest, UpTo: 120}}
	if got, want := knee(b, rows), "apogee 142 m (best 120, all that counts)"; got != want {
		t.Errorf("knee = %q, want %q", got, want)
	}
	b.Goals[0].UpTo = 90
	if got, want := knee(b, rows), "apogee 142 m (best 98.4)"; got != want {
		t.Errorf("knee = %q, want %q", got, want)
	}
	if got := knee(b, nil); got != "" {
		t.Errorf("knee of nothing = %q", got)
	}
}

package study_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
	"ullage/testdata/python"
)

// A flightCase is what testdata/python/fly.py flies: SI, as the model takes it.
type flightCase struct {
	Rocket model.Rocket `json:"rocket"`
	Site   model.Site   `json:"site"`
	Gust   bool         `json:"gust"` // its gust_incidence is wanted too
}

// A flightAnswer is what it finds; a figure that does not apply is nil.
type flightAnswer struct {
	Outcome  string              `json:"outcome"`
	Figures  map[string]*float64 `json:"figures"`
	Warnings []string            `json:"warnings"`
}

// least is what a figure that can be near 0 may differ by, whatever its size: a
// tenth of what anyone can measure.
var least = map[model.Figure]float64{
	model.Margin: 0.002, model.GuideMargin: 0.002, model.DryMargin: 0.002, // cal
	model.UnstableTime:    1e-3, // s
	model.DeployLate:      2e-3, // s
	model.ThrustEndLean:   1e-4, // rad
	model.PeakIncidence:   1e-4, // rad
	model.Drift:           0.05, // m
	model.DeploySpeed:     0.01, // m/s, near apogee in calm air
	model.ThrustEndHeight: 0.01, // m
	model.DeployHeight:    0.01, // m
}

// margins may differ by their floor only, however large they are.
var margins = []model.Figure{model.Margin, model.GuideMargin, model.DryMargin}

func tolerated(id model.Figure, want float64) float64 {
	if slices.Contains(margins, id) {
		return least[id]
	}
	return max(1e-3*math.Abs(want), least[id])
}

// The second program, written from the equations alone, agrees with every
// figure of the flights that people see: the fronts of two briefs, and cases
// that the briefs leave out.
func TestFlownByASecondProgram(t *testing.T) {
	t.Parallel()
	demo, small := 4000, 2000 // flights of a search
	if testing.Short() {
		demo, small = 600, 200
	}
	for _, group := range []struct {
		name  string
		least int // cases, in a full run
		cases []flightCase
	}{
		{"front of field-day", 100, frontOf(t, "field-day", demo, 120)},
		{"front of bottle", 1, frontOf(t, "bottle", small, 20)}, // one goal
		{"front of lighter-or-stable", 5, frontOf(t, "lighter-or-stable", small, 20)},
		{"cases of their own", 5, casesOfTheirOwn(t)},
	} {
		t.Run(group.name, func(t *testing.T) {
			if !testing.Short() && len(group.cases) < group.least {
				t.Fatalf("%d cases, want %d", len(group.cases), group.least)
			}
			compare(t, group.cases)
		})
	}
}

// frontOf searches a brief with a number of flights and returns up to most
// designs of its front, those of a short run at most 12.
func frontOf(t *testing.T, name string, flights, most int) []flightCase {
	t.Helper()
	b := parsed(t, name)
	problem, err := study.Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	settings := optimize.Settings{Seed: 1, Islands: 2, Population: 60, Flights: flights}
	found, err := optimize.Evolve(context.Background(), problem, settings, 2, nil)
	if err != nil {
		t.Fatal(err)
	}
	if testing.Short() {
		most = min(most, 12)
	}
	var cases []flightCase
	for _, d := range optimize.Choose(found.Archive, most) {
		rocket, site := b.At(d.X)
		cases = append(cases, flightCase{Rocket: rocket, Site: site})
	}
	return cases
}

func casesOfTheirOwn(t *testing.T) (cases []flightCase) {
	t.Helper()
	for _, c := range []struct {
		brief string
		set   []string
	}{
		{"field-day", []string{"site.wind=0 m/s", "site.tilt=0 deg"}},                                   // calm, upright
		{"field-day", []string{"site.wind=9 m/s", "site.tilt=10 deg", "chamber.throat=7 mm"}},           // windy, tilted
		{"field-day", []string{"recovery.delay=30 s"}},                                                  // ballistic
		{"field-day", []string{"recovery.delay=0.1 s", "site.wind=6 m/s"}},                              // opens under thrust
		{"field-day", []string{"fins.count=6", "chamber.pressure=14 bar", "body.roughness=0 um"}},       // smooth, six fins
		{"bottle", []string{"site.wind=6 m/s", "site.tilt=5 deg", "fins.count=4", "ballast.mass=90 g"}}, // blunt base
		{"field-day", []string{"chamber.volume=4.2 l", "chamber.neck=25 mm"}},                           // measured vessel
		{"field-day", []string{"chamber.gas_thrust=0.8", "chamber.gas_jet=0.7"}},                        // a poor gas jet
		{"field-day", []string{"chamber.contraction=0.62", "chamber.jet=0.98"}},                         // a sharp-edged hole
		{"field-day", []string{"chamber.drawn=0.5", "chamber.throat=14 mm"}},                            // water that gives no thrust
		{"bottle", []string{"chamber.drawn=1", "chamber.fill=300 ml"}},                                  // none of it does
		{"field-day", []string{"chamber.growth=1.5 %/bar", "chamber.gas_temperature=45 degC"}},          // a soft wall, gas warm from the pump
		{"bottle", []string{"chamber.growth=3 %/bar", "chamber.drawn=0.3"}},
		{"highest-in-class", nil},
		{"lighter-or-stable", nil},
	} {
		b := parsed(t, c.brief, c.set...)
		cases = append(cases, flightCase{Rocket: b.Rocket, Site: b.Site})
	}
	b := parsed(t, "field-day")
	for _, guide := range []float64{1.2, 0.6} { // longer than the tube, and as long
		b.Rocket.Chamber.Tube = model.Tube{Diameter: b.Rocket.Chamber.Throat, Length: 0.6}
		b.Site.Guide = guide
		cases = append(cases, flightCase{Rocket: b.Rocket, Site: b.Site})
	}
	b.Rocket.Chamber.Growth = 0.15 / b.Rocket.Chamber.Pressure
	cases = append(cases, flightCase{Rocket: b.Rocket, Site: b.Site})
	b.Rocket.Chamber.Gas = model.Dry
	cases = append(cases, flightCase{Rocket: b.Rocket, Site: b.Site})
	b.Rocket.Chamber.Tube = model.Tube{}
	cases = append(cases, flightCase{Rocket: b.Rocket, Site: b.Site})
	for _, shape := range []model.Shape{model.Cone, model.Parabola} {
		b.Rocket.Body.Nose.Shape = shape
		b.Rocket.Fins.Edges = model.Cut
		cases = append(cases, flightCase{Rocket: b.Rocket, Site: b.Site})
	}
	for i := 0; i < len(cases); i += 6 { // they take seven flights more
		cases[i].Gust = true
	}
	return cases
}

func parsed(t *testing.T, name string, set ...string) *brief.Brief {
	t.Helper()
	b, err := brief.Parse(name+".toml", briefs.Read(t, name+".toml"), set...)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// compare flies the cases twice: as everyone does, and at a tolerance so fine
// that what is left is a difference of the equations, or of the series and
// tables that stand for them: these are within 1e-6, which a rocket that falls
// from the top before its canopy opens makes ten times as much. Hence a fiftieth.
func compare(t *testing.T, cases []flightCase) {
	var answers []flightAnswer
	python.Run(t, "../../testdata/python/fly.py", cases, &answers)
	if len(answers) != len(cases) {
		t.Fatalf("%d answers, want %d", len(answers), len(cases))
	}
	usual, fine := model.NewScratch(), model.NewScratch()
	fine.Tolerance = 1e-11
	var worst, worstFine [model.FigureCount]float64
	for i, c := range cases {
		f, g := model.Fly(&c.Rocket, &c.Site, usual), model.Fly(&c.Rocket, &c.Site, fine)
		if f.Outcome.String() != answers[i].Outcome {
			t.Errorf("case %d: %v, want %s", i, f.Outcome, answers[i].Outcome)
			continue
		}
		if got := f.Warnings.Keys(); !slices.Equal(got, answers[i].Warnings) {
			t.Errorf("case %d: warnings %q, want %q", i, got, answers[i].Warnings)
		}
		for id := range model.Figure(model.FigureCount) {
			want := answers[i].Figures[model.Figures[id].Key]
			worst[id] = max(worst[id], differs(t, i, id, &f, want, 1))
			worstFine[id] = max(worstFine[id], differs(t, i, id, &g, want, 0.02))
		}
	}
	compareGusts(t, cases, answers)
	t.Logf("%d flights, worst difference of each figure, and at a fine tolerance:", len(cases))
	for id, info := range model.Figures {
		t.Logf("%-21s %8.1e %8.1e %s", info.Key, worst[id], worstFine[id], info.Unit)
	}
}

// compareGusts compares the angles of attack in gusts where they are wanted.
func compareGusts(t *testing.T, cases []flightCase, answers []flightAnswer) {
	t.Helper()
	usual, fine := model.NewScratch(), model.NewScratch()
	fine.Tolerance = 1e-11
	for i, c := range cases {
		if !c.Gust || answers[i].Outcome != "landed" {
			continue
		}
		for share, scratch := range map[float64]*model.Scratch{1: usual, 0.02: fine} {
			got, ok := model.GustIncidence(&c.Rocket, &c.Site, scratch)
			want := answers[i].Figures["gust_incidence"]
			if ok != (want != nil) {
				t.Errorf("case %d: an incidence in gusts %v, want %v", i, ok, want != nil)
			} else if ok && !(math.Abs(got-*want) <= share*tolerated(model.PeakIncidence, *want)) {
				t.Errorf("case %d: incidence in gusts %.8g, want %.8g", i, got, *want)
			}
		}
	}
}

// differs returns the difference of a figure, for case i, and complains where
// it is more than a share of what is tolerated.
func differs(t *testing.T, i int, id model.Figure, f *model.Flight, want *float64, share float64) float64 {
	t.Helper()
	key := model.Figures[id].Key
	got, ok := f.Figure(id)
	if ok != (want != nil) {
		t.Errorf("case %d: %s present %v, want %v", i, key, ok, want != nil)
	}
	if !ok || want == nil {
		return 0
	}
	off, most := math.Abs(got-*want), share*tolerated(id, *want)
	if !(off <= most) {
		t.Errorf("case %d: %s = %.8g, want %.8g within %.2g", i, key, got, *want, most)
	}
	return off
}

package terminal_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/runs"
	"ullage/output/terminal"
	"ullage/testdata/kept"
)

// A booklet is what several calls print, each under its name.
type booklet struct {
	t   *testing.T
	out strings.Builder
}

func (b *booklet) say(name, printed string) { fmt.Fprintf(&b.out, "=== %s\n%s\n", name, printed) }

func (b *booklet) sayJSON(name string, data []byte, err error) {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	b.say(name, string(data))
}

// TestKeptText keeps what commands print of fronts, comparisons and flights.
func TestKeptText(t *testing.T) {
	all := &booklet{t: t}
	b, rows := sample.Broad("")
	b.NotJudged = []string{"dry_margin"}
	all.say("a front", terminal.Front(b, rows, 4))
	all.say("a shorter front", terminal.Front(b, rows, 2))
	slim := *b
	slim.Vary = slices.Repeat(b.Vary, 3)
	wide := slices.Clone(rows)
	for i := range wide {
		wide[i].X = slices.Repeat(rows[i].X, 3)
	}
	all.say("a front with more quantities than have room", terminal.Front(&slim, wide[:2], 4))
	proved, rowsProved := sample.Proved()
	all.say("a robust front", terminal.Front(proved, rowsProved, 4))
	all.say("limits", terminal.CountLimits(b))
	all.say("called", terminal.CalledOf([]study.Word{study.Go, study.Tight, study.NoGo, study.NoGo}).Words()+terminal.CalledOf([]study.Word{study.Go}).Words())

	of := []output.Compared{
		{Name: "runs/a", Brief: b, Rows: rows[:2], Run: runs.Run{Set: []string{"site.wind=3 m/s", "fins.count=4"}}},
		{Name: "runs/b", Brief: proved, Rows: rows[2:]},
		{Name: "runs/c", Brief: b, Rows: rows[3:]},
	}
	all.say("a comparison", terminal.Compare(output.Compare(of)))
	best := []answers.Best{{Value: 3, Row: rows[1], Missed: []string{"drift", "margin"}}, {Value: 4, Row: rows[0]}, {Value: 6, Row: rows[2]}}
	best[2].Row.Design = 0
	all.say("the best with each", terminal.Best(b, brief.QuantityByKey("fins.count"), best))
	all.say("the best of each payload", terminal.Best(b, brief.QuantityByKey("payload.mass"), best))
	all.say("answers", terminal.Answers(&runs.Answers{
		Goal: "apogee", Knee: "apogee 142 m (best 150 m)", Doubts: []string{"apogee 142 m as modelled; 120 to 151 before any measured flight"},
		Prices: []runs.Price{{Limit: "margin", Goal: "apogee", PerUnit: 12.5, Unit: "m per cal"}},
		Bands:  []runs.Band{{Quantity: "chamber.throat", Unit: "m", From: 0.0105, FromBy: "margin", To: 0.0123, ToBy: "apogee"}, {Quantity: "site.tilt", Unit: "deg", From: 1, To: 2.5}},
	})+terminal.Answers(&runs.Answers{}))
	for i := range 3 {
		all.say(fmt.Sprintf("flight %d", i+1), terminal.Fly(b, &rows[i], sample.Doubts()[:2*(i%2)]))
		data, err := terminal.FlyJSON(b, &rows[i], sample.Doubts()[:4*(i%2)])
		all.sayJSON(fmt.Sprintf("flight %d in JSON", i+1), data, err)
	}
	lost := study.Row{X: rows[0].X, Outcome: model.NoLiftOff, Figures: sample.Figures(nil), Slacks: slices.Repeat([]float64{math.NaN()}, len(b.Limits))}
	all.say("no flight", terminal.Fly(b, &lost, nil))
	kept.Same(t, "text.txt", all.out.String())
}

// TestKeptScatter keeps what commands print of scatter, effects, indices and what
// follows from a rocket.
func TestKeptScatter(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	all := &booklet{t: t}
	for _, days := range []bool{false, true} {
		for designs := 1; designs <= 2; designs++ {
			s := sample.Scatter(designs, days)
			all.say(fmt.Sprintf("scatter of %d, days %v", designs, days), terminal.Scatter(&s))
		}
	}
	s := sample.Scatter(1, true)
	data, err := terminal.ScatterJSON(&s)
	all.sayJSON("scatter in JSON", data, err)
	for _, design := range []int{0, 3} {
		e := sample.Effects(design)
		all.say("effects", terminal.Effects(&e))
	}
	e := sample.Effects(3)
	data, err = terminal.EffectsJSON(&e)
	all.sayJSON("effects in JSON", data, err)
	all.say("indices", terminal.Indices(sample.Indices()))
	all.say("measure first", strings.Join(terminal.MeasureFirst(sample.Doubts()), "\n"))
	st := model.Statics{
		Volume: 4.45e-3, SummedVolume: 4.4e-3, WaterMass: 1.3, GasMass: 0.02, FinMass: 0.06, DryMass: 0.844, SummedMass: 0.8, LiftoffMass: 2.2, Weighed: true,
		DryCG: 0.757, SummedCG: 0.7, LiftoffCG: 1.05, CP: 1.11, DryMargin: 3.9, WetMargin: 0.65, StoredEnergy: 2320, ProofRatio: 2, Jet: 0.85,
		RootAhead: 0.01, RootAft: 0.02, Correction: model.Part{Mass: 0.044, Station: 1.7}, Aboard: model.Weighed{Payload: 0.08, Ballast: 0.03, Canopy: 0.05},
	}
	all.say("statics", terminal.Statics(st))
	data, err = terminal.StaticsJSON(st, []string{"a caution"}, []string{"a measurement"})
	all.sayJSON("statics in JSON", data, err)
	kept.Same(t, "scatter.txt", all.out.String())
}

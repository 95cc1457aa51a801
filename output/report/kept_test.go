package report_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/testdata/kept"
)

// keep holds a page against its record, without the one line that differs from
// machine to machine.
func keep(t *testing.T, name, page string) {
	t.Helper()
	if !kept.LastDigits(t) {
		return
	}
	machine := regexp.MustCompile(`<li>ullage v1\.2\.3, [^<]*</li>`)
	if !machine.MatchString(page) && strings.Contains(page, `id="facts"`) {
		t.Errorf("%s does not say what made it", name)
	}
	kept.Same(t, name, kept.Page(machine.ReplaceAllString(page, "<li>ullage v1.2.3, MACHINE</li>")))
}

// fewer returns a page with only the first of its still pictures: the others are
// drawn as these are, or stand on another page too.
func fewer(page string, stills int) string {
	return regexp.MustCompile(`(?s)<figure>.*?</figure>`).ReplaceAllStringFunc(page, func(figure string) string {
		if stills--; stills < 0 {
			return ""
		}
		return figure
	})
}

// answered is a run that tells all that a run may.
func answered() runs.Run {
	return runs.Run{
		State: runs.Interrupted, Stop: "interrupted", Advice: "widen fins.span", Flights: 600, Feasible: 321, Failed: 2, Hypervolume: 10,
		Set: []string{"site.wind=3 m/s", "fins.count=4"}, From: &runs.Origin{Run: "runs/before", Front: strings.Repeat("a1", 32)},
		Proof: &runs.Proof{Draws: 200, Confidence: 0.9, Screened: 40, Each: 500, Checked: 12, Dropped: 3, Flights: 14000},
		Answers: &runs.Answers{
			Goal: "apogee", Knee: "apogee 142 m (best 150 m)", Doubts: []string{"apogee 142 m as modelled; 120 to 151 before any measured flight"},
			Prices:  []runs.Price{{Limit: "margin", Goal: "apogee", PerUnit: 12.5, Unit: "m per cal"}, {Limit: "gone", Goal: "apogee"}},
			Bands:   []runs.Band{{Quantity: "chamber.throat", Unit: "m", From: 0.0105, FromBy: "margin", To: 0.0123, ToBy: "apogee"}, {Quantity: "gone"}},
			Hardest: "the hardest is drift: 3 of the 4 nearest designs miss it",
		},
	}
}

// phased are parabolas that go through every phase there is.
func phased(designs int) [][]model.Sample {
	paths := parabolas(designs)
	for _, path := range paths {
		for i := range path {
			s := &path[i]
			s.X = -3*s.T + 0.5*s.T*s.T
			s.CG, s.CP, s.Margin = 0.7+s.T/100, 0.9-s.T/200, 1+math.Abs(s.T-1)
			switch {
			case i < 4:
				s.Phase, s.Thrust = model.TubePhase, 300-float64(i)
			case i < 24:
				s.Phase, s.Thrust = model.WaterPhase, 250-float64(i)
			case i < 30:
				s.Phase, s.Thrust = model.GasPhase, 60-2*float64(i)
			}
		}
	}
	return paths
}

// TestKeptRuns keeps the pages of searches: one that tells all there is to tell, a
// robust one, one whose designs all miss a limit, one of a single design.
func TestKeptRuns(t *testing.T) {
	page := func(b *brief.Brief, rows []study.Row, run runs.Run, landings [][]study.Landing, paths [][]model.Sample) string {
		f, r, found := reportRun(t, b, rows, landings...)
		run.Version, run.Brief, run.Seed, run.Files, run.Machine = r.Version, r.Brief, r.Seed, r.Files, r.Machine
		found.Paths = paths
		return written(t, f, report.Of(b, run, found))
	}
	cloud := func(from float64) []study.Landing {
		return []study.Landing{landed(from, 5), landed(from+7.5, 5.25), landed(-from, 6.5), {Drift: math.NaN(), Speed: math.NaN()}, landed(41, 4)}
	}

	b, rows := sample.Broad("")
	keep(t, "run.html", page(b, rows[:2], answered(), [][]study.Landing{cloud(-35), cloud(20)}, phased(2)))

	b, rows = sample.Proved()
	robust := page(b, rows[:3], runs.Run{State: runs.Finished, Stop: "flights", Flights: 90000, Hypervolume: 10}, nil, parabolas(3))
	keep(t, "robust.html", fewer(robust, 0))

	b = sample.Brief("")
	rows = []study.Row{sample.Rows()[1], sample.Rows()[1]}
	rows[0].Design, rows[1].X, rows[1].Slacks = 1, []float64{0.016, 0.04, 0}, []float64{-0.2, 0.01, 0, 0}
	keep(t, "nearest.html", page(b, rows, runs.Run{State: runs.Finished, Stop: "flights", Hypervolume: -1, Answers: &runs.Answers{Hardest: "the hardest is margin"}},
		[][]study.Landing{{landed(1, 5)}, {}}, [][]model.Sample{nil, nil}))

	b = sample.Brief("", "site.wind=-3 m/s")
	b.Title, b.NotJudged, b.Rocket.Recovery = "", []string{"deploy_speed"}, model.Recovery{}
	keep(t, "single.html", page(b, sample.Rows()[:1], runs.Run{State: runs.Finished, Stop: "flights", Hypervolume: 10, Answers: &runs.Answers{Knee: "apogee 142 m", Goal: "apogee"}},
		nil, phased(1)))
}

// levels is a sample brief whose quantities have few values, but for one.
func levels(t *testing.T) *brief.Brief {
	t.Helper()
	b, err := brief.Parse("plan.toml", []byte(strings.NewReplacer(
		`"payload.mass" = { from = "40 g", to = "240 g" }`, `"payload.mass" = { from = "40 g", to = "240 g", step = "50 g" }`,
		`"site.tilt" = { from = "0 deg", to = "5 deg" }`, "\"fins.count\" = { choices = [3, 4, 6] }\n\"fins.edges\" = { choices = [\"cut\", \"faired\"] }",
		"station = \"1.185 m\"\n", "station = \"1.185 m\"\nedges = \"cut\"\n",
	).Replace(string(sample.Brief("").Source))))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// spread are flights over the whole of a brief of levels, with invented numbers of
// which some miss each limit, alone and with others.
func spread(b *brief.Brief) []sweptFlight {
	var flights []sweptFlight
	metrics := output.Numbers(b)
	for i := range 120 {
		x := []float64{0.006 + 0.01*float64(i*37%120)/120, 0.04 + 0.05*float64(i%5), []float64{3, 4, 6}[i%3], float64(1 + i/2%2)}
		f := sweptFlight{x: x, outcome: "landed", kept: true}
		for k := range metrics {
			m, v := &metrics[k], 0.0
			switch m.Key {
			case "apogee":
				v = 80 + 5000*x[0] - 100*x[1]
			case "margin":
				v = 0.5 + 4*x[1] + 0.1*x[2]
			case "peak_incidence":
				v = 0.02 + 6*x[0] - 0.05*x[1] + float64(i%7)*0.004
			case "proof_ratio":
				v = 2
			default:
				v = float64(k) + x[0]
			}
			f.numbers = append(f.numbers, v)
			for j := range b.Limits {
				if l := &b.Limits[j]; l.Metric.Key == m.Key && l.Slack(v) < 0 {
					f.kept = false
				}
			}
		}
		if i%29 == 0 {
			f.kept, f.outcome = false, model.NoLiftOff.String()
			for k := range f.numbers {
				f.numbers[k] = math.NaN()
			}
		}
		flights = append(flights, f)
	}
	return flights
}

// TestKeptSweeps keeps the pages of a sweep with all its flights, of one with
// indices, and of one that kept only what is within every limit.
func TestKeptSweeps(t *testing.T) {
	b := levels(t)
	flights := spread(b)
	keep(t, "sweep.html", fewer(sweepPage(t, b, tableOf(b, flights...), nil), 2))
	var within []sweptFlight
	for _, f := range flights {
		if f.kept {
			within = append(within, f)
		}
	}
	f, r := sweptRun(t, b, tableOf(b, within...), nil)
	r.FeasibleOnly, r.State, r.Flights = true, runs.Interrupted, len(flights)
	page, err := report.ReadSweep(t.Context(), b, r, f.Dir)
	if err != nil {
		t.Fatal(err)
	}
	text, err := page.Render()
	if err != nil {
		t.Fatal(err)
	}
	keep(t, "feasible-only.html", fewer(string(text), 0))
	beyond := output.IndexRow{Number: "margin", Quantity: "fins.span", First: output.Estimate{Value: 1.1, Low: 1, High: 1.2}, Total: output.Estimate{Value: 0.9, Low: -0.2, High: 1.3}, Rows: 64}
	keep(t, "indices.html", sweepPage(t, b, tableOf(b), append(sample.Indices(), beyond)))
}

// TestKeptComparisons keeps the page of as many runs as are told apart, and the
// picture of a fit.
func TestKeptComparisons(t *testing.T) {
	var all []output.Compared
	for i := range report.MostCompared {
		rows := append(sample.Rows(), sample.Rows()[0])
		for k := range rows {
			r := &rows[k]
			r.Design, r.X, r.Figures = k+1, slices.Clone(r.X), slices.Clone(r.Figures)
			r.Figures[model.Apogee] += float64(20*k - 7*i)
			r.X[1] += 0.01 * float64(i*k)
		}
		all = append(all, output.Compared{Name: fmt.Sprintf("runs/%d", i+1), Brief: sample.Brief("", fmt.Sprintf("site.wind=%d m/s", 3+i/2)), Rows: rows})
	}
	all[4].Rows[2].Figures[model.Apogee] = math.NaN()
	path := filepath.Join(t.TempDir(), "compare.html")
	if err := report.WriteCompared(path, output.Compare(all)); err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	keep(t, "compare.html", string(page))

	kept.Same(t, "fit.svg", kept.Page(string(report.Compare([]report.Comparison{
		{Name: "one.csv", Time: []float64{0, 1, 2, 3.5}, Logged: []float64{0, 5, math.NaN(), 9}, Says: []float64{0, 5.5, 7, 8}},
		{Name: "two <&> more.csv", Time: []float64{0, 1}, Logged: []float64{0, -5}, Says: []float64{1, 4}},
	}))))
}

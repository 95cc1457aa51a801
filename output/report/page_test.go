package report_test

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/output/table"
)

const degree = math.Pi / 180

// aReport says what a report of aLayout's rows needs beside the run.
func aReport() report.Page {
	return report.Page{
		Layout: sample.Layout(), Title: "A plan", Brief: []byte("title = 'A plan'\n"),
		Bounds: []report.Bound{
			{AtLeast: table.Of(1, true)},
			{AtMost: table.Of(5*degree, true), Size: true},
			{AtMost: table.Of(8e5, true)},
		},
		Cautions: []string{"Wear eye protection."},
	}
}

// pathSeries are the columns that a report reads.
var pathSeries = []table.Quantity{
	{Key: "t", Unit: "s"},
	{Key: "z", Unit: "m"},
	{Key: "speed", Unit: "m/s"},
	{Key: "margin", Unit: "cal"},
	{Key: "cg", Unit: "m"},
	{Key: "cp", Unit: "m"},
	{Key: "thrust", Unit: "N"},
}

// parabolas returns a finely sampled flight of each design.
func parabolas(designs int) []output.Sample {
	var samples []output.Sample
	for design := range designs {
		up := 20 + 5*float64(design)
		for i := range 301 {
			t := float64(i) * 2 * up / 9.81 / 300
			s := output.Sample{Design: design + 1, Phase: "coast", Values: []float64{t, up*t - 9.81/2*t*t, math.Abs(up - 9.81*t), 2 + t/10, 0.7, 0.9, 0}}
			switch {
			case i < 20:
				s.Phase, s.Values[6] = "water", 200
			case i > 200:
				s.Phase = "canopy"
				s.Values[3], s.Values[4], s.Values[5], s.Values[6] = math.NaN(), math.NaN(), math.NaN(), math.NaN()
			}
			samples = append(samples, s)
		}
	}
	return samples
}

// reportRun writes a finished run with these rows, and landings if there are
// any, and returns its folder.
func reportRun(t *testing.T, l output.Layout, rows []output.Row, landings ...[]output.Landing) *runs.Folder {
	t.Helper()
	f, err := runs.Create(filepath.Join(t.TempDir(), "run"), []byte("title = 'A plan'\n"), 7, "v1.2.3")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	var epochs []output.Epoch
	for i := range 6 {
		epochs = append(epochs, output.Epoch{
			Epoch: i/2 + 1, Island: i % 2, Flights: 100 * (i/2 + 1), Hypervolume: float64(4 + i), Best: make([]table.Value, len(l.Goals)), Seconds: float64(i),
		})
	}
	tables := map[string]table.Table{
		"front.parquet": l.Front(rows), "history.parquet": output.History(l.Goals, epochs),
		"paths.parquet": output.Paths(pathSeries, parabolas(len(rows))),
	}
	if len(landings) > 0 {
		tables["landings.parquet"] = output.Landings(landings)
	}
	for name, table := range tables {
		if err := f.WriteTable(name, table); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := f.Finish(runs.Run{State: runs.Finished, Stop: "flights", Flights: 600, Hypervolume: 10}); err != nil {
		t.Fatal(err)
	}
	return f
}

func written(t *testing.T, f *runs.Folder, p report.Page) string {
	t.Helper()
	path, err := p.WriteInto(f)
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(page)
}

// reportData is what the page's script reads.
type reportData struct {
	Axes []struct {
		Name, Unit, Limit string
		Least, Most       *float64
		Values            []*float64
		Text              []string
	}
	Goals, Table, Knee int
	Notes              []string
	Groups             []struct {
		Lines []struct{ Value, Distance, Chance []string }
	}
	Flights []struct {
		T      []float64
		Height []*float64
		Thrust []*float64
		Marks  []struct {
			T    float64
			Word string
		}
		Ends float64
	}
	Landings *struct {
		Drift, Speed struct {
			Unit        string
			Least, Most *float64
		}
		Designs []struct {
			Drift, Speed []float64
			Words        string
		}
	}
	History struct {
		Flights []int
		Share   []float64
	}
}

func dataOf(t *testing.T, page string) reportData {
	t.Helper()
	_, rest, _ := strings.Cut(page, `<script type="application/json" id="data">`)
	text, _, _ := strings.Cut(rest, "</script>")
	var d reportData
	if err := json.Unmarshal([]byte(text), &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// The page runs the scripts that its policy names, and holds no address that a
// browser would ask for.
func TestReportIsOneFile(t *testing.T) {
	page := written(t, reportRun(t, sample.Layout(), sample.Rows()), aReport())
	scripts := regexp.MustCompile(`(?s)<script>(.*?)</script>`).FindAllStringSubmatch(page, -1)
	if len(scripts) != 2 {
		t.Fatalf("%d scripts, want the charts and our own", len(scripts))
	}
	for _, s := range scripts {
		sum := sha256.Sum256([]byte(s[1]))
		// A plus sign is escaped in an attribute.
		want := strings.ReplaceAll("&#39;sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"&#39;", "+", "&#43;")
		if !strings.Contains(page, want) {
			t.Errorf("the policy does not name %s", want)
		}
	}
	if !strings.Contains(page, "default-src &#39;none&#39;;") || strings.Contains(page, "unsafe-eval") {
		t.Error("the policy allows more than it needs")
	}
	head, _, _ := strings.Cut(page, scripts[0][1])
	for _, address := range regexp.MustCompile(`(?:src|href|action)="([^"]*)"|url\(([^)]*)\)|@import`).FindAllString(head, -1) {
		if address != `href="data:,"` {
			t.Errorf("%s in the page, want no address", address)
		}
	}
	if len(page) > 4e6 {
		t.Errorf("%d bytes, want a few MB at most", len(page))
	}
}

func TestReportTwice(t *testing.T) {
	f := reportRun(t, sample.Layout(), sample.Rows())
	first := written(t, f, aReport())
	if again := written(t, f, aReport()); again != first {
		t.Error("a second report of the run differs from the first")
	}
	if other := written(t, reportRun(t, sample.Layout(), sample.Rows()), aReport()); other != first {
		t.Error("the report of an equal run in another folder differs")
	}
	f.Close()
	path, err := aReport().Write(f.Dir)
	if page, err2 := os.ReadFile(path); err != nil || err2 != nil || string(page) != first {
		t.Errorf("the report written later: %v, %v, want the same page", err, err2)
	}
}

func TestReportSaysWhatTheRunHolds(t *testing.T) {
	page := written(t, reportRun(t, sample.Layout(), sample.Rows()), aReport())
	for _, want := range []string{
		"<h1>A plan</h1>", "Goals: apogee highest, payload mass highest.", "2 designs that no other beats",
		`<th scope="row">1 <small>knee</small></th><td>142</td><td>80.0</td><td>11.0</td><td>2.00</td>`,
		"misses margin, peak incidence", "<td>at most 5.00 deg either way</td>", "<td>as in the brief</td><td>at most 8.00 bar</td>",
		"<li>Wear eye protection.</li>", "title = &#39;A plan&#39;", "<li>seed 7</li>", "ullage v1.2.3, go", "600 flights",
		"The front: apogee against payload mass; the knee is the square", "Design 1: height over the whole flight",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Contains(page, "not proved") || strings.Contains(page, ">chance<") {
		t.Error("the page tells of chances that nobody asked for")
	}
	d := dataOf(t, page)
	if d.Goals != 2 || d.Table != 4 || d.Knee != 0 || len(d.Axes) != 6 {
		t.Fatalf("%d goals, %d columns, knee %d, %d axes, want 2, 4, 0, 6", d.Goals, d.Table, d.Knee, len(d.Axes))
	}
	if a := d.Axes[2]; a.Name != "chamber throat" || a.Unit != "mm" || *a.Values[1] != 8.5 || a.Text[1] != "8.50" || a.Least != nil {
		t.Errorf("third axis %+v, want the throat in mm, unlimited", a)
	}
	if a := d.Axes[5]; a.Name != "peak incidence" || *a.Least != -5 || *a.Most != 5 || a.Values[1] != nil {
		t.Errorf("last axis %+v, want the incidence between -5 and 5 deg, which the second design does not have", a)
	}
	if want := "Misses margin, peak incidence. Caution: "; !strings.HasPrefix(d.Notes[1], want) {
		t.Errorf("note on design 2: %q, want %q …", d.Notes[1], want)
	}
	if got := d.Groups[1].Lines[0].Distance; got[0] != "+0.320" || got[1] != "-0.100 missed" {
		t.Errorf("distances to the margin's limit: %q", got)
	}
	// Of two islands with hypervolumes 4, 5 | 6, 7 | 8, 9 below a whole of 10.
	if h := d.History; len(h.Flights) != 3 || h.Flights[2] != 600 || h.Share[0] != 50 || h.Share[2] != 90 {
		t.Errorf("history %+v, want 200, 400, 600 flights and 50, 70, 90 %%", h)
	}
}

// Straight lines between the points that are kept stay close to all samples.
func TestReportFlightsAreTrue(t *testing.T) {
	d := dataOf(t, written(t, reportRun(t, sample.Layout(), sample.Rows()), aReport()))
	for design, f := range d.Flights {
		top, worst, at := 0.0, 0.0, 0
		for _, s := range parabolas(2) {
			if s.Design != design+1 {
				continue
			}
			x, y := s.Values[0], s.Values[1]
			top = max(top, y)
			for at < len(f.T)-2 && f.T[at+1] < x {
				at++
			}
			share := (x - f.T[at]) / (f.T[at+1] - f.T[at])
			worst = max(worst, math.Abs(*f.Height[at]+share*(*f.Height[at+1]-*f.Height[at])-y))
		}
		// A quarter of a per cent is what thinning allows; rounding to five
		// digits adds 5e-5 of the height and of the time at 20 m/s.
		if allowed := 0.0026 * top; worst > allowed {
			t.Errorf("design %d: %v m off, want at most %v", design+1, worst, allowed)
		}
		if n := len(f.T); n > 100 || n < 10 {
			t.Errorf("design %d: %d points of 301, want it thinned", design+1, n)
		}
		if f.Thrust[0] == nil || *f.Thrust[0] != 200 || f.Thrust[len(f.T)-1] != nil {
			t.Errorf("design %d: thrust %v to %v, want 200 N to none under the canopy", design+1, f.Thrust[0], f.Thrust[len(f.T)-1])
		}
		words := map[string]float64{}
		for _, m := range f.Marks {
			words[m.Word] = m.T
		}
		up := 20 + 5*float64(design)
		step := 2 * up / 9.81 / 300
		// Five digits of a time below 10 s.
		for word, want := range map[string]float64{"water out": 20 * step, "canopy opens": 201 * step, "apogee": 150 * step} {
			if math.Abs(words[word]-want) > 5e-4 {
				t.Errorf("design %d: %s at %v s, want %v", design+1, word, words[word], want)
			}
		}
	}
}

// landed is a flight that comes down so far from the pad, and so fast.
func landed(drift, speed float64) output.Landing {
	return output.Landing{Drift: table.Of(drift, true), Speed: table.Of(speed, true)}
}

func TestReportOfLandings(t *testing.T) {
	clouds := [][]output.Landing{
		{landed(20, 5), landed(-91, 5), landed(90, 6), landed(10, 6.5), {}},
		{landed(30, 4)},
	}
	drift, speed := table.Quantity{Key: "drift", Unit: "m"}, table.Quantity{Key: "landing_speed", Unit: "m/s"}
	far, fast := report.Bound{AtMost: table.Of(90, true), Size: true}, report.Bound{AtMost: table.Of(6, true)}
	for _, c := range []struct {
		limits []table.Quantity
		bounds []report.Bound
		words  string
	}{
		{nil, nil, "4 of 5 flights land; nothing limits how far or how fast"},
		{[]table.Quantity{speed}, []report.Bound{fast}, "3 of 5 flights land within the limit: landing speed at most 6.00 m/s; 1 without a landing"},
		{
			[]table.Quantity{drift, speed},
			[]report.Bound{far, fast},
			"2 of 5 flights land within both limits: drift at most 90.0 m either way, landing speed at most 6.00 m/s; 1 without a landing",
		},
	} {
		p := aReport()
		p.Limits, p.Bounds = append(p.Limits, c.limits...), append(p.Bounds, c.bounds...)
		rows := sample.Rows()
		for i := range rows {
			rows[i].Slacks = append(rows[i].Slacks, make([]table.Value, len(c.limits))...)
		}
		page := written(t, reportRun(t, p.Layout, rows, clouds...), p)
		for _, want := range []string{`<span id="landing-words">` + c.words + `</span>`, "Design 1: where it comes down under scatter; " + c.words} {
			if !strings.Contains(page, want) {
				t.Errorf("the page lacks %q", want)
			}
		}
		l := dataOf(t, page).Landings
		if got := l.Designs[0].Drift; len(got) != 4 || got[1] != -91 || l.Designs[1].Speed[0] != 4 {
			t.Errorf("landings %+v, want those of the flights that land", l.Designs)
		}
		if len(c.limits) == 2 && (*l.Drift.Least != -90 || *l.Drift.Most != 90 || l.Speed.Least != nil || *l.Speed.Most != 6) {
			t.Errorf("limits %+v, %+v, want 90 m either way and 6 m/s", l.Drift, l.Speed)
		}
	}
	page := written(t, reportRun(t, sample.Layout(), sample.Rows()), aReport())
	if !strings.Contains(page, "This run has no flights under scatter") || strings.Contains(page, `id="landing"`) || dataOf(t, page).Landings != nil {
		t.Error("a run without landings does not say so")
	}
	f := reportRun(t, sample.Layout(), sample.Rows()[:1], clouds...)
	_, err := aReport().WriteInto(f)
	if want := "read " + filepath.Join(f.Dir, "landings.parquet") + ": design 2, want 1 to 1"; err == nil || err.Error() != want {
		t.Errorf("WriteInto = %v, want %s", err, want)
	}
}

func TestReportEscapes(t *testing.T) {
	p := aReport()
	p.Title = `</title><script>alert("t")</script>`
	p.Brief = []byte(`</pre><script>alert("b")</script>`)
	p.Cautions = []string{`<img src=x onerror=alert("c")>`}
	rows := sample.Rows()
	rows[0].Binding = []string{`</script><script>alert("d")</script>`}
	page := written(t, reportRun(t, sample.Layout(), rows), p)
	if n := strings.Count(page, "<script"); n != 3 {
		t.Errorf("%d script elements, want the data, the charts and our own", n)
	}
	if strings.Contains(page, "<img src=x") {
		t.Error("a caution became an element")
	}
	if note := dataOf(t, page).Notes[0]; !strings.Contains(note, `</script><script>alert("d")`) {
		t.Errorf("note %q, want the text as given", note)
	}
}

// One design is no compromise, nor are designs that miss limits.
func TestReportWithoutAKnee(t *testing.T) {
	rows := sample.Rows()
	missing := []output.Row{rows[1], rows[1]}
	missing[0].Knee, missing[1].Design = true, 3
	for why, rows := range map[string][]output.Row{"one design": rows[:1], "no feasible design": missing} {
		page := written(t, reportRun(t, sample.Layout(), rows), aReport())
		head, _, _ := strings.Cut(page, "<script")
		if d := dataOf(t, page); strings.Contains(head, "knee</small>") || strings.Contains(head, "is the knee") || d.Knee != -1 || strings.Contains(d.Notes[0], "knee") {
			t.Errorf("%s: the page tells of a knee", why)
		}
	}
}

func TestReportOfNoDesign(t *testing.T) {
	page := written(t, reportRun(t, sample.Layout(), nil), aReport())
	for _, want := range []string{"No design: nothing could be flown", "<p>There is none.</p>", "Wear eye protection."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// Of a robust search goals are what many flights are worth, and each limit has
// its chance.
func TestReportOfARobustSearch(t *testing.T) {
	p := aReport()
	p.Confidence, p.Summed = 0.9, []string{"mean", "mean"}
	rows := sample.Rows()
	rows[0].Goals = []table.Value{table.Of(137.5, true), table.Of(0.08, true)}
	rows[0].Chances = []output.Chance{{Share: 0.985, AtLeast: 0.962}, {Share: 1, AtLeast: 0.985}, {Share: 1, AtLeast: 0.985}}
	rows[0].Held = true
	page := written(t, reportRun(t, p.Layout, rows), p)
	d := dataOf(t, page)
	if a := d.Axes[0]; a.Name != "mean apogee" || *a.Values[0] != 137.5 || a.Values[1] != nil {
		t.Errorf("first axis %+v, want the mean apogee, which the second design does not have", a)
	}
	if got := d.Groups[1].Lines[0].Chance; got[0] != "0.985, at least 0.962" || got[1] != "not proved" {
		t.Errorf("chances %q", got)
	}
}

// A run of an older build lacks the figures that were added since.
func TestReportOfAnOlderRun(t *testing.T) {
	p := aReport()
	p.Figures = append(p.Figures, table.Quantity{Key: "drift", Unit: "m"})
	d := dataOf(t, written(t, reportRun(t, sample.Layout(), sample.Rows()), p))
	lines := d.Groups[2].Lines
	if got := lines[len(lines)-1].Value; got[0] != "-" || got[1] != "-" {
		t.Errorf("drift %q, want none", got)
	}
}

func TestReportOfAFaultyRun(t *testing.T) {
	for _, name := range []string{"run.json", "front.parquet", "paths.parquet", "history.parquet"} {
		f := reportRun(t, sample.Layout(), sample.Rows())
		path := filepath.Join(f.Dir, name)
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
		_, err := aReport().WriteInto(f)
		if want := "read " + path + ": no such file or directory"; err == nil || err.Error() != want {
			t.Errorf("WriteInto = %v, want %s", err, want)
		}
		if _, err := os.Stat(filepath.Join(f.Dir, "report.html")); !os.IsNotExist(err) {
			t.Errorf("without %s: a report is there (%v), want none", name, err)
		}
	}
	f := reportRun(t, sample.Layout(), sample.Rows())
	p := aReport()
	p.Limits, p.Bounds = append(p.Limits, table.Quantity{Key: "drift", Unit: "m"}), append(p.Bounds, report.Bound{AtMost: table.Of(90, true)})
	_, err := p.WriteInto(f)
	if want := "read " + filepath.Join(f.Dir, "front.parquet") + ": no column slack_drift_m of numbers that may not apply, want one"; err == nil || err.Error() != want {
		t.Errorf("WriteInto = %v, want %s", err, want)
	}
	if _, err := p.Write(f.Dir); err == nil || err.Error() != f.Dir+": in use by another process" {
		t.Errorf("Write beside an open folder = %v, want it in use", err)
	}
}

package report_test

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/output/table"
)

// parabolas returns a finely sampled flight of each design.
func parabolas(designs int) [][]model.Sample {
	paths := make([][]model.Sample, designs)
	for design := range designs {
		up := 20 + 5*float64(design)
		for i := range 301 {
			t := float64(i) * 2 * up / 9.81 / 300
			s := model.Sample{
				Phase: model.CoastPhase, T: t, Z: up*t - 9.81/2*t*t, Speed: math.Abs(up - 9.81*t), Margin: 2 + t/10, CG: 0.7, CP: 0.9,
			}
			switch {
			case i < 20:
				s.Phase, s.Thrust = model.WaterPhase, 200
			case i > 200:
				s.Phase = model.CanopyPhase
			}
			paths[design] = append(paths[design], s)
		}
	}
	return paths
}

// reportRun writes a finished run with these rows, and landings if there are
// any, and returns it with its folder and what is in it.
func reportRun(t *testing.T, b *brief.Brief, rows []study.Row, landings ...[]study.Landing) (*runs.Folder, runs.Run, *output.Found) {
	t.Helper()
	f, err := runs.Create(filepath.Join(t.TempDir(), "run"), b.Source, 7, "v1.2.3")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	found := &output.Found{Rows: rows, Paths: parabolas(len(rows)), Archive: rows, Landings: landings, Doubts: make([][]answers.Doubt, len(rows))}
	if len(rows) > 0 {
		found.Doubts[0] = sample.Doubts()
	}
	for i := range 6 {
		found.Records = append(found.Records, optimize.Record{Barrier: i/2 + 1, Island: i % 2, Flights: 100 * (i/2 + 1), Hypervolume: float64(4 + i)})
		found.Seconds = append(found.Seconds, float64(i))
	}
	if err := found.Save(b, f); err != nil {
		t.Fatal(err)
	}
	r, err := f.Finish(runs.Run{State: runs.Finished, Stop: "flights", Flights: 600, Hypervolume: 10, Front: len(rows)})
	if err != nil {
		t.Fatal(err)
	}
	return f, r, found
}

// pageOf returns the page of such a run, which is the same whether what is in
// it is at hand or read from its files.
func pageOf(t *testing.T, b *brief.Brief, rows []study.Row, landings ...[]study.Landing) string {
	t.Helper()
	f, r, found := reportRun(t, b, rows, landings...)
	first := written(t, f, report.Of(b, r, found))
	page, err := report.Read(b, r, f.Dir)
	if err != nil {
		t.Fatal(err)
	}
	if again := written(t, f, page); again != first {
		t.Error("the report read from the run's files differs from the first")
	}
	return first
}

func written(t *testing.T, f *runs.Folder, p *report.Page) string {
	t.Helper()
	path, err := p.Write(f)
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
			Words, Doubt string
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
	page := pageOf(t, sample.Brief(""), sample.Rows())
	scripts := regexp.MustCompile(`(?s)<script>(.*?)</script>`).FindAllStringSubmatch(page, -1)
	if len(scripts) != 3 {
		t.Fatalf("%d scripts, want the charts and our own two", len(scripts))
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
	first := pageOf(t, sample.Brief(""), sample.Rows())
	if again := pageOf(t, sample.Brief(""), sample.Rows()); again != first {
		t.Error("the report of an equal run in another folder differs")
	}
}

func TestReportSaysWhatTheRunHolds(t *testing.T) {
	page := pageOf(t, sample.Brief(""), sample.Rows())
	for _, want := range []string{
		"<h1>A plan</h1>", "Goals: apogee highest, payload mass highest.", "2 designs that no other beats",
		`<th scope="row">1 <small>knee</small></th><td>142</td><td>80.0</td><td>11.0</td><td>2.00</td>`,
		"misses margin, peak incidence", "<td>at most 5.00 deg</td>", "<td>as in the brief</td><td>at most 8.00 bar</td>",
		"Wear eye protection.</li>", "title = &#34;A plan&#34;", "<li>seed 7</li>", "ullage v1.2.3, go", "600 flights",
		"<td>142\u00a0m as modelled; 120 to 151 before any measured flight</td>",
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
	if d.Goals != 2 || d.Table != 4 || d.Knee != 0 || len(d.Axes) != 7 {
		t.Fatalf("%d goals, %d columns, knee %d, %d axes, want 2, 4, 0, 7", d.Goals, d.Table, d.Knee, len(d.Axes))
	}
	if a := d.Axes[2]; a.Name != "chamber throat" || a.Unit != "mm" || *a.Values[1] != 8.5 || a.Text[1] != "8.50" || a.Least != nil {
		t.Errorf("third axis %+v, want the throat in mm, unlimited", a)
	}
	if a := d.Axes[5]; a.Name != "peak incidence" || a.Least != nil || *a.Most != 5 || a.Values[1] != nil {
		t.Errorf("last axis %+v, want the incidence up to 5 deg, which the second design does not have", a)
	}
	if want := "Misses margin, peak incidence. Caution: "; !strings.HasPrefix(d.Notes[1], want) {
		t.Errorf("note on design 2: %q, want %q …", d.Notes[1], want)
	}
	if got := d.Groups[2].Lines[0].Value; len(got) != 2 || got[1] != "98.4\u00a0m" {
		t.Errorf("apogees %q, want the second design's without an interval", got)
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
	d := dataOf(t, pageOf(t, sample.Brief(""), sample.Rows()))
	for design, f := range d.Flights {
		top, worst, at := 0.0, 0.0, 0
		for _, s := range parabolas(2)[design] {
			x, y := s.T, s.Z
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
func landed(drift, speed float64) study.Landing { return study.Landing{Drift: drift, Speed: speed} }

func TestReportOfLandings(t *testing.T) {
	clouds := [][]study.Landing{
		{landed(20, 5), landed(-91, 5), landed(90, 6), landed(10, 6.5), landed(math.NaN(), math.NaN())},
		{landed(30, 4)},
	}
	const far, fast = "drift = { at_most = \"90 m\" }\n", "landing_speed = { at_most = \"6 m/s\" }\n"
	for _, c := range []struct{ limits, words string }{
		{"", "4 of 5 flights land; nothing limits how far or how fast"},
		{fast, "3 of 5 flights land within the limit: landing speed at most 6.00 m/s; 1 without a landing"},
		{far + fast, "2 of 5 flights land within both limits: drift at most 90.0 m either way, landing speed at most 6.00 m/s; 1 without a landing"},
	} {
		b := sample.Brief("")
		if strings.Contains(c.limits, "landing_speed") {
			source := strings.Replace(string(b.Source), "landing_speed = \"none\"\n", c.limits, 1)
			var err error
			if b, err = brief.Parse("plan.toml", []byte(source)); err != nil {
				t.Fatal(err)
			}
		}
		rows := sample.Rows()
		for i := range rows {
			rows[i].Slacks = make([]float64, len(b.Limits))
			rows[i].Figures[model.Drift], rows[i].Figures[model.LandingSpeed] = -20, 5
		}
		page := pageOf(t, b, rows, clouds...)
		for _, want := range []string{`<span id="landing-words">` + c.words + `</span>`, "Design 1: where it comes down under scatter; " + c.words} {
			if !strings.Contains(page, want) {
				t.Errorf("the page lacks %q", want)
			}
		}
		l := dataOf(t, page).Landings
		const doubt = "What no scatter tells: drift -20.0 m as modelled; -25.5 to -15.0 before any measured flight; landing speed 5.00 m/s as modelled; 4.40 to 5.60 before any measured flight."
		if l.Designs[0].Doubt != doubt || l.Designs[1].Doubt != "" || !strings.Contains(page, `<p id="landing-doubt">`+doubt+`</p>`) {
			t.Errorf("doubts of the landings %q, %q, want %q and none", l.Designs[0].Doubt, l.Designs[1].Doubt, doubt)
		}
		if got := l.Designs[0].Drift; len(got) != 4 || got[1] != -91 || l.Designs[1].Speed[0] != 4 {
			t.Errorf("landings %+v, want those of the flights that land", l.Designs)
		}
		if c.limits == far+fast && (*l.Drift.Least != -90 || *l.Drift.Most != 90 || l.Speed.Least != nil || *l.Speed.Most != 6) {
			t.Errorf("limits %+v, %+v, want 90 m either way and 6 m/s", l.Drift, l.Speed)
		}
	}
	page := pageOf(t, sample.Brief(""), sample.Rows())
	if !strings.Contains(page, "This run has no flights under scatter") || strings.Contains(page, `id="landing"`) || dataOf(t, page).Landings != nil {
		t.Error("a run without landings does not say so")
	}
	f, r, _ := reportRun(t, sample.Brief(""), sample.Rows()[:1], clouds...)
	_, err := report.Read(sample.Brief(""), r, f.Dir)
	if want := "read " + filepath.Join(f.Dir, "landings.parquet") + ": design 2, want 1 to 1"; err == nil || err.Error() != want {
		t.Errorf("Read = %v, want %s", err, want)
	}
}

func TestReportEscapes(t *testing.T) {
	b := sample.Brief("")
	b.Title = `</title><script>alert("t")</script>`
	b.Source = []byte(`</pre><script>alert("b")</script>`)
	f, r, found := reportRun(t, b, sample.Rows())
	r.Stop, r.Advice = `<script>alert("s")</script>`, `<img src=x onerror=alert("c")>`
	r.Answers = &runs.Answers{Knee: `</script><script>alert("d")</script>`, Goal: "<img src=x>"}
	page := written(t, f, report.Of(b, r, found))
	if n := strings.Count(page, "<script"); n != 4 {
		t.Errorf("%d script elements, want the data, the charts and our own two", n)
	}
	if strings.Contains(page, "<img src=x") {
		t.Error("advice became an element")
	}
	if !strings.Contains(page, "alert(&#34;d&#34;)") {
		t.Error("an answer is not shown as given")
	}
}

// One design is no compromise, nor are designs that miss limits.
func TestReportWithoutAKnee(t *testing.T) {
	rows := sample.Rows()
	missing := []study.Row{rows[1], rows[1]}
	missing[0].Design = 1
	for why, rows := range map[string][]study.Row{"one design": rows[:1], "no feasible design": missing} {
		page := pageOf(t, sample.Brief(""), rows)
		head, _, _ := strings.Cut(page, "<script")
		if d := dataOf(t, page); strings.Contains(head, "knee</small>") || strings.Contains(head, "is the knee") || d.Knee != -1 || strings.Contains(d.Notes[0], "knee") {
			t.Errorf("%s: the page tells of a knee", why)
		}
	}
}

func TestReportOfNoDesign(t *testing.T) {
	page := pageOf(t, sample.Brief(""), nil)
	for _, want := range []string{"No design: nothing could be flown", "<p>There is none.</p>", "Wear eye protection."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// Of a robust search goals are what many flights are worth, and each limit has
// its chance.
func TestReportOfARobustSearch(t *testing.T) {
	b := sample.Brief("[scatter]\n\"body.drag\" = \"5 %\"\n[search]\nfront = 4\nflights = 90000\nrobust = { draws = 200, confidence = 0.9 }\n")
	of := func(met int) constraints.Chance { return constraints.Chance{Met: met, Flights: b.Plan().Days} }
	rows := sample.Rows()
	rows[0].Proof = &study.Proof{
		Design:  optimize.Design{Result: optimize.Result{Goals: []float64{-137.5, -0.08}}},
		Chances: []constraints.Chance{of(493), of(500), of(500), of(500)}, Held: true, All: of(493), Shown: make([]float64, 4),
	}
	d := dataOf(t, pageOf(t, b, rows))
	if a := d.Axes[0]; a.Name != "mean apogee" || *a.Values[0] != 137.5 || a.Values[1] != nil {
		t.Errorf("first axis %+v, want the mean apogee, which the second design does not have", a)
	}
	if got := d.Groups[1].Lines[0].Chance; got[0] != "0.986, at least 0.974" || got[1] != "not proved" {
		t.Errorf("chances %q", got)
	}
}

// A run of an older build lacks the figures that were added since.
func TestReportOfAnOlderRun(t *testing.T) {
	b := sample.Brief("")
	f, r, _ := reportRun(t, b, sample.Rows())
	front, _, err := r.ReadTable(f.Dir, "front.parquet")
	if err != nil {
		t.Fatal(err)
	}
	front.Columns = slices.DeleteFunc(front.Columns, func(c table.Column) bool {
		return c.Name == "bare_drift_m" || strings.Contains(c.Name, "_low_") || strings.Contains(c.Name, "_high_")
	})
	if err := f.WriteTable("front.parquet", front); err != nil {
		t.Fatal(err)
	}
	if r, err = f.Finish(r); err != nil {
		t.Fatal(err)
	}
	page, err := report.Read(b, r, f.Dir)
	if err != nil {
		t.Fatal(err)
	}
	text := written(t, f, page)
	if !strings.Contains(text, "bare drift") {
		t.Error("the figure that the run lacks is not told of")
	}
	if strings.Contains(text, "as modelled") {
		t.Error("the page tells of doubts that the run does not have")
	}
}

func TestReportOfAFaultyRun(t *testing.T) {
	b := sample.Brief("")
	for _, name := range []string{"front.parquet", "paths.parquet", "history.parquet"} {
		f, r, _ := reportRun(t, b, sample.Rows())
		path := filepath.Join(f.Dir, name)
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
		_, err := report.Read(b, r, f.Dir)
		if want := "read " + path + ": no such file or directory"; err == nil || err.Error() != want {
			t.Errorf("Read = %v, want %s", err, want)
		}
	}
	f, r, _ := reportRun(t, b, sample.Rows())
	var err error
	if b, err = brief.Parse("plan.toml", []byte(strings.Replace(string(b.Source), "dry_margin = \"none\"", "dry_margin = { at_least = 1 }", 1))); err != nil {
		t.Fatal(err)
	}
	_, err = report.Read(b, r, f.Dir)
	if want := "read " + filepath.Join(f.Dir, "front.parquet") + ": no column slack_dry_margin_cal of numbers, want one"; err == nil || err.Error() != want {
		t.Errorf("Read = %v, want %s", err, want)
	}
}

// Whatever a front of elsewhere holds, its pictures are drawn or left out.
func TestReportOfHugeNumbers(t *testing.T) {
	for _, v := range []float64{-1e300, math.MaxFloat64, 5e-324} {
		rows := sample.Rows()
		for i := range rows {
			rows[i].X = []float64{v, v, v}
			for k := range rows[i].Figures {
				rows[i].Figures[k] = v / float64(i+1)
			}
		}
		f, r, found := reportRun(t, sample.Brief(""), sample.Rows())
		found.Rows, found.Landings = rows, [][]study.Landing{{landed(v, v), landed(1, 2)}, {landed(v, -v)}}
		for i := range found.Paths[0] {
			found.Paths[0][i].Z, found.Paths[0][i].Margin = v, -v
		}
		written(t, f, report.Of(sample.Brief(""), r, found))
	}
}

// A class is named with its limits, in plain text, and each of them is marked
// where the design's room to it is told.
func TestReportOfAClass(t *testing.T) {
	of := *sample.Brief("")
	of.Class, of.Limits = brief.Class{Title: "<b>Six</b> bar"}, slices.Clone(of.Limits)
	of.Limits[2].Class = true // of the pressure
	page := pageOf(t, &of, sample.Rows())
	for _, want := range []string{"Class: &lt;b&gt;Six&lt;/b&gt; bar. Its limits: chamber pressure at most 8.00 bar.", "at most 8.00 bar, of the class"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Count(page, ", of the class") != 1 {
		t.Error("another limit is marked as the class's")
	}
}

// The rocket from the side stands within its picture, and to scale: the fins as far
// apart, against its length, as they are.
func TestSideStandsWithin(t *testing.T) {
	b := sample.Brief("")
	page := pageOf(t, b, sample.Rows())
	drawing := regexp.MustCompile(`(?s)<svg class="drawing" role="img" aria-label="Design 1 from the side.*?viewBox="0 0 (\d+) (\d+)">(.*?)</svg>`).FindStringSubmatch(page)
	if drawing == nil {
		t.Fatal("no drawing from the side")
	}
	number := func(word string) float64 {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	left, right, top, bottom := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, hull := range regexp.MustCompile(`class="hull" d="M ([^"]*) Z"`).FindAllStringSubmatch(drawing[3], -1) {
		for at := range strings.SplitSeq(hull[1], " L ") {
			x, y, _ := strings.Cut(at, " ")
			left, right, top, bottom = min(left, number(x)), max(right, number(x)), min(top, number(y)), max(bottom, number(y))
		}
	}
	if left < 0 || top < 0 || right > number(drawing[1]) || bottom > number(drawing[2]) {
		t.Errorf("it reaches from %g to %g and %g to %g in a picture of %s by %s", left, right, top, bottom, drawing[1], drawing[2])
	}
	body, fins := &b.Rocket.Body, &b.Rocket.Fins
	if got, want := (bottom-top)/(right-left), (body.Diameter+2*fins.Span)/max(body.Length, fins.Station+max(fins.Root, fins.Rake+fins.Tip)); math.Abs(got-want) > 0.002 {
		t.Errorf("it is %.4f times as high as long, want %.4f", got, want)
	}
}

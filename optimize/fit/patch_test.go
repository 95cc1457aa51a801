package fit

import (
	"slices"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

// knownResult is a result with some values fitted, made by hand.
func knownResult(values map[string]float64) *Result {
	r := &Result{Logs: []LogFit{{Name: "x.csv", Hash: strings.Repeat("0", 64)}}, half: 1.6}
	for _, key := range Freeable() {
		q := quantityOf(key)
		if v, ok := values[key]; ok {
			r.Estimates = append(r.Estimates, Estimate{Quantity: q, Value: v, Was: 1, Deviation: 0.01, Low: v - 0.016, High: v + 0.016, Fitted: true})
		} else {
			r.Estimates = append(r.Estimates, Estimate{Quantity: q, Value: 1, Was: 1, Why: "the log does not show it"})
		}
	}
	return r
}

// TestApplyPlaces holds where the lines of a patch go: a key that is there is
// replaced, one that is not follows the last of its table, a table that is not
// there ends the brief, a directive to editors stays first, and the scatter that
// the fit replaces becomes a comment.
func TestApplyPlaces(t *testing.T) {
	src := string(demo(t).Source)
	src = "#:schema brief.json\n" + strings.Replace(src, "latency = \"0.3 s\"\n", "", 1)
	r := knownResult(map[string]float64{"body.drag": 1.1, "recovery.latency": 0.5})
	out, err := r.Apply("x.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(out), "\n")
	if lines[0] != "#:schema brief.json" || !strings.HasPrefix(lines[1], "# fitted to x.csv (SHA-256 000000000000)") {
		t.Errorf("begins with %q", lines[:2])
	}
	at := func(prefix string) int {
		i := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, prefix) })
		if i < 0 {
			t.Fatalf("no line %q in\n%s", prefix, out)
		}
		return i
	}
	latency, head := at(`latency = "0.500 s" # fitted: ± 0.016 s, was 1 s`), at("[recovery]")
	between := lines[head+1 : latency]
	if latency < head || slices.ContainsFunc(between, func(l string) bool { return l == "" || l[0] == '[' || l[0] == '#' }) {
		t.Errorf("latency stands behind\n%s", strings.Join(between, "\n"))
	}
	if drag := at("drag = 1.100 # fitted: ± 0.016, was 1"); drag < at("[body]") || drag > at("[chamber]") {
		t.Errorf("drag in line %d", drag)
	}
	day := at("[scatter.day]")
	if lines[day+1] != `"body.drag" = 0.01` || lines[day+2] != `"recovery.latency" = "0.01 s"` || lines[day-1] != "" {
		t.Errorf("ends with\n%s", strings.Join(lines[day-1:], "\n"))
	}
	at(`# "body.drag"        = "7 %" # replaced by the fit's, in [scatter.day]`)
	if strings.Contains(string(out), "\njet = 1") {
		t.Error("a value that was not fitted is in the brief")
	}
	b, err := brief.Parse("x.toml", out)
	if err != nil {
		t.Fatal(err)
	}
	if b.Rocket.Body.Drag != 1.1 || b.Rocket.Recovery.Latency != 0.5 {
		t.Errorf("the brief has drag %v, latency %v", b.Rocket.Body.Drag, b.Rocket.Recovery.Latency)
	}
}

// TestPatchText holds the lines for the brief, with what was not fitted named, and
// the line that warns of quantities which hang together.
func TestPatchText(t *testing.T) {
	r := knownResult(map[string]float64{"body.drag": 1.1, "chamber.jet": 0.95})
	r.Correlation = [][]float64{{1, 0.72}, {0.72, 1}}
	want := `# fitted to x.csv (SHA-256 000000000000)
# ± is half of a 90 % interval
[body]
drag = 1.100 # ± 0.016, was 1
[chamber]
jet = 0.950 # ± 0.016, was 1
# drawn stays at 1: the log does not show it
# gas_jet stays at 1: the log does not show it
[recovery]
# drag stays at 1: the log does not show it
# latency stays at 1 s: the log does not show it

[scatter.day] # one standard deviation each; instead of the same keys in [scatter]
"body.drag" = 0.01
"chamber.jet" = 0.01
# body.drag and chamber.jet hang together by +0.72: drawn one by one, as here, they scatter flights more than the fit leaves open
`
	if got := r.Patch(); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	r.Correlation[1][0] = 0.69
	if got := r.Patch(); strings.Contains(got, "hang together") {
		t.Errorf("a correlation of 0.69 is told in the patch:\n%s", got)
	}
	r.Correlation[1][0] = -0.51
	if got := r.Text(); !strings.Contains(got, "  body.drag and chamber.jet hang together by -0.51\n") {
		t.Errorf("a correlation of -0.51 is not told:\n%s", got)
	}
	if got := knownResult(nil).Patch(); strings.Contains(got, "scatter") {
		t.Errorf("nothing was fitted, but\n%s", got)
	}
}

// TestNamesOfLogs holds that a log's name cannot break out of its comment.
func TestNamesOfLogs(t *testing.T) {
	r := knownResult(map[string]float64{"body.drag": 1.1})
	r.Logs[0].Name = "a\n[search]\nseed = 9\x1b[2J.csv"
	out, err := r.Apply("x.toml", demo(t).Source)
	if err != nil {
		t.Fatal(err)
	}
	b, err := brief.Parse("x.toml", out)
	if err != nil || b.Search.Seed == 9 || !strings.HasPrefix(b.Fitted, "a?[search]?seed = 9?[2J.csv (SHA-256") {
		t.Errorf("%v, seed %d, origin %q", err, b.Search.Seed, b.Fitted)
	}
}

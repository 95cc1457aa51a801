package fit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
	"ullage/optimize/brief"
)

func estimate(t *testing.T, r *Result, key string) *Estimate {
	t.Helper()
	for i := range r.Estimates {
		if r.Estimates[i].Key == key {
			return &r.Estimates[i]
		}
	}
	t.Fatalf("no estimate of %s", key)
	return nil
}

// TestNotIdentifiable holds that what a log does not show is named and stays as
// the brief has it, and that the rest is still found.
func TestNotIdentifiable(t *testing.T) {
	b, real := demo(t), flown(t)
	path, whole := finePath(t, &real.Rocket, &real.Site)
	for _, c := range []struct {
		why    string
		logger logger
		keys   []string
		fixed  map[string]string // with a part of the reason
		loose  bool              // the others follow what stays wrong
	}{
		{
			"the log ends before the canopy opens",
			logger{rate: 20, noise: 0.3, before: 4, gap: [2]float64{5.2, 100}},
			Usual(),
			map[string]string{"recovery.drag": "the log does not show it", "recovery.latency": "the log does not show it"},
			false,
		},
		{
			"a height alone cannot tell the jets apart",
			logger{rate: 20, noise: 0.3, before: 4},
			append(Usual(), "chamber.drawn"),
			map[string]string{"chamber.drawn": "cannot tell it from chamber.jet"},
			true,
		},
		{
			"the rise is missing",
			logger{rate: 20, noise: 0.3, before: 4, gap: [2]float64{-1, 6}},
			Usual(),
			map[string]string{"body.drag": "and cannot tell it from"},
			true,
		},
	} {
		log := readLog(t, "x.csv", c.logger.write(path, whole, rand.New(rand.NewPCG(5, 8))))
		r, err := Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}}, c.keys)
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		for i := range r.Estimates {
			e := &r.Estimates[i]
			t.Logf("%s: %s %v ± %v %v %s", c.why, e.Key, e.Value, e.Deviation, e.Fitted, e.Why)
			reason, fixed := c.fixed[e.Key]
			switch {
			case fixed && (e.Fitted || e.Value != e.Was || !strings.Contains(e.Why, reason) || e.Why == ""):
				t.Errorf("%s: %s = %v, fitted %v (%s), want it named and left", c.why, e.Key, e.Value, e.Fitted, e.Why)
			case !fixed && !c.loose && (!e.Fitted || math.Abs(e.Value-truth[e.Key]) > 4*e.Deviation+offOf(e)):
				t.Errorf("%s: %s = %v ± %v, was made with %v", c.why, e.Key, e.Value, e.Deviation, truth[e.Key])
			}
		}
	}
}

// offOf is what an estimate may be off because another, which stays wrong, is
// no part of its deviation.
func offOf(e *Estimate) float64 { return 0.02 * e.Value }

// TestSeveralFlights holds that two flights at other fills and pressures, each
// in its own weather, make the jet of gas identifiable when accelerations are
// logged, and every quantity more certain than one flight does.
func TestSeveralFlights(t *testing.T) {
	var flights []Flight
	for i, set := range [][]string{
		{"chamber.fill=0.25", "site.temperature=10 degC", "chamber.gas_jet=0.88"},
		{"chamber.fill=0.40", "chamber.pressure=12 bar", "recovery.delay=4.5 s", "chamber.gas_jet=0.88"},
	} {
		real := flown(t, set...)
		b := demo(t, set[:len(set)-1]...)
		src := logger{rate: 50, noise: 0.3, felt: 2, before: 4, after: 1}.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(1, uint64(i))))
		flights = append(flights, Flight{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight})
	}
	keys := append(Usual(), "chamber.gas_jet")
	both, err := Fit(flights, keys)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range keys {
		want := truth[key]
		if key == "chamber.gas_jet" {
			want = 0.88
		}
		e := estimate(t, both, key)
		t.Logf("%s = %.4f ± %.4f %s", e.Key, e.Value, e.Deviation, e.Why)
		if !e.Fitted || math.Abs(e.Value-want) > 4*e.Deviation {
			t.Errorf("%s = %v ± %v, was made with %v", key, e.Value, e.Deviation, want)
		}
	}
	one, err := Fit(flights[:1], keys)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"body.drag", "recovery.drag", "recovery.latency"} {
		if a, b := estimate(t, both, key), estimate(t, one, key); a.Deviation >= b.Deviation {
			t.Errorf("%s ± %v by two flights, ± %v by one", key, a.Deviation, b.Deviation)
		}
	}
}

// TestHangingNoise holds that noise which hangs together from sample to sample
// widens the stated deviations: by √((1 + ρ)/(1 − ρ)) = 2.4 for ρ = 0.7, within a
// third for the judgement of ρ.
func TestHangingNoise(t *testing.T) {
	b, real := demo(t), flown(t)
	path, whole := finePath(t, &real.Rocket, &real.Site)
	log := readLog(t, "x.csv", logger{rate: 20, before: 4}.write(path, whole, rand.New(rand.NewPCG(1, 1))))
	fitWith := func(rho float64) *Result {
		noisy := *log
		noisy.Rows = append([][kinds]float64(nil), log.Rows...)
		rng := rand.New(rand.NewPCG(12, 5))
		n := 0.0
		for i := range noisy.Rows {
			n = rho*n + math.Sqrt(1-rho*rho)*rng.NormFloat64()
			noisy.Rows[i][Height] += 0.3 * n
		}
		r, err := Fit([]Flight{{Log: &noisy, Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}}, Usual())
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	alone, together := estimate(t, fitWith(0), "body.drag"), estimate(t, fitWith(0.7), "body.drag")
	if ratio := together.Deviation / alone.Deviation; ratio < 2.4/1.33 || ratio > 2.4*1.33 {
		t.Errorf("deviations %v and %v: %v times, want 2.4", alone.Deviation, together.Deviation, ratio)
	}
}

// TestNext holds that the band of the next flight holds the flight that the log
// was made of, and that the same arguments give the same next.
func TestNext(t *testing.T) {
	b, real := demo(t), flown(t)
	r := fitted(t, b, real)
	next := r.Next(b, 200, 1)
	flight := model.Fly(&real.Rocket, &real.Site, model.NewScratch())
	if next.Flights < 199 || len(next.Figures) != len(forecastFigures) || len(next.Path) != forecastPoints {
		t.Fatalf("%d flights, %d figures, %d points", next.Flights, len(next.Figures), len(next.Path))
	}
	for _, f := range next.Figures {
		var id model.Figure
		for k := range model.Figures {
			if model.Figures[k].Key == f.Key {
				id = model.Figure(k)
			}
		}
		want, _ := flight.Figure(id)
		if !(f.Low <= want && want <= f.High) || !(f.Low <= f.Value && f.Value <= f.High) {
			t.Errorf("%s: %v to %v around %v, the flight had %v", f.Key, f.Low, f.High, f.Value, want)
		}
	}
	again := r.Next(b, 200, 1)
	other := r.Next(b, 200, 2)
	if again.Figures[0] != next.Figures[0] || other.Figures[0] == next.Figures[0] {
		t.Errorf("apogee %v, %v with the same seed, %v with another", next.Figures[0], again.Figures[0], other.Figures[0])
	}
	// What the fit leaves open of the apogee is far less than its drag alone would
	// scatter: drag and jet are drawn together.
	b.Scatter = nil
	quiet := r.Next(b, 200, 1)
	if half := (quiet.Figures[0].High - quiet.Figures[0].Low) / 2; half > 0.5 {
		t.Errorf("apogee ± %v m by the fit alone, want less than ± 0.5 m", half)
	}
}

// TestDrawnWithinBounds holds that flights to come are drawn by the law that a
// search draws by: a pressure near the proof pressure stays below it without
// heaping there, and what the fit found of it stays below it too.
func TestDrawnWithinBounds(t *testing.T) {
	b := demo(t, "chamber.pressure=22 bar", "chamber.proof=22.2 bar")
	seen := map[float64]bool{}
	for rocket := range (&Result{}).drawn(b, 200, 1) {
		p := rocket.Chamber.Pressure
		if p >= 22.2e5 || p < 22e5*(1-3*0.015)-1 {
			t.Errorf("scattered: %v Pa, want within three deviations and below the proof pressure", p)
		}
		if seen[p] {
			t.Errorf("scattered: %v Pa twice", p)
		}
		seen[p] = true
	}
	e := Estimate{Quantity: brief.MustQuantity("chamber.pressure"), Value: 22e5, Deviation: 0.5e5, Fitted: true}
	r := &Result{Estimates: []Estimate{e}, covariance: mat.NewSymDense(1, []float64{0.5e5 * 0.5e5})}
	low := math.Inf(1)
	for rocket := range r.drawn(b, 200, 1) {
		p := rocket.Chamber.Pressure
		if p > 22.2e5 || p < 22e5-3*0.5e5 {
			t.Errorf("fitted: %v Pa, want within three deviations and not above the proof pressure", p)
		}
		low = min(low, p)
	}
	if low > 22e5-2*0.5e5 {
		t.Errorf("fitted: %v Pa at the least, want it drawn by what the fit leaves open", low)
	}
}

func fitted(t *testing.T, b, real *brief.Brief) *Result {
	t.Helper()
	src := logger{rate: 20, noise: 0.3, before: 4}.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(2, 2)))
	r, err := Fit([]Flight{{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}}, Usual())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestApply holds that a brief with the patch in it has the fitted values and
// their scatter, and that one that cannot be patched by lines is refused.
func TestApply(t *testing.T) {
	b := demo(t)
	r := fitted(t, b, flown(t))
	src, err := r.Apply("x.toml", b.Source)
	if err != nil {
		t.Fatal(err)
	}
	fittedBrief, err := brief.Parse("x.toml", src)
	if err != nil {
		t.Fatal(err)
	}
	for i := range r.Estimates {
		e := &r.Estimates[i]
		if got := e.Quantity.Value(&fittedBrief.Rocket, &fittedBrief.Site); math.Abs(got-e.Value) > 0.06*r.half*e.Deviation {
			t.Errorf("%s = %v in the brief, fitted %v", e.Key, got, e.Value)
		}
	}
	if len(fittedBrief.Day) != 4 || len(fittedBrief.Scatter) != len(b.Scatter)-1 {
		t.Errorf("%d of the day, %d of flights, want 4 and %d: the drag's is replaced", len(fittedBrief.Day), len(fittedBrief.Scatter), len(b.Scatter)-1)
	}
	if got, want := string(b.Source), strings.Count(string(b.Source), "\n"); strings.Count(string(src), "\n") < want {
		t.Errorf("lines were lost from %q", got)
	}
	// Twice is once.
	again, err := r.Apply("x.toml", src)
	if err != nil || string(again) != string(src) {
		t.Errorf("applied twice: %v", err)
	}
	if got := fittedBrief.Fitted; got != r.Origin() || !strings.HasPrefix(got, "x.csv (SHA-256 ") {
		t.Errorf("fitted to %q, want %q", got, r.Origin())
	}
	if b.Fitted != "" {
		t.Errorf("fitted to %q of a brief that was not fitted", b.Fitted)
	}
	dos := strings.ReplaceAll(string(b.Source), "\n", "\r\n")
	if got, err := r.Apply("x.toml", []byte(dos)); err != nil || string(got) != strings.ReplaceAll(string(src), "\n", "\r\n") {
		t.Errorf("with other ends of lines: %v", err)
	}
	inline := strings.Replace(string(b.Source), "[recovery]\ncanopy = \"90 cm\"\ndrag = 0.75\ndelay = \"5.2 s\"\nlatency = \"0.3 s\"\nline = \"400 N\"\n", "", 1)
	inline = "recovery = { canopy = \"90 cm\", delay = \"5.2 s\" }\n" + inline
	if _, err := brief.Parse("x.toml", []byte(inline)); err != nil {
		t.Fatalf("the brief with a table in one line: %v", err)
	}
	if _, err := r.Apply("x.toml", []byte(inline)); err == nil || !strings.Contains(err.Error(), "want the patch applied by hand") {
		t.Errorf("a table in one line: %v", err)
	}
}

// TestAtTheRange holds that a rocket with more impulse than any jet gives is
// told so, and not given a jet beyond its range.
func TestAtTheRange(t *testing.T) {
	b, real := demo(t), demo(t, "chamber.jet=1", "chamber.pressure=15.7 bar")
	r := fitted(t, b, real)
	e := estimate(t, r, "chamber.jet")
	if e.Value != 1 || !e.AtTheRange || e.High != 1 {
		t.Errorf("chamber.jet = %v up to %v, at the range %v, want 1", e.Value, e.High, e.AtTheRange)
	}
	if text := r.Text(); !strings.Contains(text, "at the end of its range: what is off lies elsewhere") {
		t.Errorf("nothing said of it in %s", text)
	}
}

func TestFitWantsKnownKeys(t *testing.T) {
	b := demo(t)
	log := readLog(t, "x.csv", []byte("time (s),height (m)\n"+rows("%g,%g")))
	_, err := Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site}}, []string{"fins.span"})
	if want := `fit: "fins.span", want one of [body.drag chamber.jet chamber.drawn chamber.gas_jet recovery.drag recovery.latency]`; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	if _, err := Fit(nil, Usual()); err == nil || err.Error() != "fit: 0 logs, want at least 1" {
		t.Errorf("%v", err)
	}
}

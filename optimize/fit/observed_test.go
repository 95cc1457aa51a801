package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
)

func TestReadObservation(t *testing.T) {
	for _, c := range []struct {
		text  string
		id    model.Figure
		value float64
		about float64
	}{
		{"apogee_time = 3.4 s ± 0.2 s", model.ApogeeTime, 3.4, 0.2},
		{"apogee=78 m +- 6 m", model.Apogee, 78, 6},
		{"apogee = 256 ft ± 2 m", model.Apogee, 256 * 0.3048, 2},
		{"apogee = 78 ± 6 m", model.Apogee, 78, 6},
		{"drift = -80 m ± 5 %", model.Drift, -80, 4},
		{"max_mach = 0.15 ± 0.01", model.MaxMach, 0.15, 0.01},
		{"thrust_end_lean = 4 deg ± 1 deg", model.ThrustEndLean, 4 * math.Pi / 180, math.Pi / 180},
	} {
		o, err := ReadObservation(c.text)
		if err != nil || o.Figure != c.id || math.Abs(o.Value-c.value) > 1e-12 || math.Abs(o.Deviation-c.about) > 1e-12 || o.Text != c.text {
			t.Errorf("%s: %+v, %v, want %v ± %v", c.text, o, err, c.value, c.about)
		}
	}
	for text, want := range map[string]string{
		"apgee = 78 m ± 6 m":        `"apgee = 78 m ± 6 m": no figure of a flight before =, want one such as apogee, `,
		"apogee 78 m ± 6 m":         `"apogee 78 m ± 6 m": no figure of a flight before =`,
		"apogee = 78 m":             `"apogee = 78 m": no deviation, want ± and how well it was seen`,
		"apogee = 78 s ± 6 m":       `"apogee = 78 s ± 6 m": unit "s", want one of m, `,
		"apogee = 78 m ± 0 m":       `"apogee = 78 m ± 0 m": a deviation of 0 m, want above 0`,
		"apogee = 78 m ± -6 m":      `"apogee = 78 m ± -6 m": a deviation of -6 m, want above 0`,
		"apogee = high ± 6 m":       `"apogee = high ± 6 m": no number in "high"`,
		"apogee = 78 m ± 6 m ± 1 m": `"apogee = 78 m ± 6 m ± 1 m": more than one ±, want one`,
		"apogee = 1e309 m ± 6 m":    `"apogee = 1e309 m ± 6 m": no number in "1e309 m"`,
	} {
		if _, err := ReadObservation(text); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%v, want %s…", err, want)
		}
	}
	if o, err := ReadObservation("apogee = 78\x1b[2Jm\n ± 6 m"); err == nil && strings.ContainsFunc(o.Text, func(r rune) bool { return r < ' ' }) {
		t.Errorf("what a terminal obeys is kept in %q", o.Text)
	}
}

// TestReadSighting holds the triangle: tan 45° is 1, and a degree of it is worth
// 2·100 m·π/180.
func TestReadSighting(t *testing.T) {
	for _, c := range []struct {
		text         string
		value, about float64
	}{
		{"45 deg at 100 m", 100, 2 * 2 * 100 * math.Pi / 180},
		{"45 deg ± 1 deg at 100 m", 100, 2 * 100 * math.Pi / 180},
		{"60 deg at 50 m", 50 * math.Sqrt(3), 4 * 50 * 2 * math.Pi / 180},
	} {
		o, err := ReadSighting(c.text)
		if err != nil || o.Figure != model.Apogee || math.Abs(o.Value-c.value) > 1e-9 || math.Abs(o.Deviation-c.about) > 1e-9 {
			t.Errorf("%s: %+v, %v, want %v ± %v", c.text, o, err, c.value, c.about)
		}
	}
	o, _ := ReadSighting("45 deg at 100 m")
	if want := "sighted 45 deg at 100 m: apogee = 100 m ± 6.98 m"; o.Text != want {
		t.Errorf("%q, want %q", o.Text, want)
	}
	for text, want := range map[string]string{
		"31 deg":           `"31 deg": no baseline, want an angle and a length`,
		"31 m at 100 m":    `"31 m at 100 m": unit "m", want one of deg, rad`,
		"31 deg at 100 s":  `"31 deg at 100 s": unit "s", want one of m, `,
		"81 deg at 100 m":  `"81 deg at 100 m": an angle beyond what tells a height, want above 0 deg and up to 80 deg`,
		"0 deg at 100 m":   `"0 deg at 100 m": an angle beyond`,
		"31 deg at -100 m": `"31 deg at -100 m": no baseline of any use, want the distance from the pad, up to 10 km`,
	} {
		if _, err := ReadSighting(text); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%v, want %s…", err, want)
		}
	}
}

// seen returns what somebody sees of a flight, with so many deviations of error.
func seen(f *model.Flight, id model.Figure, deviation, off float64) Observation {
	v, _ := f.Figure(id)
	return Observation{Text: model.Figures[id].Key, Figure: id, Value: v + off*deviation, Deviation: deviation}
}

func flightOf(b *brief.Brief) model.Flight {
	return model.Fly(&b.Rocket, &b.Site, model.NewScratch())
}

func observe(t *testing.T, b *brief.Brief, keys []string, observed ...Observation) *Result {
	t.Helper()
	f, err := Under(b, nil, keys)
	if err != nil {
		t.Fatal(err)
	}
	f.Observed = observed
	r, err := Fit([]Flight{f}, keys)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestObservedAlone holds that sharp observations give back what the flight was
// made with, each quantity by a figure that hangs on it.
func TestObservedAlone(t *testing.T) {
	b, real := demo(t), demo(t, "body.drag=1.3", "chamber.jet=0.95", "recovery.drag=0.68")
	flight := flightOf(real)
	r := observe(t, b, []string{"body.drag", "chamber.jet", "recovery.drag"},
		seen(&flight, model.Apogee, 0.05, 0), seen(&flight, model.MaxSpeed, 0.02, 0), seen(&flight, model.LandingSpeed, 0.005, 0))
	for key, want := range map[string]float64{"body.drag": 1.3, "chamber.jet": 0.95, "recovery.drag": 0.68} {
		e := estimate(t, r, key)
		if !e.Fitted || math.Abs(e.Value-want) > 3*e.Deviation || e.Deviation > 0.02 {
			t.Errorf("%s = %v ± %v, fitted %v, want %v", key, e.Value, e.Deviation, e.Fitted, want)
		}
	}
	if len(r.Logs) != 0 || len(r.Observed) != 3 || r.Readings != 3 {
		t.Errorf("%d logs, %d observations, %d readings", len(r.Logs), len(r.Observed), r.Readings)
	}
	for _, o := range r.Observed {
		before, _ := flightOf2(b).Figure(o.Figure)
		if math.Abs(o.Off()) > 1 || o.Before != before {
			t.Errorf("%s: %v, before %v, fitted %v", o.Text, o.Value, o.Before, o.After)
		}
	}
}

func flightOf2(b *brief.Brief) *model.Flight {
	f := flightOf(b)
	return &f
}

// TestObservedWeighs holds the estimate of one quantity by one observation to the
// closed form for a straight line through the brief's value x0: with slope s,
// doubt d and deviation σ it is x0 + d² s (y − h0)/(d² s² + σ²), and its deviation
// 1/√(1/d² + s²/σ²). The doubt is small, so that the line is straight.
func TestObservedWeighs(t *testing.T) {
	const d, sigma, off = 0.02, 0.7, 1.5
	b := demo(t)
	up, down, at := flightOf(demo(t, "body.drag=1.01")), flightOf(demo(t, "body.drag=0.99")), flightOf(b)
	high, _ := up.Figure(model.Apogee)
	low, _ := down.Figure(model.Apogee)
	s := (high - low) / 0.02
	f, err := Under(b, nil, []string{"body.drag"})
	if err != nil {
		t.Fatal(err)
	}
	f.Doubts = map[string]float64{"body.drag": d}
	f.Observed = []Observation{seen(&at, model.Apogee, sigma, off)}
	r, err := Fit([]Flight{f}, []string{"body.drag"})
	if err != nil {
		t.Fatal(err)
	}
	e := estimate(t, r, "body.drag")
	if want := 1 + d*d*s*off*sigma/(d*d*s*s+sigma*sigma); math.Abs(e.Value-want) > 1e-4 {
		t.Errorf("drag %v, want %v", e.Value, want)
	}
	deviation := 1 / math.Sqrt(1/(d*d)+s*s/(sigma*sigma))
	if math.Abs(e.Deviation/deviation-1) > 0.01 {
		t.Errorf("± %v, want %v", e.Deviation, deviation)
	}
	if half := 1.6449 * e.Deviation; math.Abs((e.High-e.Low)/2-half) > 1e-4*half {
		t.Errorf("%v to %v, want ± %v: the deviation was given, not judged", e.Low, e.High, half)
	}
}

// TestObservedUntold holds that what an observation does not narrow is named and
// stays, that its doubt is part of the others' deviations, and that a brief which
// says how well it is known is believed.
func TestObservedUntold(t *testing.T) {
	b := demo(t)
	at := flightOf(b)
	apogee := seen(&at, model.Apogee, 4, -1)
	r := observe(t, b, Usual(), apogee)
	for _, key := range []string{"recovery.drag", "recovery.latency"} {
		e := estimate(t, r, key)
		if e.Fitted || e.Value != e.Was || !strings.Contains(e.Why, "what was seen leaves it ± ") || !strings.Contains(e.Why, "it was known to ± ") {
			t.Errorf("%s = %v, fitted %v: %s", key, e.Value, e.Fitted, e.Why)
		}
	}
	drag := estimate(t, r, "body.drag")
	if !drag.Fitted || drag.Value <= 1 || drag.Deviation >= 0.2 {
		t.Errorf("drag %v ± %v, fitted %v, want more than 1, known better than to 0.2", drag.Value, drag.Deviation, drag.Fitted)
	}
	if alone := estimate(t, observe(t, b, []string{"body.drag"}, apogee), "body.drag"); alone.Deviation >= drag.Deviation {
		t.Errorf("± %v with the jet known, ± %v with it in doubt", alone.Deviation, drag.Deviation)
	}
	mass := observe(t, b, Usual(), seen(&at, model.DryMass, 0.01, 0))
	for i := range mass.Estimates {
		if mass.Estimates[i].Fitted {
			t.Errorf("a mass tells %s", mass.Estimates[i].Key)
		}
	}
	known, err := brief.Parse("x.toml", append(slices.Clone(b.Source), "\n[scatter.day]\n\"chamber.jet\" = 0.0005\n"...))
	if err != nil {
		t.Fatal(err)
	}
	if e := estimate(t, observe(t, known, Usual(), apogee), "chamber.jet"); e.Fitted {
		t.Errorf("a jet known to 0.0005 is fitted to an apogee: %v", e.Value)
	}
}

// TestObservedWithLog holds that a figure which was seen tells what the log does
// not show, and weighs beside what it does.
func TestObservedWithLog(t *testing.T) {
	b, real := demo(t), flown(t)
	flight := flightOf(real)
	src := logger{rate: 20, noise: 0.3, before: 4, gap: [2]float64{5.2, 100}}.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(5, 8)))
	f := Flight{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}
	alone, err := Fit([]Flight{f}, Usual())
	if err != nil {
		t.Fatal(err)
	}
	f.Observed = []Observation{seen(&flight, model.LandingSpeed, 0.05, 0), seen(&flight, model.MaxSpeed, 0.05, 0)}
	both, err := Fit([]Flight{f}, Usual())
	if err != nil {
		t.Fatal(err)
	}
	if e := estimate(t, alone, "recovery.drag"); e.Fitted {
		t.Errorf("the log alone tells the canopy: %v", e.Value)
	}
	for key, want := range map[string]float64{"recovery.drag": 0.68, "body.drag": 1.12, "chamber.jet": 0.955} {
		if e := estimate(t, both, key); !e.Fitted || math.Abs(e.Value-want) > 4*e.Deviation {
			t.Errorf("%s = %v ± %v, fitted %v, was made with %v", key, e.Value, e.Deviation, e.Fitted, want)
		}
	}
	if a, b := estimate(t, alone, "chamber.jet").Deviation, estimate(t, both, "chamber.jet").Deviation; b > 0.7*a {
		t.Errorf("jet ± %v by the log, ± %v with the speed that was seen", a, b)
	}
	if text := both.Text(); !strings.Contains(text, "\nobserved\n  landing_speed; by the brief ") || strings.Contains(text, "figure 1") || strings.Contains(text, "away") {
		t.Errorf("%s", text)
	}
}

// TestObservedCoverage holds that the 90 % intervals of observations alone hold
// 90 % of rockets, drawn as the doubts say: 84 to 96 % of 300, 3.5 deviations of
// a binomial.
func TestObservedCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: 300 fits; go test ./... makes them")
	}
	const draws = 300
	b := demo(t)
	keys := []string{"body.drag", "chamber.jet"}
	drag, jet := quantityOf("body.drag"), quantityOf("chamber.jet")
	rng := rand.New(rand.NewPCG(11, 7))
	scratch := model.NewScratch()
	held := map[string]int{}
	for range draws {
		rocket, site := b.Rocket, b.Site
		truth := map[string]float64{"body.drag": 1 + 0.2*rng.NormFloat64(), "chamber.jet": min(0.97+0.02*rng.NormFloat64(), 1)}
		drag.Set(&rocket, &site, truth["body.drag"])
		jet.Set(&rocket, &site, truth["chamber.jet"])
		flight := model.Fly(&rocket, &site, scratch)
		r := observe(t, b, keys, seen(&flight, model.Apogee, 3, rng.NormFloat64()), seen(&flight, model.ApogeeTime, 0.1, rng.NormFloat64()))
		for _, e := range r.Estimates {
			if e.Fitted && e.Low <= truth[e.Key] && truth[e.Key] <= e.High {
				held[e.Key]++
			}
		}
	}
	for _, key := range keys {
		if share := float64(held[key]) / draws; share < 0.84 || share > 0.96 {
			t.Errorf("%s: %d of %d intervals hold it, want 84 to 96 %%", key, held[key], draws)
		}
	}
}

func TestObservedRefused(t *testing.T) {
	b := demo(t)
	for _, c := range []struct{ text, want string }{
		{"apogee = 780 m ± 6 m", "observed: apogee = 780 m ± 6 m: the brief's flight has 141 m: too far apart for a fit, want the unit and the brief's conditions checked"},
		{"apogee = 40 m ± 6 m", "observed: apogee = 40 m ± 6 m: the brief's flight has 141 m: too far apart for a fit, want the unit and the brief's conditions checked"},
		{"tube_time = 1 s ± 0.1 s", "observed: tube_time = 1 s ± 0.1 s: the brief's flight has no such figure, want one that it has"},
	} {
		o, err := ReadObservation(c.text)
		if err != nil {
			t.Fatal(err)
		}
		_, err = Fit([]Flight{{Rocket: b.Rocket, Site: b.Site, Observed: []Observation{o}}}, Usual())
		if err == nil || err.Error() != c.want {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
	// 40 m seen so badly that 142 m is not out of reach.
	vague, err := ReadObservation("apogee = 40 m ± 60 m")
	if err != nil {
		t.Fatal(err)
	}
	if r := observe(t, b, Usual(), vague); slices.ContainsFunc(r.Estimates, func(e Estimate) bool { return e.Fitted }) {
		t.Errorf("a guess of the height tells something:\n%s", r.Text())
	}
	stand := readLog(t, "stand.csv", []byte(standLog(b, 200, 1, 0, rand.New(rand.NewPCG(1, 2)))))
	flights := []Flight{{Log: stand}}
	if err := Observe(flights, []Observation{vague}); err == nil || err.Error() != "apogee = 40 m ± 60 m: only logs of test stands, want the log of a flight or none" {
		t.Errorf("%v", err)
	}
	if _, err := Fit([]Flight{{Log: stand, Rocket: b.Rocket, Site: b.Site, Observed: []Observation{vague}}}, Usual()); err == nil || err.Error() != "stand.csv: observations beside the log of a test stand, want those of a flight apart" {
		t.Errorf("%v", err)
	}
	if _, err := Fit([]Flight{{Rocket: b.Rocket, Site: b.Site}}, Usual()); err == nil || err.Error() != "fit: a flight without a log or an observation, want one of them" {
		t.Errorf("%v", err)
	}
	alone := []Flight{{Rocket: b.Rocket, Site: b.Site, Lag: 0.1}} // a filter is the altimeter's, and there is none
	if err := Observe(alone, []Observation{vague}); err != nil {
		t.Fatal(err)
	}
	if _, err := Fit(alone, Usual()); err != nil {
		t.Error(err)
	}
	flights = append(flights, Flight{Log: &Log{}})
	if err := Observe(flights, []Observation{vague}); err != nil || len(flights[0].Observed) != 0 || len(flights[1].Observed) != 1 {
		t.Errorf("%v: %d of the stand, %d of the flight", err, len(flights[0].Observed), len(flights[1].Observed))
	}
}

// TestObservedPatch holds that a brief takes what observations tell, and says
// what it was fitted to.
func TestObservedPatch(t *testing.T) {
	b := demo(t)
	o, err := ReadSighting("50 deg at 100 m")
	if err != nil {
		t.Fatal(err)
	}
	r := observe(t, b, Usual(), o)
	if text := r.Text(); !strings.Contains(text, "fitted to 1 observation, ± taken for one standard deviation") || !strings.Contains(text, "sighted 50 deg at 100 m: apogee = 119 m ± 8.45 m; by the brief 141 m, fitted 13") {
		t.Errorf("%s", text)
	}
	src, err := r.Apply("x.toml", b.Source)
	if err != nil {
		t.Fatal(err)
	}
	if b, err := brief.Parse("x.toml", src); err != nil || b.Fitted != "sighted 50 deg at 100 m: apogee = 119 m ± 8.45 m" {
		t.Errorf("%v, fitted to %q", err, b.Fitted)
	}
	next := r.Next(b, 100, 1)
	if next.Flights != 100 || !(next.Figures[0].Low < next.Figures[0].Value && next.Figures[0].Value < next.Figures[0].High) {
		t.Errorf("%d flights to come, apogee %+v", next.Flights, next.Figures)
	}
}

// FuzzReadObservation holds that what is read is finite, has a deviation, is one
// line that no terminal obeys, and that a fault names the text.
func FuzzReadObservation(f *testing.F) {
	f.Add("apogee = 78 m ± 6 m", false)
	f.Add("31 deg ± 1 deg at 100 m", true)
	f.Add("apogee=5\n", false)
	f.Add("drift=1e300ft+-1e-300%", false)
	f.Fuzz(func(t *testing.T, text string, sighted bool) {
		read := ReadObservation
		if sighted {
			read = ReadSighting
		}
		o, err := read(text)
		if err != nil {
			if !strings.HasPrefix(err.Error(), strconv.Quote(text)+": ") {
				t.Errorf("a fault without its text: %v", err)
			}
			return
		}
		if math.IsInf(o.Value, 0) || math.IsNaN(o.Value) || !(o.Deviation > 0) || math.IsInf(o.Deviation, 0) || strings.ContainsFunc(o.Text, func(r rune) bool { return !strconv.IsPrint(r) }) {
			t.Errorf("%q: %+v", text, o)
		}
	})
}

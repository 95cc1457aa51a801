package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ullage/model"
	"ullage/model/air"
)

// TestLogFit holds what is said of one log to what the log was made with: its
// noise, its highest point, what the dry rocket had of energy and what the charge
// could give, the flights before and after the fit, and the rows.
func TestLogFit(t *testing.T) {
	b, real := demo(t), flown(t)
	const noise, level = 0.3, 57.0
	src := logger{rate: 20, noise: noise, speed: 0.8, felt: 2.5, level: level, before: 4}.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(2, 2)))
	r, err := Fit([]Flight{{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}}, Usual())
	if err != nil {
		t.Fatal(err)
	}
	l := &r.Logs[0]
	for of, want := range [channels]float64{heightChannel: noise, speedChannel: 0.8} {
		if want > 0 && math.Abs(l.Noise[of]/want-1) > 0.15 {
			t.Errorf("noise of %s %v, was made with %v", channelNames[of], l.Noise[of], want)
		}
	}
	if l.Noise[feltChannel] > 2.5 || l.Noise[feltChannel] < 0.3 {
		t.Errorf("noise of means of accelerations %v, want less than that of one, 2.5", l.Noise[feltChannel])
	}
	if l.Has != [channels]bool{heightChannel: true, speedChannel: true, feltChannel: true} {
		t.Errorf("has %v", l.Has)
	}
	if math.Abs(l.Level-level) > 2*l.LevelInterval || l.LevelInterval > 0.2 || math.Abs(l.LiftOff-4) > 2*l.LiftOffInterval || l.LiftOffInterval > 0.02 {
		t.Errorf("level %v ± %v, want %v; lift-off %v ± %v, want 4", l.Level, l.LevelInterval, level, l.LiftOff, l.LiftOffInterval)
	}
	before, made := flightOf(b), flightOf(real)
	rocket, site := r.Fitted(b.Rocket, b.Site)
	after := model.Fly(&rocket, &site, model.NewScratch())
	apogee := func(f *model.Flight) float64 { v, _ := f.Figure(model.Apogee); return v }
	impulse := func(f *model.Flight) float64 { v, _ := f.Figure(model.Impulse); return v }
	if l.Before != apogee(&before) || l.After != apogee(&after) || l.Impulse != impulse(&after)/impulse(&before) {
		t.Errorf("apogee %v, fitted %v, impulse %v, want %v, %v, %v", l.Before, l.After, l.Impulse, apogee(&before), apogee(&after), impulse(&after)/impulse(&before))
	}
	if math.Abs(l.Highest-apogee(&made)) > 4*noise {
		t.Errorf("highest %v m, flew to %v m", l.Highest, apogee(&made))
	}
	statics, _ := model.Weigh(&b.Rocket, &b.Site)
	speed, _ := made.Figure(model.MaxSpeed)
	height, _ := made.Figure(model.ThrustEndHeight)
	if want := statics.DryMass * (speed*speed/2 + air.Gravity*height); math.Abs(l.Claims/want-1) > 0.1 {
		t.Errorf("the log claims %v J, the rocket had %v J", l.Claims, want)
	}
	p, v := b.Site.Pressure+b.Rocket.Chamber.Pressure, statics.Volume*(1-b.Rocket.Chamber.Fill)
	if want := v * (p*math.Log(p/b.Site.Pressure) - (p - b.Site.Pressure)); math.Abs(l.Holds/want-1) > 1e-12 {
		t.Errorf("the charge holds %v J, want %v J", l.Holds, want)
	}
	checkRows(t, l)
}

// checkRows holds that the rows of a log are its numbers less what was found of
// it, and the model's at the same times.
func checkRows(t *testing.T, l *LogFit) {
	t.Helper()
	sum, weights, felt := 0.0, 0.0, 0
	for _, row := range l.Rows {
		if math.Abs(row.Height-row.ModelHeight) > 6*l.Noise[heightChannel] || math.Abs(row.Speed-row.ModelSpeed) > 6*l.Noise[speedChannel] || !math.IsNaN(row.Thrust) {
			t.Fatalf("%+v", row)
		}
		gap := (row.Height - row.ModelHeight) / l.Noise[heightChannel]
		if _, want := Huber(gap); math.Abs(row.Weight-want) > 1e-9 {
			t.Fatalf("weight %v of a gap of %v deviations, want %v", row.Weight, gap, want)
		}
		sum += row.Height - row.ModelHeight
		weights += row.Weight
		if !math.IsNaN(row.Felt) {
			felt++
			if math.Abs(row.Felt-row.ModelFelt) > 6*l.Noise[feltChannel] || row.ModelFelt < leastThrust {
				t.Errorf("felt %v m/s², the model %v", row.Felt, row.ModelFelt)
			}
		}
	}
	n := float64(len(l.Rows))
	if math.Abs(sum/n) > 0.05 || weights/n < 0.85 || felt < 2 {
		t.Errorf("residuals of %v m in the mean, weights of %v, %d accelerations", sum/n, weights/n, felt)
	}
	if first := l.Rows[0]; first.Time < -2 || first.Time > -1.5 || math.Abs(first.Height) > 6*l.Noise[heightChannel] || first.ModelHeight != 0 {
		t.Errorf("first row %+v, want two seconds before it was seen to rise, on the pad", first)
	}
}

// TestThinned holds that a log with more samples than are of use is thinned
// evenly, and tells what a thinner one tells.
func TestThinned(t *testing.T) {
	b, real := demo(t), flown(t)
	src := logger{rate: 250, noise: 0.3, before: 4}.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(2, 3)))
	r, err := Fit([]Flight{{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}}, Usual())
	if err != nil {
		t.Fatal(err)
	}
	if r.Readings > mostTimes || r.Readings < mostTimes/2 || !strings.Contains(strings.Join(r.Logs[0].Notes, "; "), "one sample of 3 used") {
		t.Errorf("%d readings, notes %q", r.Readings, r.Logs[0].Notes)
	}
	for i := 1; i < len(r.Logs[0].Rows); i++ {
		if d := r.Logs[0].Rows[i].Time - r.Logs[0].Rows[i-1].Time; math.Abs(d-3./250) > 1e-6 {
			t.Fatalf("%v s between rows %d and %d, want 0.012", d, i-1, i)
		}
	}
}

// TestNotesOfALog holds that pauses and spikes are counted and placed.
func TestNotesOfALog(t *testing.T) {
	b, real := demo(t), flown(t)
	src := logger{rate: 20, noise: 0.3, before: 4, spikes: 4, gap: [2]float64{2, 3.5}}.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(2, 9)))
	r, err := Fit([]Flight{{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}}, Usual())
	if err != nil {
		t.Fatal(err)
	}
	notes := strings.Join(r.Logs[0].Notes, "; ")
	if !strings.Contains(notes, "1 gap, the longest of 1.5 s after 6 s") || !strings.Contains(notes, "4 spikes left out") {
		t.Errorf("%s", notes)
	}
}

// TestGases holds that the logs of a test stand tell which gas model they were
// made with, whichever of the two the brief has.
func TestGases(t *testing.T) {
	keys := []string{"chamber.jet", "chamber.gas_jet"}
	for _, c := range []struct{ made, brief string }{{"dry", "moist"}, {"moist", "dry"}, {"dry", "dry"}} {
		b := demo(t, "chamber.gas="+c.brief)
		real := flown(t, "chamber.gas="+c.made)
		log := readLog(t, "stand.csv", []byte(standLog(real, 500, 0.5, 7, rand.New(rand.NewPCG(4, 4)))))
		flights := []Flight{{Log: log, Rocket: b.Rocket, Site: b.Site}}
		is, err := Fit(flights, keys)
		if err != nil {
			t.Fatal(err)
		}
		g, err := CompareGas(flights, keys, is)
		if err != nil {
			t.Fatal(err)
		}
		if g.Brief != b.Rocket.Chamber.Gas || g.Other != model.Moist+model.Dry-g.Brief {
			t.Errorf("%s in the brief: compares %v with %v", c.brief, g.Brief, g.Other)
		}
		if prefers := g.Better > Decisive; prefers != (c.made == c.brief) || math.Abs(g.Better) < Decisive {
			t.Errorf("made %s, %s in the brief: better by %v", c.made, c.brief, g.Better)
		}
		if flights[0].Rocket.Chamber.Gas != b.Rocket.Chamber.Gas {
			t.Error("the flights were changed")
		}
	}
}

// TestStandCutShort holds that impulses of a log that ends while the jet lasts are
// those over its own time.
func TestStandCutShort(t *testing.T) {
	b, real := demo(t, "chamber.jet=0.955"), flown(t)
	lines := strings.SplitAfter(standLog(real, 200, 0.5, 7, rand.New(rand.NewPCG(4, 4))), "\n")
	const last = 1.1 // s, release at 1 s
	log := readLog(t, "stand.csv", []byte(strings.Join(lines[:1+int(last*200)+1], "")))
	r, err := Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site}}, []string{"chamber.gas_jet"})
	if err != nil {
		t.Fatal(err)
	}
	l := r.Logs[0]
	over := func(r *model.Rocket) float64 {
		s := model.NewScratch()
		s.Tolerance = predictorTolerance
		return model.Bench(nil, r, &b.Site, []float64{last - l.LiftOff}, s)[0].Impulse
	}
	rocket, _ := r.Fitted(b.Rocket, b.Site)
	before, after := over(&b.Rocket), over(&rocket)
	if math.Abs(l.Before/before-1) > 1e-4 || math.Abs(l.After/after-1) > 1e-4 || math.Abs(l.Impulse-after/before) > 1e-4 {
		t.Errorf("%v N s, fitted %v, ratio %v, want %v, %v", l.Before, l.After, l.Impulse, before, after)
	}
	if math.Abs(l.Highest/after-1) > 0.04 { // half an interval of full thrust is 3 %
		t.Errorf("the log's impulse %v N s, fitted %v", l.Highest, after)
	}
}

// TestForecastQuantiles holds that of what the fit and the brief leave open 5 %
// lies below the range and 5 % above it, for a figure that goes straight with
// one quantity that is normal: the range is ± 1.645 of its deviations.
func TestForecastQuantiles(t *testing.T) {
	b := demo(t)
	b.Scatter = nil
	at := flightOf(b)
	f := Flight{Rocket: b.Rocket, Site: b.Site, Observed: []Observation{seen(&at, model.LandingSpeed, 0.05, 0)}, Doubts: map[string]float64{"recovery.drag": 0.02}}
	r, err := Fit([]Flight{f}, []string{"recovery.drag"})
	if err != nil {
		t.Fatal(err)
	}
	e := estimate(t, r, "recovery.drag")
	next := r.Next(b, 1500, 3)
	for _, figure := range next.Figures {
		if figure.Key != "landing_speed" {
			continue
		}
		// v ~ 1/√(drag)
		want := figure.Value * 0.5 * e.Deviation / e.Value * 1.645
		if math.Abs((figure.High-figure.Low)/2/want-1) > 0.08 || math.Abs((figure.High+figure.Low)/2/figure.Value-1) > 0.002 {
			t.Errorf("landing speed %v to %v around %v, want ± %v", figure.Low, figure.High, figure.Value, want)
		}
	}
	rocket, site := r.Fitted(b.Rocket, b.Site)
	at = model.Fly(&rocket, &site, model.NewScratch())
	end, _ := at.Figure(model.FlightTime)
	for i, p := range next.Path {
		if math.Abs(p.Time-end*float64(i)/forecastPoints) > 1e-9 || p.Low > p.Height+1e-9 || p.High < p.Height-1e-9 {
			t.Fatalf("point %d of the path: %+v", i, p)
		}
	}
}

// TestPatchDigits holds that values are written to two digits of their interval,
// and no deviation is rounded to nothing.
func TestPatchDigits(t *testing.T) {
	for _, c := range []struct {
		value, half float64
		want        string
	}{
		{1.15234, 0.0412, "1.152"}, {0.95904, 0.00467, "0.9590"}, {0.679712, 0.00112, "0.6797"}, {123.4, 45, "123"}, {1.5, 0, "1.500000"}, {0.1, 1e-9, "0.100000"},
	} {
		if got := fmt.Sprintf("%.*f", places(c.half), c.value); got != c.want {
			t.Errorf("%v ± %v is written %s, want %s", c.value, c.half, got, c.want)
		}
	}
}

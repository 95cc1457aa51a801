package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"ullage/testdata/briefs"

	"ullage/model"
	"ullage/model/air"
	"ullage/optimize/brief"
)

// demo is the field-day brief set for height, with some values replaced.
func demo(t testing.TB, set ...string) *brief.Brief {
	t.Helper()
	return briefs.Demo(t, briefs.High, set...)
}

// A logger is how a made-up log comes about.
type logger struct {
	rate    float64 // Hz
	noise   float64 // m
	quantum float64 // m, steps of the altimeter
	lag     float64 // s
	level   float64 // m, of the pad
	before  float64 // s on the pad before lift-off
	after   float64 // s on the ground
	gap     [2]float64
	spikes  int
	stretch float64     // m of true height for one of the altimeter's
	speed   float64     // m/s, noise of a column of speeds; 0: none
	felt    float64     // m/s², noise of a column of accelerations; 0: none
	air     *model.Site // dry: pressures instead of heights
}

// record makes a log of one flight: time and height, CSV. Lift-off is at
// before. The filter is followed by steps of 2 ms, by no code that the fit uses.
func (l logger) record(t testing.TB, r *model.Rocket, site *model.Site, rng *rand.Rand) []byte {
	t.Helper()
	path, whole := finePath(t, r, site)
	return l.write(path, whole, rng)
}

const fine = 0.002 // s, between the samples of a fine path

// finePath returns samples from fine on, and the time of touch-down.
func finePath(t testing.TB, r *model.Rocket, site *model.Site) ([]model.Sample, float64) {
	t.Helper()
	s := model.NewScratch()
	s.Tolerance = 1e-7
	flight := model.Fly(r, site, s)
	whole, ok := flight.Figure(model.FlightTime)
	if !ok {
		t.Fatalf("no flight: %v", flight.Outcome)
	}
	var times []float64
	for k := 1; float64(k)*fine < whole-fine; k++ {
		times = append(times, float64(k)*fine)
	}
	_, path := model.PathAt(nil, r, site, times, s)
	return path, whole
}

func (l logger) heading() string {
	text := "time (s),altitude (m)"
	if l.air != nil {
		text = "time (s),pressure (Pa)"
	}
	if l.speed > 0 {
		text += ",speed (m/s)"
	}
	if l.felt > 0 {
		text += ",acceleration (m/s2)"
	}
	return text + "\n"
}

func (l logger) write(path []model.Sample, whole float64, rng *rand.Rand) []byte {
	var out strings.Builder
	out.WriteString(l.heading())
	stretch := l.stretch
	if stretch == 0 {
		stretch = 1
	}
	shown, next := 0.0, 0.0
	spike := map[int]bool{}
	for range l.spikes {
		spike[rng.IntN(int((l.before+whole)*l.rate))] = true
	}
	row := 0
	for k := 0; ; k++ {
		at := float64(k)*fine - l.before
		z, v, a := 0.0, 0.0, air.Gravity
		if i := int(math.Round(at/fine)) - 1; i >= 0 && i < len(path) {
			z, v, a = path[i].Z, path[i].Vertical, path[i].Acceleration
		}
		if l.lag > 0 {
			shown += (z - shown) * (1 - math.Exp(-fine/l.lag))
		} else {
			shown = z
		}
		if at > whole+l.after {
			return []byte(out.String())
		}
		if float64(k)*fine < next-fine/2 {
			continue
		}
		next += 1 / l.rate
		row++
		if at > l.gap[0] && at < l.gap[1] {
			continue
		}
		h := shown/stretch + l.level + l.noise*rng.NormFloat64()
		if spike[row] {
			h += 80
		}
		if l.quantum > 0 {
			h = math.Round(h/l.quantum) * l.quantum
		}
		if l.air != nil { // the standard law, ICAO Doc 7488/3, from the site's temperature
			h = l.air.Pressure * math.Pow(1-0.0065*h/l.air.Temperature, 5.255877)
		}
		fmt.Fprintf(&out, "%.3f,%.3f", float64(k)*fine, h)
		if l.speed > 0 {
			fmt.Fprintf(&out, ",%.3f", v+l.speed*rng.NormFloat64())
		}
		if l.felt > 0 {
			fmt.Fprintf(&out, ",%.3f", a+l.felt*rng.NormFloat64())
		}
		out.WriteString("\n")
	}
}

// asFlown is what the made-up flights differ in from what their brief says.
var asFlown = []string{"body.drag=1.12", "chamber.jet=0.955", "recovery.drag=0.68", "recovery.latency=0.55 s"}

// flown is the rocket of the demo as it really flew, in the tests.
func flown(t testing.TB, set ...string) *brief.Brief {
	return demo(t, slices.Concat(asFlown, set)...)
}

var truth = map[string]float64{"body.drag": 1.12, "chamber.jet": 0.955, "recovery.drag": 0.68, "recovery.latency": 0.55}

func readLog(t testing.TB, name string, src []byte) *Log {
	t.Helper()
	log, err := ReadLog(name, src, Columns{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// TestRecovery holds that what a log was made with comes back, within four
// stated deviations (one miss in 16 000), and that those are worth having.
func TestRecovery(t *testing.T) {
	for _, c := range []struct {
		why      string
		logger   logger
		set      []string
		flight   Flight
		uncommon bool // noise that is not normal: the deviations are larger
	}{
		{why: "20 Hz, 0.3 m", logger: logger{rate: 20, noise: 0.3, before: 5, after: 5}},
		{why: "10 Hz, steps of 1 m", logger: logger{rate: 10, noise: 0.3, quantum: 1, before: 3, after: 3}},
		{why: "a filter of 0.1 s", logger: logger{rate: 20, noise: 0.3, lag: 0.1, before: 5, after: 5}, flight: Flight{Lag: 0.1}},
		{why: "drop-outs, spikes, the pad at 312 m", logger: logger{rate: 20, noise: 0.3, level: 312, gap: [2]float64{2, 4}, spikes: 12, before: 5, after: 5}},
		{why: "100 Hz, starts at lift-off", logger: logger{rate: 100, noise: 0.3, before: 0.02}},
		{why: "30 degC and a 15 degC altimeter", logger: logger{rate: 20, noise: 0.3, stretch: 303.15 / 288.15, before: 5, after: 5}, set: []string{"site.temperature=30 degC", "site.humidity=0"}},
		{why: "speed and acceleration too", logger: logger{rate: 20, noise: 0.3, speed: 1, felt: 3, before: 5, after: 5}},
		{why: "pressures", logger: logger{rate: 20, noise: 0.3, before: 5, after: 5, air: &model.Site{Temperature: 278.15, Pressure: 97000}}, set: []string{"site.temperature=5 degC", "site.pressure=970 hPa", "site.humidity=0"}},
		{why: "4 Hz", logger: logger{rate: 4, noise: 0.3, before: 5, after: 5}},
	} {
		t.Run(c.why, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(7, 3))
			b, real := demo(t, c.set...), flown(t, c.set...)
			c.flight.Altimeter = PadAt15
			if c.logger.stretch == 0 {
				c.flight.Altimeter = TrueHeight
			}
			f := c.flight
			f.Log = readLog(t, "x.csv", c.logger.record(t, &real.Rocket, &real.Site, rng))
			f.Rocket, f.Site = b.Rocket, b.Site
			r, err := Fit([]Flight{f}, Usual())
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range r.Estimates {
				t.Logf("%s = %.4f ± %.4f %v %s", e.Key, e.Value, e.Deviation, e.Fitted, e.Why)
				if !e.Fitted || math.Abs(e.Value-truth[e.Key]) > 4*e.Deviation {
					t.Errorf("%s = %v ± %v, was made with %v", e.Key, e.Value, e.Deviation, truth[e.Key])
				}
			}
			l := r.Logs[0]
			t.Logf("lift-off %.3f ± %.3f (%.3f), level %.3f, noise %.3f, cond %.0f, worth %.0f of %d, before %.1f after %.1f highest %.1f; %q", l.LiftOff, l.LiftOffInterval, c.logger.before, l.Level, l.Noise, r.Condition, r.Worth, r.Readings, l.Before, l.After, l.Highest, l.Notes)
			if math.Abs(l.LiftOff-c.logger.before) > 0.05 {
				t.Errorf("lift-off at %v, want %v", l.LiftOff, c.logger.before)
			}
			if !r.Converged {
				t.Error("not converged")
			}
		})
	}
}

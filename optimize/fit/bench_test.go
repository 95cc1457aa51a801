package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
)

// standLog makes the log of a test stand, release at 1 s.
func standLog(b *brief.Brief, rate, noise, zero float64, rng *rand.Rand) string {
	var times []float64
	for i := range int(3 * rate) {
		times = append(times, float64(i)/rate-1)
	}
	samples := model.Bench(nil, &b.Rocket, &b.Site, times, model.NewScratch())
	var out strings.Builder
	out.WriteString("time (ms);force (N)\n")
	next := 0
	for _, at := range times {
		f := zero + noise*rng.NormFloat64()
		if at >= 0 && next < len(samples) {
			f += samples[next].Thrust
			next++
		}
		fmt.Fprintf(&out, "%.3f;%.3f\n", 1e3*(at+1), f)
	}
	return out.String()
}

// TestStand holds that a test stand tells the two jets apart, that drag and
// canopy stay as they are, and that with the log of a flight all are found.
func TestStand(t *testing.T) {
	set := []string{"chamber.gas_jet=0.88"}
	b, real := demo(t), flown(t, set...)
	stand := Flight{Rocket: b.Rocket, Site: b.Site}
	stand.Log = readLog(t, "stand.csv", []byte(standLog(real, 500, 2, 7, rand.New(rand.NewPCG(4, 4)))))
	src := logger{rate: 20, noise: 0.3, before: 4}.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(4, 5)))
	flight := Flight{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}
	want := map[string]float64{"chamber.gas_jet": 0.88}
	keys := Choose([]string{"chamber.gas_jet"}, nil)
	for key, v := range truth {
		want[key] = v
	}
	for _, c := range []struct {
		why     string
		flights []Flight
		fitted  []string
	}{
		{"stand alone", []Flight{stand}, []string{"chamber.jet", "chamber.gas_jet"}},
		{"stand and flight", []Flight{stand, flight}, keys},
	} {
		r, err := Fit(c.flights, keys)
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		t.Logf("%s\n%s", c.why, r.Text())
		for i := range r.Estimates {
			e := &r.Estimates[i]
			named := false
			for _, key := range c.fitted {
				named = named || key == e.Key
			}
			if e.Fitted != named {
				t.Errorf("%s: %s fitted %v (%s), want %v", c.why, e.Key, e.Fitted, e.Why, named)
			}
			if named && math.Abs(e.Value-want[e.Key]) > 4*e.Deviation {
				t.Errorf("%s: %s = %v ± %v, was made with %v", c.why, e.Key, e.Value, e.Deviation, want[e.Key])
			}
		}
		if l := r.Logs[0]; !l.Bench || math.Abs(l.LiftOff-1) > 0.005 || math.Abs(l.After/l.Highest-1) > 0.01 {
			t.Errorf("%s: release at %v s, want 1 s; impulse %v N s, fitted %v", c.why, l.LiftOff, l.Highest, l.After)
		}
		if l := r.Logs[0]; math.Abs(l.Level-7) > 2*l.LevelInterval || l.LevelInterval > 0.5 {
			t.Errorf("%s: the cell's zero at %v ± %v N, was made at 7 N", c.why, l.Level, l.LevelInterval)
		}
	}
}

// A fast cell's noise is no release: some samples in a row above the twentieth of the
// thrust that counts as the jet.
func TestStandWithRoughNoise(t *testing.T) {
	b := demo(t)
	for seed := range uint64(4) {
		log := readLog(t, "stand.csv", []byte(standLog(b, 2000, 6, 7, rand.New(rand.NewPCG(seed, 12)))))
		r, err := Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site}}, []string{"chamber.jet"})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if l := r.Logs[0]; math.Abs(l.LiftOff-1) > 0.006 || math.Abs(l.Level-7) > 2*l.LevelInterval {
			t.Errorf("seed %d: release at %v s, want 1 s; the cell's zero at %v ± %v N, want 7 N", seed, l.LiftOff, l.Level, l.LevelInterval)
		}
	}
}

// blow makes the log of 2000 Hz of a stand that is hit at the end.
func blow(before, long int) string {
	var out strings.Builder
	out.WriteString("time (ms);force (N)\n")
	for i := range before + long {
		force := 0.1 * float64(i%3)
		if i >= before {
			force = 200
		}
		fmt.Fprintf(&out, "%.1f;%.1f\n", float64(i)/2, force)
	}
	return out.String()
}

func TestStandRefuses(t *testing.T) {
	b := demo(t)
	good := standLog(b, 200, 1, 0, rand.New(rand.NewPCG(1, 2)))
	for _, c := range []struct{ why, src, want string }{
		{"N said to be kN", strings.Replace(good, "(N)", "(kN)", 1), "x.csv: an impulse of "},
		{"ms said to be s", strings.Replace(good, "(ms)", "(s)", 1), "x.csv: the jets are over within the first interval"},
		{"a blow, to the end of the log", blow(200, 16), "x.csv: thrust for 0.00750 s, want at least 0.06 s"},
		{"too slow", standLog(b, 10, 1, 0, rand.New(rand.NewPCG(1, 2))), "x.csv: "},
	} {
		log, err := ReadLog("x.csv", []byte(c.src), Columns{})
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		_, err = Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site}}, Freeable())
		if err == nil || !strings.HasPrefix(err.Error(), c.want) || !strings.Contains(err.Error(), "want ") {
			t.Errorf("%s: %v, want %s…", c.why, err, c.want)
		} else {
			t.Logf("%s: %v", c.why, err)
		}
	}
}

package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"ullage/model"
	"ullage/testdata/briefs"
	"ullage/testdata/kept"
)

// A keptFit is a fit whose outcome is kept.
type keptFit struct {
	name    string
	keys    []string
	flights func(t *testing.T) []Flight
}

// demoFlight is the demo's log of a flight, or of a test stand, as changed.
func demoFlight(t *testing.T, file string, change func(lines []string) []string) Flight {
	t.Helper()
	src, err := os.ReadFile(demoLogs + file)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		src = []byte(strings.Join(change(strings.Split(string(src), "\n")), "\n"))
	}
	b := briefs.Demo(t, "field-day.toml")
	return Flight{Log: readLog(t, file, src), Rocket: b.Rocket, Site: b.Site, Altimeter: PadAt15, Lag: 0.1}
}

// made is a log of the tests' own logger, of a flight that its brief is not sure of.
func made(t *testing.T, l logger, seed uint64, set ...string) Flight {
	t.Helper()
	b, real := demo(t, set...), flown(t, set...)
	src := l.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(seed, 21)))
	return Flight{Log: readLog(t, "made.csv", src), Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}
}

// sightings are what was seen of the flight that asFlown makes, a little off.
func sightings(t *testing.T) (all []Observation) {
	t.Helper()
	for _, text := range []string{"apogee = 75 m ± 4 m", "apogee_time = 4.1 s ± 0.2 s", "flight_time = 17 s ± 0.5 s"} {
		o, err := ReadObservation(text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, o)
	}
	return all
}

var keptFits = []keptFit{
	{name: "the demo's flight", keys: Usual(), flights: func(t *testing.T) []Flight { return []Flight{demoFlight(t, "field-day.csv", nil)} }},
	{name: "the demo's test stand", keys: Choose([]string{"chamber.gas_jet"}, nil), flights: func(t *testing.T) []Flight { return []Flight{demoFlight(t, "stand.csv", nil)} }},
	{name: "both, every key", keys: Freeable(), flights: func(t *testing.T) []Flight {
		return []Flight{demoFlight(t, "stand.csv", nil), demoFlight(t, "field-day.csv", nil)}
	}},
	{name: "seen and not logged", keys: Usual(), flights: func(t *testing.T) []Flight {
		b := briefs.Demo(t, "field-day.toml")
		return []Flight{{Observed: sightings(t), Rocket: b.Rocket, Site: b.Site, Planned: []string{"site.wind"}, Doubts: map[string]float64{"chamber.jet": 0.01}}}
	}},
	{name: "logged to before the opening, and seen", keys: Usual(), flights: func(t *testing.T) []Flight {
		f := demoFlight(t, "field-day.csv", func(lines []string) []string { return lines[:205] })
		f.Observed = sightings(t)[2:]
		return []Flight{f}
	}},
	{name: "every second row, with steps of a metre, a hole and numbers that are none", keys: Usual(), flights: func(t *testing.T) []Flight {
		return []Flight{demoFlight(t, "field-day.csv", func(lines []string) []string {
			out := lines[:3:3]
			for i := 3; i+1 < len(lines); i += 2 {
				at, height, _ := strings.Cut(lines[i], ",")
				switch whole, _, _ := strings.Cut(height, "."); {
				case i > 250 && i < 270:
				case i%60 == 3:
					out = append(out, at+",-")
				default:
					out = append(out, at+","+whole)
				}
			}
			return out
		})}
	}},
	{name: "heights above sea level, no filter", keys: Usual(), flights: func(t *testing.T) []Flight {
		f := demoFlight(t, "field-day.csv", nil)
		f.Altimeter, f.Lag = SeaLevel, 0
		return []Flight{f}
	}},
	{name: "heights, speeds and accelerations", keys: append(Usual(), "chamber.gas_jet"), flights: func(t *testing.T) []Flight {
		return []Flight{made(t, logger{rate: 25, noise: 0.3, speed: 1, felt: 3, before: 3, after: 2, spikes: 3}, 1)}
	}},
	{name: "pressures, from lift-off", keys: append(Usual(), "chamber.drawn"), flights: func(t *testing.T) []Flight {
		return []Flight{made(t, logger{rate: 20, noise: 0.3, before: 0.02, air: &model.Site{Temperature: 278.15, Pressure: 97000}}, 2,
			"site.temperature=5 degC", "site.pressure=970 hPa", "site.humidity=0")}
	}},
	{name: "two flights of other fills", keys: Usual(), flights: func(t *testing.T) []Flight {
		l := logger{rate: 10, noise: 0.4, before: 3, after: 2}
		return []Flight{made(t, l, 3, "chamber.fill=0.25"), made(t, l, 4, "chamber.fill=0.40", "chamber.pressure=12 bar", "recovery.delay=4.5 s")}
	}},
}

// Fits of the demo's logs, whole and damaged, and of made ones are what was kept:
// every number, what is told of it, the patch, and the next flights.
func TestKeptFits(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for i, c := range keptFits {
		fmt.Fprintf(&out, "== %s\n", c.name)
		r, err := Fit(c.flights(t), c.keys)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		out.WriteString(r.Text() + "\n" + r.Patch() + "\n")
		for _, e := range r.Estimates {
			fmt.Fprintln(&out, e.Key, e.Value, e.Deviation, e.Low, e.High, e.Fitted, e.AtTheRange, e.Why)
		}
		fmt.Fprintln(&out, r.Correlation, r.Condition, r.Readings, r.Worth, r.Converged, r.Deviance)
		for i := range r.Logs {
			writeLog(&out, &r.Logs[i])
		}
		for _, o := range r.Observed {
			fmt.Fprintln(&out, o.Text, o.Value, o.Deviation, o.Before, o.After)
		}
		if i < 3 {
			gas, err := CompareGas(c.flights(t), c.keys, r)
			fmt.Fprintln(&out, "gas", gas, err)
		}
		next := r.Next(briefs.Demo(t, "field-day.toml"), 20, 1)
		for _, f := range next.Figures {
			fmt.Fprintln(&out, f.Key, f.Value, f.Low, f.High)
		}
		for i := 5; i < len(next.Path); i += 30 {
			fmt.Fprintln(&out, next.Path[i])
		}
	}
	kept.Same(t, "fits.txt", out.String())
}

// writeLog writes what became of a log, and of its rows the first, every fiftieth and
// the means.
func writeLog(out *strings.Builder, l *LogFit) {
	bare := *l
	bare.Rows, bare.Hash = nil, ""
	fmt.Fprintf(out, "%+v\n", bare)
	var sums [9]float64
	for i, r := range l.Rows {
		for k, v := range []float64{r.Time, r.Height, r.Speed, r.Felt, r.ModelHeight, r.ModelSpeed, r.ModelFelt, r.Thrust, r.ModelThrust} {
			if !math.IsNaN(v) {
				sums[k] += v / float64(len(l.Rows))
			}
		}
		if i%50 == 0 || r.Weight < 0.3 {
			fmt.Fprintln(out, r)
		}
	}
	fmt.Fprintln(out, len(l.Rows), "rows,", sums)
}

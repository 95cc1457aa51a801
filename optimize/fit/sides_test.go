package fit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/model"
)

// Each word that may name a column names it, alone and among others, in any case, and
// a column of sample numbers where there is a rate.
func TestEveryWordOfAHeader(t *testing.T) {
	want := map[Kind][]string{
		Time:         {"time", "t", "timestamp", "elapsed", "millis", "seconds"},
		Height:       {"height", "altitude", "alt", "agl", "h", "z"},
		Pressure:     {"pressure", "press", "baro", "p"},
		Speed:        {"speed", "velocity", "vel", "vz", "v"},
		Acceleration: {"acceleration", "accel", "acc", "a"},
		Thrust:       {"thrust", "force", "f"},
	}
	unit := map[Kind]string{Time: "s", Height: "m", Pressure: "Pa", Speed: "m/s", Acceleration: "m/s2", Thrust: "N"}
	for k, words := range want {
		for _, word := range words {
			for _, cell := range []string{word, strings.ToUpper(word), "raw " + word, word + "_1"} {
				head, pattern := fmt.Sprintf("clock time (s),%s (%s)", cell, unit[k]), "%g,%g"
				switch k {
				case Time:
					head = fmt.Sprintf("%s (s),height (m)", cell)
				case Speed, Acceleration:
					head, pattern = head+",height (m)", "%[1]g,%[2]g,%[2]g"
				}
				log, err := ReadLog("x.csv", []byte(head+"\n"+rows(pattern)), Columns{})
				if err != nil || !log.Has[k] {
					t.Errorf("%s: %v, want a %s", head, err, k)
				}
			}
		}
	}
	for _, word := range []string{"sample", "samples", "index", "count", "counter", "row", "no", "n", "#"} {
		src := []byte("height (m)," + word + "\n" + rows("%[2]g,%[1]g"))
		log, err := ReadLog("x.csv", src, Columns{Rate: 4})
		if err != nil || log.Rows[3][Time] != 1.5/4 {
			t.Errorf("%s at a rate of 4: %v, want a time of 0.375 s in the fourth row", word, err)
		}
	}
	for head, want := range map[string]Altimeter{
		"gps height": TrueHeight, "gnss height": TrueHeight, "true height": TrueHeight, "corrected height": TrueHeight, "geometric height": TrueHeight,
		"pressure height": SeaLevel, "height": Unsaid, "raw height": Unsaid,
	} {
		if log := readLog(t, "x.csv", []byte("time (s),"+head+" (m)\n"+rows("%g,%g"))); log.Altimeter != want {
			t.Errorf("%s is %q, want %q", head, log.Altimeter, want)
		}
	}
}

// What a log may be at most, and what it must be at least, on both sides.
func TestLogBothSides(t *testing.T) {
	const head = "time (s),height (m)\n"
	some := func(n int) string {
		var out strings.Builder
		for i := range n {
			fmt.Fprintf(&out, "%d,%d\n", i, i)
		}
		return out.String()
	}
	wide := func(bytes int) string { return strings.Repeat("#", bytes-1) + "\n" }
	for _, c := range []struct{ why, src, want string }{
		{"twenty samples", head + some(20), ""},
		{"nineteen samples", head + some(19), "x.csv: 19 samples, want at least 20"},
		{"a line as long as may be", wide(8192) + head + some(20), ""},
		{"a longer line", wide(8193) + head + some(20), "x.csv:1: a line of 8193 bytes, want at most 8192"},
		{"200 lines before the header", strings.Repeat("a word\n", 200) + head + some(20), ""},
		{"201 lines before the header", strings.Repeat("a word\n", 201) + head + some(20), `x.csv:1: columns "a word", want a time and a height, a pressure or a thrust, by name or by --column`},
		{"one row of 20 without numbers", head + some(20) + "x,x\n", ""},
		{"a row that ends before its height", head + some(20) + "99\n", ""},
		{"the same time again", head + "0,1\n" + some(20), ""},
		{"a number that fits", head + "-1,9.9e18\n" + some(20), ""},
		{"a number beyond any unit", head + "-1,1e19\n" + some(20), ""},
	} {
		log, err := ReadLog("x.csv", []byte(c.src), Columns{})
		if got := fmt.Sprint(err); c.want == "" && err != nil || c.want != "" && got != c.want {
			t.Errorf("%s: %v, want %s", c.why, err, c.want)
		}
		switch rows := 20; {
		case c.want != "":
		case c.why == "a number that fits":
			rows++
			fallthrough
		default:
			if len(log.Rows) != rows {
				t.Errorf("%s: %d rows, want %d", c.why, len(log.Rows), rows)
			}
		}
	}
}

// What may be sighted, on both sides of each bound.
func TestSightingBothSides(t *testing.T) {
	for text, fine := range map[string]bool{
		"80 deg at 100 m": true, "80.1 deg at 100 m": false, "0.001 deg at 100 m": true, "0 deg at 100 m": false, "-1 deg at 100 m": false,
		"31 deg at 10000 m": true, "31 deg at 10001 m": false, "31 deg at 0.01 m": true, "31 deg at 0 m": false, "31 deg at -5 m": false,
		"31 deg ± 0.1 deg at 100 m": true, "31 deg ± 0 deg at 100 m": false,
	} {
		if _, err := ReadSighting(text); (err == nil) != fine {
			t.Errorf("%s: %v, fine is %v", text, err, fine)
		}
	}
}

// An observation is refused that the brief's flight is nowhere near: more than three of
// its deviations and three times away, either way.
func TestObservedBothSides(t *testing.T) {
	b := demo(t)
	nominal := flightOf(b)
	apogee, _ := nominal.Figure(model.Apogee)
	for _, c := range []struct {
		times, deviation float64 // of the brief's apogee
		fine             bool
	}{
		{2.99, 0.01, true},
		{3.01, 0.01, false},
		{0.34, 0.01, true},
		{0.33, 0.01, false},
		{3.01, 0.68, true}, // not three deviations away
		{3.01, 0.66, false},
		{-1, 0.01, true},
		{-3.01, 0.01, false},
	} {
		tr := &track{flight: &Flight{Observed: []Observation{{Text: "apogee", Figure: model.Apogee, Value: c.times * apogee, Deviation: c.deviation * apogee}}}}
		if err := tr.auditObserved(&nominal); (err == nil) != c.fine {
			t.Errorf("%v ± %v of the brief's apogee: %v, fine is %v", c.times, c.deviation, err, c.fine)
		}
	}
	var none model.Flight
	tr := &track{flight: &Flight{Observed: []Observation{{Text: "it", Figure: model.Apogee, Value: 1, Deviation: 1}}}}
	if err := tr.auditObserved(&none); err == nil || err.Error() != "it: the brief's flight has no such figure, want one that it has" {
		t.Errorf("a figure that the flight has not: %v", err)
	}
}

// A log is refused that no flight of the rocket left: too slow a rise, more energy than
// the charge holds, another height; each on both sides.
func TestAuditBothSides(t *testing.T) {
	b := demo(t)
	nominal := flightOf(b)
	apogee, _ := nominal.Figure(model.Apogee)
	statics, _ := model.Weigh(&b.Rocket, &b.Site)
	holds := workOf(&b.Rocket, &b.Site, &statics)
	// A log that stands still at a height has the energy of that height.
	still := func(height, topTime float64) *track {
		tr := &track{flight: &Flight{Rocket: b.Rocket, Site: b.Site}, top: height, topTime: topTime}
		for i := range 30 {
			tr.times, tr.heights = append(tr.times, float64(i)/10), append(tr.heights, height)
		}
		return tr
	}
	throw := func(height float64) float64 { return 1.5*math.Sqrt(2*height/9.80665) + 1 }
	most := holds / (statics.DryMass * 9.80665)
	for _, c := range []struct {
		why    string
		height float64
		rise   float64
		want   string
	}{
		{"as the brief flies", apogee, 3, ""},
		{"just slow enough", apogee, throw(apogee) * 0.999, ""},
		{"too slow", apogee, throw(apogee) * 1.001, "rises "},
		{"three times as high", 2.99 * apogee, 3, ""},
		{"higher", 3.01 * apogee, 3, "highest at "},
		{"a third as high", 0.334 * apogee, 3, ""},
		{"lower", 0.332 * apogee, 3, "highest at "},
		{"all that the charge holds", 0.999 * most, 3, "highest at "},
		{"more than that", 1.001 * most, 3, "claims "},
	} {
		err := still(c.height, c.rise).audit(&nominal)
		if got := fmt.Sprint(err); (err == nil) != (c.want == "") || c.want != "" && !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: %v, want %q", c.why, err, c.want)
		}
	}
	broken := still(apogee, 3)
	broken.flight.Rocket.Chamber.Bore = 1
	if err := broken.audit(&nominal); err == nil || !strings.HasPrefix(err.Error(), "the parts of the rocket do not fit") {
		t.Errorf("a rocket that cannot be: %v", err)
	}
	lost := model.Fly(&broken.flight.Rocket, &b.Site, model.NewScratch())
	if err := still(apogee, 3).audit(&lost); err == nil || err.Error() != "the brief's flight is no_room, want one that lands" {
		t.Errorf("a brief that does not fly: %v", err)
	}
}

// A log of a flight has no thrust, whatever column looks like one; that of a stand has
// nothing but thrust to go by.
func TestThrustIsOfAStand(t *testing.T) {
	for head, want := range map[string]bool{"height (m),force (N)": false, "pressure (Pa),force (N)": false, "volts,force (N)": true} {
		log := readLog(t, "x.csv", []byte("time (s),"+head+"\n"+rows("%[1]g,%[2]g,%[2]g")))
		if log.Has[Thrust] != want || log.Has[Height] != strings.HasPrefix(head, "height") || log.Has[Pressure] != strings.HasPrefix(head, "pressure") {
			t.Errorf("%s: has %v, thrust wanted: %v", head, log.Has, want)
		}
	}
}

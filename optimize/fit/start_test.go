package fit

import (
	"math"
	"strings"
	"testing"
)

// TestReadLogHeads holds that the header is found wherever a logger puts it, with
// the units in it or below it, and that what stands above it is told.
func TestReadLogHeads(t *testing.T) {
	byNumber := Columns{Name: [kinds]string{Time: "1", Height: "2"}, Unit: [kinds]string{Time: "s", Height: "m"}}
	for _, c := range []struct {
		why, src string
		columns  Columns
		time     float64 // of the third row, s
		kind     Kind
		value    float64 // of the third row, SI
		note     string
	}{
		{"lines before", "Logger 7\nSerial: 12; 2026-05-02\n\nTime (s),Altitude (m)\n" + rows("%g,%g"), Columns{}, 1, Height, 102, "2 lines before the header left out"},
		{"a line that speaks of both", "Time: 10:30,Altitude of the field: 140 m\ntime (s),altitude (m)\n" + rows("%g,%g"), Columns{}, 1, Height, 102, "1 line before the header left out"},
		{"one number before", "2026\ntime (s),altitude (m)\n" + rows("%g,%g"), Columns{}, 1, Height, 102, "1 line before the header left out"},
		{"units in a row", "time,altitude,volts\nms,ft,V\n" + rows("%g,%g,3"), Columns{}, 1e-3, Height, 102 * 0.3048, ""},
		{"units in a row, in brackets", "time;pressure\n[s];[hPa]\n" + strings.ReplaceAll(rows("%g;%g"), ".", ","), Columns{}, 1, Pressure, 10200, ""},
		{"the header's unit stays", "time,altitude (ft)\ns,m\n" + rows("%g,%g"), Columns{}, 1, Height, 102 * 0.3048, ""},
		{"another language", "Gerät 3\nZeit (s);Höhe (m)\n" + strings.ReplaceAll(rows("%g;%g"), ".", ","), Columns{Name: [kinds]string{Time: "zeit", Height: "Höhe"}}, 1, Height, 102, "1 line before the header left out"},
		{"another language, by number", "Zeit;Höhe\ns;m\n" + rows("%g;%g"), Columns{Name: [kinds]string{Time: "1", Height: "2"}}, 1, Height, 102, ""},
		{"numbers below text", "of the second of May\n" + rows("%g,%g"), byNumber, 1, Height, 102, "1 line before the header left out"},
		{"a row with a word is a row", "0,x,100\n0.5,x,101\n1,x,102\n" + rows("1%g,x,%g"), Columns{Name: [kinds]string{Time: "1", Height: "3"}, Unit: byNumber.Unit}, 1, Height, 102, ""},
		{"feet and hPa", "time(s),pressure(hPa),alt(feet)\n" + rows("%[1]g,900,%[2]g"), Columns{}, 1, Height, 102 * 0.3048, ""},
		{"a comma in brackets", "time (s);altitude (m)\n" + strings.ReplaceAll(rows("%g;%g"), ".", ","), Columns{}, 1, Height, 102, ""},
		{"a semicolon in brackets", "time (s),altitude (m;)\n" + rows("%g,%g"), Columns{Unit: [kinds]string{Height: "m"}}, 1, Height, 102, ""},
		{"a pressure altitude beside a pressure", "time (s),pressure (Pa),pressure altitude (m)\n" + rows("%[1]g,90000,%[2]g"), Columns{}, 1, Height, 102, ""},
		{"sample numbers", "sample,altitude (m)\n" + strings.ReplaceAll(rows("%g,%g"), ".5", ".25"), Columns{Rate: 20}, 0.05, Height, 102, ""},
		{"sample numbers by name", "Nr,altitude (m)\n" + rows("%g,%g"), Columns{Name: [kinds]string{Time: "nr"}, Rate: 2}, 0.5, Height, 102, ""},
		{"rows are counted", "altitude (m),volts\n" + rows("%[2]g,%[1]g"), Columns{Rate: 50}, 0.04, Height, 102, ""},
	} {
		log, err := ReadLog("x.csv", []byte(c.src), c.columns)
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		row := log.Rows[2]
		if math.Abs(row[Time]-c.time) > 1e-12 || math.Abs(row[c.kind]-c.value) > 1e-9 || strings.Join(log.Notes, "; ") != c.note {
			t.Errorf("%s: third row at %v s with %s %v, notes %q, want %v s, %v, %q", c.why, row[Time], c.kind, row[c.kind], log.Notes, c.time, c.value, c.note)
		}
		if first := log.Rows[0]; math.Abs(first[Time]) > 1e-12 {
			t.Errorf("%s: first row at %v s, want 0", c.why, first[Time])
		}
	}
}

func TestReadLogHeadsRefused(t *testing.T) {
	for _, c := range []struct {
		why, src, want string
		columns        Columns
	}{
		{"another language", "Logger 7\nZeit;Höhe\n" + rows("%g;%g"), `x.csv:2: columns "Zeit", "Höhe", want a time and a height, a pressure or a thrust, by name or by --column`, Columns{}},
		{"another language, units below", "Logger 7\nZeit;Höhe\ns;m\n" + rows("%g;%g"), `x.csv:2: columns "Zeit", "Höhe", want a time and a height, a pressure or a thrust, by name or by --column`, Columns{}},
		{"sample numbers without a rate", "sample,altitude (m)\n" + rows("%g,%g"), `x.csv:1: columns "sample", "altitude (m)", want a time and a height, a pressure or a thrust, by name or by --column, or --rate with the samples in a second`, Columns{}},
		{"a row of units, one of another kind", "time,altitude\ns,kg\n" + rows("%g,%g"), `x.csv:1: column "time": a time without a unit, want it in the header or by --unit time=UNIT, one of s, ms`, Columns{}},
		{"a fault below lines", "Logger 7\ntime (s),altitude (m)\n" + rows("%g,%g") + "3,1\n", "x.csv:28: time goes back from 12 s to 3 s, want times that rise", Columns{}},
		{"text without end", strings.Repeat("a letter, with commas\n", 500), `x.csv:1: columns "a letter", "with commas", want a time and a height, a pressure or a thrust, by name or by --column`, Columns{}},
	} {
		_, err := ReadLog("x.csv", []byte(c.src), c.columns)
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", c.why, err, c.want)
		}
	}
}

// TestSaidAltimeter holds that a header which says what its heights are is taken
// at its word, that an option goes before it, and that otherwise the fit asks,
// with what the meanings would make of the log.
func TestSaidAltimeter(t *testing.T) {
	for header, want := range map[string]Altimeter{
		"altitude (m)": Unsaid, "baro_alt_m": Unsaid, "GPS altitude (m)": TrueHeight, "corrected height (m)": TrueHeight, "pressure altitude (ft)": SeaLevel,
	} {
		if log := readLog(t, "x.csv", []byte("time (s),"+header+"\n"+rows("%g,%g"))); log.Altimeter != want {
			t.Errorf("%s: %q, want %q", header, log.Altimeter, want)
		}
	}
	b := demo(t)
	plain := demoLog(t, "s", clock)
	flight := Flight{Log: readLog(t, "x.csv", plain), Rocket: b.Rocket, Site: b.Site}
	_, err := Fit([]Flight{flight}, Usual())
	if want := "x.csv: the header does not say whether heights are corrected for the air's temperature, want --altimeter true if they are, or come from satellites; " +
		"pad if they count from 0 at the pad as most loggers do (here times 1.0110), sea if from sea level (times 1.0139)"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	highest := func(header string, option Altimeter) float64 {
		t.Helper()
		flight.Log = readLog(t, "x.csv", []byte(strings.Replace(string(plain), "altitude (m)", header, 1)))
		flight.Altimeter = option
		r, err := Fit([]Flight{flight}, Usual())
		if err != nil {
			t.Fatal(err)
		}
		return r.Logs[0].Highest
	}
	corrected := highest("corrected altitude (m)", Unsaid)
	if got := highest("altitude (m)", TrueHeight); got != corrected {
		t.Errorf("highest %v m by the header, %v m by the option", corrected, got)
	}
	if got := highest("corrected altitude (m)", PadAt15) / corrected; math.Abs(got-1.0110) > 1e-3 {
		t.Errorf("the option makes %v of the header's height, want 1.0110", got)
	}
}

// TestPlanned holds that a fit says first which of water, pressure and wind
// nobody measured, once where all logs share it, and nothing where all are given.
func TestPlanned(t *testing.T) {
	b := demo(t, "chamber.pressure=14.8 bar")
	log := readLog(t, "x.csv", demoLog(t, "s", clock))
	all := []string{"chamber.fill=0.31", "site.wind=2 m/s"}
	for _, c := range []struct {
		why  string
		own  [][]string
		want string // the first lines, up to the logs
	}{
		{"two planned", [][]string{nil}, "planned, not measured: chamber.fill 0.3, site.wind 3 m/s. If the day had others, give them by --conditions or --flight: the error is in the values below\nx.csv\n"},
		{"in both logs", [][]string{nil, nil}, "planned, not measured: chamber.fill 0.3, site.wind 3 m/s. If the day had others, give them by --conditions or --flight: the error is in the values below\nx.csv\n"},
		{"in one log of two", [][]string{all, all[:1]}, "x.csv: planned, not measured: site.wind 3 m/s. If the day had others, give them by --conditions or --flight: the error is in the values below\nx.csv\n"},
		{"all measured", [][]string{all}, "x.csv\n"},
	} {
		var flights []Flight
		for _, own := range c.own {
			f, err := Under(b, own, Usual())
			if err != nil {
				t.Fatal(err)
			}
			f.Log, f.Altimeter = log, PadAt15
			flights = append(flights, f)
		}
		r, err := Fit(flights, Usual())
		if err != nil {
			t.Fatal(err)
		}
		if got := r.Text(); !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: %s\nwant %s…", c.why, got[:min(len(got), len(c.want)+80)], c.want)
		}
	}
}

// TestPlannedStand holds that the wind, which does not reach a test stand, is not
// asked for there.
func TestPlannedStand(t *testing.T) {
	f := &track{bench: true, flight: &Flight{Planned: planKeys}}
	f.flight.Rocket, f.flight.Site = demo(t).Rocket, demo(t).Site
	if got := strings.Join(f.planned(), ", "); got != "chamber.fill 0.3, chamber.pressure 15 bar" {
		t.Errorf("planned %s", got)
	}
}

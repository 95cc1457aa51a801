package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// rows makes rows of a log by a pattern of time and height.
func rows(pattern string) string {
	var out strings.Builder
	for i := range 25 {
		fmt.Fprintf(&out, pattern+"\n", float64(i)/2, 100+float64(i))
	}
	return out.String()
}

func TestReadLogUnits(t *testing.T) {
	for _, c := range []struct {
		why, src string
		columns  Columns
		time     float64 // of the third row, s
		kind     Kind
		value    float64 // of the third row, SI
	}{
		{"brackets", "Time [ms],Height (ft)\n" + rows("%g,%g"), Columns{}, 0.001, Height, 102 * 0.3048},
		{"underscores", "t_s,alt_m\n" + rows("%g,%g"), Columns{}, 1, Height, 102},
		{"a unit of two words, another column first", "n,t_s,speed_m_s,alt_ft\n" + rows("7,%g,3,%g"), Columns{}, 1, Height, 102 * 0.3048},
		{"semicolons and decimal commas", "time, s;pressure, hPa\n" + strings.ReplaceAll(rows("%g;%g"), ".", ","), Columns{}, 1, Pressure, 10200},
		{"tabs, mark of byte order, comments", "\ufeff# a logger\ntime (s)\tbaro (mbar)\n" + rows("%g\t%g"), Columns{}, 1, Pressure, 10200},
		{"a height first", "height (m),time (s)\n" + rows("%[2]g,%[1]g"), Columns{}, 1, Height, 102},
		{"a pressure first", "pressure (hPa),time (s)\n" + rows("%[2]g,%[1]g"), Columns{}, 1, Pressure, 10200},
		{"a thrust first", "thrust (kN),time (s)\n" + rows("%[2]g,%[1]g"), Columns{}, 1, Thrust, 102000},
		{"microseconds", "timestamp (us),altitude (feet)\n" + rows("%g,%g"), Columns{}, 1e-6, Height, 102 * 0.3048},
		{"no header", rows("%g,%g"), Columns{Name: [kinds]string{Time: "1", Height: "2"}, Unit: [kinds]string{Time: "s", Height: "m"}}, 1, Height, 102},
		{"names by option", "when,how high\n" + rows("%g,%g"), Columns{Name: [kinds]string{Time: "when", Height: "How High"}, Unit: [kinds]string{Time: "s", Height: "km"}}, 1, Height, 102000},
		{"an option goes before the header", "time (s),height (m)\n" + rows("%g,%g"), Columns{Unit: [kinds]string{Height: "ft"}}, 1, Height, 102 * 0.3048},
		{"the logger's own height goes before its pressure", "time (s),pressure (Pa),height (m)\n" + rows("%[1]g,90000,%[2]g"), Columns{}, 1, Height, 102},
		{"quotes", "\"time (s)\",\"height (m)\"\n" + rows("\"%g\",\"%g\""), Columns{}, 1, Height, 102},
	} {
		log, err := ReadLog("x.csv", []byte(c.src), c.columns)
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		row := log.Rows[2]
		if len(log.Rows) != 25 || math.Abs(row[Time]-c.time) > 1e-12 || math.Abs(row[c.kind]-c.value) > 1e-9 {
			t.Errorf("%s: %d rows, third at %v s with %s %v, want 25, %v s, %v", c.why, len(log.Rows), row[Time], c.kind, row[c.kind], c.time, c.value)
		}
	}
}

func TestReadLogRefuses(t *testing.T) {
	const head = "time (s),height (m)\n"
	for _, c := range []struct{ why, src, want string }{
		{"empty", "", "x.csv: empty, want a log with a time and a height, a pressure or a thrust"},
		{"blank", " \n\n", "x.csv: empty, want a log with a time and a height, a pressure or a thrust"},
		{"comments only", "# none\n", "x.csv: comments only, want a log with a time and a height, a pressure or a thrust"},
		{"text", "Dear club,\nthe flight went well.\n", `x.csv:1: columns "Dear club", "", want a time and a height, a pressure or a thrust, by name or by --column`},
		{"a picture", "\x89PNG\x00", "x.csv: not text, want comma-separated values"},
		{"header only", head, "x.csv: 0 samples, want at least 20"},
		{"one sample", head + "0,1\n", "x.csv: 1 sample, want at least 20"},
		{"time goes back", head + rows("%g,%g") + "3,1\n", "x.csv:27: time goes back from 12 s to 3 s, want times that rise"},
		{"no unit", "time,height (m)\n" + rows("%g,%g"), `x.csv:1: column "time": a time without a unit, want it in the header or by --unit time=UNIT, one of s, ms`},
		{"a unit of another kind", "time (s),height (kg)\n" + rows("%g,%g"), `x.csv:1: column "height (kg)": unit "kg", want one of m, cm, mm, um, in, ft`},
		{"two heights", "time (s),altitude (m),height (m)\n" + rows("%g,%g,1"), `x.csv:1: columns "altitude (m)" and "height (m)" both look like a height, want --column height=NAME`},
		{"numbers without a header", rows("%g,%g"), `x.csv:1: columns "0", "100", want a time and a height, a pressure or a thrust, by name or by --column`},
		{"few numbers", head + strings.Repeat("then,later\n", 5) + rows("%g,%g"), "x.csv:2: the first of 5 rows of 30 without numbers, want numbers in nine rows of ten"},
	} {
		_, err := ReadLog("x.csv", []byte(c.src), Columns{})
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", c.why, err, c.want)
		}
	}
	_, err := ReadLog("x.csv", []byte(head+rows("%g,%g")), Columns{Name: [kinds]string{Height: "heigt"}})
	if want := `x.csv:1: --column height=heigt: no such column, want one of "time (s)", "height (m)" or a number up to 2`; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

// TestReadLogBoth holds that a pressure which was asked for by name is not passed
// over in silence for a height that stands beside it, and that the height goes
// first where both are named.
func TestReadLogBoth(t *testing.T) {
	src := []byte("time (s),pressure (Pa),height (m)\n" + rows("%[1]g,90000,%[2]g"))
	_, err := ReadLog("x.csv", src, Columns{Name: [kinds]string{Pressure: "pressure"}})
	if want := "x.csv:1: both a height and a pressure, want one: name the height's column, or leave the pressure's out"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	log, err := ReadLog("x.csv", src, Columns{Name: [kinds]string{Pressure: "pressure", Height: "height"}})
	if err != nil || !log.Has[Height] || log.Has[Pressure] || log.Rows[2][Height] != 102 {
		t.Errorf("%+v, %v, want heights alone", log, err)
	}
}

// TestReadLogATenth holds that a tenth of the rows may be without numbers, and not
// one more.
func TestReadLogATenth(t *testing.T) {
	for bad, fine := range map[int]bool{20: true, 21: false} {
		var src strings.Builder
		src.WriteString("time (s),height (m)\n")
		for i := range 200 {
			if i >= 100 && i < 100+bad {
				src.WriteString("lost,\n")
			} else {
				fmt.Fprintf(&src, "%d,1\n", i)
			}
		}
		if _, err := ReadLog("x.csv", []byte(src.String()), Columns{}); (err == nil) != fine {
			t.Errorf("%d rows of 200 without numbers: %v", bad, err)
		}
	}
}

func TestReadLogNotes(t *testing.T) {
	src := "time (s),height (m)\n" + rows("%g,%g") + "12,5\nnan,1\n13,\n"
	log, err := ReadLog("x.csv", []byte(src), Columns{})
	if err != nil {
		t.Fatal(err)
	}
	want := "2 rows without numbers left out, the first in line 28; 1 row with the time of the row before left out"
	if got := strings.Join(log.Notes, "; "); got != want || len(log.Rows) != 25 {
		t.Errorf("%d rows, notes %q, want 25, %q", len(log.Rows), got, want)
	}
}

// FuzzReadLog holds that ReadLog never panics, that its errors name the file,
// and that what it takes is finite, in order of time and long enough.
func FuzzReadLog(f *testing.F) {
	f.Add([]byte("time (s),height (m)\n"+rows("%g,%g")), "", "")
	f.Add([]byte("t_ms;p_hPa;v_m_s\n"+strings.ReplaceAll(rows("%g;%g;1"), ".", ",")), "1", "ms")
	f.Add([]byte("\"a\",\"b\n\"\"\n"), "b", "ft")
	f.Fuzz(func(t *testing.T, src []byte, name, unit string) {
		c := Columns{Name: [kinds]string{Height: name}, Unit: [kinds]string{Time: unit}}
		log, err := ReadLog("x.csv", src, c)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "x.csv:") {
				t.Errorf("a fault without a place: %v", err)
			}
			return
		}
		if len(log.Rows) < leastRows {
			t.Errorf("%d rows", len(log.Rows))
		}
		last := math.Inf(-1)
		for _, row := range log.Rows {
			if !(row[Time] > last) || math.IsInf(row[Time], 0) || math.IsNaN(row[Height]) && math.IsNaN(row[Pressure]) && math.IsNaN(row[Thrust]) {
				t.Fatalf("row %v after %v s", row, last)
			}
			last = row[Time]
		}
		// Nor does what makes a flight of it.
		b := demo(t)
		if _, err := Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site}}, Usual()); err != nil && !strings.HasPrefix(err.Error(), "x.csv: ") {
			t.Errorf("a fault without a place: %v", err)
		}
	})
}

// TestFitRefuses holds that a log that no flight of the rocket left is refused,
// with the figures that say so.
func TestFitRefuses(t *testing.T) {
	b, real := demo(t), flown(t)
	maker := logger{rate: 20, noise: 0.3, before: 4, after: 4}
	good := string(maker.record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(1, 1))))
	flat := "time (s),altitude (m)\n"
	for i := range 200 {
		flat += fmt.Sprintf("%g,%g\n", float64(i)/10, 0.2*math.Sin(float64(i)))
	}
	for _, c := range []struct{ why, src, want string }{
		{"metres said to be kilometres", strings.Replace(good, "altitude (m)", "altitude (km)", 1), "x.csv: claims 1050000 kJ"},
		{"millimetres said to be metres", thousandth(good, 1), "x.csv: never more than 0.1"},
		{"milliseconds said to be seconds", strings.Replace(thousandfold(good, 0), "(ms)", "(s)", 1), "x.csv: rises 136 m in 5"},
		{"seconds said to be milliseconds", strings.Replace(good, "(s)", "(ms)", 1), "x.csv: claims 13800 kJ"},
		{"metres said to be feet", strings.Replace(good, "(m)", "(ft)", 1), "x.csv: highest at 41.4 m, the brief's flight reaches 141 m: too far apart for a fit"},
		{"nothing flew", flat, "x.csv: never more than 0.2 m above its start for two samples: no flight"},
	} {
		log, err := ReadLog("x.csv", []byte(c.src), Columns{})
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		_, err = Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}}, Usual())
		if err == nil || !strings.HasPrefix(err.Error(), c.want) || !strings.Contains(err.Error(), "want ") {
			t.Errorf("%s: %v, want %s…", c.why, err, c.want)
		} else {
			t.Logf("%s: %v", c.why, err)
		}
	}
}

// thousandfold multiplies a column of numbers.
func thousandfold(src string, column int) string { return times(src, column, 1e3) }
func thousandth(src string, column int) string   { return times(src, column, 1e-3) }

func times(src string, column int, factor float64) string {
	lines := strings.Split(strings.TrimSpace(src), "\n")
	for i := 1; i < len(lines); i++ {
		cells := strings.Split(lines[i], ",")
		var v float64
		fmt.Sscan(cells[column], &v)
		cells[column] = fmt.Sprint(v * factor)
		lines[i] = strings.Join(cells, ",")
	}
	return strings.Join(lines, "\n") + "\n"
}

// TestLongLines refuses lines and rows that no logger writes: a reader would hold
// a hundred bytes for each of their signs.
func TestLongLines(t *testing.T) {
	const head = "time (s),height (m)\n"
	rows := func(n int) string {
		var out strings.Builder
		for i := range n {
			fmt.Fprintf(&out, "%d,%d\n", i, i)
		}
		return out.String()
	}
	for _, c := range []struct{ src, want string }{
		{strings.Repeat(",", 9000), "x.csv:1: a line of 9000 bytes, want at most 8192"},
		{head + rows(30) + strings.Repeat(",", 9000) + "\n" + rows(1), "x.csv:32: a line of 9001 bytes, want at most 8192"},
		{head + rows(30) + "\"" + strings.Repeat("a\n", 20000), "x.csv: a row of more than 8192 bytes, want every quotation mark closed"},
	} {
		if _, err := ReadLog("x.csv", []byte(c.src), Columns{}); err == nil || err.Error() != c.want {
			t.Errorf("%.40q…: %v, want %s", c.src, err, c.want)
		}
	}
	wide := head + strings.ReplaceAll(rows(3000), "\n", strings.Repeat(",0", 2000)+"\n")
	if l, err := ReadLog("x.csv", []byte(wide), Columns{}); err != nil || len(l.Rows) != 3000 {
		t.Errorf("a log of 2002 columns: %v, want all of its rows", err)
	}
}

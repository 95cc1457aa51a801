package fit

import (
	"fmt"
	"math"
	"os"
	"runtime"
	"strings"
	"testing"
)

// demoLog returns the rows of the demo's log with each time, in s, replaced.
func demoLog(t *testing.T, unit string, replace func(s float64) string) []byte {
	t.Helper()
	src, err := os.ReadFile(demoLogs + "field-day.csv")
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	out.WriteString("time (" + unit + "),altitude (m)\n")
	for _, line := range strings.Split(string(src), "\n") {
		var at, height float64
		if n, _ := fmt.Sscanf(line, "%f,%f", &at, &height); n == 2 {
			fmt.Fprintf(&out, "%s,%v\n", replace(at), height)
		}
	}
	return []byte(out.String())
}

// TestClocks holds that it makes no difference what a clock counts from: time
// stamps since 1970, in any unit, and a clock that is set while the rocket
// stands on the pad, give the estimates that a clock from 0 gives, to a
// hundredth of their deviations.
func TestClocks(t *testing.T) {
	const epoch = 1.75e9 // s, in 2025
	b := demo(t)
	fitOf := func(src []byte, lag float64) *Result {
		t.Helper()
		r, err := Fit([]Flight{{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Lag: lag, Altimeter: PadAt15}}, Usual())
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	seconds := func(from float64) func(float64) string {
		return func(s float64) string { return fmt.Sprintf("%.3f", from+s) }
	}
	wants := map[float64]*Result{}
	for _, lag := range []float64{0, 0.1} {
		wants[lag] = fitOf(demoLog(t, "s", seconds(0)), lag)
	}
	for _, c := range []struct {
		why, unit  string
		replace    func(float64) string
		start, lag float64
	}{
		{"seconds since 1970", "s", seconds(epoch), epoch, 0.1},
		{"milliseconds since 1970", "ms", func(s float64) string { return fmt.Sprintf("%.0f", 1e3*(epoch+s)) }, epoch, 0},
		{"nanoseconds since 1970", "ns", func(s float64) string { return fmt.Sprintf("%.0f", 1e9*(epoch+s)) }, epoch, 0},
		{"before an origin", "s", seconds(-40), -40, 0},
		{"a clock set on the pad", "s", func(s float64) string {
			if s < 2 {
				return seconds(0)(s)
			}
			return seconds(epoch)(s)
		}, 0, 0.1},
	} {
		want, got := wants[c.lag], fitOf(demoLog(t, c.unit, c.replace), c.lag)
		for i, e := range want.Estimates {
			if off := got.Estimates[i].Value - e.Value; math.Abs(off) > 0.01*e.Deviation {
				t.Errorf("%s, lag %v s: %s = %v, want %v ± %v", c.why, c.lag, e.Key, got.Estimates[i].Value, e.Value, e.Deviation)
			}
		}
		if l := got.Logs[0]; c.start != 0 && math.Abs(l.LiftOff-c.start-want.Logs[0].LiftOff) > 1e-4 {
			t.Errorf("%s: lift-off at %v, want %v after %v", c.why, l.LiftOff, want.Logs[0].LiftOff, c.start)
		}
	}
}

// TestClockJumpInFlight holds that a clock which jumps while the rocket flies is
// refused, with its filter followed over no more than a flight's time.
func TestClockJumpInFlight(t *testing.T) {
	b := demo(t)
	src := demoLog(t, "s", func(s float64) string {
		if s > 20 {
			s += 1.75e9
		}
		return fmt.Sprintf("%.3f", s)
	})
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := Fit([]Flight{{Log: readLog(t, "x.csv", src), Rocket: b.Rocket, Site: b.Site, Lag: 0.1, Altimeter: PadAt15}}, Usual())
	if err == nil || err.Error() != "x.csv: in the air for 1750000000 s, want 3600 s at most: does the clock jump?" {
		t.Errorf("%v", err)
	}
	runtime.ReadMemStats(&after)
	if took := after.TotalAlloc - before.TotalAlloc; took > 32<<20 {
		t.Errorf("took %d bytes", took)
	}
}

func TestTimeGoesBackIsTold(t *testing.T) {
	src := "time (s),height (m)\n1750000000.25,1\n1750000000.125,1\n"
	_, err := ReadLog("x.csv", []byte(src), Columns{})
	if want := "x.csv:3: time goes back from 1750000000.25 s to 1750000000.125 s, want times that rise"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

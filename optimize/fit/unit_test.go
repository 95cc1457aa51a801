package fit

import (
	"math"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

// TestUnitsOfLoggers holds what one of each unit is that loggers write in their
// own way, in SI: an international foot and standard gravity by definition.
func TestUnitsOfLoggers(t *testing.T) {
	want := map[Kind]map[string]float64{
		Time:         {"sec": 1, "secs": 1, "second": 1, "seconds": 1, "msec": 1e-3, "millis": 1e-3, "us": 1e-6, "µs": 1e-6, "ns": 1e-9},
		Height:       {"meter": 1, "meters": 1, "Metre": 1, "METRES": 1, "feet": 0.3048, "foot": 0.3048, "km": 1e3},
		Pressure:     {"pa": 1, "hpa": 100, "kpa": 1e3, "mbar": 100, "millibar": 100},
		Speed:        {"mps": 1, "ft/s": 0.3048, "fps": 0.3048, "kmh": 1 / 3.6},
		Acceleration: {"m/s^2": 1, "m/s²": 1, "g's": 9.80665, "gs": 9.80665, "g": 9.80665},
		Thrust:       {"N": 1, "kN": 1e3},
	}
	seen := map[string]bool{}
	for k, units := range want {
		for written, si := range units {
			unit, times, ok := resolve(k, written)
			got, _ := brief.ToSI(times, unit, kindInfos[k].si)
			if !ok || math.Abs(got/si-1) > 1e-12 {
				t.Errorf("a %s of 1 %s is %v %s (%v), want %v", k, written, got, kindInfos[k].si, ok, si)
			}
			seen[strings.ToLower(written)] = true
		}
	}
	for written := range aliases {
		if !seen[written] {
			t.Errorf("%s is not held by this test", written)
		}
	}
	for k, written := range map[Kind]string{Time: "ft/s", Height: "s", Thrust: "g", Pressure: "m", Acceleration: "kmh"} {
		if _, _, ok := resolve(k, written); ok {
			t.Errorf("%s is a unit of a %s", written, k)
		}
	}
}

func TestKindsHaveNames(t *testing.T) {
	for k := range Kind(kinds) {
		if got, ok := KindOf(k.String()); !ok || got != k {
			t.Errorf("KindOf(%q) = %v, %v", k, got, ok)
		}
	}
	for _, a := range []Altimeter{PadAt15, SeaLevel, TrueHeight, Unsaid} {
		if got, ok := AltimeterOf(a.String()); !ok || got != a {
			t.Errorf("AltimeterOf(%q) = %v, %v", a, got, ok)
		}
	}
	if _, ok := KindOf("weight"); ok {
		t.Error("a log may hold a weight")
	}
	if _, ok := AltimeterOf("gps"); ok {
		t.Error("there is an altimeter gps")
	}
}

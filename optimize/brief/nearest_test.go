package brief

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"testing"
)

// TestNearestFloat holds every decimal unit against the standard library's
// reading of the same digits with the decimal point moved: the nearest float.
func TestNearestFloat(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for _, of := range []struct {
		name, si, moved string
	}{
		{"mm", "m", "e-3"}, {"cm", "m", "e-2"}, {"um", "m", "e-6"}, {"g", "kg", "e-3"}, {"bar", "Pa", "e5"}, {"hPa", "Pa", "e2"},
		{"GPa", "Pa", "e9"}, {"ms", "s", "e-3"}, {"l", "m3", "e-3"}, {"ml", "m3", "e-6"}, {"%", "1", "e-2"}, {"g/cm3", "kg/m3", "e3"},
	} {
		u, ok := unitOf(of.name, of.si)
		if !ok {
			t.Fatalf("no unit %s of %s", of.name, of.si)
		}
		for range 500 {
			number := fmt.Sprintf("%d.%0*d", rng.IntN(3000), 1+rng.IntN(4), rng.IntN(10))
			want, err := strconv.ParseFloat(number+of.moved, 64)
			if err != nil {
				t.Fatal(err)
			}
			if got := u.read(number, false); got != want {
				t.Errorf("%s %s = %v, want %v", number, of.name, got, want)
			}
		}
	}
}

// TestTypedNumbers reads what sums and products in floats miss by a last digit.
func TestTypedNumbers(t *testing.T) {
	for text, want := range map[string]float64{
		"20 gn": 196.133, "17 degC": 290.15, "15.6 degC": 288.75, "32 degF": 273.15, "1 ft": 0.3048, "5.2 mm": 0.0052, "2.3 g": 0.0023, "36 km/h": 10,
	} {
		number, name, _ := amount(text)
		for _, si := range []string{"m/s2", "K", "m", "kg", "m/s"} {
			if u, ok := unitOf(name, si); ok && (name != "g" || si == "kg") {
				if got := u.read(number, false); got != want {
					t.Errorf("%s = %v, want %v", text, got, want)
				}
			}
		}
	}
	// Digits without end cost neither time nor memory.
	u, _ := unitOf("mm", "m")
	if got := u.read("1e999999999", false); got < 1e300 {
		t.Errorf("1e999999999 mm = %v, want more than any float", got)
	}
}

package optimize_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"ullage/optimize"
)

func TestVariableValues(t *testing.T) {
	for _, c := range []struct {
		why         string
		v           optimize.Variable
		count       int64
		first, last float64
	}{
		{"continuous", optimize.Variable{From: 1, To: 2}, 0, 0, 0},
		{"steps that end at To but for rounding", optimize.Variable{From: 0.12, To: 0.45, Step: 0.005}, 67, 0.12, 0.45},
		{"steps that miss To", optimize.Variable{From: 0, To: 1, Step: 0.25 + 1.0/64}, 4, 0, 0.75 + 3.0/64},
		{"choices", optimize.Variable{Choices: []float64{9, 7, 8}}, 3, 9, 8},
		{"one value", optimize.Variable{From: 3, To: 3}, 1, 3, 3},
		{"more than a float64 counts", optimize.Variable{From: 0, To: 1e300, Step: 1}, 1 << 53, 0, 1<<53 - 1},
	} {
		n, value := c.v.Values()
		if n != c.count {
			t.Errorf("%s: %d values, want %d", c.why, n, c.count)
		}
		if n == 0 {
			continue
		}
		if first, last := value(0), value(n-1); first != c.first || last != c.last {
			t.Errorf("%s: values from %v to %v, want %v to %v", c.why, first, last, c.first, c.last)
		}
	}
}

// A file's readers find 0.24 by 0.24.
func TestValuesAreThoseTyped(t *testing.T) {
	for _, c := range []struct{ from, to, step string }{
		{"0.04", "0.24", "0.005"}, {"0.12", "0.45", "0.005"}, {"-1", "1", "0.1"}, {"1e-7", "2e-6", "1e-8"}, {"3e5", "16e5", "1e4"},
	} {
		from, to, step := typed(t, c.from), typed(t, c.to), typed(t, c.step)
		n, value := optimize.Variable{From: from, To: to, Step: step}.Values()
		if want := int64(math.Round((to-from)/step)) + 1; n != want {
			t.Errorf("%s to %s by %s: %d values, want %d", c.from, c.to, c.step, n, want)
		}
		for k := range n {
			// 12 places hold every value; the shortest text of a float is the decimal
			// that it is nearest to.
			want := typed(t, fmt.Sprintf("%.12f", from+float64(k)*step))
			if value(k) != want {
				t.Errorf("%s to %s by %s: value %d = %v, want %v", c.from, c.to, c.step, k, value(k), want)
			}
		}
		if value(n-1) != to {
			t.Errorf("%s to %s by %s: the last value is %v", c.from, c.to, c.step, value(n-1))
		}
	}
}

func typed(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Every value of a decimal from and step is the float that its own digits are
// read as.
func TestValuesOfRandomDecimals(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 11))
	for range 20000 {
		places := rng.IntN(23)
		from := (rng.Int64N(1e9) >> rng.IntN(30)) * (1 - 2*rng.Int64N(2))
		step := 1 + rng.Int64N(1e12)>>rng.IntN(40)
		count := 1 + rng.Int64N(1000) // at most 16 digits in all
		text := func(n int64) string { return fmt.Sprintf("%de-%d", n, places) }
		last := from + (count-1)*step
		v := optimize.Variable{From: typed(t, text(from)), To: typed(t, text(last)), Step: typed(t, text(step))}
		n, value := v.Values()
		if n != count {
			t.Fatalf("%s to %s by %s: %d values, want %d", text(from), text(last), text(step), n, count)
		}
		for range 20 {
			k := rng.Int64N(count)
			want := typed(t, text(from+k*step))
			if got := value(k); got != want {
				t.Fatalf("%s by %s: value %d = %v, want %v", text(from), text(step), k, got, want)
			}
		}
	}
}

// What no short decimal tells is summed as ever: a step of a degree, a third.
func TestValuesOfOtherSteps(t *testing.T) {
	for _, c := range []struct{ from, step float64 }{{0, math.Pi / 180}, {1.0 / 3, 1.0 / 3}, {0.1, 1.0 / 7}, {123456, 1e-12}} {
		_, value := optimize.Variable{From: c.from, To: c.from + 100*c.step, Step: c.step}.Values()
		for k := range 100 {
			if want := c.from + float64(float64(k)*c.step); value(int64(k)) != want {
				t.Errorf("from %v by %v: value %d = %v, want %v", c.from, c.step, k, value(int64(k)), want)
			}
		}
	}
}

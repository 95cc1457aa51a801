package fit

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ullage/testdata/python"
)

// A reference is one of the sets of testdata/nist.
type reference struct {
	Name       string      `json:"name"`
	X          []string    `json:"x"`
	Y          []string    `json:"y"`
	Starts     [][]float64 `json:"starts"`
	Certified  []string    `json:"certified"`
	Deviations []string    `json:"deviations"`
	Squares    string      `json:"squares"`
}

func references(t *testing.T) (sets []reference) {
	t.Helper()
	src, err := os.ReadFile("../../testdata/nist/sets.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(src, &sets); err != nil {
		t.Fatal(err)
	}
	return sets
}

func numbers(t *testing.T, texts ...string) []float64 {
	t.Helper()
	out := make([]float64, len(texts))
	for i, s := range texts {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		out[i] = v
	}
	return out
}

// digits is the relative distance that leaves eleven digits in agreement: a
// certified value is itself off by up to 5e-11.
const digits = 1e-10

// TestCertifiedValues holds that the certified values are those of the data, as
// a solution with 60 digits in another language finds them.
func TestCertifiedValues(t *testing.T) {
	sets := references(t)
	var refined []reference
	python.Run(t, "../../testdata/nist/refine.py", sets, &refined)
	if len(refined) != len(sets) {
		t.Fatalf("%d sets refined, want %d", len(refined), len(sets))
	}
	for i, s := range sets {
		want := numbers(t, append(append(s.Certified, s.Deviations...), s.Squares)...)
		got := numbers(t, append(append(refined[i].Certified, refined[i].Deviations...), refined[i].Squares)...)
		for k := range want {
			if off := math.Abs(got[k]/want[k] - 1); off > 5e-11 {
				t.Errorf("%s, number %d: certified %v, refined %v, off by %g", s.Name, k, want[k], got[k], off)
			}
		}
	}
}

// TestReferenceSets holds that Solve comes to the certified digits from both
// starts of every set.
func TestReferenceSets(t *testing.T) {
	for _, s := range references(t) {
		x, y := numbers(t, s.X...), numbers(t, s.Y...)
		want, deviations, squares := numbers(t, s.Certified...), numbers(t, s.Deviations...), numbers(t, s.Squares)[0]
		f := formulas[s.Name]
		p := &Problem{
			Count: len(y),
			Residuals: func(b, dst []float64) bool {
				for i := range y {
					dst[i] = f(b, x[i], nil) - y[i]
					if math.IsNaN(dst[i]) || math.IsInf(dst[i], 0) {
						return false
					}
				}
				return true
			},
			Jacobian: func(b []float64, dst *mat.Dense) bool {
				for i := range y {
					f(b, x[i], dst.RawRowView(i))
				}
				return true
			},
		}
		for k, start := range s.Starts {
			t.Run(fmt.Sprintf("%s/%d", s.Name, k+1), func(t *testing.T) {
				got, err := Solve(p, start)
				if err != nil {
					t.Fatal(err)
				}
				if !got.Converged {
					t.Errorf("not converged at %v", got.X)
				}
				if off := math.Abs(got.Cost/squares - 1); off > digits {
					t.Errorf("sum of squares %v, certified %v", got.Cost, squares)
				}
				spread := newSpreadOf(got.Jacobian)
				s2 := got.Cost / float64(len(y)-len(want))
				for j := range want {
					if off := math.Abs(got.X[j]/want[j] - 1); off > digits {
						t.Errorf("b%d = %v, certified %v, off by %.2g", j+1, got.X[j], want[j], off)
					}
					if sd := math.Sqrt(spread.variance(j) * s2); math.Abs(sd/deviations[j]-1) > 1e-9 { // the condition number takes two digits
						t.Errorf("deviation of b%d = %v, certified %v, off by %.2g", j+1, sd, deviations[j], math.Abs(sd/deviations[j]-1))
					}
				}
				t.Logf("%d evaluations", got.Evaluations)
			})
		}
	}
}

// TestDifferences holds that without derivatives the same minimum is found, to
// what central differences give.
func TestDifferences(t *testing.T) {
	for _, s := range references(t) {
		x, y, want := numbers(t, s.X...), numbers(t, s.Y...), numbers(t, s.Certified...)
		f := formulas[s.Name]
		p := &Problem{Count: len(y), Residuals: func(b, dst []float64) bool {
			for i := range y {
				dst[i] = f(b, x[i], nil) - y[i]
			}
			return true
		}}
		got, err := Solve(p, s.Starts[1])
		if err != nil {
			t.Fatal(err)
		}
		for j := range want {
			if off := math.Abs(got.X[j]/want[j] - 1); off > 1e-7 {
				t.Errorf("%s: b%d = %v, certified %v, off by %.2g", s.Name, j+1, got.X[j], want[j], off)
			}
		}
	}
}

// formulas return a set's function of b at x, and write its derivatives by b to
// d where that is wanted.
var formulas = map[string]func(b []float64, x float64, d []float64) float64{
	"Misra1a": rise,
	"BoxBOD":  rise,
	"Misra1b": func(b []float64, x float64, d []float64) float64 {
		u := 1 + b[1]*x/2
		if d != nil {
			d[0], d[1] = 1-1/(u*u), b[0]*x/(u*u*u)
		}
		return b[0] * (1 - 1/(u*u))
	},
	"Thurber": func(b []float64, x float64, d []float64) float64 {
		top := b[0] + x*(b[1]+x*(b[2]+x*b[3]))
		below := 1 + x*(b[4]+x*(b[5]+x*b[6]))
		if d != nil {
			for k, power := 0, 1.0; k < 4; k, power = k+1, power*x {
				d[k] = power / below
				if k > 0 {
					d[3+k] = -top * power / (below * below)
				}
			}
		}
		return top / below
	},
	"MGH09": func(b []float64, x float64, d []float64) float64 {
		top, below := x*x+x*b[1], x*x+x*b[2]+b[3]
		if d != nil {
			d[0], d[1], d[2], d[3] = top/below, b[0]*x/below, -b[0]*top*x/(below*below), -b[0]*top/(below*below)
		}
		return b[0] * top / below
	},
	"MGH10": func(b []float64, x float64, d []float64) float64 {
		u := x + b[2]
		e := math.Exp(b[1] / u)
		if d != nil {
			d[0], d[1], d[2] = e, b[0]*e/u, -b[0]*e*b[1]/(u*u)
		}
		return b[0] * e
	},
	"Rat42": func(b []float64, x float64, d []float64) float64 {
		e := math.Exp(b[1] - b[2]*x)
		u := 1 + e
		if d != nil {
			d[0], d[1], d[2] = 1/u, -b[0]*e/(u*u), b[0]*e*x/(u*u)
		}
		return b[0] / u
	},
	"Rat43": func(b []float64, x float64, d []float64) float64 {
		e := math.Exp(b[1] - b[2]*x)
		u := 1 + e
		v := math.Pow(u, -1/b[3])
		if d != nil {
			d[0], d[1], d[2] = v, -b[0]*v*e/(u*b[3]), b[0]*v*e*x/(u*b[3])
			d[3] = b[0] * v * math.Log(u) / (b[3] * b[3])
		}
		return b[0] * v
	},
	"DanWood": func(b []float64, x float64, d []float64) float64 {
		v := math.Pow(x, b[1])
		if d != nil {
			d[0], d[1] = v, b[0]*v*math.Log(x)
		}
		return b[0] * v
	},
}

func rise(b []float64, x float64, d []float64) float64 {
	e := math.Exp(-b[1] * x)
	if d != nil {
		d[0], d[1] = 1-e, b[0]*x*e
	}
	return b[0] * (1 - e)
}

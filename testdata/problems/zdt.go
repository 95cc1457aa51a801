package problems

import (
	"math"
	"slices"
)

func zdt(name string, n int, volume float64, f func(x []float64) (f1, f2 float64)) Problem {
	from, to := from0to1(n)
	return Problem{
		Name: name, Source: "Zitzler, Deb & Thiele, Evolutionary Computation 8(2) 173–195 (2000)",
		From: from, To: to, Goals: 2, Reference: []float64{1.1, 1.1}, Volume: volume,
		Evaluate: func(x, goals, _ []float64) float64 {
			goals[0], goals[1] = f(x)
			return 0
		},
	}
}

// tail is the mean of all variables but the first.
func tail(x []float64) float64 {
	sum := 0.0
	for _, v := range x[1:] {
		sum += v
	}
	return sum / float64(len(x)-1)
}

// ZDT1 has a convex front.
func ZDT1() Problem {
	return zdt("ZDT1", 30, 1.21-1.0/3, func(x []float64) (float64, float64) {
		g := 1 + 9*tail(x)
		return x[0], g * (1 - math.Sqrt(x[0]/g))
	})
}

// ZDT2 has a concave front.
func ZDT2() Problem {
	return zdt("ZDT2", 30, 1.21-2.0/3, func(x []float64) (float64, float64) {
		g := 1 + 9*tail(x)
		return x[0], g * (1 - x[0]/g*(x[0]/g))
	})
}

// ZDT3 has a front of five pieces.
func ZDT3() Problem {
	return zdt("ZDT3", 30, 1.33176290865702, func(x []float64) (float64, float64) {
		g := 1 + 9*tail(x)
		return x[0], g * (1 - math.Sqrt(x[0]/g) - x[0]/g*math.Sin(10*math.Pi*x[0]))
	})
}

// ZDT4 has 21⁹ local fronts.
func ZDT4() Problem {
	p := zdt("ZDT4", 10, 1.21-1.0/3, func(x []float64) (float64, float64) {
		g := 1 + 10*float64(len(x)-1)
		for _, v := range x[1:] {
			g += v*v - 10*math.Cos(4*math.Pi*v)
		}
		return x[0], g * (1 - math.Sqrt(x[0]/g))
	})
	p.From, p.To = slices.Repeat([]float64{-5}, 10), slices.Repeat([]float64{5}, 10)
	p.From[0], p.To[0] = 0, 1
	return p
}

// ZDT6 has a concave front that few designs lie near.
func ZDT6() Problem {
	return zdt("ZDT6", 10, 0.507877514654591, func(x []float64) (float64, float64) {
		g := 1 + 9*math.Pow(tail(x), 0.25)
		f := 1 - math.Exp(-4*x[0])*math.Pow(math.Sin(6*math.Pi*x[0]), 6)
		return f, g * (1 - f/g*(f/g))
	})
}

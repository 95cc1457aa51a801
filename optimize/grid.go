package optimize

import "math"

// An axis turns one variable into a gene and back. The gene of a continuous
// variable is its value, the gene of any other is the index of its value: the
// operators move on the index, where steps have equal length.
type axis struct {
	low, high float64 // of the gene
	whole     bool    // the gene is an index
	from      float64
	step      float64
	unit      float64 // where it is set, from and step are whole numbers of 1/unit
	choices   []float64
	unordered bool // no choice is nearer to another than any other
}

// stepTolerance is the share of a step by which the last one may miss To, so
// that (0.45 − 0.12) / 0.005 counts 66 steps and not 65.
const stepTolerance = 1e-6

func newAxis(v Variable) axis {
	switch {
	case len(v.Choices) > 0:
		return axis{high: float64(len(v.Choices) - 1), whole: true, choices: v.Choices, unordered: v.Unordered}
	case v.Step > 0:
		steps := math.Floor((v.To-v.From)/v.Step + stepTolerance)
		a := axis{high: max(steps, 0), whole: true, from: v.From, step: v.Step}
		a.asDecimals()
		return a
	case v.From == v.To: // a single value
		return axis{whole: true, from: v.From}
	}
	return axis{low: v.From, high: v.To}
}

// asDecimals looks for a unit, a power of ten, in which from and step are whole
// numbers: the last value of 0.04 to 0.24 by 0.005 is then 0.24, where sums of
// rounded numbers end at 0.24000000000000002. All that value does before it
// divides is exact, and the quotient of two exact numbers is the float nearest
// to the decimal.
func (a *axis) asDecimals() {
	const (
		places = 22   // the largest power of ten that a float64 holds exactly
		most   = 1e15 // a decimal of 15 digits and its float tell each other
	)
	unit := 1.0
	for range places + 1 {
		from, step := math.Round(a.from*unit), math.Round(a.step*unit)
		if max(math.Abs(from), step) > most {
			return
		}
		if from/unit == a.from && step/unit == a.step {
			if math.Abs(from)+a.high*step < mostValues {
				a.from, a.step, a.unit = from, step, unit
			}
			return
		}
		unit *= 10
	}
}

func (a *axis) value(gene float64) float64 {
	switch {
	case !a.whole:
		return gene
	case a.choices != nil:
		return a.choices[int(gene)]
	case a.unit != 0:
		return (a.from + float64(gene*a.step)) / a.unit
	}
	return a.from + float64(gene*a.step)
}

// gene returns the gene whose value is nearest to x.
func (a *axis) gene(x float64) float64 {
	switch {
	case !a.whole:
		return a.settle(x)
	case a.unordered:
		return a.chosen(x)
	case a.choices != nil:
		best := 0
		for i, c := range a.choices {
			if math.Abs(c-x) < math.Abs(a.choices[best]-x) {
				best = i
			}
		}
		return float64(best)
	case a.step == 0:
		return 0
	}
	if a.unit != 0 {
		x *= a.unit
	}
	return a.settle((x - a.from) / a.step)
}

// settle returns the gene nearest to g that the axis allows.
func (a *axis) settle(g float64) float64 {
	if a.whole {
		g = math.Round(g)
	}
	return min(max(g, a.low), a.high)
}

// mostCombinations bounds the grids that are walked to find the designs left.
const mostCombinations = 1 << 20

// combinations returns the number of designs that the axes allow, 0 where it
// is without bound or above mostCombinations.
func combinations(axes []axis) int {
	n := 1.0
	for i := range axes {
		n *= axes[i].high + 1
		if !axes[i].whole || n > mostCombinations {
			return 0
		}
	}
	return int(n)
}

// next advances genes to the following design of the grid, the first design
// after the last.
func next(axes []axis, genes []float64) {
	for i := range axes {
		if genes[i] < axes[i].high {
			genes[i]++
			return
		}
		genes[i] = 0
	}
}

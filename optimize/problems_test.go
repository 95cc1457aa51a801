package optimize

import (
	"slices"

	"ullage/testdata/problems"
)

// A known problem has a front whose hypervolume below a reference point is
// known exactly.
type known struct {
	name string
	Problem
	reference []float64
	volume    float64
}

// unit returns n variables from 0 to 1.
func unit(n int) []Variable {
	return slices.Repeat([]Variable{{From: 0, To: 1}}, n)
}

// always wraps an evaluation that keeps no scratch.
func always(f func(x []float64, r *Result)) func() func([]float64, *Result) {
	return func() func([]float64, *Result) { return f }
}

func knownOf(p problems.Problem) known {
	k := known{name: p.Name, Problem: Problem{Goals: p.Goals, Limits: p.Limits, Distances: true}, reference: p.Reference, volume: p.Volume}
	for i := range p.From {
		v := Variable{From: p.From[i], To: p.To[i]}
		if p.Step != nil {
			v.Step = p.Step[i]
		}
		k.Variables = append(k.Variables, v)
	}
	k.Evaluator = always(func(x []float64, r *Result) { r.Slack = p.Evaluate(x, r.Goals, r.Violations) })
	return k
}

func zdt1() known       { return knownOf(problems.ZDT1()) }
func zdt2() known       { return knownOf(problems.ZDT2()) }
func zdt3() known       { return knownOf(problems.ZDT3()) }
func zdt4() known       { return knownOf(problems.ZDT4()) }
func zdt6() known       { return knownOf(problems.ZDT6()) }
func dtlz2(m int) known { return knownOf(problems.DTLZ2(m)) }
func dtlz7(m int) known { return knownOf(problems.DTLZ7(m)) }
func tnk() known        { return knownOf(problems.TNK()) }
func osy() known        { return knownOf(problems.OSY()) }

// every is all the problems.
func every() []known {
	var all []known
	for _, p := range problems.All() {
		all = append(all, knownOf(p))
	}
	return all
}

// shortfall returns the missing share of the exact hypervolume of n designs.
func (k known) shortfall(archive []Design, n int) float64 {
	var points [][]float64
	for _, d := range Choose(archive, n) {
		points = append(points, d.Goals)
	}
	return 1 - Hypervolume(points, k.reference)/k.volume
}

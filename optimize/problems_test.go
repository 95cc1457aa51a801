package optimize

import (
	"math"
	"slices"
)

// A known problem has a front whose hypervolume below a reference point is
// known exactly.
type known struct {
	name   string
	source string
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

const zdt = "Zitzler, Deb & Thiele, Evolutionary Computation 8(2) 173–195 (2000)"

func zdtProblem(name string, variables []Variable, volume float64, f func(x []float64) (f1, f2 float64)) known {
	return known{
		name: name, source: zdt, reference: []float64{1.1, 1.1}, volume: volume,
		Problem: Problem{Variables: variables, Goals: 2, Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0], r.Goals[1] = f(x)
		})},
	}
}

func tail(x []float64) float64 {
	sum := 0.0
	for _, v := range x[1:] {
		sum += v
	}
	return sum / float64(len(x)-1)
}

func zdt1() known {
	return zdtProblem("ZDT1", unit(30), 1.21-1.0/3, func(x []float64) (float64, float64) {
		g := 1 + 9*tail(x)
		return x[0], g * (1 - math.Sqrt(x[0]/g))
	})
}

func zdt2() known {
	return zdtProblem("ZDT2", unit(30), 1.21-2.0/3, func(x []float64) (float64, float64) {
		g := 1 + 9*tail(x)
		return x[0], g * (1 - x[0]/g*(x[0]/g))
	})
}

func zdt3() known {
	return zdtProblem("ZDT3", unit(30), 1.33176290865702, func(x []float64) (float64, float64) {
		g := 1 + 9*tail(x)
		return x[0], g * (1 - math.Sqrt(x[0]/g) - x[0]/g*math.Sin(10*math.Pi*x[0]))
	})
}

func zdt4() known {
	variables := append(unit(1), slices.Repeat([]Variable{{From: -5, To: 5}}, 9)...)
	return zdtProblem("ZDT4", variables, 1.21-1.0/3, func(x []float64) (float64, float64) {
		g := 1 + 10*float64(len(x)-1)
		for _, v := range x[1:] {
			g += v*v - 10*math.Cos(4*math.Pi*v)
		}
		return x[0], g * (1 - math.Sqrt(x[0]/g))
	})
}

func zdt6() known {
	return zdtProblem("ZDT6", unit(10), 0.507877514654591, func(x []float64) (float64, float64) {
		g := 1 + 9*math.Pow(tail(x), 0.25)
		f := 1 - math.Exp(-4*x[0])*math.Pow(math.Sin(6*math.Pi*x[0]), 6)
		return f, g * (1 - f/g*(f/g))
	})
}

// limit writes how far values stay below 0.
func limit(r *Result, values ...float64) {
	r.Slack = math.Inf(1)
	for i, v := range values {
		r.Violations[i] = max(0, -v)
		r.Slack = min(r.Slack, v)
	}
}

func tnk() known {
	return known{
		name: "TNK", source: deb,
		reference: []float64{1.1, 1.1}, volume: 0.4333946311,
		Problem: Problem{
			Variables: slices.Repeat([]Variable{{From: 0, To: math.Pi}}, 2), Goals: 2, Limits: 2,
			Evaluator: always(func(x []float64, r *Result) {
				r.Goals[0], r.Goals[1] = x[0], x[1]
				limit(r,
					x[0]*x[0]+x[1]*x[1]-1-0.1*math.Cos(16*math.Atan2(x[0], x[1])),
					0.5-(x[0]-0.5)*(x[0]-0.5)-(x[1]-0.5)*(x[1]-0.5))
			}),
		},
	}
}

func osy() known {
	return known{
		name: "OSY", source: "Osyczka & Kundu, Structural Optimization 10 94–99 (1995)",
		reference: []float64{0, 80}, volume: 16796.0511492,
		Problem: Problem{
			Variables: []Variable{{To: 10}, {To: 10}, {From: 1, To: 5}, {To: 6}, {From: 1, To: 5}, {To: 10}},
			Goals:     2, Limits: 6,
			Evaluator: always(func(x []float64, r *Result) {
				sq := func(v float64) float64 { return v * v }
				r.Goals[0] = -(25*sq(x[0]-2) + sq(x[1]-2) + sq(x[2]-1) + sq(x[3]-4) + sq(x[4]-1))
				r.Goals[1] = 0
				for _, v := range x {
					r.Goals[1] += v * v
				}
				limit(r, x[0]+x[1]-2, 6-x[0]-x[1], 2-x[1]+x[0], 2-x[0]+3*x[1], 4-sq(x[2]-3)-x[3], sq(x[4]-3)+x[5]-4)
			}),
		},
	}
}

const deb = "Deb et al., IEEE TEC 6(2) 182–197 (2002), table V"

func bnh() known {
	return known{
		name: "BNH", source: "Binh & Korn, 3rd Mendel Conference 176–182 (1997)",
		reference: []float64{140, 50}, volume: 5285.3333333,
		Problem: Problem{
			Variables: []Variable{{To: 5}, {To: 3}}, Goals: 2, Limits: 2,
			Evaluator: always(func(x []float64, r *Result) {
				r.Goals[0] = 4*x[0]*x[0] + 4*x[1]*x[1]
				r.Goals[1] = (x[0]-5)*(x[0]-5) + (x[1]-5)*(x[1]-5)
				limit(r,
					25-(x[0]-5)*(x[0]-5)-x[1]*x[1],
					(x[0]-8)*(x[0]-8)+(x[1]+3)*(x[1]+3)-7.7)
			}),
		},
	}
}

func srn() known {
	return known{
		name: "SRN", source: deb,
		reference: []float64{250, 50}, volume: 42689.7605551562,
		Problem: Problem{
			Variables: slices.Repeat([]Variable{{From: -20, To: 20}}, 2), Goals: 2, Limits: 2,
			Evaluator: always(func(x []float64, r *Result) {
				r.Goals[0] = (x[0]-2)*(x[0]-2) + (x[1]-1)*(x[1]-1) + 2
				r.Goals[1] = 9*x[0] - (x[1]-1)*(x[1]-1)
				limit(r, 225-x[0]*x[0]-x[1]*x[1], 3*x[1]-x[0]-10)
			}),
		},
	}
}

const scalable = "Deb, Thiele, Laumanns & Zitzler, Scalable test problems, 105–145 (2005)"

// dtlzProblem has n variables: the first m − 1 say where on the front a design
// lies, the others how far from it.
func dtlzProblem(name string, m, n int, reference []float64, volume float64, f func(place, others, goals []float64)) known {
	return known{
		name: name, source: scalable, reference: reference, volume: volume,
		Problem: Problem{Variables: unit(n), Goals: m, Evaluator: always(func(x []float64, r *Result) {
			f(x[:m-1], x[m-1:], r.Goals)
		})},
	}
}

// dtlz1 has a plane front and 11⁵ − 1 local ones.
func dtlz1(m int) known {
	volume := map[int]float64{2: 7.0 / 8, 3: 47.0 / 48}[m]
	return dtlzProblem("DTLZ1", m, m+4, slices.Repeat([]float64{1}, m), volume, func(place, others, goals []float64) {
		g := 1.0
		for _, v := range others {
			g += 100 * (1 + (v-0.5)*(v-0.5) - math.Cos(20*math.Pi*(v-0.5)))
		}
		for k := range goals {
			goals[k] = g / 2
			for _, v := range place[:m-1-k] {
				goals[k] *= v
			}
			if k > 0 {
				goals[k] *= 1 - place[m-1-k]
			}
		}
	})
}

// dtlz2 has a front that is a part of the unit sphere.
func dtlz2(m int) known {
	volume := map[int]float64{2: 1.21 - math.Pi/4, 3: 1.331 - math.Pi/6, 4: 1.4641 - math.Pi*math.Pi/32}[m]
	return dtlzProblem("DTLZ2", m, m+9, slices.Repeat([]float64{1.1}, m), volume, func(place, others, goals []float64) {
		g := 1.0
		for _, v := range others {
			g += (v - 0.5) * (v - 0.5)
		}
		for k := range goals {
			f := g
			for _, v := range place[:m-1-k] {
				f *= math.Cos(v * math.Pi / 2)
			}
			if k > 0 {
				f *= math.Sin(place[m-1-k] * math.Pi / 2)
			}
			goals[k] = f
		}
	})
}

// dtlz7 has a front in 2^(m−1) pieces. Its last goal is m·2 less one term for
// each other goal, all alike, so that the volume for 3 goals follows from that
// for 2.
func dtlz7(m int) known {
	reference := append(slices.Repeat([]float64{1.1}, m-1), 2*float64(m)+0.4)
	const two = 1.33813415597926
	volume := map[int]float64{2: two, 3: 0.4*1.21 + 2*1.1*(two-0.4*1.1)}[m]
	return dtlzProblem("DTLZ7", m, m+19, reference, volume, func(place, others, goals []float64) {
		g := 2.0
		for _, v := range others {
			g += 9 * v / float64(len(others))
		}
		h := float64(m)
		for k, v := range place {
			goals[k] = v
			h -= v / g * (1 + math.Sin(3*math.Pi*v))
		}
		goals[m-1] = g * h
	})
}

// every is all the problems.
func every() []known {
	return []known{
		zdt1(), zdt2(), zdt3(), zdt4(), zdt6(), dtlz1(2), dtlz1(3), dtlz2(2), dtlz2(3), dtlz7(2), dtlz7(3),
		bnh(), srn(), tnk(), osy(),
	}
}

// shortfall returns the missing share of the exact hypervolume of n designs.
func (k known) shortfall(archive []Design, n int) float64 {
	var points [][]float64
	for _, d := range Choose(archive, n) {
		points = append(points, d.Goals)
	}
	return 1 - Hypervolume(points, k.reference)/k.volume
}

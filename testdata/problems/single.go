package problems

import (
	"math"
	"slices"
)

// Single returns problems of one goal. The volume below their reference is what
// the reference is above the best there is.
func Single() []Problem {
	return []Problem{Rastrigin(), Rosenbrock(), SteppedRastrigin(), G04(), G06(), WeldedBeam(), Spring(), Vessel()}
}

// single returns a problem whose best design has the value best.
func single(name, source string, from, to []float64, limits int, best, reference float64, f func(x, violations []float64) (goal, slack float64)) Problem {
	return Problem{
		Name: name, Source: source, From: from, To: to, Goals: 1, Limits: limits,
		Reference: []float64{reference}, Volume: reference - best,
		Evaluate: func(x, goals, violations []float64) (slack float64) {
			goals[0], slack = f(x, violations)
			return slack
		},
	}
}

func rastrigin(x, _ []float64) (goal, slack float64) {
	for _, v := range x {
		goal += 10 + v*v - 10*math.Cos(2*math.Pi*v)
	}
	return goal, 0
}

// Rastrigin has 11⁶ valleys beside the deepest.
func Rastrigin() Problem {
	return single("Rastrigin", "Mühlenbein, Schomisch & Born, Parallel Computing 17 619–632 (1991)",
		slices.Repeat([]float64{-5.12}, 6), slices.Repeat([]float64{5.12}, 6), 0, 0, 100, rastrigin)
}

// SteppedRastrigin allows hundredths only.
func SteppedRastrigin() Problem {
	p := Rastrigin()
	p.Name, p.Step = "Rastrigin by steps", slices.Repeat([]float64{0.01}, 6)
	return p
}

// Rosenbrock has one bent valley, along which the way to its lowest place is
// long.
func Rosenbrock() Problem {
	return single("Rosenbrock", "Rosenbrock, The Computer Journal 3(3) 175–184 (1960)",
		slices.Repeat([]float64{-2.048}, 5), slices.Repeat([]float64{2.048}, 5), 0, 0, 100,
		func(x, _ []float64) (goal, slack float64) {
			for i, v := range x[1:] {
				goal += 100*sq(v-sq(x[i])) + sq(1-x[i])
			}
			return goal, 0
		})
}

// G04 has five variables and the best design on four limits.
func G04() Problem {
	return single("g04", "Himmelblau, Applied Nonlinear Programming, McGraw-Hill (1972)",
		[]float64{78, 33, 27, 27, 27}, []float64{102, 45, 45, 45, 45}, 6, -30665.538671784, -25000,
		func(x, violations []float64) (goal, slack float64) {
			u := 85.334407 + 0.0056858*x[1]*x[4] + 0.0006262*x[0]*x[3] - 0.0022053*x[2]*x[4]
			v := 80.51249 + 0.0071317*x[1]*x[4] + 0.0029955*x[0]*x[1] + 0.0021813*sq(x[2])
			w := 9.300961 + 0.0047026*x[2]*x[4] + 0.0012547*x[0]*x[2] + 0.0019085*x[2]*x[3]
			return 5.3578547*sq(x[2]) + 0.8356891*x[0]*x[4] + 37.293239*x[0] - 40792.141,
				room(violations, u, 92-u, v-90, 110-v, w-20, 25-w)
		})
}

// G06 leaves a thin crescent between two circles.
func G06() Problem {
	return single("g06", "Floudas & Pardalos, A Collection of Test Problems, Springer (1990)",
		[]float64{13, 0}, []float64{100, 100}, 2, -6961.813875580, 0,
		func(x, violations []float64) (goal, slack float64) {
			return math.Pow(x[0]-10, 3) + math.Pow(x[1]-20, 3),
				room(violations, sq(x[0]-5)+sq(x[1]-5)-100, 82.81-sq(x[0]-6)-sq(x[1]-5))
		})
}

// WeldedBeam is the cost of a beam that must bear a load.
func WeldedBeam() Problem {
	return single("welded beam", "Deb, Computer Methods in Applied Mechanics and Engineering 186 311–338 (2000)",
		[]float64{0.125, 0.1, 0.1, 0.1}, []float64{10, 10, 10, 10}, 5, 2.3809565797, 20,
		func(x, violations []float64) (goal, slack float64) {
			h, l, t, b := x[0], x[1], x[2], x[3]
			r := math.Sqrt(0.25 * (sq(l) + sq(h+t)))
			direct := 6000 / (math.Sqrt2 * h * l)
			turning := 6000 * (14 + 0.5*l) * r / (math.Sqrt2 * h * l * (sq(l)/12 + 0.25*sq(h+t)))
			shear := math.Sqrt(sq(direct) + sq(turning) + l*direct*turning/r)
			return 1.10471*sq(h)*l + 0.04811*t*b*(14+l), room(violations,
				13600-shear, 30000-504000/(sq(t)*b), b-h, 64746.022*(1-0.0282346*t)*t*b*b*b-6000, 0.25-2.1952/(t*t*t*b))
		})
}

// Spring is the weight of a spring, with the best design where two limits meet
// at a sharp angle.
func Spring() Problem {
	return single("spring", "Arora, Introduction to Optimum Design, McGraw-Hill (1989)",
		[]float64{0.05, 0.25, 2}, []float64{2, 1.3, 15}, 4, 0.0126652328, 0.05,
		func(x, violations []float64) (goal, slack float64) {
			d, coil, turns := x[0], x[1], x[2]
			d4 := sq(d) * sq(d)
			return (turns + 2) * coil * sq(d), room(violations,
				coil*coil*coil*turns/(71785*d4)-1,
				1-(4*sq(coil)-d*coil)/(12566*(coil*d*d*d-d4))-1/(5108*sq(d)),
				140.45*d/(sq(coil)*turns)-1, 1-(coil+d)/1.5)
		})
}

// Vessel is the cost of a pressure vessel from plates in sixteenths of an inch.
func Vessel() Problem {
	p := single("pressure vessel", "Sandgren, Journal of Mechanical Design 112(2) 223–229 (1990)",
		[]float64{0.0625, 0.0625, 10, 10}, []float64{6.1875, 6.1875, 200, 200}, 3, 6059.714335048, 20000,
		func(x, violations []float64) (goal, slack float64) {
			shell, head, r, l := x[0], x[1], x[2], x[3]
			return 0.6224*shell*r*l + 1.7781*head*sq(r) + 3.1661*sq(shell)*l + 19.84*sq(shell)*r, room(violations,
				shell-0.0193*r, head-0.00954*r, math.Pi*sq(r)*l+4.0/3*math.Pi*r*r*r-1296000)
		})
	p.Step = []float64{0.0625, 0.0625, 0, 0}
	return p
}

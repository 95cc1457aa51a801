package problems

import "math"

func sq(v float64) float64 { return v * v }

// BNH has a front on the edges of its box.
func BNH() Problem {
	return Problem{
		Name: "BNH", Source: "Binh & Korn, MENDEL (1997)",
		From: []float64{0, 0}, To: []float64{5, 3}, Goals: 2, Limits: 2,
		Reference: []float64{140, 50}, Volume: 5285.0 + 1.0/3,
		Evaluate: func(x, goals, violations []float64) float64 {
			goals[0] = 4*sq(x[0]) + 4*sq(x[1])
			goals[1] = sq(x[0]-5) + sq(x[1]-5)
			return room(violations, 25-sq(x[0]-5)-sq(x[1]), sq(x[0]-8)+sq(x[1]+3)-7.7)
		},
	}
}

// SRN has a front inside its limits that ends in an arc along each.
func SRN() Problem {
	return Problem{
		Name: "SRN", Source: "Deb, Pratap, Agarwal & Meyarivan, IEEE TEC 6(2) 182–197 (2002), table V",
		From: []float64{-20, -20}, To: []float64{20, 20}, Goals: 2, Limits: 2,
		Reference: []float64{250, 50}, Volume: 42689.7605551562,
		Evaluate: func(x, goals, violations []float64) float64 {
			goals[0] = 2 + sq(x[0]-2) + sq(x[1]-1)
			goals[1] = 9*x[0] - sq(x[1]-1)
			return room(violations, 225-sq(x[0])-sq(x[1]), 3*x[1]-x[0]-10)
		},
	}
}

// TNK has a front with gaps, all of it on one limit.
func TNK() Problem {
	return Problem{
		Name: "TNK", Source: "Deb, Pratap, Agarwal & Meyarivan, IEEE TEC 6(2) 182–197 (2002), table V",
		From: []float64{0, 0}, To: []float64{math.Pi, math.Pi}, Goals: 2, Limits: 2,
		Reference: []float64{1.1, 1.1}, Volume: 0.4333946311,
		Evaluate: func(x, goals, violations []float64) float64 {
			goals[0], goals[1] = x[0], x[1]
			return room(violations,
				x[0]*x[0]+x[1]*x[1]-1-0.1*math.Cos(16*math.Atan2(x[0], x[1])),
				0.5-(x[0]-0.5)*(x[0]-0.5)-(x[1]-0.5)*(x[1]-0.5))
		},
	}
}

// OSY has a front of five pieces on different limits.
func OSY() Problem {
	return Problem{
		Name: "OSY", Source: "Osyczka & Kundu, Structural Optimization 10 94–99 (1995)",
		From: []float64{0, 0, 1, 0, 1, 0}, To: []float64{10, 10, 5, 6, 5, 10}, Goals: 2, Limits: 6,
		Reference: []float64{0, 80}, Volume: 16796.0511492,
		Evaluate: func(x, goals, violations []float64) float64 {
			goals[0] = -(25*sq(x[0]-2) + sq(x[1]-2) + sq(x[2]-1) + sq(x[3]-4) + sq(x[4]-1))
			goals[1] = 0
			for _, v := range x {
				goals[1] += v * v
			}
			return room(violations, x[0]+x[1]-2, 6-x[0]-x[1], 2-x[1]+x[0], 2-x[0]+3*x[1], 4-sq(x[2]-3)-x[3], sq(x[4]-3)+x[5]-4)
		},
	}
}

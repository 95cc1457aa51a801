package problems

import (
	"math"
	"slices"
)

// dtlz returns a problem of m goals and k variables beside the m − 1 that say
// where on a front a design lies.
func dtlz(name string, m, k int, reference []float64, volume float64, f func(x, goals []float64)) Problem {
	from, to := from0to1(m - 1 + k)
	return Problem{
		Name: name, Source: "Deb, Thiele, Laumanns & Zitzler, Scalable test problems, 105–145 (2005)",
		From: from, To: to, Goals: m, Reference: reference, Volume: volume,
		Evaluate: func(x, goals, _ []float64) float64 {
			f(x, goals)
			return 0
		},
	}
}

// DTLZ1 has a flat front, sum of the goals 0.5, behind 11⁵ local ones. m is at
// least 2.
func DTLZ1(m int) Problem {
	simplex := 1.0 // its volume: 0.5ᵐ / m!
	for i := range m {
		simplex *= 0.5 / float64(i+1)
	}
	return dtlz("DTLZ1", m, 5, slices.Repeat([]float64{1}, m), 1-simplex, func(x, goals []float64) {
		g := 0.0
		for _, v := range x[m-1:] {
			g += 1 + (v-0.5)*(v-0.5) - math.Cos(20*math.Pi*(v-0.5))
		}
		for k := range goals {
			f := 0.5 * (1 + 100*g)
			for j := range m - 1 - k {
				f *= x[j]
			}
			if k > 0 {
				f *= 1 - x[m-1-k]
			}
			goals[k] = f
		}
	})
}

// DTLZ2 has a front that is a part of the unit sphere; m is 2, 3 or 4.
func DTLZ2(m int) Problem {
	volume := map[int]float64{2: 1.21 - math.Pi/4, 3: 1.331 - math.Pi/6, 4: 1.4641 - math.Pi*math.Pi/32}[m]
	return dtlz("DTLZ2", m, 10, slices.Repeat([]float64{1.1}, m), volume, func(x, goals []float64) {
		g := 1.0
		for _, v := range x[m-1:] {
			g += (v - 0.5) * (v - 0.5)
		}
		for k := range goals {
			f := g
			for j := range m - 1 - k {
				f *= math.Cos(x[j] * math.Pi / 2)
			}
			if k > 0 {
				f *= math.Sin(x[m-1-k] * math.Pi / 2)
			}
			goals[k] = f
		}
	})
}

// DTLZ7 has a front of 2ᵐ⁻¹ pieces; m is 2 or 3. On the front the last goal is
// 2m less a sum over the others of φ(f) = f (1 + sin 3πf), so that both volumes
// follow from the integral to 1.1 of the largest φ so far, 0.89813415597926.
func DTLZ7(m int) Problem {
	const integral = 0.89813415597926
	volume := map[int]float64{2: 1.1*0.4 + integral, 3: 1.1*1.1*0.4 + 2*1.1*integral}[m]
	reference := slices.Repeat([]float64{1.1}, m)
	reference[m-1] = 2*float64(m) + 0.4
	return dtlz("DTLZ7", m, 20, reference, volume, func(x, goals []float64) {
		g := 0.0
		for _, v := range x[m-1:] {
			g += v
		}
		g = 2 + 9*g/float64(len(x)-m+1)
		last := float64(m) * g
		for k, v := range x[:m-1] {
			goals[k] = v
			last -= v * (1 + math.Sin(3*math.Pi*v))
		}
		goals[m-1] = last
	})
}

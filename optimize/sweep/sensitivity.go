package sweep

import (
	"math"

	"ullage/optimize"
)

// Saltelli lists the designs from whose outputs Sensitivity computes: for each of n
// rows a design A, a design B, and for each variable the design A with that
// variable taken from B; n·(variables + 2) in all. A and B are the halves of one
// scrambled Halton point of twice as many dimensions.
//
// Source: Saltelli, Annoni, Azzini, Campolongo, Ratto & Tarantola, Computer
// Physics Communications 181 (2010) 259–270, section 3.
func Saltelli(variables []optimize.Variable, n int64, seed uint64) Plan {
	d := len(variables)
	h, at := newHalton(2*d, seed), spread(variables)
	return Plan{Size: n * int64(d+2), At: func(i int64, x []float64) {
		row, part := i/int64(d+2), int(i%int64(d+2))
		for k := range x {
			half := 0
			if part == 1 || part == k+2 {
				half = d
			}
			x[k] = at[k](h.at(half+k, row))
		}
	}}
}

// An Index is a share of a variance with the bounds of a 95 % confidence
// interval.
type Index struct{ Value, Low, High float64 }

// Indices say what drives one output.
type Indices struct {
	Rows     int     // that were used: all whose flights have the output
	Mean     float64 // of the output, over the designs A and B, in its unit
	Variance float64 // of the same, in the square of its unit

	// First holds, for each variable, the share of the variance that it explains
	// alone; Total the share that it has a part in. Both are nil where the output
	// does not vary or fewer than 2 rows could be used. Values are estimates and
	// may lie somewhat below 0 or above 1.
	First, Total []Index
}

// z95 is the 97.5 % point of the normal distribution.
const z95 = 1.959963984540054

// Sensitivity computes the indices of one output of that many variables. f
// holds it in the order of Saltelli's plan, NaN where the flight does not have
// it: such a row is left out whole, so that the indices are those among designs
// that can be flown. Its length is a multiple of variables + 2.
//
//	S = ⟨f_B (f_AB − f_A)⟩ / V      ST = ⟨(f_A − f_AB)²⟩ / 2V
//
// with f reduced by its mean over A and B, and V its variance over them. The
// intervals come from the variance of these ratios to first order in 1/N, as
// if the rows were random: as they are spread more evenly, they tend to be wide.
//
// Sources: S, Saltelli et al. 2010, table 2 (b); ST, Jansen, Computer Physics
// Communications 117 (1999) 35–43.
func Sensitivity(f []float64, variables int) Indices {
	rows := wholeRows(f, variables+2)
	out := Indices{Rows: len(rows)}
	if len(rows) == 0 {
		return out
	}
	n := float64(len(rows))
	for _, r := range rows {
		out.Mean += (r[0] + r[1]) / 2 / n
	}
	spreads := make([]float64, len(rows))
	same := true
	for i, r := range rows {
		a, b := r[0]-out.Mean, r[1]-out.Mean
		spreads[i] = (float64(a*a) + float64(b*b)) / 2
		out.Variance += spreads[i] / n
		same = same && r[0] == rows[0][0] && r[1] == rows[0][0]
	}
	if same {
		out.Variance = 0 // not what rounding of the mean leaves
	}
	if out.Variance == 0 || len(rows) < 2 {
		return out
	}
	shares := make([]float64, len(rows))
	for k := range variables {
		for i, r := range rows {
			shares[i] = (r[1] - out.Mean) * (r[k+2] - r[0])
		}
		out.First = append(out.First, ratio(shares, spreads))
		for i, r := range rows {
			shares[i] = (r[0] - r[k+2]) * (r[0] - r[k+2]) / 2
		}
		out.Total = append(out.Total, ratio(shares, spreads))
	}
	return out
}

// ratio returns the ratio of two means with its interval by the delta method.
func ratio(shares, spreads []float64) Index {
	n := float64(len(shares))
	top, bottom := mean(shares), mean(spreads)
	value := top / bottom
	sum := 0.0
	for i, s := range shares {
		d := (s - float64(value*spreads[i])) / bottom
		sum += float64(d * d)
	}
	half := z95 * math.Sqrt(sum/(n-1)/n)
	return Index{value, value - half, value + half}
}

// wholeRows cuts f into rows of that width and returns those that are finite.
func wholeRows(f []float64, width int) [][]float64 {
	var rows [][]float64
	for at := 0; at+width <= len(f); at += width {
		if row := f[at : at+width]; finite(row) {
			rows = append(rows, row)
		}
	}
	return rows
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

func finite(v []float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

package sweep

// A Ratio gathers one output of rows that fall into groups, such as steps of a
// variable, and tells what share of its variance the groups explain. Its size
// does not grow with the rows.
type Ratio struct{ groups []moments }

// moments are the count, the mean and the sum of squares about it of one group.
type moments struct{ n, mean, squares float64 }

// NewRatio returns a Ratio of that many groups.
func NewRatio(groups int) *Ratio { return &Ratio{make([]moments, groups)} }

// Add takes the output of a row of a group; it is not NaN.
func (r *Ratio) Add(group int, v float64) {
	m := &r.groups[group]
	m.n++
	off := v - m.mean
	m.mean += off / m.n
	m.squares += float64(off * (v - m.mean))
}

// Share returns the correlation ratio, less what groups explain by chance:
//
//	ε² = 1 − (SS_within / (n − k)) / (SS_all / (n − 1))
//
// of n rows in k groups that have any. Where the rows are those of a grid or of a
// sequence over ranges that do not depend on each other, it is an estimate of the
// first-order sensitivity index of the variable; it can lie somewhat below 0. It
// reports false where the output does not vary or the rows are too few.
//
// Sources: Pearson, On the general theory of skew correlation and non-linear
// regression, Drapers' Company Research Memoirs, Biometric Series II (1905);
// Kelley, Proc. Natl. Acad. Sci. 21 (1935) 554–559, for ε²; Plischke, Borgonovo &
// Smith, European Journal of Operational Research 226 (2013) 536–550, for the
// index from given rows.
func (r *Ratio) Share() (share float64, ok bool) {
	var n, k, mean, within, between float64
	for _, m := range r.groups {
		if m.n > 0 {
			n += m.n
			k++
			mean += float64((m.mean - mean) * m.n / n)
			within += m.squares
		}
	}
	for _, m := range r.groups {
		between += float64(m.n * (m.mean - mean) * (m.mean - mean))
	}
	if n <= k || k < 2 || !(within+between > 1e-24*mean*mean*n) {
		return 0, false
	}
	return 1 - (within/(n-k))/((within+between)/(n-1)), true
}

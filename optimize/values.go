package optimize

// mostValues keeps a count of values within the whole numbers that a float64
// holds exactly.
const mostValues = 1 << 53

// Count returns the number of values that the variable may have, at most 2⁵³;
// 0 where it is continuous.
func (v Variable) Count() int64 {
	a := newAxis(v)
	if !a.whole {
		return 0
	}
	return int64(min(a.high, mostValues-1)) + 1
}

// Value returns value k of a variable with steps or choices, 0 ≤ k < v.Count(),
// to the last bit the one that a search flies.
func (v Variable) Value(k int64) float64 {
	a := newAxis(v)
	return a.value(float64(k))
}

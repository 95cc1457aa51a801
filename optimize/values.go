package optimize

// mostValues keeps a count of values within the whole numbers that a float64
// holds exactly.
const mostValues = 1 << 53

// Values returns the number of values that v may have, at most 2⁵³ and 0 where
// it is continuous, and a function that returns value k of them, 0 ≤ k < count,
// to the last bit the one that a search flies. Where From and Step are decimals
// of at most 15 digits, each value is the float nearest to its decimal.
func (v Variable) Values() (count int64, value func(k int64) float64) {
	a := newAxis(v)
	if a.whole {
		count = int64(min(a.high, mostValues-1)) + 1
	}
	return count, func(k int64) float64 { return a.value(float64(k)) }
}

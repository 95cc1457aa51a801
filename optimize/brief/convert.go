package brief

// ToSI converts a number with one of the units of a brief to the SI unit of its
// dimension: ToSI(3, "ft", "m") = 0.9144. It reports whether that dimension has
// that unit. A temperature is one on a scale, not a difference.
func ToSI(v float64, unit, si string) (float64, bool) {
	u, ok := unitOf(unit, si)
	return u.toSI(v, false), ok
}

// UnitNames lists the units of the dimension of an SI unit, the usual ones
// first.
func UnitNames(si string) []string { return unitNames(si) }

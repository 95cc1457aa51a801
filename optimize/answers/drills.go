package answers

import "math"

// Workshop drills go by 0.1 mm up to 13.9 mm and by 0.25 mm from 14 mm on
// (common practice, no source).
const (
	fineDrill   = 0.1e-3  // m
	coarseDrill = 0.25e-3 // m
	firstCoarse = 14e-3   // m
)

// NearestDrill returns the workshop drill nearest to a diameter, in m, and whether
// the diameter is that drill's: then it returns the diameter itself.
func NearestDrill(d float64) (drill float64, same bool) {
	fine := max(1, min(math.Round(d/fineDrill), math.Round(firstCoarse/fineDrill)-1)) * fineDrill
	coarse := max(math.Round(d/coarseDrill), math.Round(firstCoarse/coarseDrill)) * coarseDrill
	if drill = coarse; math.Abs(fine-d) <= math.Abs(coarse-d) {
		drill = fine
	}
	if math.Abs(drill-d) < sameDrill {
		return d, true
	}
	return drill, false
}

// sameDrill is what a diameter may be off a drill unnoticed, in m: a tenth of
// what drills differ by.
const sameDrill = 0.01e-3

// nextDrill returns the workshop drill next above a diameter, in m.
func nextDrill(d float64) float64 {
	d += sameDrill
	if fine := (math.Floor(d/fineDrill) + 1) * fineDrill; fine < firstCoarse-sameDrill {
		return fine
	}
	return max(firstCoarse, (math.Floor(d/coarseDrill)+1)*coarseDrill)
}

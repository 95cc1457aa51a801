package pad

import (
	"math"

	"ullage/model"
)

// A Wind is the strongest wind in which a design is still GO as set, coming from
// the side that was planned.
type Wind struct {
	Speed float64 // m/s at 10 m, ≥ 0; NaN where the design is not GO in the planned wind
	Ends  bool    // it is not GO in a stronger one; else none so strong was looked at as would end it
}

const (
	windStride   = 1.0  // m/s
	windStep     = 0.5  // m/s
	mostStronger = 10.0 // m/s above the planned wind that are looked at
)

// strongestWind goes up from the planned wind, in which the design is GO, until
// goes says otherwise.
func strongestWind(goes func(*model.Rocket, *model.Site) bool, r *model.Rocket, s *model.Site) Wind {
	planned := math.Abs(s.Wind)
	good, bad := planned, planned
	holds := func(speed float64) bool {
		site := *s
		site.Wind = math.Copysign(speed, s.Wind)
		return goes(r, &site)
	}
	for good == bad {
		if good >= planned+mostStronger {
			return Wind{Speed: good}
		}
		if bad = good + windStride; holds(bad) {
			good = bad
		}
	}
	if mid := good + windStep; holds(mid) {
		good = mid
	}
	return Wind{Speed: good, Ends: true}
}

package brief

import (
	"slices"

	"ullage/model"
)

// The places in Extras.
const (
	BareDrift = iota
	BareLandingSpeed
	BareLandingEnergy
	GustIncidence
	DeployEarliest
	DeployLatest
)

// Extras describes the numbers of a design that take flights of their own, in
// their order among the figures of a design. Being dear, they are no
// goals, and none but that of a gust may be limited.
var Extras = [...]model.FigureInfo{
	BareDrift:         {Key: "bare_drift", Unit: "m", Doc: "distance of touch-down from the pad where the canopy never opens, positive downwind"},
	BareLandingSpeed:  {Key: "bare_landing_speed", Unit: "m/s", Doc: "vertical speed at touch-down where the canopy never opens"},
	BareLandingEnergy: {Key: "bare_landing_energy", Unit: "J", Doc: "kinetic energy at touch-down where the canopy never opens"},
	GustIncidence:     {Key: gustKey, Unit: "rad", Doc: "largest angle of attack in a gust of site.gust off the guide, with the wind or against it; null where the rocket is not stable there"},
	DeployEarliest:    {Key: "deploy_earliest", Unit: "s", Doc: "least timer setting from which on, up to the design's own, every limit holds; null where the design misses one"},
	DeployLatest:      {Key: "deploy_latest", Unit: "s", Doc: "largest timer setting up to which, from the design's own, every limit holds; null where the design misses one, or all hold up to 60 s or touch-down"},
}

const gustKey = "gust_incidence"

func isExtra(key string) bool {
	return slices.ContainsFunc(Extras[:], func(i model.FigureInfo) bool { return i.Key == key })
}

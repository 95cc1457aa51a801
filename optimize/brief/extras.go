package brief

import (
	"slices"

	"ullage/model"
)

// The places in Extras.
const (
	BareDrift = iota
	BareLandingSpeed
	DeployEarliest
	DeployLatest
)

// Extras describes the numbers of a design that take flights of their own, in
// their order among the figures of a design. Being dear, they are no goals and no limits.
var Extras = [...]model.FigureInfo{
	BareDrift:        {Key: "bare_drift", Unit: "m", Doc: "distance of touch-down from the pad where the canopy never opens, positive downwind"},
	BareLandingSpeed: {Key: "bare_landing_speed", Unit: "m/s", Doc: "vertical speed at touch-down where the canopy never opens"},
	DeployEarliest:   {Key: "deploy_earliest", Unit: "s", Doc: "least timer setting from which on, up to the design's own, every limit holds; null where the design misses one"},
	DeployLatest:     {Key: "deploy_latest", Unit: "s", Doc: "largest timer setting up to which, from the design's own, every limit holds; null where the design misses one, or all hold up to 60 s or touch-down"},
}

func isExtra(key string) bool {
	return slices.ContainsFunc(Extras[:], func(i model.FigureInfo) bool { return i.Key == key })
}

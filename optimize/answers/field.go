package answers

import (
	"math"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A Beyond is a room of the site that a rocket does not keep to.
type Beyond struct {
	Key   string  // of the brief's quantity
	Reach float64 // m, how far or high it comes; NaN where it cannot be said
	Room  float64 // m
}

// openField is the field of a brief that names no room.
var openField = brief.Field{Upwind: math.Inf(1), Downwind: math.Inf(1), Ceiling: math.Inf(1)}

// OnPaper rounds a distance from the pad up to 5 m, as it is printed and judged.
func OnPaper(distance float64) float64 {
	return max(0, 5*math.Ceil(distance/5-1e-9)) // never −0
}

// mostlyBelow returns the height, in m, that 95 % of the flights under scatter
// stay below; that of the flight as set where none were flown.
func mostlyBelow(call *study.Call) float64 {
	if len(call.Apogees) > 0 {
		return constraints.Quantile(slices.Sorted(slices.Values(call.Apogees)), 0.95)
	}
	height, _ := call.Nominal.Figure(model.Apogee)
	return height
}

// beyond lists what of the field a rocket does not keep to: the farthest
// touch-downs without canopy, which hold those with it, and the height.
func beyond(field brief.Field, call *study.Call, without Fall) []Beyond {
	var all []Beyond
	for _, of := range []Beyond{
		{"site.field_upwind", OnPaper(without.Upwind), field.Upwind},
		{"site.field_downwind", OnPaper(without.Downwind), field.Downwind},
		{"site.ceiling", mostlyBelow(call), field.Ceiling},
	} {
		if !math.IsInf(of.Room, 1) && !(of.Reach <= of.Room) {
			all = append(all, of)
		}
	}
	return all
}

// goes returns what reports whether a rocket of b is GO, its field counted in.
func goes(b *brief.Brief, caller *study.Caller, scratch *model.Scratch) func(*model.Rocket, *model.Site) bool {
	if b.Field == openField {
		return caller.Goes
	}
	return func(r *model.Rocket, s *model.Site) bool {
		if !fallsWithin(b, r, s, scratch) || !caller.Goes(r, s) {
			return false
		}
		if math.IsInf(b.Field.Ceiling, 1) {
			return true
		}
		call := caller.Call(r, s)
		return mostlyBelow(&call) <= b.Field.Ceiling
	}
}

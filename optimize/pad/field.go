package pad

import (
	"context"
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
	return func(r *model.Rocket, s *model.Site) bool {
		return fallsWithin(b, r, s, scratch) && caller.Goes(r, s) && below(b, caller, r, s)
	}
}

// below reports whether a rocket keeps to the height that the site allows.
func below(b *brief.Brief, caller *study.Caller, r *model.Rocket, s *model.Site) bool {
	if math.IsInf(b.Field.Ceiling, 1) {
		return true
	}
	call := caller.Call(r, s)
	return mostlyBelow(&call) <= b.Field.Ceiling
}

// Words returns the word on each design of b, as a card of it has: one that
// misses a limit as set costs a flight, another some hundreds. It reports
// false where ctx ended first. The result does not depend on workers.
func Words(ctx context.Context, b *brief.Brief, designs [][]float64, workers int) ([]study.Word, bool) {
	words := make([]study.Word, len(designs))
	whole := study.Each(ctx, len(designs), workers, func() func(i int) {
		caller, scratch := study.NewCaller(b), model.NewScratch()
		return func(i int) {
			r, s := b.At(designs[i])
			words[i] = caller.WordOf(&r, &s)
			if words[i] != study.NoGo && (!fallsWithin(b, &r, &s, scratch) || !below(b, caller, &r, &s)) {
				words[i] = study.NoGo
			}
		}
	})
	return words, whole
}

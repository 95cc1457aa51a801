package model

import "math"

// An Outcome is how a flight ended.
type Outcome int

// Landed is the outcome of a flight that was computed to the ground; every
// other says why it could not be.
const (
	Landed       Outcome = iota + 1
	NoLiftOff            // thrust never exceeded weight
	StuckOnGuide         // came to rest before the end of the guide
	NoRoom               // chamber or geometry that cannot exist, or a number that was left at 0 and must not be
	NotFinite            // a number left the reals
	StepLimit            // more integration steps than any real flight takes
	TimeLimit            // still aloft after an hour
)

var outcomeNames = [...]string{
	Landed: "landed", NoLiftOff: "no_lift_off", StuckOnGuide: "stuck_on_guide", NoRoom: "no_room",
	NotFinite: "not_finite", StepLimit: "step_limit", TimeLimit: "time_limit",
}

// String returns the outcome as it is written to files, "landed" for Landed.
func (o Outcome) String() string { return outcomeNames[o] }

// Warnings is a set of reasons why a result lies outside the model's domain.
type Warnings uint8

// The warnings of a flight.
const (
	MachHigh      Warnings = 1 << iota // Mach above 0.8
	IncidenceHigh                      // angle of attack above 15° before the end of thrust
	ReynoldsLow                        // Reynolds number below 1e4 at max speed
	FillExtreme                        // fill outside 5–80 %
	CanopyNotFull                      // canopy not full at touch-down
	Broadside                          // nose first it falls more than half as fast again
	OutletWide                         // air drawn in from farther up than the bore's radius
)

var warningTexts = []struct{ key, text string }{
	{"mach_high", "Mach above 0.8: drag and fin lift are outside the model"},
	{"incidence_high", "angle of attack above 15 deg before the end of thrust: normal force is outside the model"},
	{"reynolds_low", "Reynolds number below 10 000 at max speed: skin friction is outside the model"},
	{"fill_extreme", "fill outside 5 to 80 %: the water phase is outside the model"},
	{"canopy_not_full", "canopy not full at touch-down: landing speed is not the settled one"},
	{"broadside", "without its canopy it falls much faster where it does not come down on its side, and may: that descent is one nose first"},
	{"outlet_wide", "air is drawn in from farther above the outlet than the bore's radius: drawn_share is that of a wider vessel"},
}

// Keys lists the set as it is written to files, in a fixed order.
func (w Warnings) Keys() []string { return w.list(func(i int) string { return warningTexts[i].key }) }

// Texts lists the set in words, in the order of Keys.
func (w Warnings) Texts() []string { return w.list(func(i int) string { return warningTexts[i].text }) }

func (w Warnings) list(name func(int) string) []string {
	names := []string{}
	for i := range warningTexts {
		if w&(1<<i) != 0 {
			names = append(names, name(i))
		}
	}
	return names
}

// A Flight is what one run of the model reports. It holds no pointers: copy
// it freely.
type Flight struct {
	Outcome     Outcome
	Warnings    Warnings
	Evaluations int // of the equations of motion

	values  [FigureCount]float64
	present uint64
}

// Figure returns the value of a figure in SI units, and whether the flight
// has it: what does not apply (a canopy's figures on a ballistic landing) is
// absent, never 0 or NaN.
func (f *Flight) Figure(id Figure) (float64, bool) {
	return f.values[id], f.present&(1<<id) != 0
}

// raise records a figure where it is larger than what stands there.
func (f *Flight) raise(id Figure, v float64) {
	if last, ok := f.Figure(id); !ok || !(v <= last) { // also NaN
		f.set(id, v)
	}
}

// drop takes figures back.
func (f *Flight) drop(ids ...Figure) {
	for _, id := range ids {
		f.values[id] = 0
		f.present &^= 1 << id
	}
}

// set records a figure; a value that is not finite turns the flight into
// NotFinite, so that none can leave the model.
func (f *Flight) set(id Figure, v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		f.Outcome = NotFinite
		return
	}
	f.values[id] = v
	f.present |= 1 << id
}

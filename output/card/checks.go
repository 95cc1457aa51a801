package card

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/pad"
	"ullage/output/text"
)

// checks are done before air.
func (c *Card) checks() []string {
	s, u := &c.Statics, c.units()
	planned := "planned"
	if s.Weighed {
		planned = "as weighed"
	}
	ready := []string{"Fins tight, nozzle free, canopy packed, line tied, door moves", "Timer set and armed"}
	if !c.canopied() {
		ready = []string{"Fins tight, nozzle free; it has no canopy: nobody under its path"}
	}
	return slices.Concat([]string{
		"Chamber looked at, inside and out; count of pressure cycles written down",
		fmt.Sprintf("Rocket ready but empty weighs %s %s, %s; balances at %s %s from the nose tip", u.mass.near(s.DryMass), u.mass.unit, planned, u.body.near(s.DryCG), u.body.unit),
	}, ready, []string{
		"Water weighed",
		"Guide leans as set, into the wind as it is now",
		"Wind within the lines of this card: " + c.handWind() + c.windLimit(),
		"Field clear where it may come down, sky clear, everyone behind the line, eyes covered",
		"Only then air, from a distance",
	})
}

// stopped is what is done when a launch is not finished: common practice, no
// source.
func (c *Card) stopped() []string {
	wait := "Wait, and keep everyone away: it may still go, or burst, and the timer may open the door."
	if !c.canopied() {
		wait = "Wait, and keep everyone away: it may still go, or burst."
	}
	return []string{
		wait,
		"Nobody goes near, tightens or turns anything while it is under pressure.",
		"Let the air out from a distance, through the line that filled it, until the gauge there reads 0.",
		"How long to wait after that, and who then goes to it, local rules say.",
	}
}

// handWind says what a meter in the hand shows of the planned wind.
func (c *Card) handWind() string {
	wind, u := math.Abs(c.Site.Wind), c.units()
	return fmt.Sprintf("%s %s at %s is %s %s in your hand at %s", u.wind.near(wind), u.wind.unit, u.height(pad.WindHeight), u.wind.near(c.inHand(wind)), u.wind.unit, u.height(pad.HandHeight))
}

// inHand returns what a meter in the hand shows of a wind at 10 m.
func (c *Card) inHand(wind float64) float64 {
	return wind * pad.HandShare(&c.Site)
}

// windLimit says in which wind the design is still GO; "" where it is not.
func (c *Card) windLimit() string {
	of, u := &c.Flown.Wind, c.units()
	upTo := fmt.Sprintf("; as set it is GO up to %s %s at %s", u.wind.atMost(of.Speed), u.wind.unit, u.height(pad.WindHeight))
	switch {
	case math.IsNaN(of.Speed):
		return ""
	case of.Ends && of.Speed <= math.Abs(c.Site.Wind):
		return "; as set it is GO in no stronger wind"
	case !of.Ends:
		return upTo + ", no stronger wind was flown"
	}
	return fmt.Sprintf("%s, %s %s in your hand, and not in stronger wind", upTo, u.wind.atMost(c.inHand(of.Speed)), u.wind.unit)
}

// A blank is to be filled in on the day, beside what was planned or predicted.
type blank struct{ Name, Predicted string }

func (c *Card) blanks() []blank {
	r := &c.Rocket
	u := c.units()
	predicted := func(id model.Figure) string {
		v := c.figure(id)
		if math.IsNaN(v) {
			return ""
		}
		return "predicted " + u.way.near(math.Abs(v))
	}
	cycles := ""
	if c.Brief.Cycles >= 0 {
		cycles = fmt.Sprintf("before %d", c.Brief.Cycles)
	}
	blanks := []blank{
		{"date and place", ""},
		{"wind, " + u.wind.unit, "planned " + u.wind.near(c.Site.Wind)},
		{"air, " + u.heat.unit, "planned " + u.heat.near(c.Site.Temperature)},
		{"rocket empty, " + u.mass.unit, "planned " + u.mass.near(c.Statics.DryMass)},
		{"water weighed, " + u.mass.unit, "planned " + u.mass.near(c.Statics.WaterMass)},
		{"pressure, " + u.pressure.unit, "planned " + strings.TrimSuffix(u.set(r.Chamber.Pressure), " "+u.pressure.unit)},
		{"timer, s", "planned " + text.Decimals(r.Recovery.Delay, 2)},
		{"height read, " + u.way.unit, predicted(model.Apogee)},
		{"landed off the pad, " + u.way.unit, predicted(model.Drift)},
		{"landing, damage", ""},
		{"pressure cycles so far", cycles},
	}
	if !c.canopied() {
		blanks = slices.DeleteFunc(blanks, func(of blank) bool { return of.Name == "timer, s" })
	}
	return blanks
}

package card

import (
	"fmt"
	"math"
	"slices"

	"ullage/model"
	"ullage/model/air"
	"ullage/output/text"
)

// checks are done before air.
func (c *Card) checks() []string {
	s := &c.Statics
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
		fmt.Sprintf("Rocket ready but empty weighs %s g, %s; balances at %s mm from the nose tip", grams(s.DryMass), planned, text.Decimals(s.DryCG*1e3, 0)),
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
var stopped = []string{
	"Wait, and keep everyone away: it may still go, or burst, and the timer may open the door.",
	"Nobody goes near, tightens or turns anything while it is under pressure.",
	"Let the air out from a distance, through the line that filled it, until the gauge there reads 0.",
	"How long to wait after that, and who then goes to it, local rules say.",
}

// The wind of a site is that at 10 m; a meter is held lower.
const (
	windHeight = 10.0 // m
	handHeight = 1.5  // m
)

// handWind says what a meter in the hand shows of the planned wind.
func (c *Card) handWind() string {
	wind := math.Abs(c.Site.Wind)
	return fmt.Sprintf("%s m/s at 10 m is %s m/s in your hand at 1.5 m", text.Decimals(wind, 1), text.Decimals(c.inHand(wind), 1))
}

// inHand returns what a meter in the hand shows of a wind at 10 m, by the power
// law of the site.
func (c *Card) inHand(wind float64) float64 {
	return wind * air.Power(handHeight/windHeight, c.Site.WindExponent)
}

// windLimit says in which wind the design is still GO; "" where it is not.
func (c *Card) windLimit() string {
	of := &c.Flown.Wind
	switch {
	case math.IsNaN(of.Speed):
		return ""
	case of.Ends && of.Speed <= math.Abs(c.Site.Wind):
		return "; as set it is GO in no wind half a metre a second stronger"
	case !of.Ends:
		return fmt.Sprintf("; as set it is GO up to %s m/s at 10 m, no stronger wind was flown", text.AtMost(of.Speed, 1))
	}
	return fmt.Sprintf("; as set it is GO up to %s m/s at 10 m, %s m/s in your hand, and not in stronger wind", text.AtMost(of.Speed, 1), text.AtMost(c.inHand(of.Speed), 1))
}

// A blank is to be filled in on the day, beside what was planned or predicted.
type blank struct{ Name, Predicted string }

func (c *Card) blanks() []blank {
	r := &c.Rocket
	predicted := func(id model.Figure, places int) string {
		v := c.figure(id)
		if math.IsNaN(v) {
			return ""
		}
		return "predicted " + text.Decimals(math.Abs(v), places)
	}
	blanks := []blank{
		{"date and place", ""},
		{"wind, m/s", "planned " + text.Decimals(c.Site.Wind, 1)},
		{"air, degC", "planned " + text.Decimals(c.Site.Temperature+text.Show("", "K").Offset, 0)},
		{"rocket empty, g", "planned " + grams(c.Statics.DryMass)},
		{"water weighed, g", "planned " + grams(c.Statics.WaterMass)},
		{"pressure, bar", "planned " + text.BarsAtMost(r.Chamber.Pressure)},
		{"timer, s", "planned " + text.Decimals(r.Recovery.Delay, 2)},
		{"height read, m", predicted(model.Apogee, 0)},
		{"landed off the pad, m", predicted(model.Drift, 0)},
		{"landing, damage", ""},
		{"pressure cycles so far", ""},
	}
	if !c.canopied() {
		blanks = slices.DeleteFunc(blanks, func(of blank) bool { return of.Name == "timer, s" })
	}
	return blanks
}

package terminal

import (
	"fmt"
	"slices"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/output/text"
)

// measurements says how to measure what is not known of a rocket.
var measurements = []struct{ key, words string }{
	{"chamber.gas_thrust", "the thrust on a stand, until the gas is out"},
	{"chamber.jet", "the thrust on a stand while water leaves"},
	{"chamber.drawn", "the thrust on a stand, above all of the last water"},
	{"chamber.growth", "the water that fills the chamber, without pressure and at launch pressure, with no air in it"},
	{"chamber.pressure", "the gauge, against a second one"},
	{"chamber.gas_temperature", "the temperature of the gas a minute after filling"},
	{"body.drag", "how it slows down while it coasts: fly it with an altimeter and fit the log"},
	{"recovery.drag", "how fast the canopy falls under the rocket's weight, by a timed drop"},
	{"recovery.latency", "the time from the timer's end to the full canopy, on the ground"},
}

// MeasureFirst says what to measure first to narrow how far a design's apogee
// and landing speed may be off, a sentence an entry; none where nothing is
// doubted.
func MeasureFirst(doubts []answers.Doubt) []string {
	lines := []string{}
	for _, of := range []struct {
		id    model.Figure
		words string
	}{{model.Apogee, "apogee"}, {model.LandingSpeed, "landing speed"}} {
		i := slices.IndexFunc(doubts, func(d answers.Doubt) bool { return d.Figure == of.id && d.Most != nil })
		if i < 0 {
			continue
		}
		d, info := &doubts[i], model.Figures[of.id]
		show := text.Show(info.Key, info.Unit)
		lines = append(lines, fmt.Sprintf("%s %s %s as modelled; %s to %s for what is not known, most of it %s: measure %s", of.words,
			show.Number(d.Value), show.Unit, show.Number(d.Low), show.Number(d.High), d.Most.Key, howToMeasure(d.Most)))
	}
	return lines
}

func howToMeasure(q *brief.Quantity) string {
	for _, m := range measurements {
		if m.key == q.Key {
			return m.words
		}
	}
	return q.Doc
}

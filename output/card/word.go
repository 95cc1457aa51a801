package card

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output/text"
)

// Word is what stands at the top of the pad card.
func (c *Card) Word() study.Word { return c.Flown.Word }

// Short lists the keys of what stands against GO.
func (c *Card) Short() []string {
	keys := c.Flown.Call.Lacking(c.Brief)
	for _, of := range c.Flown.Beyond {
		keys = append(keys, of.Key)
	}
	return keys
}

// shortWords says what stands against GO: a limit missed as set by how much,
// one that is kept as set in what share of the flights.
func (c *Card) shortWords() []string {
	var words []string
	call := &c.Flown.Call
	for _, key := range call.Lacking(c.Brief) {
		k := slices.IndexFunc(c.Brief.Limits, func(l brief.Limit) bool { return l.Metric.Key == key })
		slack, name := call.Slacks[k], text.Words(key)
		show := c.show(key, c.Brief.Limits[k].Unit)
		switch {
		case math.IsNaN(slack):
			words = append(words, "misses "+name+": the flight does not have it")
		case !constraints.Kept(slack):
			words = append(words, strings.TrimSpace("misses "+name+" by "+show.Number(-slack)+" "+show.Unit)+" as set")
		default:
			words = append(words, fmt.Sprintf("%s kept in %s of %d flights", name, percent(call.Chances[k].Share()), study.CallFlights))
		}
	}
	return append(words, c.beyondWords()...)
}

// percent writes a share in whole percent, never more than it is.
func percent(share float64) string { return text.AtMost(100*share, 0) + " %" }

// mostMends is how many changes a card names.
const mostMends = 3

// mended says what would make the design GO; "" where it is.
func (c *Card) mended() string {
	switch {
	case c.Word() == study.Go:
		return ""
	case len(c.Flown.Mends) == 0:
		return "No single change of pressure, water, timer, ballast, payload, tilt, canopy or fins was found that makes it GO."
	}
	var words []string
	for _, m := range c.Flown.Mends[:min(mostMends, len(c.Flown.Mends))] {
		words = append(words, c.mendWords(&m))
	}
	return "Would be GO by flights, each change alone: " + strings.Join(words, ", or ") + ". Make the card again with it."
}

// mendWords says a change as it is made at the bench or on the pad.
func (c *Card) mendWords(m *pad.Mend) string {
	u := c.units()
	more := func(kg float64, what string) string {
		side := " more "
		if kg < 0 {
			side = " less "
		}
		return u.mass.atLeast(math.Abs(kg)) + " " + u.mass.unit + side + what // as much as was found to do, or a little more
	}
	to := func(name string, number func(v float64) string, unit string) string {
		return strings.Join(strings.Fields(fmt.Sprintf("%s %s %s instead of %s", name, number(m.Value), unit, number(m.Planned))), " ")
	}
	show := c.show(m.Quantity.Key, m.Quantity.Unit)
	switch m.Quantity.Key {
	case "chamber.pressure":
		return to("", u.set, "")
	case "chamber.fill":
		return more(c.water(m.Value)-c.water(m.Planned), "water")
	case "ballast.mass":
		return more(m.Value-m.Planned, "ballast")
	case "payload.mass":
		return more(m.Value-m.Planned, "payload")
	case "recovery.delay":
		return to("timer", func(v float64) string { return text.Decimals(v, 2) }, "s")
	case "recovery.canopy":
		return to("canopy", u.canopy.near, u.canopy.unit)
	case "site.tilt":
		return to("tilt", func(v float64) string { return text.Decimals(v*show.Scale, 1) }, show.Unit)
	}
	return to(text.Words(m.Quantity.Key), show.Number, show.Unit)
}

// judged says by which flights the word was found.
func (c *Card) judged() string {
	call := &c.Flown.Call
	if call.Chances == nil {
		return "Judged by the flight as set, which misses a limit of safety: none was flown under scatter."
	}
	whose := "this brief's scatter"
	if call.Usual {
		whose = "the usual scatter, as this brief has none"
	}
	return fmt.Sprintf("Judged by %d flights under %s (one deviation: %s): every limit of safety kept in %s of them; in at least %s of all such flights, at %s confidence.",
		study.CallFlights, whose, strings.Join(c.scatterWords(), ", "), percent(call.All.Share()), percent(call.All.AtLeast()), percent(constraints.Level))
}

// scatterWords says by how much each quantity scatters.
func (c *Card) scatterWords() []string {
	words := make([]string, len(c.Flown.Scatter))
	for i, s := range c.Flown.Scatter {
		show := c.show(s.Key, s.Unit)
		number, unit := s.Deviation*show.Scale, show.Unit
		if s.Relative {
			number, unit = 100*s.Deviation, "%"
		}
		words[i] = strings.TrimSpace(text.Words(s.Key) + " " + strconv.FormatFloat(number, 'g', 4, 64) + " " + unit)
	}
	return words
}

// canopied reports whether the rocket has a canopy.
func (c *Card) canopied() bool { return c.Rocket.Recovery.Canopy > 0 }

// notJudged names the default limits that the brief switches off, and says how a
// rocket without canopy lands; "" where there is neither.
func (c *Card) notJudged() string {
	var off, words []string
	for _, key := range c.Brief.NotJudged {
		if key != "landing_speed" || c.canopied() {
			off = append(off, key)
		}
	}
	if off != nil {
		words = append(words, "NOT JUDGED, this brief switches the limit off: "+plainAll(off))
	}
	if !c.canopied() {
		how := "NO CANOPY"
		if slices.Contains(c.Brief.NotJudged, "landing_speed") {
			how = "NOT JUDGED on landing, it has no canopy"
		}
		words = append(words, fmt.Sprintf("%s: as set it comes down at %s with %s.", how,
			c.speedAtLeast(c.figure(model.LandingSpeed)), c.energyAtLeast(c.figure(model.LandingEnergy))))
	}
	return strings.Join(words, ". ")
}

package card

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/text"
	"ullage/output/wording"
)

// A cell is a number on a card: name, value with unit, and a note.
type cell struct{ Name, Value, Note string }

// A roomLine is the distance to one limit.
type roomLine struct {
	Name, Value, Note string
	Short             bool // missed
}

// An ifThenLine is a line of the if-then table as it is read.
type ifThenLine struct {
	Doc, Water, Timer, Height, Landing, Drift string
	Verdict, Why                              string
	NoGo                                      bool
}

// A padView is the pad card in words: text and HTML show the same.
type padView struct {
	Title, Design, Verdict string
	NoGo                   bool
	Missed                 []string
	Mended, Judged         string
	NotJudged              string
	Set, Expect            []cell // none of what is set or done on the pad where it is NO-GO
	IfThen                 []ifThenLine
	Heads                  [5]string // units of the if-then table
	Way                    string    // unit of a distance
	Falls, Field           []string
	Room                   []roomLine
	Checks, Stopped        []string
	Blanks                 []blank
	Cautions               []string
	Warnings               []string
	Brief, Version, Code   string
}

const ifThenRule = "Below the first, each line keeps the planned water and timer where every limit is still kept as set; else it changes the timer alone, else the water alone, else both: " +
	"the best found by flights, no other goal given away, then most height or the brief's first goal. Where none does, the plan stands and it is no go. None was flown under scatter: for a GO, make the card of that day. The heavier rocket balances at the same point."

func (c *Card) padView() padView {
	v := padView{
		Title: c.title(), Design: c.design(), Verdict: c.Word().String(), NoGo: c.Word() == study.NoGo, Missed: c.shortWords(),
		Mended: c.mended(), Judged: c.judged(), NotJudged: c.notJudged(),
		Falls: c.falls(), Field: c.fieldWords(), Room: c.room(),
		Way:      c.units().way.unit,
		Cautions: c.cautions(), Warnings: c.Row.Warnings.Texts(),
		Brief: c.hash(), Version: c.Version, Code: c.Code(),
	}
	if !v.NoGo {
		v.Set, v.Expect, v.IfThen = c.settings(), c.expected(), c.ifThenLines()
		u := c.units()
		v.Heads = [5]string{u.mass.unit, "s", u.way.unit, u.speed.unit, u.way.unit}
		v.Checks, v.Stopped, v.Blanks = c.checks(), c.stopped(), c.blanks()
	}
	return v
}

// settings are what is set on the pad.
func (c *Card) settings() []cell {
	r, s, u := &c.Rocket, &c.Statics, c.units()
	cells := []cell{
		{"water", u.mass.near(s.WaterMass) + " " + u.mass.unit, fmt.Sprintf("%s %s, %s %% of %s %s", u.water.near(s.Volume*r.Chamber.Fill), u.water.unit,
			text.Decimals(100*r.Chamber.Fill, 1), u.chamber.near(s.Volume), u.chamber.unit)},
		{"pressure", u.set(r.Chamber.Pressure), fmt.Sprintf("gauge; never above %s (%s, proof %s)", u.set(c.Flown.Ceiling.Pressure), c.ceilingReason(), u.set(r.Chamber.Proof))},
	}
	if record := c.record(); record != "" {
		cells = append(cells, cell{"chamber", u.set(r.Chamber.Proof), "proof; " + record})
	}
	if c.canopied() {
		cells = append(cells,
			cell{"timer", text.Decimals(r.Recovery.Delay, 2) + " s", c.window()},
			cell{"canopy", u.canopy.near(r.Recovery.Canopy) + " " + u.canopy.unit, fmt.Sprintf("opens %s s after the timer's end", text.Decimals(r.Recovery.Latency, 2)) + c.canopyMass()})
	} else {
		cells = append(cells, cell{"canopy", "none", "comes down without"})
	}
	return append(
		append(cells, c.launchTube()...),
		cell{"tilt", text.Decimals(c.Site.Tilt*text.Show("", "rad").Scale, 1) + " deg", "into the wind; guide " + u.guide.near(c.Site.Guide) + " " + u.guide.unit},
		cell{"payload", u.mass.near(r.Payload.Mass) + " " + u.mass.unit, c.ballast()},
	)
}

// canopyMass tells canopies apart on a scale; "" where the brief has no mass.
func (c *Card) canopyMass() string {
	if c.Rocket.Recovery.Mass == 0 {
		return ""
	}
	u := c.units()
	return "; with its line " + u.mass.near(c.Rocket.Recovery.Mass) + " " + u.mass.unit
}

// launchTube says whether the launch tube is used, where the brief has a choice.
func (c *Card) launchTube() []cell {
	ch, u := &c.Rocket.Chamber, c.units()
	switch varied := slices.ContainsFunc(c.Brief.Vary, func(v brief.Vary) bool { return v.Key == "chamber.tube.fitted" }); {
	case ch.NoTube:
		return []cell{{"launch tube", "none", "take it off the launcher"}}
	case varied:
		return []cell{{"launch tube", u.body.near(ch.Tube.Length) + " " + u.body.unit, "of travel on it; diameter " + u.body.near(ch.Tube.Diameter) + " " + u.body.unit}}
	}
	return nil
}

func (c *Card) ballast() string {
	if c.Rocket.Ballast.Mass == 0 {
		return "no ballast"
	}
	u := c.units()
	return fmt.Sprintf("ballast %s %s at %s %s", u.mass.near(c.Rocket.Ballast.Mass), u.mass.unit, u.body.near(c.Rocket.Ballast.Station), u.body.unit)
}

// window is the range of timer settings that keep every limit, cut inward.
func (c *Card) window() string {
	earliest, latest := c.extra(brief.DeployEarliest), c.extra(brief.DeployLatest)
	switch {
	case math.IsNaN(earliest):
		return "no window: a limit is missed as planned"
	case math.IsNaN(latest):
		return fmt.Sprintf("every limit holds from %s s on", text.AtLeast(earliest, 2))
	}
	return fmt.Sprintf("every limit holds from %s to %s s", text.AtLeast(earliest, 2), text.AtMost(latest, 2))
}

// expected is what the flight as planned gives.
func (c *Card) expected() []cell {
	var cells []cell
	u := c.units()
	add := func(name string, id model.Figure, m measure, note string) {
		if v := c.figure(id); !math.IsNaN(v) {
			cells = append(cells, cell{name, m.near(v) + " " + m.unit, note})
		}
	}
	if v := c.figure(model.Apogee); !math.IsNaN(v) {
		note := ""
		if t := c.figure(model.ApogeeTime); !math.IsNaN(t) {
			note = "after " + text.Decimals(t, 1) + " s"
		}
		for i := range c.Doubts {
			if d := &c.Doubts[i]; d.Figure == model.Apogee {
				note += "; as modelled, " + wording.Doubt(c.Brief, d, c.show("apogee", "m"))
			}
		}
		cells = append(cells, cell{"height", u.way.near(v) + " " + u.way.unit, strings.TrimPrefix(note, "; ")})
	}
	add("lands at", model.LandingSpeed, u.speed, "downward")
	if v := c.figure(model.Drift); !math.IsNaN(v) {
		side := "downwind of the pad"
		if (v < 0) != (c.Site.Wind < 0) {
			side = "upwind of the pad"
		}
		cells = append(cells, cell{"comes down", u.way.near(math.Abs(v)) + " " + u.way.unit, side})
	}
	add("off the guide", model.GuideSpeed, u.speed, "wind planned "+u.wind.near(c.Site.Wind)+" "+u.wind.unit+" at "+u.height(pad.WindHeight))
	if v := c.figure(model.LandingEnergy); !c.canopied() && !math.IsNaN(v) {
		cells = append(cells, cell{"lands with", u.energy.atLeast(v) + " " + u.energy.unit, "without a canopy"})
	}
	opening := "the canopy never opens in this flight"
	if h := c.figure(model.DeployHeight); !math.IsNaN(h) {
		opening = "airspeed, at " + u.way.near(h) + " " + u.way.unit
	}
	add("opens", model.DeploySpeed, u.speed, opening)
	add("aloft for", model.FlightTime, measure{unit: "s", per: 1}, "release to touch-down")
	return cells
}

func (c *Card) ifThenLines() []ifThenLine {
	var lines []ifThenLine
	u := c.units()
	for _, d := range c.Flown.IfThen {
		number := func(id model.Figure, m measure) string {
			v := output.FigureOf(&d.Flight, id)
			if math.IsNaN(v) {
				return "-"
			}
			return m.near(v)
		}
		l := ifThenLine{
			Doc: c.dayDoc(&d), Water: u.mass.near(c.water(d.Fill)), Timer: text.Decimals(d.Delay, 2), Verdict: "keeps its limits",
			Height: number(model.Apogee, u.way), Landing: number(model.LandingSpeed, u.speed), Drift: number(model.Drift, u.way),
		}
		if !c.canopied() {
			l.Timer = "-"
		}
		switch {
		case d.Flight.Outcome != model.Landed:
			l.NoGo, l.Verdict, l.Why = true, "no-go", "no flight: "+text.Words(d.Flight.Outcome.String())
		case len(d.Missed) > 0:
			l.NoGo, l.Verdict, l.Why = true, "no-go", "misses "+plainAll(d.Missed)
		}
		lines = append(lines, l)
	}
	return lines
}

// room is how far the flight as planned is from each limit.
func (c *Card) room() []roomLine {
	var lines []roomLine
	for i := range c.Brief.Limits {
		limit, slack := &c.Brief.Limits[i], c.Row.Slacks[i]
		l := roomLine{Name: text.Words(limit.Metric.Key), Value: "none", Note: c.roomNote(i), Short: true}
		if !math.IsNaN(slack) {
			show := c.show(limit.Metric.Key, limit.Unit)
			l.Value, l.Short = strings.TrimSpace(show.Difference(slack)+" "+show.Unit), slack < 0
		}
		lines = append(lines, l)
	}
	return lines
}

// roomNote says in what share of the flights a limit is kept, and what it is
// where the brief's safety does not hang on it or the brief does not name it.
func (c *Card) roomNote(k int) string {
	var notes []string
	switch chances := c.Flown.Call.Chances; {
	case chances == nil:
	case study.AsSet(&c.Brief.Limits[k].Metric):
		notes = append(notes, "as set")
	default:
		notes = append(notes, percent(chances[k].Share()))
	}
	if c.Brief.Limits[k].Default {
		notes = append(notes, "default")
	}
	if c.Brief.Limits[k].Class {
		notes = append(notes, "class")
	}
	if !c.Brief.Limits[k].Safety() {
		notes = append(notes, "no verdict")
	}
	return strings.Join(notes, ", ")
}

// hash is the beginning of the brief's.
func (c *Card) hash() string { return runs.Hash(c.Brief.Source)[:12] }

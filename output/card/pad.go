package card

import (
	"fmt"
	"math"
	"strings"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/text"
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
	Falls, Field           []string
	Room                   []roomLine
	Checks, Stopped        []string
	Blanks                 []blank
	Cautions               []string
	Warnings               []string
	Brief, Version         string
}

const ifThenRule = "Below the first, each line is the best fill and timer found by flights: every limit kept as set, no other goal given away, then most height or the brief's first goal. " +
	"None was flown under scatter: for a GO, make the card of that day. The heavier rocket balances at the same point."

func (c *Card) padView() padView {
	v := padView{
		Title: c.title(), Design: c.design(), Verdict: c.Word().String(), NoGo: c.Word() == study.NoGo, Missed: c.shortWords(),
		Mended: c.mended(), Judged: c.judged(), NotJudged: c.notJudged(),
		Falls: c.falls(), Field: c.fieldWords(), Room: c.room(),
		Cautions: c.cautions(), Warnings: c.Row.Warnings.Texts(),
		Brief: c.hash(), Version: c.Version,
	}
	if !v.NoGo {
		v.Set, v.Expect, v.IfThen = c.settings(), c.expected(), c.ifThenLines()
		v.Checks, v.Stopped, v.Blanks = c.checks(), stopped, c.blanks()
	}
	return v
}

// settings are what is set on the pad.
func (c *Card) settings() []cell {
	r, s := &c.Rocket, &c.Statics
	proof := text.BarsAtMost(r.Chamber.Proof)
	cells := []cell{
		{"water", grams(s.WaterMass) + " g", fmt.Sprintf("%s ml, %s %% of %s l", text.Decimals(s.Volume*r.Chamber.Fill*1e6, 0),
			text.Decimals(100*r.Chamber.Fill, 1), text.Decimals(s.Volume*1e3, 2))},
		{"pressure", text.BarsAtMost(r.Chamber.Pressure) + " bar", fmt.Sprintf("gauge; never above %s bar (%s, proof %s bar)", text.BarsAtMost(c.Flown.Ceiling.Pressure), c.ceilingReason(), proof)},
		{"timer", text.Decimals(r.Recovery.Delay, 2) + " s", c.window()},
		{"canopy", text.Decimals(r.Recovery.Canopy*1e2, 0) + " cm", fmt.Sprintf("opens %s s after the timer's end", text.Decimals(r.Recovery.Latency, 2))},
		{"tilt", text.Decimals(c.Site.Tilt*text.Show("", "rad").Scale, 1) + " deg", "into the wind; guide " + text.Decimals(c.Site.Guide, 2) + " m"},
		{"payload", grams(r.Payload.Mass) + " g", c.ballast()},
	}
	return cells
}

func (c *Card) ballast() string {
	if c.Rocket.Ballast.Mass == 0 {
		return "no ballast"
	}
	return fmt.Sprintf("ballast %s g at %s mm", grams(c.Rocket.Ballast.Mass), text.Decimals(c.Rocket.Ballast.Station*1e3, 0))
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
	add := func(name string, id model.Figure, unit string, places int, note string) {
		if v := c.figure(id); !math.IsNaN(v) {
			cells = append(cells, cell{name, text.Decimals(v, places) + " " + unit, note})
		}
	}
	if v := c.figure(model.Apogee); !math.IsNaN(v) {
		note := ""
		if t := c.figure(model.ApogeeTime); !math.IsNaN(t) {
			note = "after " + text.Decimals(t, 1) + " s"
		}
		for i := range c.Doubts {
			if d := &c.Doubts[i]; d.Figure == model.Apogee {
				note += "; as modelled, " + text.Doubt(c.Brief, d)
			}
		}
		cells = append(cells, cell{"height", text.Decimals(v, 0) + " m", strings.TrimPrefix(note, "; ")})
	}
	add("lands at", model.LandingSpeed, "m/s", 1, "downward")
	if v := c.figure(model.Drift); !math.IsNaN(v) {
		side := "downwind of the pad"
		if (v < 0) != (c.Site.Wind < 0) {
			side = "upwind of the pad"
		}
		cells = append(cells, cell{"comes down", text.Decimals(math.Abs(v), 0) + " m", side})
	}
	add("off the guide", model.GuideSpeed, "m/s", 1, "wind planned "+text.Decimals(c.Site.Wind, 1)+" m/s at 10 m")
	opening := "the canopy never opens in this flight"
	if h := c.figure(model.DeployHeight); !math.IsNaN(h) {
		opening = "airspeed, at " + text.Decimals(h, 0) + " m"
	}
	add("opens", model.DeploySpeed, "m/s", 1, opening)
	add("aloft for", model.FlightTime, "s", 0, "release to touch-down")
	return cells
}

func (c *Card) ifThenLines() []ifThenLine {
	var lines []ifThenLine
	for _, d := range c.Flown.IfThen {
		number := func(id model.Figure, places int) string {
			v := output.FigureOf(&d.Flight, id)
			if math.IsNaN(v) {
				return "-"
			}
			return text.Decimals(v, places)
		}
		l := ifThenLine{
			Doc: d.Doc, Water: grams(c.water(d.Fill)), Timer: text.Decimals(d.Delay, 2), Verdict: "keeps its limits",
			Height: number(model.Apogee, 0), Landing: number(model.LandingSpeed, 1), Drift: number(model.Drift, 0),
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
			show := text.Show(limit.Metric.Key, limit.Unit)
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
	if chances := c.Flown.Call.Chances; chances != nil {
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

package card

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output/text"
	"ullage/output/wording"
)

// A Card is what the pad card and the build sheet of a design are made from.
type Card struct {
	Brief   *brief.Brief
	Name    string // which design, in words: "design 3 of runs/field-day"
	Version string // of the program
	Rocket  model.Rocket
	Site    model.Site
	Statics model.Statics
	Row     study.Row // the flight as planned, which landed
	Flown   pad.Card
	Doubts  []answers.Doubt // how far the flight as planned may be off
}

// Of flies a design of b for its card: f is its own flight, which landed. The
// rest is the caller's.
func Of(b *brief.Brief, number int, x []float64, f *model.Flight, scratch *model.Scratch) Card {
	c := Card{Brief: b}
	c.Rocket, c.Site = b.At(x)
	c.Statics, _ = model.Weigh(&c.Rocket, &c.Site) // it has flown, so it exists
	c.Flown = pad.CardOf(b, x, scratch)
	c.Row = study.RowOf(b, number, x, f, scratch)
	c.Doubts = answers.NewDoubter(b).Doubts(&c.Rocket, &c.Site, f)
	return c
}

// title is that of the brief, and design which one of it.
func (c *Card) title() string { return text.Plain(c.Brief.Title, text.TitleLength) }

func (c *Card) design() string {
	if len(c.Brief.Set) > 0 {
		return text.Plain(c.Name+", set "+strings.Join(c.Brief.Set, ", "), text.MessageLength)
	}
	return text.Plain(c.Name, text.MessageLength)
}

// figure returns a figure of the flight as planned, NaN where it has none.
func (c *Card) figure(id model.Figure) float64 { return c.Row.Figures[id] }

// extra returns a number of brief.Extras, NaN where there is none.
func (c *Card) extra(at int) float64 { return c.Row.Figures[int(model.FigureCount)+at] }

// cautions stand on every sheet.
func (c *Card) cautions() []string {
	of := *c.Brief
	of.Rocket = c.Rocket
	ch, lines := &c.Rocket.Chamber, wording.ProofCautions(&of)
	if u := c.units(); c.Brief.US {
		energy := text.Three(c.Statics.StoredEnergy/u.energy.per) + " " + u.energy.unit
		test := wording.TestPressure(ch.Pressure, ch.Proof, u.pressure.atLeast, u.pressure.atMost) + " " + u.pressure.unit
		return append(lines, wording.CautionsIn(u.set(ch.Pressure), energy, test, u.set(ch.Proof))...)
	}
	return append(lines, wording.Cautions(c.Statics.StoredEnergy, ch.Pressure, ch.Proof)...)
}

// record says when the chamber was tested and how many cycles it has had, as far
// as the brief tells.
func (c *Card) record() string {
	var words []string
	if c.Brief.ProofDate != "" {
		words = append(words, "tested on "+c.Brief.ProofDate)
	}
	if c.Brief.Cycles >= 0 {
		words = append(words, fmt.Sprintf("%d pressure cycles so far", c.Brief.Cycles))
	}
	return strings.Join(words, ", ")
}

// ceilingReason says which limit sets the launch pressure never to be exceeded.
func (c *Card) ceilingReason() string {
	l := c.Flown.Ceiling.Limit
	if l.Quantity != nil {
		return "the brief's limit on pressure"
	}
	return fmt.Sprintf("proof pressure over %g", l.AtLeast)
}

// water returns the mass of water, in kg, of another fill.
func (c *Card) water(fill float64) float64 {
	return c.Statics.WaterMass * fill / c.Rocket.Chamber.Fill
}

// grams writes a mass in whole grams: what a kitchen scale shows.
func grams(kg float64) string { return strconv.FormatFloat(math.Round(kg*1e3), 'f', 0, 64) }

// plainAll turns keys into a list of words.
func plainAll(keys []string) string { return text.Words(strings.Join(keys, ", ")) }

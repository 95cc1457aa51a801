package card

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ullage/model"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
)

// A Card is what the pad card and the build sheet of a design are made from:
// SI, each number from flights.
type Card struct {
	Title   string // of the brief
	Design  string // which design, in words: "design 3 of runs/field-day"
	Meta    table.Meta
	Rocket  model.Rocket
	Site    model.Site
	Statics model.Statics
	Layout  output.Layout
	Row     output.Row // the flight as planned, which landed

	CeilingPressure float64 // Pa gauge, never to be exceeded
	CeilingReason   string  // in words: "proof pressure over 1.5"
	IfThen          []IfThen
	Circle          table.Value // m, radius around the pad of touch-down without canopy
	CircleRule      string
	Balance         Balance
	Throat          Drill
	Diagonal        bool // the fins' cloth lies at 45 degrees
	Cautions        []string
}

// An IfThen is a line of the card: what a day turns out to be, and the setting
// for it. The first is as planned.
type IfThen struct {
	Key, Doc               string
	Fill                   float64 // 1
	Delay                  float64 // s
	Outcome                model.Outcome
	Apogee, Landing, Drift table.Value
	Missed                 []string // keys of limits; none: go
}

// Balance is how far the empty rocket's balance point may lie off the design's,
// in m; a side without a number is free up to a body diameter.
type Balance struct {
	Holds     bool // the design itself keeps every limit
	Fore, Aft table.Value
	Assumed   float64 // cal, least margin where the brief limits none; else 0
}

// A Drill is the workshop drill nearest to the throat and what it gives.
type Drill struct {
	Diameter float64 // m
	Exact    bool
	Apogee   table.Value
	Missed   []string
}

// Go reports whether the design as planned keeps every limit.
func (c *Card) Go() bool { return len(c.Layout.Missed(c.Row)) == 0 }

// verdict is what stands at the top of every sheet.
func (c *Card) verdict() string {
	if c.Go() {
		return "GO"
	}
	return "NO-GO"
}

// figure returns a figure of the flight as planned.
func (c *Card) figure(key string) table.Value { return c.Layout.Find(c.Row, key) }

// water returns the mass of water, in kg, of another fill.
func (c *Card) water(fill float64) float64 {
	return c.Statics.WaterMass * fill / c.Rocket.Chamber.Fill
}

// grams writes a mass in whole grams: what a kitchen scale shows.
func grams(kg float64) string { return strconv.FormatFloat(math.Round(kg*1e3), 'f', 0, 64) }

// band writes a height with how far it is to be trusted.
func (c *Card) band(height float64) string {
	share, _ := c.Layout.Trust()
	return fmt.Sprintf("%s ± %s", text.Decimals(height, 0), text.Decimals(share*height, 0))
}

// plainAll turns keys into a list of words.
func plainAll(keys []string) string { return text.Words(strings.Join(keys, ", ")) }

// missedWords says by how much each limit is missed.
func (c *Card) missedWords() []string {
	var words []string
	for i, q := range c.Layout.Limits {
		switch s := c.Row.Slacks[i]; {
		case !s.Applies:
			words = append(words, text.Words(q.Key)+": the flight does not have it")
		case s.Number < 0:
			words = append(words, strings.TrimSpace(text.Words(q.Key)+" by "+text.Show(q).Number(-s.Number)+" "+text.Show(q).Unit))
		}
	}
	return words
}

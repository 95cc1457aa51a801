package card

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ullage/optimize/pad"
	"ullage/output/table"
)

// fallRule says which flights the distances are of.
func (c *Card) fallRule() string {
	rounded := "rounded up to 5 m"
	if c.Brief.US {
		rounded = "rounded up"
	}
	return fmt.Sprintf("Farthest of %d flights each, under the scatter, with the guide leaned up to 10 deg more to either side; distances %s. ", pad.FallFlights, rounded) +
		"They are no stand-off distance, and a rocket that breaks up or turns on the guide goes farther."
}

// falls says where and how hard it comes down, without its canopy and with it,
// and by which flights that was found.
func (c *Card) falls() []string {
	without, with := &c.Flown.Without, &c.Flown.With
	if !said(without) {
		return []string{"Where it comes down and how hard cannot be said: its dry margin is below 1 cal, or a flight does not come down."}
	}
	if !c.canopied() {
		return []string{"It has no canopy: " + c.fallWords(without), c.fallRule()}
	}
	return []string{"Without canopy: " + c.fallWords(without), "With canopy: " + c.fallWords(with), c.fallRule()}
}

func said(f *pad.Fall) bool { return !math.IsNaN(f.Upwind) && !math.IsNaN(f.Downwind) }

func (c *Card) fallWords(f *pad.Fall) string {
	return fmt.Sprintf("up to %s upwind and %s downwind of the pad, at up to %s and %s.",
		c.distance(f.Upwind), c.distance(f.Downwind), c.speedAtLeast(f.Speed), c.energyAtLeast(f.Energy))
}

// distance writes one from the pad, never less than it was judged by.
func (c *Card) distance(v float64) string {
	u := c.units()
	return u.way.atLeast(pad.OnPaper(v)) + " " + u.way.unit
}

// speedAtLeast and energyAtLeast write what a touch-down may have.
func (c *Card) speedAtLeast(v float64) string {
	m := c.units().speed
	m.places = 0
	return m.atLeast(v) + " " + m.unit
}

func (c *Card) energyAtLeast(v float64) string {
	m := c.units().energy
	return m.atLeast(v) + " " + m.unit
}

// metres writes a distance as a brief has it.
func (c *Card) metres(v float64) string {
	if c.Brief.US {
		return us.way.atMost(v) + " " + us.way.unit
	}
	return strconv.FormatFloat(v, 'g', 6, 64) + " m"
}

// fieldWords says what room the site leaves; what the brief does not name is to
// be measured.
func (c *Card) fieldWords() []string {
	var known, blank, lines []string
	for _, side := range []struct {
		name string
		room float64
	}{{"upwind", c.Brief.Field.Upwind}, {"downwind", c.Brief.Field.Downwind}} {
		if math.IsInf(side.room, 1) {
			blank = append(blank, side.name+" ________ "+c.units().way.unit)
		} else {
			known = append(known, c.metres(side.room)+" "+side.name)
		}
	}
	if known != nil {
		lines = append(lines, "People or a fence, as the brief says: "+strings.Join(known, ", ")+".")
	}
	if blank != nil {
		lines = append(lines, "Measure how far people are: "+strings.Join(blank, ", ")+".")
	}
	if ceiling := c.Brief.Field.Ceiling; !math.IsInf(ceiling, 1) {
		lines = append(lines, "Height allowed, as the brief says: "+c.metres(ceiling)+".")
	}
	return lines
}

// beyondWords says what of the site's room the design does not keep to.
func (c *Card) beyondWords() []string {
	var lines []string
	side := func(of *pad.Beyond, name string, with float64) string {
		switch {
		case math.IsNaN(of.Reach):
			return fmt.Sprintf("where it comes down cannot be said; people or a fence %s %s", c.metres(of.Room), name)
		case pad.OnPaper(with) > of.Room:
			return fmt.Sprintf("comes down up to %s %s, with its canopy up to %s; people or a fence at %s", c.distance(of.Reach), name, c.distance(with), c.metres(of.Room))
		}
		return fmt.Sprintf("without canopy comes down up to %s %s; people or a fence at %s", c.distance(of.Reach), name, c.metres(of.Room))
	}
	for i := range c.Flown.Beyond {
		switch of := &c.Flown.Beyond[i]; of.Key {
		case "site.field_upwind":
			lines = append(lines, side(of, "upwind", c.Flown.With.Upwind))
		case "site.field_downwind":
			lines = append(lines, side(of, "downwind", c.Flown.With.Downwind))
		default:
			lines = append(lines, fmt.Sprintf("height, which 95 %% of the flights stay below: %s; allowed %s", c.units().way.atLeast(of.Reach)+" "+c.units().way.unit, c.metres(of.Room)))
		}
	}
	return lines
}

func fallObject(f *pad.Fall) *table.Object {
	o, speed, energy := &table.Object{}, f.Speed, f.Energy
	if !said(f) {
		speed, energy = math.NaN(), math.NaN()
	}
	o.Add("upwind_m", f.Upwind)
	o.Add("downwind_m", f.Downwind)
	o.Add("landing_speed_m_s", speed)
	o.Add("landing_energy_j", energy)
	return o
}

func (c *Card) beyondObjects() []*table.Object {
	all := []*table.Object{}
	for _, of := range c.Flown.Beyond {
		o := &table.Object{}
		o.Add("key", of.Key)
		o.Add("reach_m", of.Reach)
		o.Add("room_m", of.Room)
		all = append(all, o)
	}
	return all
}

package card

import (
	"strconv"

	"ullage/optimize/pad"
	"ullage/output/text"
)

// A measure is a unit in which a card shows numbers of one kind.
type measure struct {
	unit   string
	per    float64 // SI units that one of it has
	zero   float64 // what is taken off afterwards, of temperatures
	places int     // decimals
}

// near writes v, in SI, to the nearest.
func (m measure) near(v float64) string { return text.Decimals(v/m.per-m.zero, m.places) }

// atMost and atLeast write a bound, in SI, so that it holds as it is read.
func (m measure) atMost(v float64) string { return text.AtMost(v/m.per-m.zero, m.places) }

func (m measure) atLeast(v float64) string { return text.AtLeast(v/m.per-m.zero, m.places) }

// A system is the units of a card.
type system struct {
	mass, water, chamber, pressure, body, canopy, guide, way, speed, wind, heat, energy measure
}

var metric = system{
	mass: measure{unit: "g", per: 1e-3}, water: measure{unit: "ml", per: 1e-6}, chamber: measure{unit: "l", per: 1e-3, places: 2},
	pressure: measure{unit: "bar", per: 1e5, places: 1}, body: measure{unit: "mm", per: 1e-3}, canopy: measure{unit: "cm", per: 1e-2},
	guide: measure{unit: "m", per: 1, places: 2}, way: measure{unit: "m", per: 1}, speed: measure{unit: "m/s", per: 1, places: 1},
	wind: measure{unit: "m/s", per: 1, places: 1}, heat: measure{unit: "degC", per: 1, zero: 273.15}, energy: measure{unit: "J", per: 1},
}

// Factors are exact by definition: the international yard and pound (1959), the
// standard gravity (CGPM 1901), the US gallon of 231 cubic inches.
const (
	inch       = 0.0254                         // m
	foot       = 12 * inch                      // m
	pound      = 0.45359237                     // kg
	poundForce = pound * 9.80665                // N
	mile       = 5280 * foot                    // m
	fluidOunce = 231 * inch * inch * inch / 128 // m³
)

var us = system{
	mass: measure{unit: "oz", per: pound / 16, places: 1}, water: measure{unit: "fl oz", per: fluidOunce, places: 1},
	chamber: measure{unit: "fl oz", per: fluidOunce, places: 1}, pressure: measure{unit: "psi", per: poundForce / (inch * inch)},
	body: measure{unit: "in", per: inch, places: 2}, canopy: measure{unit: "in", per: inch, places: 1}, guide: measure{unit: "ft", per: foot, places: 1},
	way: measure{unit: "ft", per: foot}, speed: measure{unit: "ft/s", per: foot, places: 1}, wind: measure{unit: "mph", per: mile / 3600, places: 1},
	heat: measure{unit: "degF", per: 5.0 / 9, zero: 459.67}, energy: measure{unit: "ft lbf", per: foot * poundForce},
}

// units are those of the brief's choice.
func (c *Card) units() *system {
	if c.Brief.US {
		return &us
	}
	return &metric
}

// set writes a pressure that is set, never above it; a bar gauge shows tenths,
// or hundredths below 10 bar.
func (u *system) set(pressure float64) string {
	if u == &metric {
		return text.BarsAtMost(pressure) + " bar"
	}
	return u.pressure.atMost(pressure) + " " + u.pressure.unit
}

// height writes one that a meter is held at.
func (u *system) height(v float64) string {
	if u == &metric {
		return strconv.FormatFloat(v, 'g', -1, 64) + " m"
	}
	return u.way.near(v) + " " + u.way.unit
}

// dayDoc says what a line of the if-then table is for: the same changes, rounded
// to what is read off in the other units.
func (c *Card) dayDoc(d *pad.IfThen) string {
	if doc, ok := usDays[d.Key]; ok && c.Brief.US {
		return doc
	}
	return d.Doc
}

var usDays = map[string]string{
	"heavier": "0.7 oz heavier", "pressure_low": "14.5 psi less", "windier": "4.5 mph more wind", "colder": "18 degF colder", "warmer": "18 degF warmer",
}

// show says how numbers of a quantity or a figure are shown beside its key.
func (c *Card) show(key, unit string) text.Shown {
	s := text.Show(key, unit)
	if !c.Brief.US {
		return s
	}
	m, own := measure{}, true
	switch {
	case s.Unit == "mm":
		m = us.body
	case unit == "m":
		m = us.way
	case unit == "kg":
		m = us.mass
	case unit == "Pa":
		m = us.pressure
	case unit == "m3":
		m = us.chamber
	case unit == "J":
		m = us.energy
	case unit == "K":
		m = us.heat
	case key == "site.wind" || key == "site.gust":
		m = us.wind
	case unit == "m/s":
		m = us.speed
	default:
		own = false
	}
	if own {
		s.Unit, s.Scale, s.Offset = m.unit, 1/m.per, -m.zero
	}
	return s
}

package output

import (
	"ullage/model"
	"ullage/output/table"
)

// A Spread sums up a figure of many flights, in SI. Count is how many of them
// have it; of 0 the rest means nothing.
type Spread struct {
	Count                   int
	Mean, Deviation         float64
	P05, P10, P50, P90, P95 float64
}

// A Chance is how often flights kept a limit: the share of them that did, and
// the bound that the chance exceeds with the confidence of the report.
type Chance struct {
	Share, AtLeast float64
}

// A WhatIf is one flight with which something went wrong. Doc says what.
type WhatIf struct {
	Key, Doc                    string
	Outcome                     model.Outcome
	Apogee, LandingSpeed, Drift table.Value
	Missed                      []string // keys of the limits that it does not keep
}

// A Scattered is one design under scatter.
type Scattered struct {
	Design  int // from 1; 0: the brief's own
	X       []float64
	Nominal []table.Value // the figures as set, in the order of FlightFigures
	Spreads []Spread      // of the same
	Within  []float64     // of the same, the deviation among flights of one day; nil: days do not differ
	Chances []Chance      // in the order of the layout's limits
	All     Chance        // of keeping all of them
	WhatIfs []WhatIf
}

// A Scatter is a report on designs under the same draws.
type Scatter struct {
	Layout
	Flights    int // of each design
	Seed       uint64
	Confidence float64 // of the bounds on chances
	Designs    []Scattered
}

// A Statistic is a number of a Spread.
type Statistic struct {
	Key, Doc string
	Value    func(*Spread) float64
	Size     bool // a distance, not a place
}

// Statistics are those of a Spread in the order of columns.
var Statistics = []Statistic{
	{"mean", "mean", func(s *Spread) float64 { return s.Mean }, false},
	{"sd", "standard deviation", func(s *Spread) float64 { return s.Deviation }, true},
	{"p05", "5th percentile", func(s *Spread) float64 { return s.P05 }, false},
	{"p10", "10th percentile", func(s *Spread) float64 { return s.P10 }, false},
	{"p50", "median", func(s *Spread) float64 { return s.P50 }, false},
	{"p90", "90th percentile", func(s *Spread) float64 { return s.P90 }, false},
	{"p95", "95th percentile", func(s *Spread) float64 { return s.P95 }, false},
}

// Days reports whether the report tells a day's scatter from that between
// days.
func (s *Scatter) Days() bool { return len(s.Designs) > 0 && s.Designs[0].Within != nil }

// Table returns a row a design: its number, every varied quantity, every
// figure as set and its statistics, the chance of each limit and of all.
func (s *Scatter) Table() table.Table {
	var t table.Table
	add := func(c table.Column) { t.Columns = append(t.Columns, c) }
	number := func(q table.Quantity, doc string, value func(d *Scattered) table.Value) {
		c := table.Column{Name: table.ColumnName(q.Key, q.Unit), Unit: table.Unit(q.Unit), Role: table.Figure, Doc: doc}
		c.Values = table.Gather(s.Designs, func(d Scattered) table.Value { return value(&d).Written(q.Unit) })
		add(c)
	}
	add(identity("design", "number of the design in its run; 0: the brief's own", table.Gather(s.Designs, func(d Scattered) int32 { return int32(d.Design) })))
	add(identity("flights", "flights of the design under scatter", table.Gather(s.Designs, func(Scattered) int32 { return int32(s.Flights) })))
	for i, q := range s.Varied {
		c := s.column(q, table.Varied)
		c.Role, c.Sense = table.Varied, ""
		c.Values = table.Gather(s.Designs, func(d Scattered) float64 { return table.Written(d.X[i], q.Unit) })
		add(c)
	}
	for i, q := range FlightFigures() {
		number(table.Quantity{Key: q.Key + "_as_set", Unit: q.Unit}, q.Doc+": as set", func(d *Scattered) table.Value { return d.Nominal[i] })
		for _, of := range Statistics {
			number(table.Quantity{Key: q.Key + "_" + of.Key, Unit: q.Unit}, q.Doc+": "+of.Doc, func(d *Scattered) table.Value {
				return table.Of(of.Value(&d.Spreads[i]), d.Spreads[i].Count > 0)
			})
		}
		if s.Days() {
			number(table.Quantity{Key: q.Key + "_sd_within_day", Unit: q.Unit}, q.Doc+": standard deviation among flights of one day",
				func(d *Scattered) table.Value { return table.Of(d.Within[i], d.Spreads[i].Count > 0) })
		}
		add(identity(q.Key+"_flights", "flights that have the figure", table.Gather(s.Designs, func(d Scattered) int32 { return int32(d.Spreads[i].Count) })))
	}
	chance := func(key, of string, value func(d *Scattered) Chance) {
		number(table.Quantity{Key: "chance_" + key, Unit: "1"}, "share of the flights that keep "+of, func(d *Scattered) table.Value { return table.Of(value(d).Share, true) })
		number(table.Quantity{Key: "chance_least_" + key, Unit: "1"}, "lower bound on the chance of keeping "+of, func(d *Scattered) table.Value { return table.Of(value(d).AtLeast, true) })
	}
	for i, q := range s.Limits {
		chance(table.ColumnName(q.Key, "1"), "the limit on "+q.Key, func(d *Scattered) Chance { return d.Chances[i] })
	}
	chance("all", "all limits", func(d *Scattered) Chance { return d.All })
	return t
}

package output

import (
	"math"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/output/table"
)

// A Scatter is a report on designs of a brief under the same draws.
type Scatter struct {
	Brief   *brief.Brief
	Flights int // of each design
	Seed    uint64
	Designs []answers.Scattered
}

// A Statistic is a number of a Spread.
type Statistic struct {
	Key, Doc string
	Value    func(*constraints.Spread) float64
	Size     bool // a distance, not a place
}

// Statistics are those of a Spread in the order of columns.
var Statistics = []Statistic{
	{"mean", "mean", func(s *constraints.Spread) float64 { return s.Mean }, false},
	{"sd", "standard deviation", func(s *constraints.Spread) float64 { return s.Deviation }, true},
	{"p05", "5th percentile", func(s *constraints.Spread) float64 { return s.P05 }, false},
	{"p10", "10th percentile", func(s *constraints.Spread) float64 { return s.P10 }, false},
	{"p50", "median", func(s *constraints.Spread) float64 { return s.P50 }, false},
	{"p90", "90th percentile", func(s *constraints.Spread) float64 { return s.P90 }, false},
	{"p95", "95th percentile", func(s *constraints.Spread) float64 { return s.P95 }, false},
}

// Days reports whether the report tells a day's scatter from that between
// days.
func (s *Scatter) Days() bool { return len(s.Brief.Day) > 0 }

// Table returns a row a design: its number, every varied quantity, every
// figure as set and its statistics, the chance of each limit and of all.
func (s *Scatter) Table() table.Table {
	var t table.Table
	type design = answers.Scattered
	add := func(c table.Column) { t.Columns = append(t.Columns, c) }
	number := func(key, unit, doc string, value func(d *design) float64) {
		c := figure(model.FigureInfo{Key: key, Unit: unit, Doc: doc})
		c.Values = nullable(s.Designs, unit, func(d design) float64 { return value(&d) })
		add(c)
	}
	add(identity("design", "number of the design in its run; 0: the brief's own", table.Gather(s.Designs, func(d design) int32 { return int32(d.Design) })))
	add(identity("flights", "flights of the design under scatter", table.Gather(s.Designs, func(design) int32 { return int32(s.Flights) })))
	for _, of := range Settings(s.Brief) {
		c := of.column(s.Brief, len(s.Designs))
		if of.Names == nil { // a goal is none here
			c.Role, c.Sense = table.Varied, ""
		}
		for i := range s.Designs {
			of.put(&c, i, s.Designs[i].X)
		}
		add(c)
	}
	for id, info := range model.Figures {
		number(info.Key+"_as_set", info.Unit, info.Doc+": as set", func(d *design) float64 { return FigureOf(&d.Nominal, model.Figure(id)) })
		for _, of := range Statistics {
			number(info.Key+"_"+of.Key, info.Unit, info.Doc+": "+of.Doc, func(d *design) float64 { return of.Of(&d.Spreads[id]) })
		}
		if s.Days() {
			number(info.Key+"_sd_within_day", info.Unit, info.Doc+": standard deviation among flights of one day",
				func(d *design) float64 { return WithinDay(d, model.Figure(id)) })
		}
		add(identity(info.Key+"_flights", "flights that have the figure", table.Gather(s.Designs, func(d design) int32 { return int32(d.Spreads[id].Count) })))
	}
	chance := func(key, of string, value func(d *design) constraints.Chance) {
		number("chance_"+key, "1", "share of the flights that keep "+of, func(d *design) float64 { return value(d).Share() })
		number("chance_least_"+key, "1", "lower bound on the chance of keeping "+of, func(d *design) float64 { return value(d).AtLeast() })
	}
	for i := range s.Brief.Limits {
		key := s.Brief.Limits[i].Metric.Key
		chance(table.ColumnName(key, "1"), "the limit on "+key, func(d *design) constraints.Chance { return d.Chances[i] })
	}
	chance("all", "all limits", func(d *design) constraints.Chance { return d.All })
	return t
}

// Of returns the number of a spread, NaN of one of no value.
func (s *Statistic) Of(spread *constraints.Spread) float64 {
	if spread.Count == 0 {
		return math.NaN()
	}
	return s.Value(spread)
}

// WithinDay returns the deviation among flights of one day, NaN where no flight
// has the figure.
func WithinDay(d *answers.Scattered, id model.Figure) float64 {
	if d.Spreads[id].Count == 0 {
		return math.NaN()
	}
	return d.Within[id]
}

// FigureOf returns a figure of a flight in SI, NaN where it has none.
func FigureOf(f *model.Flight, id model.Figure) float64 {
	if v, ok := f.Figure(id); ok {
		return v
	}
	return math.NaN()
}

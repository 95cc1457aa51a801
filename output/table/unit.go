package table

import (
	"math"
	"strconv"
	"strings"
)

// ColumnName returns the column and JSON name of a quantity: the key as it
// stands in a brief, then the unit in which it is written.
//
//	ColumnName("fins.span", "m") = "fins_span_m"
//	ColumnName("max_speed", "m/s") = "max_speed_m_s"
//	ColumnName("site.tilt", "rad") = "site_tilt_deg"
//	ColumnName("chamber.fill", "1") = "chamber_fill"
func ColumnName(key, unit string) string {
	name := strings.ReplaceAll(key, ".", "_")
	if unit == "1" {
		return name
	}
	suffix := strings.NewReplacer("/", "_", " ", "_").Replace(Unit(unit))
	return name + "_" + strings.ToLower(suffix)
}

// Unit returns the unit in which files state a quantity of an SI unit.
func Unit(unit string) string {
	if unit == "rad" {
		return "deg"
	}
	return unit
}

// Written converts an SI value to Unit(unit). An angle keeps 15 digits, which a
// float64 holds of any decimal: 2.1 deg in a brief is 2.1 in a file, and back in
// SI the same angle.
func Written(v float64, unit string) float64 {
	if unit != "rad" || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	degrees, err := strconv.ParseFloat(strconv.FormatFloat(v/(math.Pi/180), 'g', 15, 64), 64)
	if err != nil {
		return v / (math.Pi / 180) // beyond all angles
	}
	return degrees
}

// SI converts a number in Unit(unit), as files state it, to SI.
func SI(v float64, unit string) float64 {
	if unit == "rad" {
		return v * (math.Pi / 180)
	}
	return v
}

package output

import (
	"math"
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
	suffix := strings.NewReplacer("/", "_", " ", "_").Replace(writtenUnit(unit))
	return name + "_" + strings.ToLower(suffix)
}

// writtenUnit returns the unit in which files state a quantity of an SI unit.
func writtenUnit(unit string) string {
	if unit == "rad" {
		return "deg"
	}
	return unit
}

// written converts an SI value to writtenUnit(unit). It divides by the factor
// that a brief's angles are multiplied by: whole degrees mostly come back whole.
func written(v float64, unit string) float64 {
	if unit == "rad" {
		return v / (math.Pi / 180)
	}
	return v
}

// unwritten converts back to SI.
func unwritten(v float64, unit string) float64 {
	if unit == "rad" {
		return v * (math.Pi / 180)
	}
	return v
}

package table_test

import (
	"math"
	"testing"

	"ullage/output/table"
)

func TestColumnNames(t *testing.T) {
	for _, row := range []struct{ key, unit, want string }{
		{"apogee", "m", "apogee_m"},
		{"volume", "m3", "volume_m3"},
		{"flight_time", "s", "flight_time_s"},
		{"max_speed", "m/s", "max_speed_m_s"},
		{"acceleration", "m/s2", "acceleration_m_s2"},
		{"peak_thrust", "N", "peak_thrust_n"},
		{"impulse", "N s", "impulse_n_s"},
		{"landing_energy", "J", "landing_energy_j"},
		{"dry_mass", "kg", "dry_mass_kg"},
		{"site.tilt", "rad", "site_tilt_deg"},
		{"margin", "cal", "margin_cal"},
		{"chamber.pressure", "Pa", "chamber_pressure_pa"},
		{"site.temperature", "K", "site_temperature_k"},
		{"fins.density", "kg/m3", "fins_density_kg_m3"},
		{"chamber.fill", "1", "chamber_fill"},
	} {
		if got := table.ColumnName(row.key, row.unit); got != row.want {
			t.Errorf("ColumnName(%q, %q) = %s, want %s", row.key, row.unit, got, row.want)
		}
	}
}

// TestDegreesComeBack writes every tenth of a degree that a brief may name and
// reads it back: the number typed, and the same angle.
func TestDegreesComeBack(t *testing.T) {
	for tenth := -450; tenth <= 450; tenth++ {
		typed := float64(tenth) / 10
		angle := typed * (math.Pi / 180)
		if got := table.Written(angle, "rad"); got != typed {
			t.Errorf("%v deg is written %v", typed, got)
		} else if back := table.SI(got, "rad"); back != angle {
			t.Errorf("%v deg comes back as %v, want %v", typed, back, angle)
		}
	}
}

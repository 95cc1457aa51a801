package terminal_test

import (
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/terminal"
)

// A limit that is just kept is at its bound, not missed.
func TestJustKept(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	rows[0].Slacks[0], rows[0].Slacks[3] = 0, -1e-6
	var margin, ratio string
	for line := range strings.Lines(terminal.Fly(b, &rows[0], nil)) {
		switch name, _, _ := strings.Cut(strings.TrimSpace(line), " "); name {
		case "margin":
			margin = line
		case "proof_ratio":
			ratio = line
		}
	}
	if strings.Contains(margin, "missed") || !strings.Contains(margin, "binding") || !strings.Contains(ratio, "missed") {
		t.Errorf("limits read %q and %q, want the first binding and the second missed", margin, ratio)
	}
}

func wantText(t *testing.T, name, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s =\n%s\nwant\n%s", name, got, want)
	}
}

// there drops the lines of figures that a flight does not have, but for one.
func there(fly string) string {
	lines := strings.SplitAfter(fly, "\n")
	return strings.Join(slices.DeleteFunc(lines, func(l string) bool {
		return strings.HasSuffix(l, " -\n") && !strings.Contains(l, "deploy_speed")
	}), "")
}

func TestFly(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	wantText(t, "Fly", there(terminal.Fly(b, &rows[0], sample.Doubts())), `landed

design
  chamber.throat  11.0 mm
  payload.mass    80.0 g
  site.tilt       2.00 deg

figures
  apogee                 142 m
  margin                1.32 cal
  peak_incidence        4.00 deg
  deploy_speed          9.87 m/s

how far they may be off, 5 to 95 % of flights over what is not known of the rocket
  apogee 142 m as modelled; 120 to 151 before any measured flight, most of it for air drawn into the
  last water
  drift -20.0 m as modelled; -25.5 to -15.0 before any measured flight, most of it for the canopy's
  drag
  landing speed 5.00 m/s as modelled; 4.40 to 5.60 before any measured flight
  acceleration 20.0 gn as modelled; 18.0 to 21.0 before any measured flight, most of it for the
  gauge

limits: distance to each, positive inside
  margin             +0.320 cal
  peak_incidence      +1.00 deg
  chamber.pressure  +0.0100 bar binding
  proof_ratio        +0.500 (default)
NOT JUDGED: dry_margin, deploy_speed, landing_speed
`)
	wantText(t, "Fly", there(terminal.Fly(b, &rows[1], nil)), `landed

design
  chamber.throat  8.50 mm
  payload.mass     240 g
  site.tilt          0 deg

figures
  apogee                 98.4 m
  margin                0.900 cal
  deploy_speed              -

limits: distance to each, positive inside
  margin            -0.100 cal missed
  peak_incidence         - missed: the flight does not have it
  chamber.pressure   +2.00 bar
  proof_ratio       +0.500 (default)
NOT JUDGED: dry_margin, deploy_speed, landing_speed

caution: Mach above 0.8: drag and fin lift are outside the model
caution: fill outside 5 to 80 %: the water phase is outside the model
`)
}

// A flight that was not computed has no figures to show.
func TestFlyOfAFailure(t *testing.T) {
	b := sample.Brief("", "chamber.throat=9 mm", "payload.mass=80 g", "site.tilt=2 deg")
	wantText(t, "Fly", terminal.Fly(b, &study.Row{Outcome: model.NoLiftOff}, nil), "no_lift_off\n")
}

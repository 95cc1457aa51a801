package scatter

import (
	"math"
	"testing"

	"ullage/testdata/briefs"
)

// The widths by which everything is judged that was not measured, written out
// once more: judgements (common practice, no source), from which nothing departs
// unnoticed.
func TestWidths(t *testing.T) {
	type width struct {
		key       string
		deviation float64 // SI, or a share
		share     bool
		reach     float64 // SI, one way
	}
	bottle := briefs.Demo(t, "bottle.toml")
	bottle.Rocket.Chamber.Growth, bottle.Rocket.Chamber.Pressure = 0, 11.99e5
	stiff := *bottle
	stiff.Rocket.Chamber.Pressure = 12e5
	unknown := []width{
		{"body.drag", 0.20, true, 0},
		{"chamber.jet", 0.02, false, 0},
		{"chamber.gas_thrust", 0.10, false, 0},
		{"recovery.drag", 0.15, true, 0},
		{"recovery.latency", 0.1, false, 0}, // s
		{"chamber.pressure", 0.02, true, 0},
		{"chamber.drawn", 0, false, 0.5},           // 0 to 0.5
		{"chamber.gas_temperature", 0, false, 10},  // 0 to 10 K
		{"chamber.growth", 0, false, 0.01 / 100e3}, // 0 to 1 %/bar
	}
	for _, row := range []struct {
		of   string
		laws []Law
		want []width
	}{
		{"usual scatter", Usual, []width{
			{"chamber.pressure", 0.02, true, 0},
			{"chamber.fill", 0.01, false, 0},
			{"weighed.mass", 0.01, true, 0},
			{"weighed.balance", 0.003, false, 0}, // m
			{"recovery.delay", 0.1, false, 0},    // s
			{"site.wind", 1, false, 0},           // m/s
			{"site.tilt", math.Pi / 180, false, 0},
		}},
		{"doubts of a chamber below 12 bar", Doubts(bottle), unknown},
		{"doubts of one of 12 bar", Doubts(&stiff), unknown[:8]},
	} {
		var got []width
		for _, l := range row.laws {
			got = append(got, width{l.Key, l.Deviation, l.Relative, l.Reach})
		}
		if len(got) != len(row.want) {
			t.Fatalf("%s: %v, want %v", row.of, got, row.want)
		}
		for i, w := range row.want {
			if got[i] != w {
				t.Errorf("%s: %+v, want %+v", row.of, got[i], w)
			}
		}
	}
}

// A bound at three deviations cuts nothing off: the quantity moves by just what
// was drawn, to the last digit. One that is nearer cuts.
func TestBoundsAtThreeDeviations(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	humidity := normal("site.humidity", 0.125, false) // a power of two: 0.375 and 0.625 are three of it from 0 and 1
	for _, own := range []float64{0.375, 0.625} {
		for z := -3.0; z <= 3; z += 0.1 {
			site := b.Site
			site.Humidity = own
			_, moved := humidity.Alone(z, &b.Rocket, &site)
			if want := own + 0.125*z; moved.Humidity != want {
				t.Errorf("%v moved by %v deviations: %v, want %v", own, z, moved.Humidity, want)
			}
		}
	}
	for _, own := range []float64{0.36, 0.64} {
		site := b.Site
		site.Humidity = own
		z := math.Copysign(2, own-0.5)
		_, moved := humidity.Alone(z, &b.Rocket, &site)
		if want := own + 0.125*z; math.Abs(moved.Humidity-own) >= math.Abs(want-own) {
			t.Errorf("%v moved by %v deviations towards a bound within three: %v, want less than %v", own, z, moved.Humidity, want)
		}
	}
}

// Up to fifteen flights are matched to their moments, more are left as drawn.
func TestFewAreMatched(t *testing.T) {
	b := briefs.Scattering(t, "")
	for n, matched := range map[int]bool{2: true, 15: true, 16: false} {
		sum := 0.0
		for _, row := range New(b, Search, n, 1, 3).z {
			sum += row[0] * row[0]
		}
		if got := math.Abs(sum-float64(n)) < 1e-9; got != matched {
			t.Errorf("%d flights: squares of deviations sum to %v; matched %v, want %v", n, sum, got, matched)
		}
	}
}

package palette_test

import (
	"testing"

	"ullage/output/palette"
)

var grounds = map[string]*palette.Colours{"light": &palette.Light, "dark": &palette.Dark, "print": &palette.Print}

// Check values of the contrast: the extremes are those that WCAG 2.2 gives; the
// greys on either side of 4.5 to 1 on white are from memory.
func TestContrast(t *testing.T) {
	for _, row := range []struct {
		a, b      string
		low, high float64
	}{
		{"#000000", "#ffffff", 21, 21},
		{"#0072b2", "#0072b2", 1, 1},
		{"#777777", "#ffffff", 4.47, 4.49},
		{"#ffffff", "#767676", 4.54, 4.55},
	} {
		if got := palette.Contrast(row.a, row.b); got < row.low-1e-9 || got > row.high+1e-9 {
			t.Errorf("Contrast(%s, %s) = %v, want %v to %v", row.a, row.b, got, row.low, row.high)
		}
	}
}

// Letters have 4.5 to 1 on every ground they stand on, and what is drawn 3 to 1:
// level AA.
func TestContrastsOfThePalette(t *testing.T) {
	for name, c := range grounds {
		for _, ground := range []string{c.Ground, c.Panel, c.Band} {
			for _, letters := range []string{c.Ink, c.Faint} {
				if got := palette.Contrast(letters, ground); got < 4.5 {
					t.Errorf("%s: letters %s on %s: %.2f, want 4.5", name, letters, ground, got)
				}
			}
		}
		for _, drawn := range append([]string{c.Design, c.Chosen, c.Ramp[2]}, c.Series...) {
			if got := palette.Contrast(drawn, c.Ground); got < 3 {
				t.Errorf("%s: %s on %s: %.2f, want 3", name, drawn, c.Ground, got)
			}
			if got := palette.Contrast(palette.On(drawn), drawn); got < 4.5 {
				t.Errorf("%s: letters on %s: %.2f, want 4.5", name, drawn, got)
			}
		}
	}
}

// More is always farther from the ground, so that a ramp can be read without
// colour.
func TestRampsLeaveTheGround(t *testing.T) {
	for name, c := range grounds {
		last := 1.0
		for i := range 21 {
			got := palette.Contrast(c.At(float64(i)/20), c.Ground)
			if got <= last {
				t.Errorf("%s: %d of 20: %.3f from the ground, want more than %.3f", name, i, got, last)
			}
			last = got
		}
		if c.At(0) != c.Ramp[0] || c.At(0.5) != c.Ramp[1] || c.At(7) != c.Ramp[2] {
			t.Errorf("%s: the ramp at 0, half and beyond its end: %s %s %s, want %s", name, c.At(0), c.At(0.5), c.At(7), c.Ramp)
		}
	}
}

package palette_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/output/palette"
	"ullage/testdata/kept"
)

// TestKeptColours keeps the styles and the colours between those of a ramp.
func TestKeptColours(t *testing.T) {
	var out strings.Builder
	out.WriteString(strings.ReplaceAll(palette.Style()+"\npaper\n"+palette.Paper(), "; ", ";\n"))
	for _, name := range []string{"light", "dark", "print"} {
		out.WriteString("\nramp, " + name + "\n")
		for i := range 9 {
			share := float64(i-1) / 6 // from below nothing to beyond all
			fmt.Fprintf(&out, "%.3f %s\n", share, grounds[name].At(share))
		}
	}
	kept.Same(t, "colours.txt", out.String())
}

// A colour is six digits of hexadecimal behind a #, and nothing else.
func TestRGB(t *testing.T) {
	if got := palette.RGB("#0172fE"); got.R != 0x01 || got.G != 0x72 || got.B != 0xfe || got.A != 0xff {
		t.Errorf("#0172fE is %v", got)
	}
	for _, hex := range []string{"", "#", "0072b2", "#0072b", "#0072b22", "#10072b2", "#0072bg", "##072b2", "-0072b2", "0000072"} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%q is taken for a colour", hex)
				}
			}()
			palette.RGB(hex)
		}()
	}
}

// Letters on a ground are whichever of black and white stands out more. The
// luminance at which both do alike, sqrt(1.05·0.05) − 0.05 of WCAG's, lies between the
// greys #757575 and #767676.
func TestOn(t *testing.T) {
	for ground, want := range map[string]string{"#000000": "#ffffff", "#757575": "#ffffff", "#767676": "#000000", "#ffffff": "#000000"} {
		if got := palette.On(ground); got != want {
			t.Errorf("letters on %s are %s, want %s", ground, got, want)
		}
	}
}

// The luminance of WCAG 2.2, second way: of each primary alone its weight, of greys
// the curve of sRGB, which is straight up to 0.04045, ten of 255 steps.
func TestLuminance(t *testing.T) {
	luminance := func(c string) float64 { return palette.Contrast(c, "#000000")*0.05 - 0.05 }
	for c, want := range map[string]float64{
		"#ff0000": 0.2126, "#00ff00": 0.7152, "#0000ff": 0.0722, "#ffffff": 1,
		"#0a0a0a": 10. / 255 / 12.92, "#0b0b0b": math.Pow((11./255+0.055)/1.055, 2.4), "#808080": math.Pow((128./255+0.055)/1.055, 2.4),
	} {
		if got := luminance(c); math.Abs(got-want) > 1e-12 {
			t.Errorf("luminance of %s = %v, want %v", c, got, want)
		}
	}
}

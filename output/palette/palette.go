// Package palette holds the colours of all that ullage draws: reports, cards,
// notebooks, still pictures. Start from Style for a page on a screen and on
// paper, from Paper for what is made to be printed, and from RGB for pictures.
//
// The colours for data are those of Okabe and Ito, "Color Universal Design"
// (2008), which people with any of the common colour blindnesses tell apart: of
// these, the ones that stand out from their ground by 3 to 1, and letters by
// 4.5 to 1, as WCAG 2.2 asks for at level AA (success criteria 1.4.3, 1.4.11).
//
// It imports nothing of ours, and draws nothing.
package palette

import (
	"fmt"
	"image/color"
	"strconv"
	"strings"
)

// Colours are those of one ground, as CSS writes them: #rrggbb.
type Colours struct {
	Ground, Panel, Band string   // behind everything, behind controls, behind what is chosen
	Ink, Faint          string   // letters; less important ones
	Line                string   // rules between rows: they say nothing
	Design, Chosen      string   // data; what is chosen of it
	Series              []string // kinds of data, by which they are told apart beside a letter or a shape
	Ramp                []string // from nothing to all, ever farther from the ground
}

// The colours on a bright screen, on a dark one and on paper.
var (
	Light = Colours{
		Ground: "#ffffff", Panel: "#f5f6f7", Band: "#e8eef3", Ink: "#1c2126", Faint: "#59626c", Line: "#d3d8dd",
		Design: "#0072b2", Chosen: "#d55e00",
		Series: []string{"#0072b2", "#d55e00", "#009e73", "#cc79a7", "#1c2126", "#59626c"},
		Ramp:   []string{"#e8eef3", "#0072b2", "#00273d"},
	}
	Dark = Colours{
		Ground: "#15181b", Panel: "#1d2125", Band: "#242c34", Ink: "#e6e9ec", Faint: "#a2abb4", Line: "#3a4148",
		Design: "#56b4e9", Chosen: "#e69f00",
		Series: []string{"#56b4e9", "#e69f00", "#009e73", "#cc79a7", "#e6e9ec", "#a2abb4"},
		Ramp:   []string{"#242c34", "#0072b2", "#e8eef3"},
	}
	Print = Colours{
		Ground: "#ffffff", Panel: "#f5f6f7", Band: "#e8eef3", Ink: "#000000", Faint: "#444444", Line: "#bbbbbb",
		Design: Light.Design, Chosen: Light.Chosen, Series: Light.Series, Ramp: Light.Ramp,
	}
)

// Style returns the style of a page that follows the screen and the paper: its
// custom properties are the names of the colours, of lists with a number from 1.
// Still pictures keep the colours of a bright screen: --still-ground, --still-ink.
func Style() string {
	return fmt.Sprintf(":root { %s --still-ground: %s; --still-ink: %s; }\n@media (prefers-color-scheme: dark) { :root { %s } }\n@media print { :root { %s } }\n",
		Light.properties(), Light.Ground, Light.Ink, Dark.properties(), Print.properties())
}

// Paper returns the style of what is made to be printed.
func Paper() string { return ":root { " + Print.properties() + " }\n" }

func (c *Colours) properties() string {
	var b strings.Builder
	for _, p := range []struct{ name, value string }{
		{"ground", c.Ground}, {"panel", c.Panel}, {"band", c.Band}, {"ink", c.Ink}, {"faint", c.Faint}, {"line", c.Line}, {"design", c.Design}, {"chosen", c.Chosen},
	} {
		fmt.Fprintf(&b, "--%s: %s; ", p.name, p.value)
	}
	for i, value := range c.Series {
		fmt.Fprintf(&b, "--series-%d: %s; ", i+1, value)
	}
	for i, value := range c.Ramp {
		fmt.Fprintf(&b, "--ramp-%d: %s; ", i+1, value)
	}
	return strings.TrimSpace(b.String())
}

// RGB returns a colour of this package. It panics on any other text.
func RGB(hex string) color.RGBA {
	digits, marked := strings.CutPrefix(hex, "#")
	v, err := strconv.ParseUint(digits, 16, 64)
	if err != nil || !marked || len(digits) != len("rrggbb") {
		panic(fmt.Sprintf("colour %q, want #rrggbb", hex))
	}
	return color.RGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 0xff}
}

// At returns the colour of the ramp at a share from 0 to 1, as CSS writes it.
func (c *Colours) At(share float64) string {
	of := min(max(share, 0), 1) * float64(len(c.Ramp)-1)
	i := min(int(of), len(c.Ramp)-2)
	from, to, part := RGB(c.Ramp[i]), RGB(c.Ramp[i+1]), of-float64(i)
	mix := func(a, b uint8) int { return int(float64(a) + part*(float64(b)-float64(a)) + 0.5) }
	return fmt.Sprintf("#%02x%02x%02x", mix(from.R, to.R), mix(from.G, to.G), mix(from.B, to.B))
}

// On returns what letters stand out most in on a ground: black or white.
func On(ground string) string {
	if Contrast("#000000", ground) > Contrast("#ffffff", ground) {
		return "#000000"
	}
	return "#ffffff"
}

// Contrast returns the ratio of the brightness of two colours, from 1 to 21
// (WCAG 2.2, "contrast ratio" and "relative luminance").
func Contrast(a, b string) float64 {
	la, lb := luminance(RGB(a)), luminance(RGB(b))
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

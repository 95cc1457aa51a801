package palette

import (
	"image/color"
	"math"
)

// luminance is the relative luminance of WCAG 2.2: sRGB without its gamma, weighed
// as the eye does.
func luminance(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 0xff
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

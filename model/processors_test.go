package model

import (
	"fmt"
	"io"
	"math/rand/v2"
	"testing"

	"ullage/testdata/processors"
)

// Every number of a flight is the same on any processor that runs this build:
// of many designs on cold and hot sites near and far above sea level, with gas
// of either kind, and with every key that has equations of its own.
func TestSameOnEveryProcessor(t *testing.T) {
	processors.Same(t, func(w io.Writer) {
		rng := rand.New(rand.NewPCG(3, 14))
		between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
		scratch := NewScratch()
		for i := range 150 {
			r, s := design(rng)
			s.WindExponent, s.Temperature, s.Pressure, s.Humidity = rng.Float64(), between(255, 315), between(6e4, 1.05e5), rng.Float64()
			s.Gust = between(0, 6)
			r.Body.Roughness = between(0, 200e-6)
			switch i % 5 {
			case 1:
				r.Chamber.Gas = Dry
				r.Body.Nose.Shape = Cone
			case 2:
				r.Chamber.Growth, r.Chamber.Drawn = 0.008e-5, between(0, 0.8)
			case 3:
				r.Chamber.Contraction, r.Chamber.GasTemperature = between(0.6, 1), between(260, 330)
			case 4: // beyond the series of the air
				r.Chamber.Pressure, r.Chamber.Proof, r.Payload.Mass, r.Recovery.Delay = 200e5, 300e5, 0.04, 40
				s.Wind = 1
			}
			f := Fly(r, s, scratch)
			_, samples := PathAt(nil, r, s, []float64{0.05, 0.3, 1, 4, 9}, scratch)
			incidence, _ := GustIncidence(r, s, scratch)
			statics, _ := Weigh(r, s)
			_, _ = fmt.Fprintln(w, f, samples, incidence, statics)
		}
	})
}

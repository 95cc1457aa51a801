package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"ullage/model/air"
	"ullage/testdata/kept"
)

// absurd changes some quantities of the fixture beyond all reason: by powers
// of ten, to 0, to their negative, to what is not a number.
func absurd(rng *rand.Rand) (*Rocket, *Site) {
	r, s := carbon()
	quantities := []*float64{
		&r.Body.Diameter, &r.Body.Length, &r.Body.Roughness, &r.Body.Drag, &r.Body.Nose.Length,
		&r.Body.Tail.Diameter, &r.Body.Tail.Length,
		&r.Chamber.Bore, &r.Chamber.Cylinder, &r.Chamber.End, &r.Chamber.Pressure, &r.Chamber.Proof,
		&r.Chamber.Throat, &r.Chamber.Fill, &r.Chamber.Jet, &r.Chamber.GasJet, &r.Chamber.GasThrust, &r.Chamber.Contraction, &r.Chamber.Drawn, &r.Chamber.Growth, &r.Chamber.GasTemperature,
		&r.Fins.Root, &r.Fins.Tip, &r.Fins.Span, &r.Fins.Rake, &r.Fins.Thickness, &r.Fins.Station,
		&r.Fins.Density, &r.Fins.ShearModulus, &r.Fins.Fillets,
		&r.Parts[0].Mass, &r.Parts[0].Station, &r.Parts[0].Length, &r.Payload.Mass, &r.Payload.Station, &r.Ballast.Mass,
		&r.Recovery.Canopy, &r.Recovery.Drag, &r.Recovery.Delay, &r.Recovery.Latency, &r.Recovery.Line,
		&r.Weighed.Mass, &r.Weighed.Balance,
		&s.Temperature, &s.Pressure, &s.Humidity, &s.Wind, &s.WindExponent, &s.Guide, &s.Tilt,
	}
	for range 1 + rng.IntN(12) {
		q := quantities[rng.IntN(len(quantities))]
		if *q == 0 {
			*q = rng.Float64()
		}
		*q *= air.Power(10, 1.2*rng.NormFloat64())
		switch rng.IntN(60) {
		case 0:
			*q = 0
		case 1:
			*q = -*q
		case 2:
			*q = []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64}[rng.IntN(5)]
		}
	}
	r.Body.Nose.Shape = Shape(rng.IntN(6))
	r.Chamber.Gas = Gas(rng.IntN(4))
	r.Fins.Edges = Edges(1 + rng.IntN(3))
	r.Fins.Count = rng.IntN(8)
	return r, s
}

// No rocket, however absurd, makes the model panic, run on, or report what is
// not a number.
//
// ULLAGE_ABSURD=N flies so many instead of 20 000.
func TestAbsurdRockets(t *testing.T) {
	rockets := 20_000
	if n, err := strconv.Atoi(os.Getenv("ULLAGE_ABSURD")); err == nil {
		rockets = n
	}
	rng := rand.New(rand.NewPCG(99, 1))
	sc := NewScratch()
	counts := map[Outcome]int{}
	most, longest := 0, time.Duration(0)
	for i := range rockets {
		r, s := absurd(rng)
		begin := time.Now()
		f := Fly(r, s, sc)
		longest = max(longest, time.Since(begin))
		counts[f.Outcome]++
		if f.Outcome < Landed || f.Outcome > TimeLimit {
			t.Fatalf("rocket %d: outcome %d", i, int(f.Outcome))
		}
		// Of each of two solvers, the last step of each included: it is refused at
		// most 1500 times until it no longer changes the time.
		if limit := 2 * 12 * maxSteps; f.Evaluations > limit {
			t.Errorf("rocket %d: %d evaluations, want at most %d (%v)", i, f.Evaluations, limit, f.Outcome)
		}
		most = max(most, f.Evaluations)
		for id := range Figure(FigureCount) {
			v, ok := f.Figure(id)
			if ok && (math.IsNaN(v) || math.IsInf(v, 0) || f.Outcome != Landed) {
				t.Errorf("rocket %d: %v with %s = %v", i, f.Outcome, Figures[id].Key, v)
			}
		}
		if opens := r.Recovery.Delay + r.Recovery.Latency; f.Outcome == Landed && !(opens < 1e-6) { // else there is no ascent
			for _, id := range []Figure{Apogee, FlightTime, LandingSpeed, Drift, MaxSpeed, Acceleration, LiftoffMass} {
				if _, ok := f.Figure(id); !ok {
					t.Errorf("rocket %d: landed without %s", i, Figures[id].Key)
				}
			}
		}
	}
	t.Logf("%v; at most %d evaluations, %v", counts, most, longest)
	for o := Landed; o <= StepLimit; o++ {
		if counts[o] == 0 {
			t.Errorf("no rocket of %d ends with %v", rockets, o)
		}
	}
}

// What becomes of absurd rockets is what was kept: how they end, at what cost, and a
// few figures.
func TestKeptAbsurd(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	rng := rand.New(rand.NewPCG(99, 2))
	sc := NewScratch()
	for i := range 400 {
		r, s := absurd(rng)
		f := Fly(r, s, sc)
		fmt.Fprint(&out, i, " ", f.Outcome, " ", f.Warnings.Keys(), " ", f.Evaluations)
		for _, id := range []Figure{Apogee, Margin, PeakIncidence, Impulse, OpeningForce, FlightTime, LandingSpeed} {
			if v, ok := f.Figure(id); ok {
				fmt.Fprint(&out, " ", v)
			} else {
				fmt.Fprint(&out, " -")
			}
		}
		fmt.Fprintln(&out)
	}
	kept.Same(t, "absurd.txt", out.String())
}

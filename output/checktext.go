package output

import (
	"fmt"
	"math"
	"strings"

	"ullage/model"
)

// staticsQuantities says how each number of a Statics is written.
var staticsQuantities = []struct {
	Quantity
	value func(*model.Statics) float64
}{
	{Quantity{Key: "volume", Unit: "m3", Doc: "chamber volume"}, func(s *model.Statics) float64 { return s.Volume }},
	{Quantity{Key: "water_mass", Unit: "kg", Doc: "water"}, func(s *model.Statics) float64 { return s.WaterMass }},
	{Quantity{Key: "gas_mass", Unit: "kg", Doc: "gas, with vapour"}, func(s *model.Statics) float64 { return s.GasMass }},
	{Quantity{Key: "fin_mass", Unit: "kg", Doc: "fins, with fillets"}, func(s *model.Statics) float64 { return s.FinMass }},
	{Quantity{Key: "dry_mass", Unit: "kg", Doc: "dry mass"}, func(s *model.Statics) float64 { return s.DryMass }},
	{Quantity{Key: "liftoff_mass", Unit: "kg", Doc: "mass at release"}, func(s *model.Statics) float64 { return s.LiftoffMass }},
	{Quantity{Key: "body.dry_cg", Unit: "m", Doc: "CG, empty"}, func(s *model.Statics) float64 { return s.DryCG }},
	{Quantity{Key: "body.liftoff_cg", Unit: "m", Doc: "CG, at release"}, func(s *model.Statics) float64 { return s.LiftoffCG }},
	{Quantity{Key: "body.cp", Unit: "m", Doc: "CP, Mach 0"}, func(s *model.Statics) float64 { return s.CP }},
	{Quantity{Key: "dry_margin", Unit: "cal", Doc: "margin, empty"}, func(s *model.Statics) float64 { return s.DryMargin }},
	{Quantity{Key: "liftoff_margin", Unit: "cal", Doc: "margin, at release"}, func(s *model.Statics) float64 { return s.WetMargin }},
	{Quantity{Key: "stored_energy", Unit: "J", Doc: "stored energy"}, func(s *model.Statics) float64 { return s.StoredEnergy }},
	{Quantity{Key: "proof_ratio", Unit: "1", Doc: "proof over launch pressure"}, func(s *model.Statics) float64 { return s.ProofRatio }},
}

// StaticsText returns what follows from a rocket before any flight, for a
// terminal. Stations count from the nose tip.
func StaticsText(s model.Statics) string {
	lines := make([][3]string, 0, len(staticsQuantities))
	for _, q := range staticsQuantities {
		d := display(q.Quantity)
		lines = append(lines, [3]string{q.Doc, d.number(q.value(&s)), d.unit})
	}
	var b strings.Builder
	block(&b, "what follows from it (stations from the nose tip)", lines)
	for i, note := range Notes(s) {
		if i == 0 {
			b.WriteString("\nnotes\n")
		}
		fmt.Fprintf(&b, "  %s\n", note)
	}
	return b.String()
}

// lowJet is a velocity coefficient, of 1, below which even a sharp-edged hole's
// does not lie.
const lowJet = 0.9

// Notes says where measured values replace the sums of a brief, where its fins
// have no cylinder under them, and where a coefficient of the jet looks like
// another one, one sentence an entry.
func Notes(s model.Statics) []string {
	mm := display(Quantity{Key: "body.cg", Unit: "m"}).number
	notes := []string{}
	note := func(format string, args ...any) { notes = append(notes, fmt.Sprintf(format, args...)) }
	if s.Volume != s.SummedVolume {
		litres := display(Quantity{Unit: "m3"}).number
		note("measured volume: %s l against %s l of bore, cylinder and ends; the profile is scaled to it",
			litres(s.Volume), litres(s.SummedVolume))
	}
	if s.Weighed {
		note("weighed: %s g against %s g summed from parts, fins, payload and ballast; balance at %s mm against %s mm; the scale is used",
			three(s.DryMass*1e3), three(s.SummedMass*1e3), mm(s.DryCG), mm(s.SummedCG))
	}
	if c := s.Correction; c.Mass != 0 {
		note("the scale corrects the sums by %s g at %s mm", display(Quantity{Unit: "kg"}).difference(c.Mass), mm(c.Station))
	} else if s.Weighed && math.Abs(s.DryCG-s.SummedCG) > flush {
		note("no one part within the body explains the difference: look for a slip in the masses or stations")
	}
	if s.RootAhead > flush {
		note("fins: %s mm of the root lie ahead of the chamber's cylinder: look at what they are glued to there", mm(s.RootAhead))
	}
	if s.RootAft > flush {
		note("fins: %s mm of the root lie aft of the chamber's cylinder, over its end or the tail: look at what they are glued to there", mm(s.RootAft))
	}
	if s.Jet > 0 && s.Jet < lowJet {
		note("chamber.jet %s is a coefficient of velocity and low for one: the narrowing of a jet behind a sharp edge, to some 0.62 of the hole, is chamber.contraction", three(s.Jet))
	}
	return notes
}

// flush is what a station may be off unnoticed, in m: less than anyone can mark
// off.
const flush = 1e-4

// StaticsJSON returns the same as a JSON object under column names, in the
// same order, with the notes and the cautions.
func StaticsJSON(s model.Statics, cautions []string) ([]byte, error) {
	o := object{}
	for _, q := range staticsQuantities {
		key := strings.TrimPrefix(q.Key, "body.")
		o.add(ColumnName(key, q.Unit), q.value(&s))
	}
	o.add(ColumnName("summed_volume", "m3"), s.SummedVolume)
	o.add(ColumnName("summed_mass", "kg"), s.SummedMass)
	o.add(ColumnName("summed_cg", "m"), s.SummedCG)
	o.add(ColumnName("correction_mass", "kg"), Of(s.Correction.Mass, s.Correction.Mass != 0))
	o.add(ColumnName("correction_station", "m"), Of(s.Correction.Station, s.Correction.Mass != 0))
	o.add("notes", Notes(s))
	o.add("cautions", cautions)
	return o.bytes()
}

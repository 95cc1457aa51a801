package terminal

import (
	"fmt"
	"math"
	"strings"

	"ullage/model"
	"ullage/output/table"
	"ullage/output/text"
	"ullage/output/wording"
)

// staticsQuantities says how each number of a Statics is written.
var staticsQuantities = []struct {
	model.FigureInfo
	value func(*model.Statics) float64
}{
	{model.FigureInfo{Key: "volume", Unit: "m3", Doc: "chamber volume"}, func(s *model.Statics) float64 { return s.Volume }},
	{model.FigureInfo{Key: "water_mass", Unit: "kg", Doc: "water"}, func(s *model.Statics) float64 { return s.WaterMass }},
	{model.FigureInfo{Key: "gas_mass", Unit: "kg", Doc: "gas, with vapour"}, func(s *model.Statics) float64 { return s.GasMass }},
	{model.FigureInfo{Key: "fin_mass", Unit: "kg", Doc: "fins, with fillets"}, func(s *model.Statics) float64 { return s.FinMass }},
	{model.FigureInfo{Key: "dry_mass", Unit: "kg", Doc: "dry mass"}, func(s *model.Statics) float64 { return s.DryMass }},
	{model.FigureInfo{Key: "liftoff_mass", Unit: "kg", Doc: "mass at release"}, func(s *model.Statics) float64 { return s.LiftoffMass }},
	{model.FigureInfo{Key: "body.dry_cg", Unit: "m", Doc: "CG, empty"}, func(s *model.Statics) float64 { return s.DryCG }},
	{model.FigureInfo{Key: "body.liftoff_cg", Unit: "m", Doc: "CG, at release"}, func(s *model.Statics) float64 { return s.LiftoffCG }},
	{model.FigureInfo{Key: "body.cp", Unit: "m", Doc: "CP, Mach 0"}, func(s *model.Statics) float64 { return s.CP }},
	{model.FigureInfo{Key: "dry_margin", Unit: "cal", Doc: "margin, empty"}, func(s *model.Statics) float64 { return s.DryMargin }},
	{model.FigureInfo{Key: "liftoff_margin", Unit: "cal", Doc: "margin, at release"}, func(s *model.Statics) float64 { return s.WetMargin }},
	{model.FigureInfo{Key: "stored_energy", Unit: "J", Doc: "stored energy"}, func(s *model.Statics) float64 { return s.StoredEnergy }},
	{model.FigureInfo{Key: "proof_ratio", Unit: "1", Doc: "proof over launch pressure"}, func(s *model.Statics) float64 { return s.ProofRatio }},
}

// Statics returns what follows from a rocket before any flight, for a
// terminal. Stations count from the nose tip.
func Statics(s model.Statics) string {
	lines := make([][3]string, 0, len(staticsQuantities))
	for _, q := range staticsQuantities {
		d := text.Show(q.Key, q.Unit)
		lines = append(lines, [3]string{q.Doc, d.Number(q.value(&s)), d.Unit})
	}
	var b strings.Builder
	block(&b, "what follows from it (stations from the nose tip)", lines)
	for i, note := range notes(s) {
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

// notes says where measured values replace the sums of a brief, where its fins
// have no cylinder under them, and where a coefficient of the jet looks like
// another one, one sentence an entry.
func notes(s model.Statics) []string {
	mm, gram := text.Show("body.cg", "m").Number, text.Show("", "kg").Number
	all := []string{}
	note := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	if s.Volume != s.SummedVolume {
		litres := text.Show("", "m3").Number
		note("measured volume: %s l against %s l of bore, cylinder and ends; the profile is scaled to it",
			litres(s.Volume), litres(s.SummedVolume))
	}
	if s.Weighed {
		note("weighed: %s g against %s g summed from parts, fins, payload and ballast; balance at %s mm against %s mm; the scale is used",
			gram(s.DryMass), gram(s.SummedMass), mm(s.DryCG), mm(s.SummedCG))
		note("%s", wording.WeighedWith(&s))
	}
	if c := s.Correction; c.Mass != 0 {
		note("the scale corrects the sums by %s g at %s mm", text.Show("", "kg").Difference(c.Mass), mm(c.Station))
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
		note("chamber.jet %s is a coefficient of velocity and low for one: the narrowing of a jet behind a sharp edge, to some 0.62 of the hole, is chamber.contraction", text.Three(s.Jet))
	}
	return all
}

// flush is what a station may be off unnoticed, in m: less than anyone can mark
// off.
const flush = 1e-4

// StaticsJSON returns what Statics shows as a JSON object under column names, in
// the same order and in SI, with the notes, the cautions and what to measure
// first. It errs only as encoding/json does, which none of its values makes it.
func StaticsJSON(s model.Statics, cautions, measure []string) ([]byte, error) {
	o := table.Object{}
	for _, q := range staticsQuantities {
		key := strings.TrimPrefix(q.Key, "body.")
		o.Add(table.ColumnName(key, q.Unit), q.value(&s))
	}
	o.Add(table.ColumnName("summed_volume", "m3"), s.SummedVolume)
	o.Add(table.ColumnName("summed_mass", "kg"), s.SummedMass)
	o.Add(table.ColumnName("summed_cg", "m"), s.SummedCG)
	o.Add(table.ColumnName("correction_mass", "kg"), ifThere(s.Correction.Mass, s.Correction.Mass != 0))
	o.Add(table.ColumnName("correction_station", "m"), ifThere(s.Correction.Station, s.Correction.Mass != 0))
	o.Add("notes", notes(s))
	o.Add("cautions", cautions)
	o.Add("measure_first", measure)
	return o.Indented()
}

// ifThere returns v, NaN where it is not there.
func ifThere(v float64, there bool) float64 {
	if !there {
		return math.NaN()
	}
	return v
}

package output

import (
	"fmt"
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
	if gap := s.DryMass - s.SummedMass; gap != 0 {
		fmt.Fprintf(&b, "\n  weighed: %s g against %s g summed from parts, fins, payload and ballast;\n"+
			"  the scale and the balance point (%s mm, summed %s mm) are used\n",
			three(s.DryMass*1e3), three(s.SummedMass*1e3), three(s.DryCG*1e3), three(s.SummedCG*1e3))
	}
	return b.String()
}

// StaticsJSON returns the same as a JSON object under column names, in the
// same order, with the cautions.
func StaticsJSON(s model.Statics, cautions []string) ([]byte, error) {
	o := object{}
	for _, q := range staticsQuantities {
		key := strings.TrimPrefix(q.Key, "body.")
		o.add(ColumnName(key, q.Unit), q.value(&s))
	}
	o.add("cautions", cautions)
	return o.bytes()
}

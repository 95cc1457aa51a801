package brief

import (
	"slices"

	"ullage/model"
)

// A material is a sheet that fins are cut from. A sheet bought or laid up
// differs from it by a tenth or more: what was weighed and tested goes before.
type material struct {
	name         string
	density      float64 // kg/m³
	shearModulus float64 // Pa, in the plane of the sheet
	source       string
}

// materials is the table behind fins.material; the words count it from 1.
var materials = []material{
	{"carbon 0/90", 1600, 3.5e9, "woven cloth along root and span in epoxy, half of it fibre; from memory, 3 to 5 GPa in use"},
	{"carbon 45", 1600, 24e9, "the same cloth at ±45 deg: E/(2(1 + ν)), E = 50 GPa and ν = 0.05 along the fibres from memory"},
	{"glass epoxy", 1850, 4e9, "laminated sheet, cloth along root and span; from memory"},
	{"balsa", 160, 0.14e9, "grain along the span: Wood Handbook, FPL-GTR-190 (2010), chapter 5, 0.037 of E = 3.7 GPa; from memory"},
	{"plywood", 680, 0.62e9, "birch, shear in the plane of the panel: Handbook of Finnish Plywood; from memory"},
	{"PETG", 1270, 0.75e9, "solid sheet: E/(2(1 + ν)), E = 2.1 GPa and ν = 0.4 from memory"},
	{"PET", 1340, 1e9, "solid sheet: E/(2(1 + ν)), E = 2.8 GPa and ν = 0.4 from memory"},
	{"cardboard", 700, 0.6e9, "grey board, not corrugated: 0.387 √(E₁ E₂) (Baum, Brennan and Habeger, Tappi 64, 1981), E₁ = 2 and E₂ = 1.2 GPa from memory; dry"},
	{"corrugated plastic", 175, 0.1e9, "4 mm polypropylene of 700 g/m²: its solid fifth of 0.5 GPa; from memory; softer across the flutes"},
	{"foam board", 130, 0.08e9, "5 mm polystyrene foam between papers, which carry the shear; from memory"},
	{"aluminium", 2700, 26e9, "rolled sheet: E/(2(1 + ν)), E = 70 GPa and ν = 0.33 from memory"},
}

// A wall is what a chamber is made of. How far a vessel grows depends on its
// wall's thickness: what was measured goes before.
type wall struct {
	name   string
	growth float64 // 1/Pa
	source string
}

// walls is the table behind chamber.material; the words count it from 1.
var walls = []wall{
	{"PET", 0.008e-5, "drinks bottles of one to three litres; from memory, 0.5 to 1 %/bar in use"},
}

func wallNames() []string {
	names := make([]string, len(walls))
	for i, w := range walls {
		names[i] = w.name
	}
	return names
}

func setWall(r *model.Rocket, i int) { r.Chamber.Growth = walls[i-1].growth }

func materialNames() []string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.name
	}
	return names
}

func setMaterial(r *model.Rocket, i int) {
	m := &materials[i-1]
	r.Fins.Density, r.Fins.ShearModulus = m.density, m.shearModulus
}

// materialOf returns the number of the material whose values fins have, 0 where
// it is none of them.
func materialOf(r *model.Rocket) int {
	return 1 + slices.IndexFunc(materials, func(m material) bool {
		return m.density == r.Fins.Density && m.shearModulus == r.Fins.ShearModulus
	})
}

const finMaterial = "fins.material"

// FinMaterial returns the material of the fins of a rocket of b, "" where the
// brief gives numbers in place of one.
func (b *Brief) FinMaterial(r *model.Rocket) string {
	if i := materialOf(r); b.Sheet && i > 0 {
		return materials[i-1].name
	}
	return ""
}

// materials reports what a material already says, and holds the growth of a
// wall against the pressure as if it had been written.
func (p *parser) materials(r *model.Rocket) {
	for _, other := range []string{"fins.density", "fins.shear_modulus"} {
		p.oneOrOther(finMaterial, other)
	}
	const wall, growth = "chamber.material", "chamber.growth"
	p.oneOrOther(wall, growth)
	if m := p.find(wall); m != nil && p.find(growth) == nil {
		p.values[growth], p.places[growth] = r.Chamber.Growth, m.at
	}
}

// oneOrOther reports that both a word and a key are given that it speaks for.
func (p *parser) oneOrOther(word, other string) {
	m, n := p.find(word), p.find(other)
	switch {
	case m == nil || n == nil:
	case later(m.at, n.at):
		p.fault(m, "given with "+other, "one or the other")
	default:
		p.fault(n, "given with "+word, "one or the other")
	}
}

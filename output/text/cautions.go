package text

import (
	"fmt"
	"slices"
	"strings"

	"ullage/model"
	"ullage/model/air"
	"ullage/optimize/brief"
)

// Cautions returns what everyone who pressurises the rocket must have read,
// one sentence an entry. Energy is that of the gas at launch pressure, in J;
// pressure and proof are gauge pressures, in Pa.
func Cautions(energy, pressure, proof float64) []string {
	return CautionsIn(Show("", "Pa").Number(pressure)+" bar", Three(energy)+" J", AtLeast(1.5*pressure*workshop["Pa"].Scale, 1)+" bar", BarsAtMost(proof)+" bar")
}

// CautionsIn returns the same with launch pressure, stored energy, 1.5 times
// launch pressure and proof pressure in units of the caller's.
func CautionsIn(launch, energy, test, proof string) []string {
	return []string{
		fmt.Sprintf("At %s the compressed air holds %s. It is let go all at once if the chamber bursts.", launch, energy),
		fmt.Sprintf("Test the chamber with water, not air, to at least 1.5 times launch pressure: %s here. The proof pressure given is %s; never exceed it.", test, proof),
		"Fill and release from a distance; never approach or lean over the rocket under pressure. Wear eye protection.",
		"Keep people away at the distance that your range rules state, also from where it comes down, with and without canopy.",
		"Count the pressure cycles. Look at the chamber before every flight; retire it when anything has changed.",
		"Airspace, landowner, range rules and local law come first. These figures replace no test and no licensed judgement.",
	}
}

// ProofCautions says where a brief leaves the customary distance between launch
// and proof pressure.
func ProofCautions(b *brief.Brief) []string {
	for i := range b.Limits {
		l := &b.Limits[i]
		if l.Quantity == nil && l.Figure == model.ProofRatio && l.AtLeast < brief.ProofRatio {
			return []string{fmt.Sprintf("This brief lowers the limit proof_ratio to %g. Below %g the chamber has not been tested far enough beyond launch pressure.",
				l.AtLeast, brief.ProofRatio)}
		}
	}
	if b.Rocket.Chamber.Proof < brief.ProofRatio*b.Rocket.Chamber.Pressure*(1-1e-12) {
		return []string{fmt.Sprintf("The proof pressure is below %g times launch pressure: a search refuses such designs.", brief.ProofRatio)}
	}
	return nil
}

// BriefCautions returns ProofCautions and what a brief says that may well be
// meant otherwise, one sentence an entry.
func BriefCautions(b *brief.Brief) []string {
	notes := ProofCautions(b)
	if at := b.Site.Temperature; at < air.IceTemp {
		notes = append(notes, fmt.Sprintf("At %s water freezes, in the outlet first, and walls are brittle. The flights have it liquid and the wall as ever.",
			brief.MustQuantity("site.temperature").Text(at)))
	}
	for _, s := range slices.Concat(b.Day, b.Scatter) {
		at := s.Value(&b.Rocket, &b.Site)
		if d := s.Sigma(at); at-d < s.Min || at+d > s.Max {
			notes = append(notes, fmt.Sprintf("The scatter of %s is wide: one deviation from %s leaves what it can be, %s to %s. The draws are cut there.",
				s.Key, s.Text(at), s.Text(s.Min), s.Text(s.Max)))
		}
	}
	for _, part := range b.Rocket.Parts {
		if b.Rocket.Recovery.Mass > 0 && strings.Contains(strings.ToLower(part.Name), "canopy") {
			notes = append(notes, fmt.Sprintf("A part is named %q, and recovery.mass is that of canopy and line: is it written twice? Both weigh.", Plain(part.Name, TitleLength)))
		}
	}
	return append(notes, sameNames(b.Rocket.Parts)...)
}

// sameNames says which parts cannot be told apart by their names.
func sameNames(parts []model.Part) (notes []string) {
	times := map[string]int{}
	for i := range parts {
		name := parts[i].Name
		if times[name]++; name != "" && times[name] == 2 {
			notes = append(notes, fmt.Sprintf("More than one part is named %q: is one written twice? Each weighs.", Plain(name, TitleLength)))
		}
	}
	return notes
}

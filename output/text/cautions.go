package text

import (
	"fmt"

	"ullage/output/table"
)

// Cautions returns what everyone who pressurises the rocket must have read,
// one sentence an entry. Energy is that of the gas at launch pressure, in J;
// pressure and proof are gauge pressures, in Pa.
func Cautions(energy, pressure, proof float64) []string {
	bar := Show(table.Quantity{Unit: "Pa"}).Number
	return []string{
		fmt.Sprintf("At %s bar the compressed air holds %s J. It is let go all at once if the chamber bursts.", bar(pressure), Three(energy)),
		fmt.Sprintf("Test the chamber with water, not air, to at least 1.5 times launch pressure: %s bar here. The proof pressure given is %s bar; never exceed it.",
			AtLeast(1.5*pressure*workshop["Pa"].Scale, 1), BarsAtMost(proof)),
		"Fill and release from a distance; never approach or lean over the rocket under pressure. Wear eye protection.",
		"Keep people away at the distance that your range rules state, also from where it comes down, with and without canopy.",
		"Count the pressure cycles. Look at the chamber before every flight; retire it when anything has changed.",
		"Airspace, landowner, range rules and local law come first. These figures replace no test and no licensed judgement.",
	}
}

package wording

import (
	"fmt"
	"math"
	"strconv"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/output/text"
)

// Cautions returns what everyone who pressurises the rocket must have read,
// one sentence an entry. Energy is that of the gas at launch pressure, in J;
// pressure and proof are gauge pressures, in Pa.
func Cautions(energy, pressure, proof float64) []string {
	bar := text.Show("", "Pa")
	test := TestPressure(pressure, proof, func(pa float64) string { return text.AtLeast(pa*bar.Scale, 1) }, text.BarsAtMost)
	return CautionsIn(bar.Number(pressure)+" bar", text.Three(energy)+" J", test+" bar", text.BarsAtMost(proof)+" bar")
}

// TestMultiple is what a chamber is tested to at least, in launch pressures: common
// practice, no source.
const TestMultiple = 1.5

// TestPressure returns what a chamber is tested to at least, as atLeast writes it: a
// pressure in Pa, cut up. Where the proof pressure is as high, but as atMost writes
// it would be read as less, it is that which is returned: nobody is to read that the
// proof pressure has to be exceeded.
func TestPressure(pressure, proof float64, atLeast, atMost func(pa float64) string) string {
	least, most := atLeast(TestMultiple*pressure), atMost(proof)
	if TestMultiple*pressure <= proof*(1+text.Lossless) && read(least) > read(most) {
		return most
	}
	return least
}

// read returns the number that decimals say.
func read(decimals string) float64 {
	v, _ := strconv.ParseFloat(decimals, 64)
	return v
}

// CautionsIn returns what Cautions does, with launch pressure, stored energy, 1.5
// times launch pressure and proof pressure as the caller writes them, units
// included.
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

// ProofCautions says where a brief leaves less than the customary distance between
// launch and proof pressure, one sentence an entry; none where it does not.
func ProofCautions(b *brief.Brief) []string {
	for i := range b.Limits {
		l := &b.Limits[i]
		if l.Quantity == nil && l.Figure == model.ProofRatio && l.AtLeast < brief.ProofRatio {
			return []string{fmt.Sprintf("This brief lowers the limit proof_ratio to %g. Below %g the chamber has not been tested far enough beyond launch pressure.",
				l.AtLeast, brief.ProofRatio)}
		}
	}
	ratio := constraints.Limit{AtLeast: brief.ProofRatio, AtMost: math.Inf(1)}
	if !constraints.Kept(ratio.Slack(b.Rocket.Chamber.Proof / b.Rocket.Chamber.Pressure)) {
		return []string{fmt.Sprintf("The proof pressure is below %g times launch pressure: a search refuses such designs.", brief.ProofRatio)}
	}
	return nil
}

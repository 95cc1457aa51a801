package fit

import "ullage/model"

// A GasComparison says how much better the gas model of a brief suits the logs
// than the other one.
type GasComparison struct {
	Brief, Other model.Gas
	Better       float64 // difference of −2 ln of the likelihoods, positive for the brief's
}

// Decisive is the difference beyond which the worse of two models has hardly
// any support (Burnham and Anderson, Model Selection and Multimodel Inference,
// 2nd ed. 2002, section 2.6; from memory).
const Decisive = 10

// CompareGas fits flights once more with the other gas model in every one and
// compares that with is, the Result of Fit for the same flights and keys. What
// noise that hangs together says is worth fewer readings: so is the difference.
//
// It errs as Fit does with the other gas model.
func CompareGas(flights []Flight, keys []string, is *Result) (*GasComparison, error) {
	was := flights[0].Rocket.Chamber.Gas
	other := model.Moist + model.Dry - was
	changed := append([]Flight(nil), flights...)
	for i := range changed {
		changed[i].Rocket.Chamber.Gas = other
	}
	with, err := Fit(changed, keys)
	if err != nil {
		return nil, err
	}
	worth := min(is.Worth, with.Worth) / float64(is.Readings)
	return &GasComparison{Brief: was, Other: other, Better: (with.Deviance - is.Deviance) * worth}, nil
}

package answers

import (
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/brief"
)

// workshopSteps returns the values that a quantity of that value takes by one
// step in the workshop or at the pad, the one to be tried first in front; none
// for what is not changed there. The launch pressure is not raised beyond what
// the chamber was tested for.
func workshopSteps(b *brief.Brief, q *brief.Quantity, r *model.Rocket, value float64) []float64 {
	if !changeable(q, r) {
		return nil
	}
	choices := q.Allowed
	for i := range b.Vary {
		if v := &b.Vary[i]; v.Key == q.Key && len(v.Choices) > 0 {
			choices = v.Choices
		}
	}
	if choices != nil {
		return neighbours(choices, value)
	}
	step := workshopStep(b, q, value)
	switch {
	case step == 0:
		return nil
	case q.Key == "chamber.pressure" && (value+step)*brief.ProofRatio > r.Chamber.Proof:
		return []float64{value - step}
	}
	return []float64{value + step, value - step}
}

// neighbours returns the next choice above a value and the next below it.
func neighbours(choices []float64, value float64) []float64 {
	sorted := slices.Sorted(slices.Values(choices))
	var next []float64
	if i := slices.IndexFunc(sorted, func(v float64) bool { return v > value }); i >= 0 {
		next = append(next, sorted[i])
	}
	slices.Reverse(sorted)
	if i := slices.IndexFunc(sorted, func(v float64) bool { return v < value }); i >= 0 {
		next = append(next, sorted[i])
	}
	return next
}

// changeable reports whether a rocket has what the quantity is of, and whether
// it can still be changed: a weighed one has its fins on, and what was measured
// speaks for the chamber's shape.
func changeable(q *brief.Quantity, r *model.Rocket) bool {
	switch q.Key {
	case "chamber.bore", "chamber.cylinder", "chamber.end":
		return r.Chamber.Volume == 0
	case "chamber.tube.diameter", "chamber.tube.length":
		return r.Chamber.Tube.Length > 0
	case "body.tail.diameter", "body.tail.length":
		return r.Body.Tail.Length > 0
	case "ballast.mass":
		return r.Ballast.Station > 0 // else the brief has no place for it
	case "recovery.mass", "recovery.station":
		return r.Recovery.Mass > 0
	}
	if strings.HasPrefix(q.Key, "recovery.") {
		return r.Recovery.Canopy > 0
	}
	return r.Weighed.Mass == 0 || !strings.HasPrefix(q.Key, "fins.")
}

// byShare reports whether a step of the quantity is a share of its value.
func byShare(q *brief.Quantity) bool {
	_, own := workshop[q.Key]
	return !own && (q.Unit == "kg/m3" || q.Unit == "Pa")
}

// workshopStep returns the step that a quantity of that value takes (common
// practice, no source), in SI; 0 for what is not changed.
func workshopStep(b *brief.Brief, q *brief.Quantity, value float64) float64 {
	for i := range b.Vary {
		if v := &b.Vary[i]; v.Key == q.Key && v.Step > 0 {
			return v.Step
		}
	}
	if q.Key == "chamber.throat" {
		return nextDrill(value) - value
	}
	if step, ok := workshop[q.Key]; ok {
		return step
	}
	section, _, _ := strings.Cut(q.Key, ".")
	switch {
	case byShare(q):
		return 0.1 * value
	case q.Unit == "kg":
		return 0.01
	case q.Unit == "m" && slices.Contains([]string{"chamber", "body", "fins", "payload", "ballast"}, section):
		return 0.01
	}
	return 0
}

// workshop holds the steps of single quantities, in SI.
var workshop = map[string]float64{
	"site.wind": 1, "site.gust": 1, "site.tilt": math.Pi / 180, "site.guide": 0.5,
	"site.temperature": 5, "site.pressure": 1000, "site.humidity": 0.2, "site.wind_exponent": 0.05,
	"body.roughness":   20e-6,
	"chamber.pressure": 0.5e5, "chamber.proof": 0, "chamber.fill": 0.01, "chamber.bore": 1e-3,
	"chamber.tube.diameter": 1e-3, "chamber.tube.length": 0.05,
	"fins.thickness": 0.5e-3, "fins.fillets": 5e-3,
	"recovery.canopy": 0.05, "recovery.delay": 0.1,
}

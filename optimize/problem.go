package optimize

import (
	"errors"
	"fmt"
	"math"
)

// A Variable is one quantity that the search may set, in any unit.
type Variable struct {
	Name    string    // for errors
	From    float64   // the least value
	To      float64   // none is above it
	Step    float64   // 0: continuous. Values are From + k·Step, k whole: see Variable.Values
	Choices []float64 // when set, the only values allowed; From, To, Step are ignored

	Unordered bool // the numbers of Choices say nothing but which is which: nothing lies between two
}

// A Problem is what the search explores. Every goal is minimised.
type Problem struct {
	Variables []Variable
	Goals     int         // 1 to 5
	Limits    int         // number of violations a result carries
	First     [][]float64 // designs for the first population, each flown as the nearest that the variables allow; they take up half of it at most

	Cost int // flights that one evaluation takes; 0: one
	Keep int // feasible designs that an island keeps, dominated ones too, for a proof to choose from; 0: none

	// Distances says that a violation below 0 is how far inside its limit a
	// design is, and 0 on it. A search for one goal finds more with it.
	Distances bool

	// Evaluator returns a function that evaluates one design into r, whose
	// slices have the right lengths. Each worker asks for one of its own, so
	// the function may keep scratch; its answer must depend on x alone.
	Evaluator func() func(x []float64, r *Result)
}

// cost is Cost with its default.
func (p *Problem) cost() int { return max(p.Cost, 1) }

// affordable checks that every island can evaluate a design.
func (p *Problem) affordable(s Settings) error {
	if need := p.cost() * s.Islands; p.Cost > 1 && s.Flights < need {
		return fmt.Errorf("flights: %d, want ≥ %d: %d for one evaluation on each island", s.Flights, need, p.Cost)
	}
	return nil
}

// A Result is what one evaluation returns.
type Result struct {
	Goals      []float64 // minimised; finite
	Violations []float64 // each in the unit of its own limit, ≥ 0 but with Problem.Distances; none above 0 is feasible
	Slack      float64   // distance to the limits: larger orders first among designs with equal goals
	Failed     bool      // the flight could not be computed: ranked after all others
}

// A Design is one setting of the variables with its result.
type Design struct {
	X []float64
	Result
}

// check lists all that is wrong with the problem.
func (p *Problem) check() error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if len(p.Variables) == 0 {
		fault("variables: none, want at least one")
	}
	for i, v := range p.Variables {
		switch {
		case len(v.Choices) > 0:
		case math.IsNaN(v.To-v.From) || math.IsInf(v.To-v.From, 0) || v.From > v.To:
			fault("variable %q: %v to %v, want a finite range", v.Name, v.From, v.To)
		case v.Step < 0 || math.IsNaN(v.Step):
			fault("variable %q: step %v, want ≥ 0", v.Name, v.Step)
		}
		for k, x := range p.First {
			if len(x) == len(p.Variables) && math.IsNaN(x[i]) {
				fault("first design %d: %s is not a number", k, v.Name)
			}
		}
	}
	for k, x := range p.First {
		if len(x) != len(p.Variables) {
			fault("first design %d: %d values, want %d", k, len(x), len(p.Variables))
		}
	}
	if p.Goals < 1 || p.Goals > mostGoals {
		fault("goals: %d, want 1 to %d", p.Goals, mostGoals)
	}
	if p.Limits < 0 {
		fault("limits: %d, want ≥ 0", p.Limits)
	}
	if p.Cost < 0 {
		fault("cost: %d flights, want ≥ 0", p.Cost)
	}
	if p.Keep < 0 {
		fault("keep: %d designs, want ≥ 0", p.Keep)
	}
	if p.Evaluator == nil {
		fault("evaluator: none, want one")
	}
	return errors.Join(faults...)
}

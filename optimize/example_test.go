package optimize_test

import (
	"context"
	"fmt"

	"ullage/optimize"
)

// A tin of 330 ml: as little sheet metal as possible, and as low as possible.
func Example() {
	const volume = 330.0 // cm³
	p := optimize.Problem{
		Variables: []optimize.Variable{{Name: "radius", From: 2, To: 8, Step: 0.1}}, // cm
		Goals:     2,
		Limits:    1,
		Evaluator: func() func(x []float64, r *optimize.Result) {
			return func(x []float64, r *optimize.Result) {
				base := 3.14159265 * x[0] * x[0]
				height := volume / base
				r.Goals[0] = 2*base + 2*volume/x[0] // cm², of the sheet
				r.Goals[1] = height
				r.Slack = height - 4 // cm
				r.Violations[0] = max(0, -r.Slack)
			}
		},
	}
	o, err := optimize.Evolve(context.Background(), &p, optimize.Settings{Seed: 1, Flights: 1000}, 1, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(o.Stop, o.Flights, len(o.Archive))
	for _, d := range optimize.Choose(o.Archive, 3) {
		fmt.Printf("radius %.1f sheet %.0f height %.1f\n", d.X[0], d.Goals[0], d.Goals[1])
	}
	// Output:
	// exhausted 61 15
	// radius 3.7 sheet 264 height 7.7
	// radius 4.5 sheet 274 height 5.2
	// radius 5.1 sheet 293 height 4.0
}

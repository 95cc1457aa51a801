package fit_test

import (
	"fmt"
	"os"

	"ullage/optimize/brief"
	"ullage/optimize/fit"
)

// What a stopwatch and an angle say of a rocket.
func ExampleFit() {
	const name = "../../testdata/briefs/field-day.toml"
	src, err := os.ReadFile(name)
	if err != nil {
		panic(err)
	}
	b, err := brief.Parse(name, src, "chamber.pressure=14.8 bar")
	if err != nil {
		panic(err)
	}
	flight, err := fit.Under(b, []string{"chamber.fill=0.31", "site.wind=1 m/s"}, fit.Usual())
	if err != nil {
		panic(err)
	}
	up, err := fit.ReadObservation("apogee_time = 5.1 s ± 0.2 s")
	if err != nil {
		panic(err)
	}
	high, err := fit.ReadSighting("51 deg at 100 m")
	if err != nil {
		panic(err)
	}
	flight.Observed = []fit.Observation{up, high}
	result, err := fit.Fit([]fit.Flight{flight}, fit.Usual())
	if err != nil {
		panic(err)
	}
	for _, e := range result.Estimates {
		fmt.Printf("%s fitted: %v\n", e.Key, e.Fitted)
	}
	// Output:
	// body.drag fitted: true
	// chamber.jet fitted: true
	// recovery.drag fitted: false
	// recovery.latency fitted: false
}

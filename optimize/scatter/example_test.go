package scatter_test

import (
	"fmt"
	"os"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// The demo rocket flown 100 times as it may turn out: the draws are the same
// whenever they are asked for.
func Example() {
	src, err := os.ReadFile("../../testdata/briefs/field-day.toml")
	if err != nil {
		panic(err)
	}
	b, err := brief.Parse("field-day.toml", src)
	if err != nil {
		panic(err)
	}
	draws, scratch := scatter.New(b, scatter.Report, 100, 1, 7), model.NewScratch()
	lowest, highest := 1000.0, 0.0
	for i := range draws.Flights() {
		var rocket model.Rocket
		var site model.Site
		draws.At(i, &b.Rocket, &b.Site, &rocket, &site)
		flight := model.Fly(&rocket, &site, scratch)
		if apogee, ok := flight.Figure(model.Apogee); ok {
			lowest, highest = min(lowest, apogee), max(highest, apogee)
		}
	}
	fmt.Printf("%d flights, apogees from %.0f to %.0f m\n", draws.Flights(), lowest, highest)
	// Output: 100 flights, apogees from 73 to 89 m
}

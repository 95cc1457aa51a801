package model_test

import (
	"fmt"

	"ullage/model"
)

// A bottle with three fins at 5 bar. What is left out is 0 and absent: no tail, no
// launch tube, no ballast, no wind.
func ExampleFly() {
	rocket := model.Rocket{
		Body: model.Body{Diameter: 0.09, Length: 0.8, Drag: 1, Nose: model.Nose{Shape: model.Ellipsoid, Length: 0.15}},
		Chamber: model.Chamber{
			Bore: 0.088, Cylinder: 0.25, End: 0.04, Pressure: 5e5, Proof: 10e5, Throat: 0.0215, Fill: 0.3,
			Gas: model.Moist, Jet: 0.97, Contraction: 1, GasJet: 0.95, GasThrust: 1,
		},
		Fins: model.Fins{
			Count: 3, Root: 0.12, Tip: 0.08, Span: 0.09, Rake: 0.06, Thickness: 0.003, Station: 0.66,
			Density: 200, ShearModulus: 1e7, Edges: model.Cut,
		},
		Parts:    []model.Part{{Name: "bottles, bay, timer", Mass: 0.22, Station: 0.35, Length: 0.7}},
		Payload:  model.Part{Name: "altimeter", Mass: 0.03, Station: 0.1},
		Recovery: model.Recovery{Canopy: 0.6, Drag: 0.75, Delay: 3, Latency: 0.3},
	}
	site := model.Site{Temperature: 290, Pressure: 100e3, Guide: 1}
	flight := model.Fly(&rocket, &site, model.NewScratch())
	apogee, _ := flight.Figure(model.Apogee)
	speed, _ := flight.Figure(model.LandingSpeed)
	fmt.Printf("%s: %.0f m high, down at %.1f m/s\n", flight.Outcome, apogee, speed)

	rocket.Body.Drag = 0 // no rocket is without drag
	flight = model.Fly(&rocket, &site, model.NewScratch())
	fmt.Println(flight.Outcome)
	// Output:
	// landed: 46 m high, down at 4.5 m/s
	// no_room
}

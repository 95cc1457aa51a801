package output_test

import (
	"fmt"

	"ullage/model"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
)

func Example() {
	layout := output.Layout{
		Varied:  []table.Quantity{{Key: "chamber.throat", Unit: "m"}},
		Figures: []table.Quantity{{Key: "apogee", Unit: "m"}},
		Goals:   []table.Quantity{{Key: "apogee", Unit: "m", Sense: "highest"}},
		Limits:  []table.Quantity{{Key: "guide_speed", Unit: "m/s"}},
	}
	row := output.Row{
		Design: 1, Knee: true, Outcome: model.Landed,
		X:       []float64{0.011},
		Figures: []table.Value{table.Of(142.3, true)},
		Slacks:  []table.Value{table.Of(0.1, true)},
		Binding: []string{"guide_speed"},
	}
	for _, c := range layout.Front([]output.Row{row}).Columns {
		fmt.Println(c.Name, c.Role)
	}
	fmt.Print(text.Front(layout, []output.Row{row}, 10))
	// Output:
	// design identity
	// chamber_throat_m varied
	// apogee_m goal
	// slack_guide_speed_m_s slack
	// binding identity
	// knee identity
	// feasible identity
	// warnings identity
	//                 chamber
	// design  apogee   throat  limits
	//              m       mm
	//      1     142     11.0  guide_speed
}

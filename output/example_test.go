package output_test

import (
	"fmt"

	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/terminal"
)

func Example() {
	b, rows := sample.Brief(""), sample.Rows()
	for _, c := range output.Front(b, rows, nil).Columns[:5] {
		fmt.Println(c.Name, c.Role)
	}
	fmt.Print(terminal.Front(b, rows[:1], 10))
	// Output:
	// design identity
	// chamber_throat_m varied
	// payload_mass_kg goal
	// site_tilt_deg varied
	// apogee_m goal
	//                 payload  chamber  site
	// design  apogee     mass   throat  tilt  limits
	//              m        g       mm   deg
	//      1     142     80.0     11.0  2.00  chamber.pressure
	// NOT JUDGED: dry_margin, deploy_speed, landing_speed
}

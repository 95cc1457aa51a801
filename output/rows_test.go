package output_test

import (
	"math"
	"reflect"
	"testing"

	"ullage/output"
	"ullage/output/table"
)

func TestDesignsComeBack(t *testing.T) {
	varied := []table.Quantity{{Key: "fins.span", Unit: "m"}, {Key: "site.tilt", Unit: "rad"}, {Key: "chamber.fill", Unit: "1"}}
	const degree = math.Pi / 180
	want := [][]float64{{0.13, 2 * degree, 0.3}, {0.1 + 0.2, -1 * degree, 0.305}}
	rows := []output.Row{{X: want[0]}, {X: want[1]}}
	front := output.Layout{Varied: varied}.Front(rows)
	got, err := front.Designs(varied)
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("Designs = %v, %v, want %v", got, err, want)
	}
	got, err = front.Designs(varied[2:])
	if err != nil || !reflect.DeepEqual(got, [][]float64{{0.3}, {0.305}}) {
		t.Errorf("Designs of one quantity = %v, %v", got, err)
	}
	_, err = front.Designs([]table.Quantity{{Key: "chamber.throat", Unit: "m"}})
	if err == nil || err.Error() != "no column chamber_throat_m of numbers, want one" {
		t.Errorf("Designs without a column: %v", err)
	}
}

package pad

import (
	"math"
	"testing"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// TestMostlyBelow is the height that 95 of 100 flights stay below.
func TestMostlyBelow(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	call := study.Call{Nominal: model.Fly(&b.Rocket, &b.Site, model.NewScratch())}
	if v, _ := call.Nominal.Figure(model.Apogee); mostlyBelow(&call) != v {
		t.Errorf("without flights under scatter %v m, want that as set, %v m", mostlyBelow(&call), v)
	}
	for i := range 101 {
		call.Apogees = append(call.Apogees, float64((i*37)%101))
	}
	if got := mostlyBelow(&call); math.Abs(got-95) > 1e-9 {
		t.Errorf("of heights from 0 to 100 m %v m, want 95", got)
	}
	if v := call.Apogees[1]; v != 37 {
		t.Errorf("the flights were put in another order: the second reached %v m", v)
	}
}

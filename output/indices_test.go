package output_test

import (
	"fmt"
	"reflect"
	"testing"

	"ullage/output"
	"ullage/output/internal/sample"
)

func TestIndicesTable(t *testing.T) {
	got := []string{}
	for _, c := range output.Indices(sample.Indices()).Columns {
		got = append(got, fmt.Sprintf("%s %s %s %v", c.Name, c.Unit, c.Role, c.Values))
	}
	want := []string{
		"number 1 identity [apogee apogee proof_ratio proof_ratio]",
		"quantity 1 identity [fins.span chamber.throat fins.span chamber.throat]",
		"first 1 figure [0.25 0.5 NaN NaN]",
		"first_low 1 figure [-0.25 0.25 NaN NaN]",
		"first_high 1 figure [0.75 0.75 NaN NaN]",
		"total 1 figure [0.25 0.75 NaN NaN]",
		"total_low 1 figure [0.125 0.5 NaN NaN]",
		"total_high 1 figure [0.375 1 NaN NaN]",
		"rows 1 figure [64 64 60 60]",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("columns = %q, want %q", got, want)
	}
}

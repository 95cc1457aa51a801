package output_test

import (
	"testing"

	"ullage/output"
	"ullage/output/internal/sample"
)

func TestIndicesText(t *testing.T) {
	wantText(t, "IndicesText", output.IndicesText(sample.Indices()), `apogee, from 64 rows
  quantity                 alone     with others
  chamber.throat   0.500 ± 0.250   0.750 ± 0.250
  fins.span        0.250 ± 0.500   0.250 ± 0.125
proof_ratio, from 60 rows
  does not vary, or is not known
`)
}

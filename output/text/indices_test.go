package text_test

import (
	"testing"

	"ullage/output/internal/sample"
	"ullage/output/text"
)

func TestIndices(t *testing.T) {
	wantText(t, "Indices", text.Indices(sample.Indices()), `apogee, from 64 rows
  quantity                 alone     with others
  chamber.throat   0.500 ± 0.250   0.750 ± 0.250
  fins.span        0.250 ± 0.500   0.250 ± 0.125
proof_ratio, from 60 rows
  does not vary, or is not known
`)
}

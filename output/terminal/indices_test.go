package terminal_test

import (
	"strings"
	"testing"

	"ullage/output/internal/sample"
	"ullage/output/terminal"
)

func TestIndices(t *testing.T) {
	wantText(t, "Indices", terminal.Indices(sample.Indices()), `apogee, from 64 rows
  quantity                 alone     with others
  chamber.throat   0.500 ± 0.250   0.750 ± 0.250
  fins.span        0.250 ± 0.500   0.250 ± 0.125
proof_ratio, from 60 rows
  does not vary, or is not known
alone: share of the variance that goes away once the quantity is known
with others: share that stays while only it is unknown; more where it acts through others
`)
	// An estimate just below nothing has no sign.
	none := sample.Indices()[:1]
	none[0].First.Value = -0.0001
	if got := terminal.Indices(none); strings.Contains(got, "-0.000") || !strings.Contains(got, " 0.000 ± ") {
		t.Errorf("Indices of -0.0001:\n%s", got)
	}
}

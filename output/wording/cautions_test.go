package wording_test

import (
	"strings"
	"testing"

	"ullage/output/internal/sample"
	"ullage/output/wording"
)

// Everyone who pressurises a rocket reads its energy, the least test pressure,
// and where the brief keeps less distance to it than is customary.
func TestCautions(t *testing.T) {
	all := strings.Join(wording.Cautions(1234, 6.118e5, 12.34e5), "\n")
	for _, want := range []string{"At 6.12 bar the compressed air holds 1230 J.", "at least 1.5 times launch pressure: 9.2 bar here. The proof pressure given is 12.3 bar"} {
		if !strings.Contains(all, want) {
			t.Errorf("cautions without %q:\n%s", want, all)
		}
	}
	b := sample.Brief("")
	for _, row := range []struct {
		proof, least float64
		want         string
	}{
		{9.0e5, 1.5, ""}, // 1.5 times 6 bar
		{9.1e5, 1.5, ""},
		{8.99e5, 1.5, "The proof pressure is below 1.5 times launch pressure"},
		{12e5, 1.3, "This brief lowers the limit proof_ratio to 1.3."},
		{8.99e5, 1.3, "This brief lowers the limit proof_ratio to 1.3."},
		{12e5, 1.7, ""},
	} {
		b.Rocket.Chamber.Proof, b.Limits[3].AtLeast = row.proof, row.least
		got := wording.ProofCautions(b)
		if (len(got) == 0) != (row.want == "") || len(got) > 0 && !strings.HasPrefix(got[0], row.want) {
			t.Errorf("proof at %v Pa, limit %v: %q, want %q", row.proof, row.least, got, row.want)
		}
	}
}

package wording_test

import (
	"strings"
	"testing"

	"ullage/output/internal/sample"
	"ullage/output/text"
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
		{9.0e5 - 1e-7, 1.5, ""}, // but for its last digits
		{9.0e5 - 1e-5, 1.5, "The proof pressure is below 1.5 times launch pressure"},
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

// Whoever reads a card is never told to test a chamber beyond its proof pressure,
// also where only rounding would say so; a proof pressure that is too low is said to
// be so, and does not lower the test.
func TestTestPressure(t *testing.T) {
	tenths := func(pa float64) string { return text.AtLeast(pa*1e-5, 1) }
	for _, row := range []struct {
		pressure, proof float64
		want            string
	}{
		{6e5, 9e5, "9.0"},
		{6e5, 12e5, "9.0"},
		{6.118e5, 9.177e5, "9.17"},       // 1.5 times, which would be read as 9.2
		{6.118e5, 1.5 * 6.118e5, "9.17"}, // the same, but for its last digit
		{6.118e5, 9.199e5, "9.19"},       // between the one and the other
		{6.118e5, 9.2e5, "9.2"},          // as it is read
		{6.118e5, 9.21e5, "9.2"},         // more
		{6.118e5, 9.1769e5, "9.2"},       // less than 1.5 times
		{6.118e5, 8e5, "9.2"},            // far less
		{14.99e5, 22.485e5, "22.4"},      // 1.5 times, above 10 bar
		{14.99e5, 1.5*14.99e5 + 1, "22.4"},
		{15e5, 22.5e5, "22.5"},
	} {
		if got := wording.TestPressure(row.pressure, row.proof, tenths, text.BarsAtMost); got != row.want {
			t.Errorf("TestPressure(%v, %v) = %s, want %s", row.pressure, row.proof, got, row.want)
		}
	}
	if got, want := wording.Cautions(1, 6.118e5, 9.177e5)[1], "at least 1.5 times launch pressure: 9.17 bar here. The proof pressure given is 9.17 bar;"; !strings.Contains(got, want) {
		t.Errorf("%q, want %q in it", got, want)
	}
}

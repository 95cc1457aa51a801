package wording_test

import (
	"strings"
	"testing"

	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/output/internal/sample"
	"ullage/output/wording"
)

// Whatever may weigh most is told in words, and of a fitted brief the interval is
// that after the fit.
func TestDoubts(t *testing.T) {
	b := sample.Brief("")
	laws := scatter.Doubts(b)
	if len(laws) != 9 {
		t.Fatalf("%d laws, want all 9 on a soft chamber", len(laws))
	}
	seen := map[string]bool{}
	for _, l := range laws {
		d := sample.Doubts()[0]
		d.Most = l.Quantity
		line := wording.Doubts(b, []answers.Doubt{d})[0]
		begin, words, _ := strings.Cut(line, ", most of it for ")
		if begin != "apogee 142 m as modelled; 120 to 151 before any measured flight" || words == "" || seen[words] {
			t.Errorf("%s: %q", l.Key, line)
		}
		seen[words] = true
	}
	fitted, err := brief.Parse("plan.toml", append([]byte(brief.FittedMark+"a.csv\n"), b.Source...))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := wording.Doubts(fitted, sample.Doubts())[2], "landing speed 5.00 m/s as modelled; 4.40 to 5.60 after the fit"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

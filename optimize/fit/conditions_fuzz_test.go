package fit_test

import (
	"math"
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/optimize/fit"
	"ullage/testdata/briefs"
)

// FuzzConditions reads what differed in a flight and flies a brief under it: each
// setting has a key and a value, and a fault is told with its line.
func FuzzConditions(f *testing.F) {
	f.Add([]byte("# a day\nsite.wind = \"2 m/s\" # in the grass\nsite.humidity = 0.3\n"))
	f.Add([]byte("\xef\xbb\xbfa=b=c\r\n\"x\ny = \"\n"))
	b := briefs.Demo(f, "field-day.toml")
	keys := fit.Choose(nil, nil)
	f.Fuzz(func(t *testing.T, src []byte) {
		set, err := fit.ReadConditions("day.txt", src)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "day.txt:") || strings.Contains(err.Error(), "\n") {
				t.Errorf("%q: %q", src, err)
			}
			return
		}
		for _, s := range set {
			if !strings.Contains(s, "=") {
				t.Errorf("%q: setting %q", src, s)
			}
		}
		under, err := fit.Under(b, set, keys)
		if err != nil {
			return
		}
		for _, q := range brief.Quantities() {
			if v := q.Value(&under.Rocket, &under.Site); math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%q: %s = %v", src, q.Key, v)
			}
		}
	})
}

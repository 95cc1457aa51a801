package brief_test

import (
	"reflect"
	"regexp"
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata"
	"ullage/testdata/briefs"
)

// TestCommentedMeansTheSame holds that comments change nothing of a brief, that
// every key of the table stands in it, and that each of those that are offered as
// comments is taken when it is no longer one.
func TestCommentedMeansTheSame(t *testing.T) {
	offered := regexp.MustCompile(`^# ([a-z_]+ = .*)$`)
	for _, name := range testdata.Briefs() {
		src := briefs.Read(t, name+".toml")
		text := brief.Commented(src)
		want, err := brief.Parse(name, src)
		if err != nil {
			t.Fatal(err)
		}
		got, err := brief.Parse(name, text)
		if err != nil {
			t.Fatalf("%s with comments: %v", name, err)
		}
		got.Source, want.Source = nil, nil
		for i := range got.Vary { // pointers into the table
			got.Vary[i].Quantity, want.Vary[i].Quantity = nil, nil
		}
		if !reflect.DeepEqual(got.Rocket, want.Rocket) || !reflect.DeepEqual(got.Site, want.Site) || !reflect.DeepEqual(got.Vary, want.Vary) ||
			!reflect.DeepEqual(got.Search, want.Search) || len(got.Limits) != len(want.Limits) {
			t.Errorf("%s means something else with comments", name)
		}
		lines := strings.Split(string(text), "\n")
		tried := 0
		for i, line := range lines {
			m := offered.FindStringSubmatch(line)
			if m == nil || strings.HasPrefix(m[1], "class = ") { // whose text is in it
				continue
			}
			tried++
			with := append([]string{}, lines...)
			with[i] = m[1]
			for j := i; j >= 0; j-- { // its table may be a comment too
				if h := strings.TrimPrefix(lines[j], "# "); strings.HasPrefix(h, "[") {
					with[j] = h
					break
				}
			}
			_, err := brief.Parse(name, []byte(strings.Join(with, "\n")))
			if err != nil && (strings.Contains(err.Error(), "unknown key") || strings.Contains(err.Error(), "not TOML") || strings.Contains(err.Error(), "unit")) {
				t.Errorf("%s: with %q: %v", name, m[1], err)
			}
		}
		if tried < 15 {
			t.Errorf("%s offers %d more keys, want at least 15", name, tried)
		}
		for _, k := range brief.KeysOf("") {
			word := k.Name[strings.LastIndexByte(k.Name, '.')+1:]
			if !k.IsFigure && !regexp.MustCompile(`(?m)(^|[ {])`+word+` *=`).Match(text) {
				t.Errorf("%s lacks %s", name, k.Name)
			}
		}
	}
}

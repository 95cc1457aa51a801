package brief_test

import (
	"fmt"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

// A name of n letters may have (n + 1)/3 slips, and any one, to be taken for another;
// a slip is a letter too many, too few, another or in its neighbour's place.
func TestSlips(t *testing.T) {
	const letters = "abcdefghijklmn"
	for n := 1; n <= len(letters); n++ {
		name, most := letters[:n], max(1, (n+1)/3)
		for slips := range n + 1 {
			typed := strings.Repeat("Z", slips) + name[slips:]
			want := ""
			if slips <= most {
				want = name
			}
			if got := brief.NearestWord(typed, []string{"0123456789012345678901234567", name}); got != want {
				t.Errorf("%s, %d slips in %d letters: %q, want %q", typed, slips, n, got, want)
			}
		}
	}
	for typed, want := range map[string]string{
		"apoge": "apogee", "apogeee": "apogee", "apogxe": "apogee", "apgoee": "apogee", "paogee": "apogee", "apogee": "apogee",
		"paogxe": "apogee", "paoxge": "", "aspogexe": "apogee", "xaxpxogee": "apogee", "xaxpxoxgee": "",
	} {
		if got := brief.NearestWord(typed, []string{"margin", "apogee", "drift"}); got != want {
			t.Errorf("%s: %q, want %q", typed, got, want)
		}
	}
	if got := brief.NearestWord("bat", []string{"cat", "hat", "bats"}); got != "cat" {
		t.Errorf("of several as near %q, want the first", got)
	}
	if got := brief.NearestWord("bats", []string{"cat", "hats", "bat"}); got != "hats" {
		t.Errorf("of the nearest ones %q, want hats", got)
	}
}

// A brief may be 64 KiB large and nest eight deep; beyond either it is none.
func TestMostOfABrief(t *testing.T) {
	for _, c := range []struct {
		src  string
		want string
	}{
		{strings.Repeat("#", 64<<10), ""},
		{strings.Repeat("#", 64<<10+1), "more than 65536 bytes, want a brief"},
		{"a = " + strings.Repeat("[", 7) + strings.Repeat("]", 7), ""},
		{"a = " + strings.Repeat("[", 8) + strings.Repeat("]", 8), "nested deeper than 8, want a brief"},
		{strings.Repeat("b.", 7) + "b = 1", ""},
		{strings.Repeat("b.", 8) + "b = 1", "nested deeper than 8, want a brief"},
		{"[" + strings.Repeat("b.", 6) + "b]\nc = 1", ""},
		{"[" + strings.Repeat("b.", 7) + "b]\nc = 1", "nested deeper than 8, want a brief"},
	} {
		_, err := brief.Parse("x.toml", []byte(c.src))
		if got := facts(err); strings.Contains(got, "want a brief") != (c.want != "") || c.want != "" && got != c.want {
			t.Errorf("%.30s…: %q, want %q", c.src, got, c.want)
		}
	}
}

// A value that is set is written with as few digits as read back to it.
func TestFewestDigits(t *testing.T) {
	q := brief.QuantityByKey("fins.span")
	for _, v := range []float64{0.13, 0.1300001, 0.13000000001, 0.1234567890123456, 1. / 7, 0.1 + 0.2} {
		text := strings.TrimPrefix(q.Setting(v), "fins.span=")
		back, err := q.Read(text)
		number, unit, _ := strings.Cut(text, " ")
		if err != nil || back != v || unit != "mm" {
			t.Errorf("%v is set as %s, which reads as %v, %v", v, text, back, err)
		}
		digits := len(strings.TrimLeft(strings.ReplaceAll(number, ".", ""), "0"))
		for n := 1; n < digits; n++ {
			if shorter := fmt.Sprintf("%.*g mm", n, 1e3*v); digits > 6 {
				if less, err := q.Read(shorter); err == nil && less == v {
					t.Errorf("%v is set as %s, and %s reads as it too", v, text, shorter)
				}
			}
		}
	}
}

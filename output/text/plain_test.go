package text_test

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"ullage/output/text"
)

func TestPlain(t *testing.T) {
	for _, row := range []struct{ why, foreign, want string }{
		{"words", "Höhe über 100 m, naïve ° – 4½ l", "Höhe über 100 m, naïve ° – 4½ l"},
		{"other scripts", "水火箭 Ракета งานวัด", "水火箭 Ракета งานวัด"},
		{"an escape that colours", "a\x1b[31mNO-GO\x1b[0m", "a\uFFFD[31mNO-GO\uFFFD[0m"},
		{"one of 8 bits", "a\u009b2Jb", "a\uFFFD2Jb"},
		{"lines that look like ours", "x\nGO as planned\r\n\tset", "x GO as planned   set"},
		{"breaks of other kinds", "a\u2028b\u0085c", "a b c"},
		{"a name turned round", "a\u202egnp.exe\u2066b", "a\uFFFDgnp.exe\uFFFDb"},
		{"no width", "ad\u200bmin\ufeff\u00ad\u2060", "ad\uFFFDmin\uFFFD"},
		{"fillers and selectors", "a\u3164b\ufe0fc\u2800d\U000e0041e", "a\uFFFDb\uFFFDc\uFFFDd\uFFFDe"},
		{"no UTF-8", "a\xff\xfe\x00b", "a\uFFFDb"},
		{"accents as they are used", "Việt e\u0301", "Việt e\u0301"},
		{"a pile of marks", "a" + strings.Repeat("\u0301", 50) + "b", "a\u0301\u0301\u0301\uFFFDb"},
		{"as many marks as a letter may have, on two", "a\u0301\u0301\u0301b\u0301\u0301\u0301", "a\u0301\u0301\u0301b\u0301\u0301\u0301"},
		{"a mark on nothing", "\u0301a", "\uFFFDa"},
		{"a circle around a letter", "a\u20ddb", "a\u20ddb"},
		{"a mark that is not seen", "a\u034fb", "a\uFFFDb"},
		{"hidden, and hidden again after a letter", "\x00\x00a\x00\x00", "\uFFFDa\uFFFD"},
		{"nothing", "\x00", "\uFFFD"},
		{"ends", "  a  b ", "a  b"},
	} {
		if got := text.Plain(row.foreign, 120); got != row.want {
			t.Errorf("%s: Plain(%q) = %q, want %q", row.why, row.foreign, got, row.want)
		}
	}
	for _, r := range "\n\r\t\v\f\u0085\u2028\u2029" {
		if got := text.Plain("a"+string(r)+"b", 120); got != "a b" {
			t.Errorf("%U is %q, want a space", r, got)
		}
	}
	for most, want := range map[int]string{0: "…", 1: "…", 3: "ää…", 4: "ääää", 5: "ääää"} {
		if got := text.Plain("ääää", most); got != want {
			t.Errorf("Plain of 4 characters in %d = %q, want %q", most, got, want)
		}
	}
}

// Whatever comes in, what comes out is one line of bounded length without a
// character that a terminal or an eye does not see for what it is; and it is
// safe already.
func FuzzPlain(f *testing.F) {
	for _, seed := range []string{"a\x1b]0;x\a", "\u202e\u200b\ufeff", "a\u0301\u0301\u0301\u0301", "\xff\n\t", strings.Repeat("x", 300), "\U000e0001\U0001f680"} {
		f.Add(seed, 120)
	}
	f.Fuzz(func(t *testing.T, foreign string, most int) {
		most = 1 + (most&0x7fffffff)%500
		got := text.Plain(foreign, most)
		if !utf8.ValidString(got) || utf8.RuneCountInString(got) > most {
			t.Fatalf("Plain(%q, %d) = %q: no UTF-8, or %d characters", foreign, most, got, utf8.RuneCountInString(got))
		}
		marks := 0
		for _, r := range got {
			if !unicode.IsGraphic(r) || unicode.In(r, unicode.Cf, unicode.Other_Default_Ignorable_Code_Point, unicode.Bidi_Control) {
				t.Fatalf("Plain(%q, %d) = %q: holds %U", foreign, most, got, r)
			}
			if marks++; !unicode.In(r, unicode.Mn, unicode.Me) {
				marks = 0
			}
			if marks > 3 {
				t.Fatalf("Plain(%q, %d) = %q: %d marks on a letter", foreign, most, got, marks)
			}
		}
		if again := text.Plain(got, most); again != got {
			t.Fatalf("Plain(%q, %d) = %q, then %q", foreign, most, got, again)
		}
	})
}

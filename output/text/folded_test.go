package text_test

import (
	"strings"
	"testing"

	"ullage/output/text"
)

// What has no room is counted, and a line is never longer than its width as long as
// a count has room.
func TestFit(t *testing.T) {
	words := []string{"drift", "margin", "höhe"}
	for _, row := range []struct {
		words []string
		width int
		want  string
	}{
		{words, 19, "drift, margin, höhe"},
		{words, 18, "drift, margin +1"},
		{words, 16, "drift, margin +1"},
		{words, 15, "drift +2"},
		{words, 8, "drift +2"},
		{words, 7, "3 limits"},
		{words, -3, "3 limits"},
		{words[2:], 4, "höhe"},
		{words[2:], 3, "1 limits"},
		{nil, 9, ""},
		{nil, -1, ""},
	} {
		if got := text.Fit(row.words, row.width, "limits"); got != row.want {
			t.Errorf("Fit(%q, %d) = %q, want %q", row.words, row.width, got, row.want)
		}
	}
}

// Prose takes the whole width and no more, the mark counted; what is folded stands
// under the first words.
func TestFolded(t *testing.T) {
	for _, mark := range []string{"", "  ", "[ ] "} {
		indent := strings.Repeat(" ", len(mark))
		fits := strings.Repeat("x", text.LineWidth-len(mark)-2) + " y"
		if got, want := text.Folded(mark, fits, "z"), mark+fits+"\n"+mark+"z\n"; got != want {
			t.Errorf("Folded(%q) of what just fits = %q, want %q", mark, got, want)
		}
		longer := fits + "y"
		if got, want := text.Folded(mark, longer, ""), mark+longer[:len(fits)-2]+"\n"+indent+"yy\n"; got != want {
			t.Errorf("Folded(%q) of one more = %q, want %q", mark, got, want)
		}
	}
}

func TestCount(t *testing.T) {
	for n, want := range map[int]string{0: "0 designs", 1: "1 design", 2: "2 designs"} {
		if got := text.Count(n, "design"); got != want {
			t.Errorf("Count(%d) = %q, want %q", n, got, want)
		}
	}
}

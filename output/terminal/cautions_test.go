package terminal_test

import (
	"strings"
	"testing"

	"ullage/output/terminal"
	"ullage/testdata/briefs"
)

// TestBriefCautions edits a brief that nothing is said of into ones that may
// well be meant otherwise.
func TestBriefCautions(t *testing.T) {
	for _, row := range []struct {
		edits []string // pairs of what stands there and what takes its place
		want  string
	}{
		{nil, ""},
		{[]string{`temperature = "17 degC"`, `temperature = "-30 degC"`}, "At -30 degC water freezes, "},
		{[]string{`"chamber.fill"     = 0.006`, `"chamber.fill" = "200 %"`}, "The scatter of chamber.fill is wide: one deviation from 0.13 leaves what it can be, 0.01 to 0.95. "},
		{[]string{`name = "canopy and line"`, `name = "pressure chamber"`}, `More than one part is named "pressure chamber": is one written twice? `},
		{[]string{`line = "400 N"`, "line = \"400 N\"\nmass = \"50 g\"\nstation = \"220 mm\""}, `A part is named "canopy and line", and recovery.mass is that of canopy and line: is it written twice? `},
	} {
		b := briefs.Parse(t, briefs.Edited(t, "field-day.toml", row.edits...))
		if got := strings.Join(terminal.BriefCautions(b), "\n"); !strings.HasPrefix(got, row.want) || (row.want == "") != (got == "") {
			t.Errorf("%q: %q, want %q", row.edits, got, row.want)
		}
	}
}

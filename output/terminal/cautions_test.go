package terminal_test

import (
	"strings"
	"testing"

	"ullage/model"
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
		{[]string{`temperature = "17 degC"`, `temperature = "0 degC"`}, ""},
		{[]string{`temperature = "17 degC"`, `temperature = "-0.1 degC"`}, "At -0.1 degC water freezes, "},
		{[]string{`"chamber.fill"     = 0.006`, `"chamber.fill" = 0.11`}, ""}, // 0.02 to 0.24
		{[]string{`"chamber.fill"     = 0.006`, `"chamber.fill" = 0.125`}, "The scatter of chamber.fill is wide: one deviation from 0.13 leaves what it can be, "},
		{[]string{`fill     = 0.13 `, `fill = 0.9 `, `"chamber.fill"     = 0.006`, `"chamber.fill" = 0.049`}, ""}, // up to 0.949
		{[]string{`fill     = 0.13 `, `fill = 0.9 `, `"chamber.fill"     = 0.006`, `"chamber.fill" = 0.06`}, "The scatter of chamber.fill is wide: one deviation from 0.9 leaves what it can be, "},
		{[]string{`name = "canopy and line"`, `name = "line"`, `line = "400 N"`, "line = \"400 N\"\nmass = \"50 g\"\nstation = \"220 mm\""}, ""},
		{[]string{`name = "canopy and line"`, `name = "Canopy bay"`, `line = "400 N"`, "line = \"400 N\"\nmass = \"50 g\"\nstation = \"220 mm\""}, `A part is named "Canopy bay", and recovery.mass is `},
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

// A name that several parts have is said once, however many have it; parts without a
// name are not told apart by theirs.
func TestSameNames(t *testing.T) {
	b := briefs.Demo(t, "field-day.toml")
	b.Rocket.Parts = nil
	for _, name := range []string{"", "", "a", "b", "a", "a", "c", "b"} {
		b.Rocket.Parts = append(b.Rocket.Parts, model.Part{Name: name})
	}
	got := strings.Join(terminal.BriefCautions(b), "\n")
	if strings.Count(got, "More than one part") != 2 || !strings.Contains(got, `"a"`) || !strings.Contains(got, `"b"`) {
		t.Errorf("of a three times and b twice: %s", got)
	}
}

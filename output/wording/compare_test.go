package wording_test

import (
	"slices"
	"testing"

	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/wording"
)

// Of each run it is said which of its designs which run beats, or that none is.
func TestBeaten(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()[:2]
	rows[0].Design, rows[1].Design = 1, 2
	c := &output.Comparison{Goals: b.Goals, Runs: []output.Compared{
		{Name: "calm", Brief: b, Rows: rows, Beaten: []output.Beater{{Run: 1, Design: 4}, {Run: -1}}},
		{Name: "windy", Brief: b, Rows: rows, Beaten: []output.Beater{{Run: -1}, {Run: -1}}},
		{Name: "late", Brief: b, Rows: rows, Beaten: []output.Beater{{Run: 0, Design: 1}, {Run: 1, Design: 2}}},
	}}
	want := []string{
		"windy beats 1 of the 2 designs of calm: 1",
		"no design of windy is beaten",
		"calm beats 1 of the 2 designs of late: 1",
		"windy beats 1 of the 2 designs of late: 2",
	}
	if got := wording.Beaten(c)[1:]; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

package scatter

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"ullage/testdata/briefs"
	"ullage/testdata/kept"
)

// What is drawn is what was drawn when it was last looked at, for every purpose,
// few flights and many, of days and not: a brief's chances stay what they were.
func TestDrawsAreAsKept(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	write := func(what string, rows [][]float64) {
		fmt.Fprintf(&out, "%s\n", what)
		for _, row := range rows {
			for _, z := range row {
				out.WriteString(" " + strconv.FormatFloat(z, 'g', -1, 64))
			}
			out.WriteString("\n")
		}
	}
	days := briefs.Scattering(t, briefs.ADay)
	for p := Search; p <= Screening; p++ {
		write(fmt.Sprintf("purpose %d, 20 flights, two a day; the first four", p), New(days, p, 20, 2, 7).z[:4])
	}
	write("six flights of three days, matched", New(days, Search, 6, 2, 7).z)
	write("three flights, matched", New(briefs.Scattering(t, ""), Search, 3, 1, 8).z)
	usual, _ := ForCall(briefs.Demo(t, "bottle.toml"), 20, 7)
	write("a call without a scatter of its own; the first four of 20", usual.z[:4])
	own, _ := ForCall(days, 20, 7)
	write("a call with one", own.z[:4])
	doubts := ForDoubts(days, 20, 7)
	write("doubts", doubts.z[:4])
	write("rows of no law", Normals(Forecast, 20, 3, 7)[:4])

	fmt.Fprintf(&out, "what the doubts make of the rocket\n")
	for i := range 4 {
		r, s := days.Rocket, days.Site
		doubts.At(i, &days.Rocket, &days.Site, &r, &s)
		for k := range doubts.laws {
			l := &doubts.laws[k]
			fmt.Fprintf(&out, " %s %s", l.Key, strconv.FormatFloat(l.Value(&r, &s), 'g', -1, 64))
		}
		out.WriteString("\n")
	}
	kept.Same(t, "draws.txt", out.String())
}

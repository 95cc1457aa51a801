package terminal

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/output"
)

// Indices returns the indices for a terminal, number by number, the
// quantity with the largest part first.
func Indices(rows []output.IndexRow) string {
	width := len("quantity")
	for _, r := range rows {
		width = max(width, len(r.Quantity))
	}
	var b strings.Builder
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].Number == rows[0].Number {
			n++
		}
		group := slices.Clone(rows[:n])
		rows = rows[n:]
		fmt.Fprintf(&b, "%s, from %d rows\n", group[0].Number, group[0].Rows)
		if math.IsNaN(float64(group[0].Total.Value)) {
			b.WriteString("  does not vary, or is not known\n")
			continue
		}
		slices.SortStableFunc(group, func(x, y output.IndexRow) int { return cmp.Compare(y.Total.Value, x.Total.Value) })
		fmt.Fprintf(&b, "  %-*s  %14s  %14s\n", width, "quantity", "alone", "with others")
		for _, r := range group {
			fmt.Fprintf(&b, "  %-*s  %14s  %14s\n", width, r.Quantity, estimate(r.First), estimate(r.Total))
		}
	}
	b.WriteString("alone: share of the variance that goes away once the quantity is known\n" +
		"with others: share that stays while only it is unknown; more where it acts through others\n")
	return b.String()
}

// estimate writes an index with half the width of its interval. One that
// rounds to nothing has no sign.
func estimate(x output.Estimate) string {
	v := math.Round(float64(x.Value)*1e3) / 1e3
	if v == 0 {
		v = 0 // not its negative
	}
	return fmt.Sprintf("%.3f ± %.3f", v, (x.High-x.Low)/2)
}

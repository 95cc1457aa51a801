package study

import (
	"fmt"
	"io"
	"testing"

	"ullage/testdata/briefs"
	"ullage/testdata/processors"
)

// The front of a robust search, with its proof and all that its rows tell, is
// the same on any processor that runs this build, and so are the call and the
// scatter of its first design.
func TestSameOnEveryProcessor(t *testing.T) {
	processors.Same(t, func(w io.Writer) {
		b := briefs.Roomy(t, nil, "search.robust.draws=60", "search.robust.confidence=0.9", "search.flights=3000", "search.front=5")
		_, o := searched(t, b)
		front := Settle(t.Context(), b, &o, 2)
		if !front.Met {
			t.Fatal("no design is proved")
		}
		for i, row := range front.Rows {
			_, _ = fmt.Fprintln(w, row.X, row.Outcome, row.Warnings, row.Figures, row.Slacks, *row.Proof, front.Paths[i])
		}
		x := front.Rows[0].X
		rocket, site := b.At(x)
		call, scattered := NewCaller(b).Call(&rocket, &site), Scatterer(b, 40, 9)(x)
		_, _ = fmt.Fprintln(w, call, scattered)
	})
}

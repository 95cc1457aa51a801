package sweep_test

import (
	"fmt"
	"io"
	"testing"

	"ullage/optimize/sweep"
	"ullage/testdata/processors"
)

// The points of every plan and the indices drawn from them are the same on any
// processor that runs this build.
func TestSameOnEveryProcessor(t *testing.T) {
	processors.Same(t, func(w io.Writer) {
		for _, k := range []known{product(), line()} {
			d := len(k.variables)
			p := sweep.Saltelli(k.variables, 500, 1)
			_, _ = fmt.Fprintln(w, list(p, d), sweep.Sensitivity(k.outputs(p), d))
			_, _ = fmt.Fprintln(w, list(sweep.Draws(k.variables, 500, 1), d))
		}
	})
}

package constraints

import (
	"fmt"
	"io"
	"testing"

	"ullage/testdata/processors"
)

// Bounds on chances and what they need are the same on any processor that runs
// this build.
func TestSameOnEveryProcessor(t *testing.T) {
	processors.Same(t, func(w io.Writer) {
		for n := 1; n < 300; n += 7 {
			for met := range n + 1 {
				_, _ = fmt.Fprintln(w, Chance{met, n}.AtLeast())
			}
		}
	})
}

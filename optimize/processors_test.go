package optimize

import (
	"fmt"
	"io"
	"testing"

	"ullage/testdata/problems"
	"ullage/testdata/processors"
)

// Every byte that short searches of several kinds pass on and find is the same
// on any processor that runs this build.
func TestSameOnEveryProcessor(t *testing.T) {
	processors.Same(t, func(w io.Writer) {
		for _, c := range []struct {
			known
			Settings
		}{
			{osy(), Settings{Flights: 4000, Islands: 3}},
			{dtlz2(3), Settings{Flights: 2000, Islands: 1}},
			{dtlz2(4), Settings{Flights: 2000, Islands: 2}},
			{stepped(), Settings{Flights: 2100, Islands: 2}},
			{knownOf(problems.Vessel()), Settings{Flights: 2000, Islands: 2}},
			{zdt3(), Settings{Flights: 3050, Islands: 2, Algorithm: Reference}},
		} {
			c.Seed = 12345
			run := Local(&c.Problem, c.Settings, 2)
			o, err := Continue(t.Context(), &c.Problem, c.Settings, State{}, run, func(st State) error {
				data, err := st.MarshalBinary()
				_, _ = w.Write(data)
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			_, _ = fmt.Fprintln(w, o, Choose(o.Archive, 20))
		}
	})
}

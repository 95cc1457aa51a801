package fit

import (
	"fmt"
	"io"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
	"ullage/testdata/processors"
)

// TestSameOnEveryProcessor holds that a fit, what it says of the next flight and
// the numbers that the package works out on the way do not hang on what the
// processor can do. A verb of %v prints every bit of a number.
func TestSameOnEveryProcessor(t *testing.T) {
	processors.Same(t, func(w io.Writer) {
		keep := func(values ...any) { _, _ = fmt.Fprintln(w, values...) }
		site := model.Site{Temperature: 291.3, Pressure: 98765, Humidity: 0.4}
		for k := range 50 {
			x := float64(k) / 7
			u, times := []float64{0, x, 3 * x, x}, []float64{0, 0.1, 0.1 + x/9, 1 + x}
			filter(u, times, 0.13)
			keep(u, student(0.9, k+1), heightAt(&site, 98765-40*x, 98765), SeaLevel.stretch(&site))
		}
		s, err := Solve(&Problem{Count: 20, Residuals: func(x, dst []float64) bool {
			for i := range dst {
				at := float64(i) / 5
				dst[i] = x[0]/(1+x[1]*at) - 1/(1+at*at)
			}
			return true
		}}, []float64{2, 0.1})
		if err != nil {
			t.Fatal(err)
		}
		spread := newSpreadOf(s.Jacobian)
		keep(s.X, mat.Col(nil, 1, s.Jacobian), spread.variance(0), spread.condition)

		b := demo(t)
		r := fitted(t, b, flown(t))
		for _, e := range r.Estimates {
			keep(e.Key, e.Value, e.Deviation, e.Low, e.High)
		}
		keep(r.Correlation, r.Condition, r.Deviance, r.Logs)
		next := r.Next(b, 40, 1)
		for _, f := range next.Figures {
			keep(f.Key, f.Value, f.Low, f.High)
		}
		keep(next.Path)
	})
}

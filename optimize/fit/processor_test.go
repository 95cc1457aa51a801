package fit

import (
	"fmt"
	"hash/fnv"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
)

// TestSameOnEveryProcessor holds that what this package computes by itself does
// not hang on what the processor can do: a child process that may not fuse
// multiplications with additions, nor use any other choice of its own, finds the
// same bits.
func TestSameOnEveryProcessor(t *testing.T) {
	const mark = "ULLAGE_FIT_BITS"
	if os.Getenv(mark) != "" {
		fmt.Println("bits:", bits())
		return
	}
	for _, off := range []string{"cpu.fma=off", "cpu.all=off"} {
		child := exec.Command(os.Args[0], "-test.run=^TestSameOnEveryProcessor$")
		child.Env = append(os.Environ(), mark+"=1", "GODEBUG="+off)
		out, err := child.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", off, err, out)
		}
		_, is, found := strings.Cut(string(out), "bits: ")
		is, _, _ = strings.Cut(is, "\n")
		if want := bits(); !found || is != want {
			t.Errorf("%s: %s, want %s", off, is, want)
		}
	}
}

// bits returns a digest of numbers of every kind that the package computes
// without the model.
func bits() string {
	digest := fnv.New64a()
	keep := func(values ...float64) {
		for _, v := range values {
			fmt.Fprintf(digest, "%x ", math.Float64bits(v))
		}
	}
	site := model.Site{Temperature: 291.3, Pressure: 98765, Humidity: 0.4}
	for k := range 50 {
		x := float64(k) / 7
		u, times := []float64{0, x, 3 * x, x}, []float64{0, 0.1, 0.1 + x/9, 1 + x}
		filter(u, times, 0.13)
		keep(u...)
		keep(student(0.9, k+1), heightAt(&site, 98765-40*x, 98765), SeaLevel.stretch(&site))
	}
	s, err := Solve(&Problem{Count: 20, Residuals: func(x, dst []float64) bool {
		for i := range dst {
			at := float64(i) / 5
			dst[i] = x[0]/(1+x[1]*at) - 1/(1+at*at)
		}
		return true
	}}, []float64{2, 0.1})
	if err != nil {
		panic(err)
	}
	keep(s.X...)
	keep(mat.Col(nil, 1, s.Jacobian)...)
	spread := newSpreadOf(s.Jacobian)
	keep(spread.variance(0), spread.condition)
	return fmt.Sprintf("%x", digest.Sum(nil))
}

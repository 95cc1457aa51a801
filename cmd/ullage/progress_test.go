package main

import (
	"bytes"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"ullage/optimize"
)

// slow is a problem whose every flight takes two seconds and meets its limit
// but for those of a negative first variable.
func slow() *optimize.Problem {
	return &optimize.Problem{Goals: 1, Limits: 1, Evaluator: func() func([]float64, *optimize.Result) {
		return func(x []float64, r *optimize.Result) {
			time.Sleep(2 * time.Second)
			r.Violations = []float64{max(0, -x[0])}
		}
	}}
}

func TestOffATerminalALineAMinute(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var out bytes.Buffer
		p := slow()
		w := streams{err: &out}.watch(p, optimize.State{}, 200, false)
		evaluate := p.Evaluator()
		for i := range 45 { // 90 s
			x := 1.0
			if i%3 == 0 {
				x = -1
			}
			evaluate([]float64{x}, new(optimize.Result))
		}
		w.barrier(optimize.Record{Island: 1, Hypervolume: 12.34567})
		time.Sleep(45 * time.Second)
		w.stop()
		lines := strings.Split(strings.TrimSpace(out.String()), "\n")
		if len(lines) != 2 {
			t.Fatalf("%d lines in 135 s, want 2: %q", len(lines), lines)
		}
		// 45 flights in 120 s are 0.375 a second; two in three are feasible.
		want := "flights=45 of=200 flights_per_second=0.4 feasible_percent=67 hypervolume=12.35"
		if !strings.HasSuffix(lines[1], want) {
			t.Errorf("line %q, want it to end in %q", lines[1], want)
		}
	})
}

func TestQuietShowsNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var out bytes.Buffer
		w := streams{err: &out}.watch(slow(), optimize.State{}, 200, true)
		time.Sleep(3 * time.Minute)
		w.stop()
		if out.Len() > 0 {
			t.Errorf("quiet wrote %q", out.String())
		}
	})
}

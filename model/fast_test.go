package model

import (
	"math"
	"math/rand/v2"
	"syscall"
	"testing"
)

// The table stands for the formula of its doc comment.
func TestTurbulentTable(t *testing.T) {
	for re := 300.0; re < 1e11; re *= 1.00037 {
		got, want := turbulent(re), 0.455/math.Pow(math.Log10(re), 2.58)
		if math.Abs(got/want-1) > 2e-8 {
			t.Fatalf("turbulent(%g) = %.12g, want %.12g", re, got, want)
		}
	}
}

func cpuNow() int64 {
	var u syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return u.Utime.Nano()
}

func BenchmarkCPU(b *testing.B) {
	g := rand.New(rand.NewPCG(1, 2))
	var rs []*Rocket
	var site *Site
	for range 64 {
		r, s := randomDesign(g)
		rs = append(rs, r)
		site = s
	}
	sc := NewScratch()
	c := cpuNow()
	n := 0
	ev := 0
	for b.Loop() {
		f := Fly(rs[n%64], site, sc)
		ev += f.Evaluations
		n++
	}
	b.ReportMetric(float64(cpuNow()-c)/float64(n), "cpu-ns/flight")
	b.ReportMetric(float64(ev)/float64(n), "evals")
}

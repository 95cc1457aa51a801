package model

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"ullage/model/air"
	"ullage/model/ode"
)

// near compares within a relative tolerance.
func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, rel)
	}
}

// table reads a table of check values; its source stands in its first lines.
func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "checks", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %d lines, %v", name, len(lines), err)
	}
	rows := make([][]float64, len(lines)-1)
	for i, line := range lines[1:] {
		for _, field := range line {
			v, err := strconv.ParseFloat(field, 64)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			rows[i] = append(rows[i], v)
		}
	}
	return rows
}

// A system is one whose rates do not depend on the time.
type system func(y, dydt []float64)

func (f system) Rates(_ float64, y, dydt []float64) { f(y, dydt) }

// integrate solves y′ = rates from y at 0 until the first component that
// level gives falls through 0, and returns the time; y holds the state then.
func integrate(t *testing.T, y []float64, level func(y []float64) float64, rates func(y, dydt []float64)) float64 {
	t.Helper()
	s := ode.NewSolver(len(y))
	s.System = system(rates)
	copy(s.Y, y)
	s.Rel = 1e-11
	for i := range y {
		s.Abs[i] = 1e-13
	}
	s.Start(0, 1e-5)
	for range 100_000 {
		if !s.Step(1e6) {
			t.Fatalf("integration stopped at %v: %v", s.T, s.Y)
		}
		if after := level(s.Y); after < 0 {
			at := ode.Root(func(t float64) float64 { s.At(t, y); return level(y) }, s.T0, level(s.Begin()), s.T, after, 1e-12)
			s.At(at, y)
			return at
		}
	}
	t.Fatal("level never reached")
	return 0
}

// uniform is air of constant density whose speed of sound is so high that
// every Mach number is 0: a hot column hardly thins with height.
func uniform(rho float64) air.Column {
	const hot = 1e9 // K
	return air.NewColumn(hot, rho*air.GasConstant*hot, 0, 0, 0)
}

// constantDrag is a drag coefficient that does not depend on speed.
func constantDrag(cd float64) drag {
	return drag{bodyPerCf: 1e-30, fixed: cd, scale: 1, length: 1, finShare: 1, finRoot: 1}
}

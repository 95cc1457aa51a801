package scatter

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ullage/testdata/briefs"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
)

func columns(d *Draws) *mat.Dense {
	m := mat.NewDense(len(d.z), len(d.z[0]), nil)
	for i, row := range d.z {
		m.SetRow(i, row)
	}
	return m
}

// TestDrawMoments holds many draws against the normal distribution cut at
// three deviations, whose own deviation is 0.98658.
//
//	1 − 2·3 φ(3) / (2 Φ(3) − 1) = 0.97334
func TestDrawMoments(t *testing.T) {
	b := briefs.Scattering(t, briefs.ADay)
	d := New(b, Report, 2000, 2, 1)
	m := columns(d)
	_, wide := m.Dims()
	if wide != 7 {
		t.Fatalf("%d columns, want 2 of a day and 5 of a flight", wide)
	}
	column := make([]float64, 2000)
	for j := range wide {
		mat.Col(column, j, m)
		mean, deviation := constraints.Moments(column)
		// A stratified sample of n: each stratum errs by less than its width,
		// so the mean by far less than 1/√n.
		if math.Abs(mean) > 0.005 || math.Abs(deviation-0.98658) > 0.005 {
			t.Errorf("column %d: mean %v, deviation %v, want 0 and 0.98658", j, mean, deviation)
		}
		if slices.Min(column) < -3 || slices.Max(column) > 3 {
			t.Errorf("column %d: %v to %v, want it cut at 3 deviations", j, slices.Min(column), slices.Max(column))
		}
		other := make([]float64, 2000)
		for k := range j {
			mat.Col(other, k, m)
			// Four deviations of the correlation of 1000 independent pairs.
			if c := stat.Correlation(column, other, nil); math.Abs(c) > 4/math.Sqrt(1000) {
				t.Errorf("columns %d and %d: correlation %v", j, k, c)
			}
		}
	}
	for i := 0; i < 2000; i += 2 {
		if !slices.Equal(d.z[i][:2], d.z[i+1][:2]) || slices.Equal(d.z[i][2:], d.z[i+1][2:]) {
			t.Fatalf("flights %d and %d of a day: %v, %v; want the day's bias the same, the rest not", i, i+1, d.z[i], d.z[i+1])
		}
	}
}

// TestFewDraws has the moments of the search's draws exact, and no two columns
// nearly the same. Five columns of four numbers with mean 0 lie in three
// dimensions: their squared correlations sum to at least 5 (5 − 3) / (2·3).
func TestFewDraws(t *testing.T) {
	b := briefs.Scattering(t, "")
	for seed := range uint64(10) {
		m := columns(New(b, Search, 4, 1, seed))
		column := make([]float64, 4)
		for j := range 5 {
			mat.Col(column, j, m)
			if mean, deviation := constraints.Moments(column); math.Abs(mean) > 1e-15 || math.Abs(deviation-1) > 1e-12 {
				t.Errorf("seed %d column %d: mean %v, deviation %v; want 0 and 1", seed, j, mean, deviation)
			}
		}
		if c := correlation(m); c < 5.0/3-1e-9 || c > 2*5.0/3 {
			t.Errorf("seed %d: squared correlations sum to %v, want from the least possible, 1.667, to twice that", seed, c)
		}
	}
}

func TestDrawsDiffer(t *testing.T) {
	b := briefs.Scattering(t, "")
	of := func(p Purpose, seed uint64) []float64 { return New(b, p, 20, 1, seed).z[7] }
	if !slices.Equal(of(Proof, 1), of(Proof, 1)) {
		t.Error("one seed and purpose gives different draws")
	}
	if slices.Equal(of(Proof, 1), of(Proof, 2)) || slices.Equal(of(Proof, 1), of(Report, 1)) {
		t.Error("another seed or purpose gives the same draws")
	}
}

// TestCommonDraws puts two designs under the same draws: each is moved by the
// same number of its own deviations.
func TestCommonDraws(t *testing.T) {
	b := briefs.Scattering(t, briefs.ADay)
	d := New(b, Proof, 60, 1, 3)
	a, c := []float64{0.15, 0.012, 0.25, 0.1, 4.8}, []float64{0.1, 0.009, 0.4, 0.2, 7}
	for i := range d.z {
		moved := func(x []float64) []float64 {
			r, s := b.At(x)
			own, around := r, s
			d.At(i, &own, &around, &r, &s)
			var by []float64
			for _, of := range b.Scatter {
				nominal := of.Value(&own, &around)
				by = append(by, (of.Value(&r, &s)-nominal)/of.Sigma(nominal))
			}
			return by
		}
		x, y := moved(a), moved(c)
		for k := range x {
			// Rounding of sums a hundred times a deviation.
			if math.Abs(x[k]-y[k]) > 1e-12 {
				t.Fatalf("draw %d: %s moves by %v deviations in one design, %v in the other", i, b.Scatter[k].Key, x[k], y[k])
			}
		}
		// The wind has its own scatter and a day's, of 1 and 2 m/s.
		if got, want := x[4], d.z[i][2+4]+2*d.z[i][0]; math.Abs(got-want) > 1e-12 {
			t.Fatalf("draw %d: wind moves by %v deviations, want %v", i, got, want)
		}
	}
}

// TestCut keeps draws below the proof pressure and within the range of
// validity, in their order and without heaping them on the bound.
func TestCut(t *testing.T) {
	b := briefs.Scattering(t, `"site.humidity" = 0.3
`, "chamber.pressure=22 bar", "chamber.proof=22.2 bar")
	d := New(b, Proof, 500, 1, 1)
	seen := map[float64]bool{}
	for i := range d.z {
		r, s := b.Rocket, b.Site
		d.At(i, &b.Rocket, &b.Site, &r, &s)
		if r.Chamber.Pressure >= 22.2e5 || r.Chamber.Pressure < 22e5*(1-3*0.015)-1 {
			t.Errorf("draw %d: %v Pa, want within three deviations and below the proof pressure", i, r.Chamber.Pressure)
		}
		if s.Humidity < 0 || s.Humidity > 1 {
			t.Errorf("draw %d: humidity %v, want 0 to 1", i, s.Humidity)
		}
		if seen[r.Chamber.Pressure] {
			t.Errorf("draw %d: %v Pa twice", i, r.Chamber.Pressure)
		}
		seen[r.Chamber.Pressure] = true
	}
	s := &Laws(b.Scatter)[0]
	last := math.Inf(-1)
	for z := -3.0; z <= 3; z += 0.25 {
		r, site := b.Rocket, b.Site
		s.Deviate(z, r.Chamber.Pressure, &r, &site)
		if r.Chamber.Pressure <= last {
			t.Errorf("%v deviations: %v Pa, want more than %v", z, r.Chamber.Pressure, last)
		}
		last = r.Chamber.Pressure
	}
	// A design that is set beyond a bound stays on it, or as near as may be.
	r, site := b.Rocket, b.Site
	r.Chamber.Pressure = 30e5
	s.Deviate(1, r.Chamber.Pressure, &r, &site)
	if r.Chamber.Pressure != 22.2e5 {
		t.Errorf("set 17 deviations above the proof pressure: %v Pa, want that", r.Chamber.Pressure)
	}
	s = &Laws(b.Scatter)[slices.IndexFunc(b.Scatter, func(s brief.Scatter) bool { return s.Key == "site.humidity" })]
	site.Humidity = -2
	if s.Deviate(1, site.Humidity, &r, &site); site.Humidity != 0 {
		t.Errorf("set far below no humidity: %v, want 0", site.Humidity)
	}
}

// TestBoundCovers counts how often the exact bound from a Latin hypercube lies
// below the true chance, for a limit on one quantity and for one on the sum of
// two.
func TestBoundCovers(t *testing.T) {
	const trials, n = 1500, 60
	for _, row := range []struct {
		why   string
		holds func(z []float64) bool
	}{
		{"one quantity", func(z []float64) bool { return z[0] < 1 }},
		{"a sum of two", func(z []float64) bool { return z[0]+z[1] < 1.4 }},
		{"a distance", func(z []float64) bool { return z[0]*z[0]+z[1]*z[1] < 3 }},
	} {
		// The truth, to 0.0005.
		rng := rand.New(rand.NewPCG(5, 6))
		const many = 400_000
		truth := 0
		for range many {
			z := []float64{between(-3, 3, rng.Float64()), between(-3, 3, rng.Float64())}
			if row.holds(z) {
				truth++
			}
		}
		src := rand.NewPCG(1, 1)
		covered := 0
		for range trials {
			m, met := normals(n, 2, src), 0
			for i := range n {
				if row.holds(m.RawRowView(i)) {
					met++
				}
			}
			if (constraints.Chance{Met: met, Flights: n}).AtLeast() <= float64(truth)/many {
				covered++
			}
		}
		// Three deviations of the share of the trials.
		least := constraints.Level - 3*math.Sqrt(constraints.Level*(1-constraints.Level)/trials)
		if got := float64(covered) / trials; got < least {
			t.Errorf("%s: the bound covers %.4f of the trials, want at least %.4f", row.why, got, least)
		}
	}
}

// TestNominalIsUndrawn flies no scatter where every deviation is 0.
func TestNominalIsUndrawn(t *testing.T) {
	b := briefs.Scattering(t, briefs.ADay)
	d := &Draws{laws: Laws(slices.Concat(b.Day, b.Scatter)), PerDay: 1, z: [][]float64{make([]float64, 7)}}
	r, s := b.Rocket, b.Site
	d.At(0, &b.Rocket, &b.Site, &r, &s)
	scratch := model.NewScratch()
	if got, want := model.Fly(&r, &s, scratch), model.Fly(&b.Rocket, &b.Site, scratch); got != want {
		t.Errorf("flight with no deviation = %+v, want %+v", got, want)
	}
}

// TestNormals are those of New, for as many laws.
func TestNormals(t *testing.T) {
	b := briefs.Scattering(t, "")
	for wide := len(b.Scatter); wide > 0; wide -= 2 { // 5, 3, 1
		b.Scatter = b.Scatter[:wide]
		d, rows := New(b, Forecast, 40, 1, 5), Normals(Forecast, 40, wide, 5)
		for i := range rows {
			if !slices.Equal(rows[i], d.z[i]) {
				t.Errorf("%d wide, row %d: %v, New draws %v", wide, i, rows[i], d.z[i])
			}
		}
	}
	if rows := Normals(Forecast, 3, 0, 5); len(rows) != 3 || len(rows[0]) != 0 {
		t.Errorf("rows of nothing: %v", rows)
	}
}

// TestOnlyADay draws where flights of a day do not differ.
func TestOnlyADay(t *testing.T) {
	b := briefs.Scattering(t, briefs.ADay)
	b.Scatter = nil
	d := New(b, Report, 20, 2, 1)
	for i := 0; i < 20; i += 2 {
		if !slices.Equal(d.z[i], d.z[i+1]) || len(d.z[i]) != len(b.Day) {
			t.Errorf("flights %d and %d of a day: %v, %v", i, i+1, d.z[i], d.z[i+1])
		}
	}
}

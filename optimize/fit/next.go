package fit

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"ullage/model"
	"ullage/optimize/brief"
)

// A Band is what to expect of flights to come: 90 % of them lie in it, if the
// model and the brief's scatter are right.
type Band struct {
	Flights int // that landed, of Draws
	Draws   int
	Figures []BandFigure
	Path    []BandPoint // evenly over the time of the flight as fitted
}

// A BandFigure is one figure of the flights to come, SI.
type BandFigure struct {
	model.FigureInfo
	Value, Low, High float64 // as fitted; 5 % lie below, 5 % above
}

// A BandPoint is the height of the flights to come at one time.
type BandPoint struct {
	Time, Height, Low, High float64 // s, m
}

var bandFigures = []model.Figure{
	model.Apogee, model.ApogeeTime, model.MaxSpeed, model.Acceleration, model.GuideSpeed,
	model.DeploySpeed, model.LandingSpeed, model.FlightTime, model.Drift,
}

const bandPoints = 100

// Fitted returns a rocket and a site with the fitted values.
func (r *Result) Fitted(rocket model.Rocket, site model.Site) (model.Rocket, model.Site) {
	for _, e := range r.Estimates {
		e.Set(&rocket, &site, e.Value)
	}
	return rocket, site
}

// Next flies the brief with the fitted values, drawn together from what the
// fit leaves open, and with its scatter of everything else. It depends on
// nothing but its arguments.
func (r *Result) Next(b *brief.Brief, draws int, seed uint64) Band {
	rng := rand.New(rand.NewPCG(seed, 0x6669)) // a stream of its own
	rocket, site := r.Fitted(b.Rocket, b.Site)
	scratch := model.NewScratch()
	nominal := model.Fly(&rocket, &site, scratch)
	band := Band{Draws: draws}
	end, ok := nominal.Figure(model.FlightTime)
	if !ok {
		return band
	}
	times := make([]float64, bandPoints)
	for i := range times {
		times[i] = end * float64(i) / bandPoints
	}
	values := make([][]float64, len(bandFigures))
	heights := make([][]float64, bandPoints)
	draw := r.drawer()
	for range draws {
		x, y := rocket, site
		draw(&x, &y, rng)
		scatter(b, r, &x, &y, rng)
		flight, path := model.PathAt(nil, &x, &y, times, scratch)
		if flight.Outcome != model.Landed {
			continue
		}
		band.Flights++
		for i, id := range bandFigures {
			if v, ok := flight.Figure(id); ok {
				values[i] = append(values[i], v)
			}
		}
		for i := range heights {
			z := 0.0 // it has landed
			if i < len(path) {
				z = path[i].Z
			}
			heights[i] = append(heights[i], z)
		}
	}
	for i, id := range bandFigures {
		if v, ok := nominal.Figure(id); ok && len(values[i]) > 0 {
			low, high := middle(values[i])
			band.Figures = append(band.Figures, BandFigure{model.Figures[id], v, low, high})
		}
	}
	if band.Flights > 0 {
		_, path := model.PathAt(nil, &rocket, &site, times, scratch)
		for i, p := range path {
			low, high := middle(heights[i])
			band.Path = append(band.Path, BandPoint{times[i], p.Z, low, high})
		}
	}
	return band
}

// middle sorts values and returns the bounds of their middle 90 %.
func middle(values []float64) (low, high float64) {
	slices.Sort(values)
	return stat.Quantile((1-Confidence)/2, stat.LinInterp, values, nil), stat.Quantile((1+Confidence)/2, stat.LinInterp, values, nil)
}

// drawer returns a function that moves the fitted values of a rocket and a site
// by one draw of their joint normal distribution, cut at their ranges.
func (r *Result) drawer() func(*model.Rocket, *model.Site, *rand.Rand) {
	if r.covariance == nil {
		return func(*model.Rocket, *model.Site, *rand.Rand) {}
	}
	n := r.covariance.SymmetricDim()
	var eigen mat.EigenSym
	if !eigen.Factorize(r.covariance, true) {
		panic("fit: a covariance without eigenvalues") // it is finite and symmetric
	}
	var axes mat.Dense
	eigen.VectorsTo(&axes)
	sizes := eigen.Values(nil)
	return func(rocket *model.Rocket, site *model.Site, rng *rand.Rand) {
		moved := make([]float64, n)
		for k, size := range sizes {
			z := rng.NormFloat64() * math.Sqrt(max(size, 0))
			for i := range moved {
				moved[i] += z * axes.At(i, k)
			}
		}
		k := 0
		for _, e := range r.Estimates {
			if e.Fitted {
				e.Set(rocket, site, min(max(e.Value+moved[k], e.Min), e.Max))
				k++
			}
		}
	}
}

// scatter moves what the brief says scatters and the fit did not estimate.
func scatter(b *brief.Brief, r *Result, rocket *model.Rocket, site *model.Site, rng *rand.Rand) {
	for _, s := range slices.Concat(b.Day, b.Scatter) {
		z := min(max(rng.NormFloat64(), -3), 3)
		if slices.ContainsFunc(r.Estimates, func(e Estimate) bool { return e.Fitted && e.Key == s.Key }) {
			continue
		}
		v := s.Value(rocket, site)
		s.Set(rocket, site, min(max(v+z*s.Sigma(v), s.Min), s.Max))
	}
}

package fit

import (
	"slices"

	"gonum.org/v1/gonum/stat"

	"ullage/model"
	"ullage/optimize/brief"
)

// A Forecast is what to expect of flights to come: 90 % of them lie in its
// ranges, if the model and the brief's scatter are right.
type Forecast struct {
	Flights int // that landed, of Draws
	Draws   int
	Figures []ForecastFigure
	Path    []ForecastPoint // evenly over the time of the flight as fitted
}

// A ForecastFigure is one figure of the flights to come, SI.
type ForecastFigure struct {
	model.FigureInfo
	Value, Low, High float64 // as fitted; 5 % lie below, 5 % above
}

// A ForecastPoint is the height of the flights to come at one time.
type ForecastPoint struct {
	Time, Height, Low, High float64 // s, m
}

var forecastFigures = []model.Figure{
	model.Apogee, model.ApogeeTime, model.MaxSpeed, model.Acceleration, model.GuideSpeed,
	model.DeploySpeed, model.LandingSpeed, model.FlightTime, model.Drift,
}

const forecastPoints = 100

// Fitted returns a rocket and a site with the fitted values.
func (r *Result) Fitted(rocket model.Rocket, site model.Site) (model.Rocket, model.Site) {
	for _, e := range r.Estimates {
		e.Set(&rocket, &site, e.Value)
	}
	return rocket, site
}

// Next flies the brief with the fitted values, drawn together from what the
// fit leaves open, and with its scatter of everything else. It depends on
// nothing but its arguments. Where the flight as fitted does not land the
// Forecast has no figures.
func (r *Result) Next(b *brief.Brief, draws int, seed uint64) Forecast {
	rocket, site := r.Fitted(b.Rocket, b.Site)
	scratch := model.NewScratch()
	nominal := model.Fly(&rocket, &site, scratch)
	next := Forecast{Draws: draws}
	end, ok := nominal.Figure(model.FlightTime)
	if !ok {
		return next
	}
	times := make([]float64, forecastPoints)
	for i := range times {
		times[i] = end * float64(i) / forecastPoints
	}
	seen := newLanded()
	for x, y := range r.drawn(b, draws, seed) {
		seen.add(model.PathAt(nil, &x, &y, times, scratch))
	}
	next.Flights = len(seen.heights[0])
	for i, id := range forecastFigures {
		if v, ok := nominal.Figure(id); ok && len(seen.figures[i]) > 0 {
			low, high := middle(seen.figures[i])
			next.Figures = append(next.Figures, ForecastFigure{model.Figures[id], v, low, high})
		}
	}
	if next.Flights > 0 {
		_, path := model.PathAt(nil, &rocket, &site, times, scratch)
		for i, p := range path {
			low, high := middle(seen.heights[i])
			next.Path = append(next.Path, ForecastPoint{times[i], p.Z, low, high})
		}
	}
	return next
}

// landed gathers the flights that landed: a row a forecast figure, and a row a
// point of the path.
type landed struct {
	figures, heights [][]float64
}

func newLanded() *landed {
	return &landed{figures: make([][]float64, len(forecastFigures)), heights: make([][]float64, forecastPoints)}
}

func (l *landed) add(flight model.Flight, path []model.Sample) {
	if flight.Outcome != model.Landed {
		return
	}
	for i, id := range forecastFigures {
		if v, ok := flight.Figure(id); ok {
			l.figures[i] = append(l.figures[i], v)
		}
	}
	for i := range l.heights {
		z := 0.0 // it has landed
		if i < len(path) {
			z = path[i].Z
		}
		l.heights[i] = append(l.heights[i], z)
	}
}

// middle sorts values and returns the bounds of their middle 90 %.
func middle(values []float64) (low, high float64) {
	slices.Sort(values)
	return stat.Quantile((1-Confidence)/2, stat.LinInterp, values, nil), stat.Quantile((1+Confidence)/2, stat.LinInterp, values, nil)
}

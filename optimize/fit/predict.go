package fit

import (
	"math"

	"ullage/model"
	"ullage/model/air"
)

// A predictor computes what a log should read; it flies one flight at a time.
type predictor struct {
	scratch *model.Scratch
	grid    []float64 // s after lift-off
	own     []int     // where the log's times stand in it
	samples []model.Sample
	flight  model.Flight
	z, v    []float64 // at the grid: m, m/s upward
	rose, u []float64 // m without the filter, m/s over ground; on a test stand N s so far, N
}

func newPredictor() *predictor {
	s := model.NewScratch()
	s.Tolerance = predictorTolerance
	return &predictor{scratch: s}
}

const (
	// predictorTolerance keeps the integrator's own roughness, which differences
	// between flights would magnify, below a millimetre.
	predictorTolerance = 1e-6
	lagStep            = 0.05 // s, between the points at which a filter is followed
)

// fly computes the flight of r at the log's times, lift-off being at lift in
// the log's time, and reports whether there is one. Before lift-off the rocket
// stands on the pad; past the ground it goes on as it came, so that no kink
// depends on when it lands.
func (p *predictor) fly(t *track, r *model.Rocket, site *model.Site, lift float64) bool {
	p.lay(t, lift)
	p.flight, p.samples = model.PathAt(p.samples[:0], r, site, p.grid, p.scratch)
	f := &p.flight
	if f.Outcome != model.Landed {
		return false
	}
	for _, o := range t.flight.Observed {
		if _, ok := f.Figure(o.Figure); !ok {
			return false
		}
	}
	end, _ := f.Figure(model.FlightTime)
	sink, _ := f.Figure(model.LandingSpeed)
	next := 0
	for i, at := range p.grid {
		switch {
		case at < 0:
			p.z[i], p.v[i], p.u[i] = 0, 0, 0
		case next < len(p.samples):
			s := &p.samples[next]
			p.z[i], p.v[i], p.u[i] = s.Z, s.Vertical, s.Speed
			next++
		default:
			p.z[i], p.v[i], p.u[i] = -sink*(at-end), -sink, sink
		}
	}
	copy(p.rose, p.z)
	if t.lag > 0 {
		filter(p.z, p.grid, t.lag)
	}
	return true
}

// lay sets the grid: the log's times, and with a filter enough between them.
func (p *predictor) lay(t *track, lift float64) {
	p.grid, p.own = p.grid[:0], p.own[:0]
	last := math.Inf(1)
	if t.lag > 0 {
		last = min(t.times[0]-lift, 0)
		p.grid = append(p.grid, last)
	}
	for _, at := range t.times {
		at -= lift
		for ; at-last > lagStep; last += lagStep {
			p.grid = append(p.grid, last+lagStep)
		}
		last = at
		p.own = append(p.own, len(p.grid))
		p.grid = append(p.grid, at)
		if t.lag == 0 {
			last = math.Inf(1)
		}
	}
	p.size()
}

// size makes room for values at the grid.
func (p *predictor) size() {
	n := len(p.grid)
	if cap(p.z) < n {
		p.z, p.v, p.rose, p.u = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	}
	p.z, p.v, p.rose, p.u = p.z[:n], p.v[:n], p.rose[:n], p.u[:n]
}

// filter passes values at the given times through a lag of first order,
// τ ẏ = u − y, exactly for input that is straight between them.
func filter(u, times []float64, tau float64) {
	y, last := u[0], u[0]
	for i := 1; i < len(u); i++ {
		dt := times[i] - times[i-1]
		input := u[i]
		if dt > 0 {
			rate := (input - last) / dt
			y = last + rate*(dt-tau) + (y-last+rate*tau)*air.Exp(-dt/tau)
		}
		u[i], last = y, input
	}
}

// read writes what each reading of the log should be, the altimeter's zero
// being off by level.
func (p *predictor) read(t *track, level float64, dst []float64) {
	for k := range t.readings {
		at := 0
		if t.readings[k].of != figureChannel {
			at = p.own[t.readings[k].at]
		}
		switch t.readings[k].of {
		case heightChannel:
			dst[k] = p.z[at] + level
		case speedChannel:
			dst[k] = p.v[at]
		case thrustChannel:
			from := p.own[t.readings[k].from]
			dst[k] = (p.rose[at]-p.rose[from])/(p.grid[at]-p.grid[from]) + level
		case figureChannel:
			o := &t.flight.Observed[t.readings[k].at]
			v, _ := p.flight.Figure(o.Figure)
			dst[k] = v / o.Deviation
		default:
			dst[k] = p.felt(p.own[t.readings[k].from], at)
		}
	}
}

// felt is the mean acceleration felt along the path between two instants of the
// thrust, in m/s²: the gain of speed, and the part of gravity along the way.
func (p *predictor) felt(from, to int) float64 {
	span := p.grid[to] - p.grid[from]
	upward := 1.0
	if way := (p.u[from] + p.u[to]) / 2 * span; way > 0 {
		upward = min((p.rose[to]-p.rose[from])/way, 1)
	}
	return (p.u[to]-p.u[from])/span + air.Gravity*upward
}

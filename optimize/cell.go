package optimize

import "math"

// A cell is where goals lie on a lattice: fieldBits a goal, the top one 0. A
// point that is nowhere worse than another has no greater field, which one
// subtraction tells: of the top bits set in the minuend, none is then borrowed.
type cell uint64

const (
	fieldBits = 64 / mostGoals
	topBits   = cell(1<<11 | 1<<23 | 1<<35 | 1<<47 | 1<<59)
)

// mayPrecede tells whether no field of c is greater than that of d: a point of
// c may be nowhere worse than one of d.
func (c cell) mayPrecede(d cell) bool { return ((d|topBits)-c)&topBits == topBits }

// A lattice divides the box around an archive into cells.
type lattice struct {
	origin [mostGoals]float64
	scale  [mostGoals]float64 // cells in a unit of each goal; 0: its range is none, or too small or large to divide
}

// lay spans the lattice from low to high.
func (l *lattice) lay(low, high []float64) {
	for k := range low {
		l.origin[k], l.scale[k] = 0, 0
		if s := (1 << (fieldBits - 1)) / (high[k] - low[k]); s > 0 && !math.IsInf(s, 0) {
			l.origin[k], l.scale[k] = low[k], s
		}
	}
}

func (l *lattice) cell(goals []float64) (c cell) {
	const last = 1<<(fieldBits-1) - 1
	for k, v := range goals {
		if at := (v - l.origin[k]) * l.scale[k]; at >= last {
			c |= last << (k * fieldBits)
		} else if at > 0 {
			c |= cell(at) << (k * fieldBits)
		}
	}
	return c
}

package report

import (
	"slices"
	"sort"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/output/table"
	"ullage/output/text"
)

// mostLevels is how many values of a quantity are listed; one with more counts as
// continuous, which at 25 bins is the same to 0.2 %.
const mostLevels = 1 << 14

// bins cut what a quantity may become into a few pieces.
type bins struct {
	Name   string    `json:"name"`
	Unit   string    `json:"unit"`
	Words  []string  `json:"words"` // of each: a value, or from where to where
	Marks  []string  `json:"marks"` // of each, for an axis: a value in it
	edges  []float64 // between them, rising; SI
	shares []float64 // of the plan, that fall into each
}

// newBins returns at most that many, but of words one each.
func newBins(v *brief.Vary, of optimize.Variable, most int) bins {
	var low, high []float64
	b := bins{}
	count, value := of.Values()
	if count == 0 || count > mostLevels {
		for i := range most {
			at := func(k int) float64 { return of.From + (of.To-of.From)*float64(k)/float64(most) }
			low, high, b.shares = append(low, at(i)), append(high, at(i+1)), append(b.shares, 1/float64(most))
		}
		b.edges = low[1:]
	} else {
		levels := make([]float64, count)
		for k := range levels {
			levels[k] = value(int64(k))
		}
		slices.Sort(levels)
		n := min(most, len(levels))
		if v.Names != nil {
			n = len(levels)
		}
		for i := range n {
			from, to := i*len(levels)/n, (i+1)*len(levels)/n
			if i > 0 {
				b.edges = append(b.edges, (levels[from-1]+levels[from])/2)
			}
			low, high, b.shares = append(low, levels[from]), append(high, levels[to-1]), append(b.shares, float64(to-from)/float64(len(levels)))
		}
	}
	b.Name = text.Words(v.Key)
	if v.Names != nil {
		b.Words = table.Gather(low, v.Name)
		b.Marks = b.Words
		return b
	}
	column := text.ColumnOf(v.Key, v.Unit, slices.Concat(low, high))
	b.Unit = column.Head[2]
	for i := range low {
		from, to := column.Cells[i], column.Cells[len(low)+i]
		if from != to {
			from += " to " + to
		}
		b.Words = append(b.Words, from)
		b.Marks = append(b.Marks, text.Show(v.Key, v.Unit).Number((low[i]+high[i])/2))
	}
	return b
}

// of returns the bin that a value falls into.
func (b *bins) of(v float64) int {
	return sort.Search(len(b.edges), func(i int) bool { return v < b.edges[i] })
}

// label names the quantity on an axis.
func (b *bins) label() string { return axis{Name: b.Name, Unit: b.Unit}.label() }

// A plane counts the flights by bins of two quantities, or of one where Y is −1.
// Cells lie bin by bin of X within each bin of Y.
type plane struct {
	X      int              `json:"x"`
	Y      int              `json:"y"`
	Rows   []float64        `json:"rows"`   // flights: counted, or where only some were kept those of the plan
	Kept   []int64          `json:"kept"`   // of them, within every limit
	Missed [][]int64        `json:"missed"` // of each reason, the flights that it forbids
	Best   [][]table.Number `json:"best"`   // of each goal, the best within every limit; NaN: none
}

func newCells(x, y, cells, reasons, goals int) plane {
	p := plane{X: x, Y: y, Rows: make([]float64, cells), Kept: make([]int64, cells)}
	for range reasons {
		p.Missed = append(p.Missed, make([]int64, cells))
	}
	for range goals {
		p.Best = append(p.Best, slices.Repeat([]table.Number{none}, cells))
	}
	return p
}

// share returns the share of a cell's flights that are within every limit, and
// whether it has flights.
func (p *plane) share(cell int) (share float64, ok bool) {
	if p.Rows[cell] == 0 {
		return 0, false
	}
	return min(float64(p.Kept[cell])/p.Rows[cell], 1), true
}

// hardest returns the reason that forbids most flights of a cell, −1 where none
// is forbidden.
func (p *plane) hardest(cell int) int {
	at, most := -1, int64(0)
	for k, missed := range p.Missed {
		if missed[cell] > most {
			at, most = k, missed[cell]
		}
	}
	return at
}

// contrast returns how much the share differs from cell to cell: its variance over
// the flights.
func (p *plane) contrast() float64 {
	rows, kept, squares := 0.0, 0.0, 0.0
	for cell, n := range p.Rows {
		if share, ok := p.share(cell); ok {
			rows, kept, squares = rows+n, kept+n*share, squares+n*share*share
		}
	}
	if rows == 0 {
		return 0
	}
	return squares/rows - (kept/rows)*(kept/rows)
}

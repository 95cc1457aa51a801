package report

import (
	"context"
	"maps"
	"math"
	"path"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
)

var none = table.Number(math.NaN())

// mostCells of all planes together keep the page under some megabytes.
const mostCells = 40_000

// A census counts the flights of a sweep as they come; its size does not grow with
// them.
type census struct {
	brief   *brief.Brief
	numbers []brief.Metric // whose causes are looked for
	bins    []bins         // of each varied quantity
	planes  []plane        // of each quantity alone, then of each pair
	ratios  [][]*sweep.Ratio
	rows    int64
	kept    int64
	missed  []int64 // of each limit, and last of what could not be computed
	alone   []int64 // of them, those that nothing else forbids
	width   []int   // bins of each quantity
}

func newCensus(b *brief.Brief) (*census, error) {
	problem, err := study.Problem(b.OnceEach())
	if err != nil {
		return nil, err
	}
	n, reasons := len(b.Vary), len(b.Limits)+1
	c := &census{brief: b, numbers: output.Numbers(b), missed: make([]int64, reasons), alone: make([]int64, reasons)}
	most := 25 // as many steps as many a quantity has, and cells that can be told apart
	if pairs := n * (n - 1) / 2; pairs > 0 {
		most = min(most, max(4, int(math.Sqrt(mostCells/float64(pairs)))))
	}
	for i := range b.Vary {
		c.bins = append(c.bins, newBins(&b.Vary[i], problem.Variables[i], most))
		c.width = append(c.width, len(c.bins[i].Words))
		c.planes = append(c.planes, newCells(i, -1, c.width[i], reasons, len(b.Goals)))
	}
	for x := range n {
		for y := x + 1; y < n; y++ {
			c.planes = append(c.planes, newCells(x, y, c.width[x]*c.width[y], reasons, len(b.Goals)))
		}
	}
	for range c.numbers {
		of := make([]*sweep.Ratio, n)
		for i := range of {
			of[i] = sweep.NewRatio(c.width[i])
		}
		c.ratios = append(c.ratios, of)
	}
	return c, nil
}

// pairs returns the planes of two quantities.
func (c *census) pairs() []plane { return c.planes[len(c.bins):] }

// read counts the flights of a run, part by part, until ctx ends.
func (c *census) read(ctx context.Context, r runs.Run, dir string) error {
	var columns []string
	for i := range c.brief.Vary {
		columns = append(columns, table.ColumnName(c.brief.Vary[i].Key, c.brief.Vary[i].Unit))
	}
	for i := range c.numbers {
		columns = append(columns, table.ColumnName(c.numbers[i].Key, c.numbers[i].Unit))
	}
	columns = append(columns, "feasible", "outcome")
	for _, name := range slices.Sorted(maps.Keys(r.Files)) {
		if isPart, err := path.Match("flights/part-*.parquet", name); !isPart || err != nil {
			continue
		}
		if err := r.ScanTable(dir, name, columns, func(t table.Table) error {
			if err := ctx.Err(); err != nil {
				return err
			}
			return c.take(t)
		}); err != nil {
			return err
		}
	}
	if r.FeasibleOnly {
		c.plan(float64(r.Flights))
	}
	return nil
}

// plan takes for the flights of a cell those of the plan, of which so many were
// flown: where only some were kept the others cannot be counted.
func (c *census) plan(flown float64) {
	for i := range c.planes {
		p := &c.planes[i]
		for cell := range p.Rows {
			p.Rows[cell] = flown * c.bins[p.X].shares[cell%c.width[p.X]]
			if p.Y >= 0 {
				p.Rows[cell] *= c.bins[p.Y].shares[cell/c.width[p.X]]
			}
		}
	}
}

// A batch is some rows of a sweep, in SI. What has no column in a file of an older
// build is nil.
type batch struct {
	varied, numbers, goals, limits [][]float64
	feasible                       []bool
	outcome                        []string
}

func (c *census) batch(t table.Table) (batch, error) {
	b, read := c.brief, table.Reader{Table: t}
	column := func(key, unit string) []float64 { return read.SI(table.ColumnName(key, unit), unit) }
	// A default limit may be none of an older build: then it forbade nothing.
	unlessNew := func(m brief.Metric) []float64 {
		isNew := slices.ContainsFunc(b.Limits, func(l brief.Limit) bool { return l.Default && l.Metric.Key == m.Key })
		if isNew && !read.Has(table.ColumnName(m.Key, m.Unit)) {
			return nil
		}
		return column(m.Key, m.Unit)
	}
	return batch{
		varied:   table.Gather(b.Vary, func(v brief.Vary) []float64 { return output.ReadVaried(&read, v.Quantity) }),
		numbers:  table.Gather(c.numbers, unlessNew),
		goals:    table.Gather(b.Goals, func(g brief.Goal) []float64 { return column(g.Key, g.Unit) }),
		limits:   table.Gather(b.Limits, func(l brief.Limit) []float64 { return unlessNew(l.Metric) }),
		feasible: table.Values[bool](&read, "feasible"),
		outcome:  table.Values[string](&read, "outcome"),
	}, read.Err
}

// take counts some rows.
func (c *census) take(t table.Table) error {
	rows, err := c.batch(t)
	if err != nil {
		return err
	}
	bin, reasons := make([]int, len(rows.varied)), make([]int, 0, len(c.missed))
	for i, feasible := range rows.feasible {
		for k := range bin {
			bin[k] = c.bins[k].of(rows.varied[k][i])
		}
		reasons = c.reasons(reasons[:0], &rows, i)
		c.count(feasible, reasons)
		for k := range c.planes {
			p := &c.planes[k]
			cell := bin[p.X]
			if p.Y >= 0 {
				cell += bin[p.Y] * c.width[p.X]
			}
			p.Rows[cell]++
			for _, of := range reasons {
				p.Missed[of][cell]++
			}
			if feasible {
				p.Kept[cell]++
				c.improve(p, cell, rows.goals, i)
			}
		}
		for k, values := range rows.numbers {
			if values == nil || math.IsNaN(values[i]) {
				continue
			}
			for q := range bin {
				c.ratios[k][q].Add(bin[q], values[i])
			}
		}
	}
	return nil
}

// reasons lists what forbids a flight: limits, or that it could not be computed.
func (c *census) reasons(of []int, rows *batch, i int) []int {
	switch {
	case rows.feasible[i]:
		return of
	case rows.outcome[i] != model.Landed.String():
		return append(of, len(rows.limits))
	}
	for k, values := range rows.limits {
		if values != nil && !constraints.Kept(c.brief.Limits[k].Slack(values[i])) {
			of = append(of, k)
		}
	}
	return of
}

func (c *census) count(feasible bool, reasons []int) {
	c.rows++
	if feasible {
		c.kept++
	}
	for _, of := range reasons {
		c.missed[of]++
		if len(reasons) == 1 {
			c.alone[of]++
		}
	}
}

// improve keeps the best of each goal among the flights of a cell that are within
// every limit.
func (c *census) improve(p *plane, cell int, goals [][]float64, i int) {
	for g := range goals {
		goal, v, best := &c.brief.Goals[g], goals[g][i], &p.Best[g][cell]
		if !math.IsNaN(v) && (isNaN(*best) || goal.Minimised(v) < goal.Minimised(float64(*best))) {
			*best = table.Number(v)
		}
	}
}

package output

import (
	"math"
	"slices"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/runs"
	"ullage/output/table"
)

// A Compared is a run beside others.
type Compared struct {
	Name  string // its folder, as it was given
	Run   runs.Run
	Brief *brief.Brief
	Front table.Table
	Rows  []study.Row // of Front

	// Beaten says of each row which run has a design that is better in a goal
	// and worse in none, and which design: the first there is. None: −1.
	Beaten []Beater
}

// A Beater is a design of a run of a Comparison.
type Beater struct {
	Run    int // index; −1: none
	Design int
}

// A Comparison is fronts beside each other, as they were flown as set.
type Comparison struct {
	Runs  []Compared
	Goals []brief.Goal // those of the first run
}

// Compare judges the designs of every run by the goals of the first. A design
// that misses a limit of its own brief beats none.
func Compare(all []Compared) *Comparison {
	c := &Comparison{Runs: all, Goals: all[0].Brief.Goals}
	for i := range c.Runs {
		run := &c.Runs[i]
		run.Beaten = table.Gather(run.Rows, func(r study.Row) Beater { return c.beater(run, &r) })
	}
	return c
}

// beater looks for a design of another run that beats a row.
func (c *Comparison) beater(of *Compared, row *study.Row) Beater {
	for i := range c.Runs {
		other := &c.Runs[i]
		if other == of {
			continue
		}
		for k := range other.Rows {
			if other.Rows[k].Kept(other.Brief) && c.beats(other, &other.Rows[k], of, row) {
				return Beater{i, other.Rows[k].Design}
			}
		}
	}
	return Beater{Run: -1}
}

// beats reports whether a design is better in a goal and worse in none. One
// without a number beats none, and is beaten by any that has it.
func (c *Comparison) beats(one *Compared, a *study.Row, other *Compared, b *study.Row) bool {
	better := false
	for i := range c.Goals {
		g := &c.Goals[i]
		v, w := g.Minimised(one.Number(&g.Metric, a)), g.Minimised(other.Number(&g.Metric, b))
		switch {
		case math.IsNaN(v), v > w:
			return false
		case v < w, math.IsNaN(w):
			better = true
		}
	}
	return better
}

// Number returns the number of a metric in a row of the run, in SI, also of a
// quantity that the run does not vary; NaN where there is none.
func (r *Compared) Number(m *brief.Metric, row *study.Row) float64 {
	return NumberThere(r.Brief, m, row)
}

// Table returns a row a design of every run: the run, its design, who beats it,
// then every column that a front of them has. A number that a front does not
// have is null; other columns are left out unless all fronts have them.
func (c *Comparison) Table() table.Table {
	var names []string
	var numbers, designs []int32
	beatenBy, beatenDesign := []string{}, table.Nullable{}
	for i := range c.Runs {
		for k, r := range c.Runs[i].Rows {
			names, numbers, designs = append(names, c.Runs[i].Name), append(numbers, int32(i+1)), append(designs, int32(r.Design))
			by, design := "", math.NaN()
			if b := c.Runs[i].Beaten[k]; b.Run >= 0 {
				by, design = c.Runs[b.Run].Name, float64(b.Design)
			}
			beatenBy, beatenDesign = append(beatenBy, by), append(beatenDesign, design)
		}
	}
	t := table.Table{Columns: []table.Column{
		identity("run", "folder of the run, as it was given", names),
		identity("run_number", "number of the run, in the order given", numbers),
		identity("design", "number of the design in its run", designs),
		identity("beaten_by", "folder of a run with a design that is better in a goal and worse in none; empty: none", beatenBy),
		identity("beaten_by_design", "number of that design", beatenDesign),
	}}
	for i := range c.Runs {
		for _, face := range c.Runs[i].Front.Columns {
			if slices.ContainsFunc(t.Columns, func(have table.Column) bool { return have.Name == face.Name }) {
				continue
			}
			if values := c.below(face.Name); values != nil {
				face.Values = values
				t.Columns = append(t.Columns, face)
			}
		}
	}
	return t
}

// below returns a column of all fronts below each other, nil where it is none of
// numbers and some front does not have it.
func (c *Comparison) below(name string) any {
	var all table.Nullable
	var texts []string
	var truths []bool
	var lists [][]string
	rows := 0
	for i := range c.Runs {
		front := c.Runs[i].Front
		rows += front.Rows()
		at := slices.IndexFunc(front.Columns, func(f table.Column) bool { return f.Name == name })
		if at < 0 {
			all = append(all, slices.Repeat(table.Nullable{math.NaN()}, front.Rows())...)
			continue
		}
		switch v := front.Columns[at].Values.(type) {
		case []float64:
			all = append(all, v...)
		case table.Nullable:
			all = append(all, v...)
		case []string:
			texts = append(texts, v...)
		case []bool:
			truths = append(truths, v...)
		case [][]string:
			lists = append(lists, v...)
		}
	}
	switch rows {
	case len(all):
		return all
	case len(texts):
		return texts
	case len(truths):
		return truths
	case len(lists):
		return lists
	}
	return nil
}

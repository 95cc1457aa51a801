package output

import (
	"math"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/table"
)

// Rows turns the table of a front of b back into its rows, but for their outcomes.
// It errs where the table lacks a column that the rows need, or has it of another
// type.
func Rows(b *brief.Brief, t table.Table) ([]study.Row, error) {
	rows := make([]study.Row, t.Rows())
	designs, err := Designs(b, t)
	if err != nil {
		return nil, err
	}
	read := table.Reader{Table: t}
	numbers, warnings := table.Values[int32](&read, "design"), table.Values[[]string](&read, "warnings")
	figures := table.Gather(study.Figures(), func(info model.FigureInfo) []float64 {
		// A run of an older build may lack a figure.
		if name := table.ColumnName(info.Key, info.Unit); read.Has(name) {
			return read.SI(name, info.Unit)
		}
		return slices.Repeat([]float64{math.NaN()}, len(rows))
	})
	slacks := table.Gather(b.Limits, func(l brief.Limit) []float64 {
		if l.Default && !read.Has(SlackName(&l)) {
			// It is no limit of an older build, but its figure is there.
			return table.Gather(figures[l.Figure], l.Slack)
		}
		return read.SI(SlackName(&l), l.Unit)
	})
	proofs := readProofs(b, &read, designs)
	if read.Err != nil {
		return nil, read.Err
	}
	at := func(columns [][]float64, i int) []float64 {
		return table.Gather(columns, func(c []float64) float64 { return c[i] })
	}
	for i := range rows {
		rows[i] = study.Row{
			Design: int(numbers[i]), X: designs[i], Warnings: warningsOf(warnings[i]), Figures: at(figures, i),
			Slacks: at(slacks, i), Proof: proofs[i],
		}
	}
	return rows, nil
}

// Designs returns the designs of a front or an archive of b: of each row the
// values of the varied quantities, in SI. It errs where the table lacks one of
// them, or has it of another type.
func Designs(b *brief.Brief, t table.Table) ([][]float64, error) {
	designs := make([][]float64, t.Rows())
	read := table.Reader{Table: t}
	for i := range b.Vary {
		for k, v := range ReadVaried(&read, b.Vary[i].Quantity) {
			designs[k] = append(designs[k], v)
		}
	}
	return designs, read.Err
}

// readProofs returns the proof of each row, nil where there was none.
func readProofs(b *brief.Brief, read *table.Reader, designs [][]float64) []*study.Proof {
	proofs := make([]*study.Proof, len(designs))
	if b.Search.Robust.Draws == 0 {
		return proofs
	}
	held := table.Values[bool](read, "feasible")
	goals := table.Gather(b.Goals, func(g brief.Goal) []float64 { return read.SI(sumName(&g), g.Unit) })
	shares := table.Gather(b.Limits, func(l brief.Limit) []float64 { return read.SI(chanceName(l.Metric.Key), "1") })
	if read.Err != nil {
		return proofs
	}
	plan := b.Plan()
	days, all := plan.ScreenDays(), slices.Repeat([]float64{math.NaN()}, len(designs)) // of an older build
	flights, shown := slices.Repeat([]float64{float64(days)}, len(designs)), slices.Repeat([][]float64{all}, len(b.Limits))
	if read.Has(proofFlights) {
		flights, all = read.SI(proofFlights, "1"), read.SI(chanceName("all"), "1")
		shown = table.Gather(b.Limits, func(l brief.Limit) []float64 { return read.SI(shownName(&l), l.Unit) })
	}
	if read.Err != nil {
		return proofs
	}
	for i := range proofs {
		if len(shares) == 0 || math.IsNaN(shares[0][i]) {
			continue
		}
		p := &study.Proof{Design: optimize.Design{X: designs[i]}, Held: held[i]}
		for k := range b.Goals {
			p.Goals = append(p.Goals, minimised(&b.Goals[k], goals[k][i]))
		}
		for k := range shares {
			p.Chances = append(p.Chances, chanceOf(shares[k][i], flights[i]))
			p.Shown = append(p.Shown, shown[k][i])
		}
		p.All = chanceOf(all[i], flights[i])
		proofs[i] = p
	}
	return proofs
}

// mostFlights is more than a brief may ask for.
const mostFlights = 1e6

// chanceOf returns the chance of which share is the share of so many flights; a
// file may say anything.
func chanceOf(share, flights float64) constraints.Chance {
	if !(flights >= 0 && flights <= mostFlights) || !(share >= 0 && share <= 1) {
		return constraints.Chance{}
	}
	return constraints.Chance{Met: int(math.Round(share * flights)), Flights: int(flights)}
}

// minimised undoes Goal.Natural.
func minimised(g *brief.Goal, natural float64) float64 {
	if g.Sense == brief.Highest {
		return -natural
	}
	return natural
}

func warningsOf(keys []string) model.Warnings {
	var set model.Warnings
	for w := model.Warnings(1); len(w.Keys()) > 0; w <<= 1 {
		if slices.Contains(keys, w.Keys()[0]) {
			set |= w
		}
	}
	return set
}

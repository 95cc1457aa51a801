package main

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"ullage/optimize/sweep"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
)

// finishIndices computes the indices from the parts as they were written, so
// that it does not matter which were flown today.
func (w *sweeping) finishIndices(record runs.Run, asJSON bool) error {
	rows, err := w.indices()
	if err != nil {
		return err
	}
	if err := w.folder.WriteTable("indices.parquet", output.Indices(rows)); err != nil {
		return err
	}
	if record, err = w.folder.Finish(record); err != nil {
		return err
	}
	if err := w.printRun(record, text.Indices(rows)+"\n", rows, asJSON); err != nil {
		return err
	}
	if record.Failed == record.Flights {
		return coded{fmt.Errorf("%s: none of %d flights could be computed", w.brief.Name, record.Flights), exitInfeasible}
	}
	return nil
}

// indices returns those of every goal and limited number, in that order.
func (w *sweeping) indices() ([]output.IndexRow, error) {
	numbers := w.layout.Numbers()
	outputs := make([][]float64, len(numbers))
	for _, p := range w.state.Parts {
		path := filepath.Join(w.folder.Dir, filepath.FromSlash(runs.PartName(p.Number)))
		t, _, err := table.Read(path, 1<<20)
		if err != nil {
			return nil, err
		}
		for k, q := range numbers {
			name := table.ColumnName(q.Key, q.Unit)
			at := slices.IndexFunc(t.Columns, func(c table.Column) bool { return c.Name == name })
			for _, v := range t.Columns[at].Values.([]table.Value) {
				if !v.Applies {
					v.Number = math.NaN()
				}
				outputs[k] = append(outputs[k], v.Number)
			}
		}
	}
	var rows []output.IndexRow
	for k, q := range numbers {
		found := sweep.Sensitivity(outputs[k], len(w.layout.Varied))
		for i, v := range w.layout.Varied {
			row := output.IndexRow{Number: q.Key, Quantity: v.Key, Rows: found.Rows}
			if found.First != nil {
				row.First, row.Total = estimate(found.First[i]), estimate(found.Total[i])
			}
			rows = append(rows, row)
		}
	}
	return rows, nil
}

func estimate(x sweep.Index) output.Estimate {
	return output.Estimate{Value: table.Of(x.Value, true), Low: table.Of(x.Low, true), High: table.Of(x.High, true)}
}

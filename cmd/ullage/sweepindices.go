package main

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"ullage/optimize/sweep"
	"ullage/output"
)

// finishIndices computes the indices from the parts as they were written, so
// that it does not matter which were flown today.
func (w *sweeping) finishIndices(record output.Run, asJSON bool) error {
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
	if err := w.printRun(record, output.IndicesText(rows)+"\n", rows, asJSON); err != nil {
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
		path := filepath.Join(w.folder.Dir, filepath.FromSlash(output.PartName(p.Number)))
		t, _, err := output.ReadParquet(path)
		if err != nil {
			return nil, err
		}
		for k, q := range numbers {
			name := output.ColumnName(q.Key, q.Unit)
			at := slices.IndexFunc(t.Columns, func(c output.Column) bool { return c.Name == name })
			for _, v := range t.Columns[at].Values.([]output.Value) {
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
	return output.Estimate{Value: output.Of(x.Value, true), Low: output.Of(x.Low, true), High: output.Of(x.High, true)}
}

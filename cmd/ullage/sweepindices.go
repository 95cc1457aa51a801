package main

import (
	"context"
	"fmt"
	"path/filepath"

	"ullage/optimize/sweep"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/terminal"
)

// finishIndices computes the indices from the parts as they were written, so
// that it does not matter which were flown today.
func (w *sweeping) finishIndices(ctx context.Context, record runs.Run, asJSON bool) error {
	rows, err := until(ctx, w.folder.Dir, w.indices)
	switch {
	case ctx.Err() != nil:
		return w.interrupted(record)
	case err != nil:
		return err
	}
	if err := w.folder.WriteTable("indices.parquet", output.Indices(rows)); err != nil {
		return err
	}
	if record, err = w.folder.Finish(record); err != nil {
		return err
	}
	if err := w.printRun(record, terminal.Indices(rows)+"\n", rows, asJSON); err != nil {
		return err
	}
	if record.Failed == record.Flights {
		return coded{fmt.Errorf("%s: none of %d flights could be computed", w.brief.Name, record.Flights), exitInfeasible}
	}
	return nil
}

// indices returns those of every goal and limited number, in that order.
func (w *sweeping) indices() ([]output.IndexRow, error) {
	numbers := output.Numbers(w.brief)
	outputs, names := make([][]float64, len(numbers)), make([]string, len(numbers))
	for k, m := range numbers {
		outputs[k], names[k] = make([]float64, w.state.Size), table.ColumnName(m.Key, m.Unit)
	}
	for _, p := range w.state.Parts {
		path := filepath.Join(w.folder.Dir, filepath.FromSlash(runs.PartName(p.Number)))
		if _, err := table.Scan(path, int(p.Flights), append(names, "flight"), func(t table.Table) error {
			read := table.Reader{Table: t}
			flights := table.Values[int64](&read, "flight")
			for k := range numbers {
				for i, v := range read.SI(names[k], "1") {
					if n := flights[i]; n >= 1 && n <= w.state.Size {
						outputs[k][n-1] = v
					}
				}
			}
			return read.Err
		}); err != nil {
			return nil, err
		}
	}
	var rows []output.IndexRow
	for k, q := range numbers {
		found := sweep.Sensitivity(outputs[k], len(w.brief.Vary))
		for i, v := range w.brief.Vary {
			row := output.IndexRow{Number: q.Key, Quantity: v.Key, Rows: found.Rows, First: output.NoEstimate(), Total: output.NoEstimate()}
			if found.First != nil {
				row.First, row.Total = estimate(found.First[i]), estimate(found.Total[i])
			}
			rows = append(rows, row)
		}
	}
	return rows, nil
}

func estimate(x sweep.Index) output.Estimate {
	return output.Estimate{Value: table.Number(x.Value), Low: table.Number(x.Low), High: table.Number(x.High)}
}

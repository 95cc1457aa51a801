package output

import (
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/output/table"
)

// doubtColumns returns two columns for each doubted figure, with the doubts of
// the first of so many rows.
func doubtColumns(rows int, doubts [][]answers.Doubt) []table.Column {
	var columns []table.Column
	for i, id := range answers.Doubted {
		info := model.Figures[id]
		low := table.Column{
			Name: doubtName(id, "low"), Unit: table.Unit(info.Unit), Role: table.Figure,
			Doc: info.Key + ", below which 5 % of flights over what is not known of the rocket lie",
		}
		high := low
		high.Name = doubtName(id, "high")
		high.Doc = info.Key + ", above which 5 % of flights over what is not known of the rocket lie"
		lows := slices.Repeat(table.Nullable{math.NaN()}, rows)
		highs := slices.Clone(lows)
		for k, of := range doubts {
			if of != nil {
				lows[k], highs[k] = table.Written(of[i].Low, info.Unit), table.Written(of[i].High, info.Unit)
			}
		}
		low.Values, high.Values = lows, highs
		columns = append(columns, low, high)
	}
	return columns
}

// doubtName is the name of a column with an end of a doubt: apogee_low_m.
func doubtName(id model.Figure, end string) string {
	return table.ColumnName(model.Figures[id].Key+"_"+end, model.Figures[id].Unit)
}

// Doubts returns the doubts of the rows of a front's table, but for what weighs
// most in them: none of a row, or of a table of an older build, that has none. It
// errs where the table has the one end of a doubt without the other or the value,
// or one of them not as numbers.
func Doubts(front table.Table) ([][]answers.Doubt, error) {
	all := make([][]answers.Doubt, front.Rows())
	read := table.Reader{Table: front}
	for _, id := range answers.Doubted {
		info := model.Figures[id]
		if !read.Has(doubtName(id, "low")) {
			return all, nil
		}
		values := read.SI(table.ColumnName(info.Key, info.Unit), info.Unit)
		lows, highs := read.SI(doubtName(id, "low"), info.Unit), read.SI(doubtName(id, "high"), info.Unit)
		if read.Err != nil {
			return nil, read.Err
		}
		for i := range all {
			if !math.IsNaN(lows[i]) {
				all[i] = append(all[i], answers.Doubt{Figure: id, Value: values[i], Low: lows[i], High: highs[i]})
			}
		}
	}
	return all, nil
}

package output

import (
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/runs"
	"ullage/output/table"
)

// Found is all that the folder of a search keeps as tables.
type Found struct {
	Rows     []study.Row
	Paths    [][]model.Sample  // of each row
	Landings [][]study.Landing // of each row; nil: nothing scatters
	Doubts   [][]answers.Doubt // of each row; none of one that did not land
	Archive  []study.Row
	Records  []optimize.Record
	Seconds  []float64 // wall time of each record
}

const pathsName = "paths.parquet"

// Save writes the tables of a search of b into its folder. It errs with the first
// that cannot be written.
func (f *Found) Save(b *brief.Brief, folder *runs.Folder) error {
	front := Front(b, f.Rows, f.Doubts)
	type file struct {
		name  string
		table table.Table
	}
	files := []file{
		{"front.parquet", front},
		{"front.arrow", front},
		{"archive.parquet", Front(b, f.Archive, f.Doubts)},
		{pathsName, Paths(f.Paths)},
		{"history.parquet", History(b, f.Records, f.Seconds)},
	}
	if len(f.Landings) > 0 {
		files = append(files, file{"landings.parquet", Landings(f.Landings)})
	}
	for _, file := range files {
		if err := folder.WriteTable(file.name, file.table); err != nil {
			return err
		}
	}
	return nil
}

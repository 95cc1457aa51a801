package report_test

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/output/table"
)

// A sweptFlight is a row of a sweep of a sample brief.
type sweptFlight struct {
	x       []float64
	numbers []float64
	kept    bool
	outcome string
}

// tableOf returns these flights as a sweep of b writes them.
func tableOf(b *brief.Brief, flights ...sweptFlight) table.Table {
	rows := output.NewFlights(b, "id", len(flights))
	for i, flight := range flights {
		rows.Set(i, int64(i+1), flight.x, &study.Kept{Numbers: flight.numbers, Feasible: flight.kept, Outcome: flight.outcome})
	}
	return rows.Table(len(flights))
}

// sweptRun writes a sweep of b with one part.
func sweptRun(t *testing.T, b *brief.Brief, part table.Table, indices []output.IndexRow) (*runs.Folder, runs.Run) {
	t.Helper()
	f, err := runs.Create(filepath.Join(t.TempDir(), "run"), b.Source, 7, "v1.2.3")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	data, err := table.EncodePart(part, f.Meta)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Write(runs.PartName(1), data); err != nil {
		t.Fatal(err)
	}
	if indices != nil {
		if err := f.WriteTable("indices.parquet", output.Indices(indices)); err != nil {
			t.Fatal(err)
		}
	}
	r, err := f.Finish(runs.Run{State: runs.Finished, Sweep: "draws", Flights: part.Rows()})
	if err != nil {
		t.Fatal(err)
	}
	return f, r
}

// sweepPage returns the page of a sweep.
func sweepPage(t *testing.T, b *brief.Brief, part table.Table, indices []output.IndexRow) string {
	t.Helper()
	f, r := sweptRun(t, b, part, indices)
	page, err := report.ReadSweep(t.Context(), b, r, f.Dir)
	if err != nil {
		t.Fatal(err)
	}
	text, err := page.Render()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// numbersOf returns what a sweep of b keeps of a flight, all of them v.
func numbersOf(b *brief.Brief, v float64) []float64 {
	all := make([]float64, len(output.Numbers(b)))
	for i := range all {
		all[i] = v
	}
	return all
}

// What a file names does not become part of the page.
func TestSweepPageEscapes(t *testing.T) {
	b := sample.Brief("")
	b.Title = `</title><script>alert("t")</script>`
	b.Source = []byte(`</pre><script>alert("b")</script>`)
	one := output.Estimate{Value: 0.5, Low: 0.4, High: 0.6}
	page := sweepPage(t, b, tableOf(b, sweptFlight{b.Own(), numbersOf(b, 1), true, "landed"}),
		[]output.IndexRow{{Number: `<img src=x>`, Quantity: "</svg><script>alert(1)</script>", First: one, Total: one, Rows: 3}})
	if n := strings.Count(page, "<script"); n != 4 || strings.Contains(page, "<img src=x") {
		t.Errorf("%d script elements, want the data, the charts and our own two; or an element of foreign text", n)
	}
}

// Flights that could not be computed, numbers that are not there, and a sweep
// without any flight within the limits have a page.
func TestSweepPageOfBadFlights(t *testing.T) {
	b := sample.Brief("")
	flights := []sweptFlight{
		{b.Own(), numbersOf(b, math.NaN()), false, model.NoLiftOff.String()},
		{b.Own(), numbersOf(b, math.NaN()), false, study.Panicked},
		{b.Own(), numbersOf(b, math.NaN()), false, "landed"},
	}
	page := sweepPage(t, b, tableOf(b, flights...), nil)
	for _, want := range []string{"No flight is within every limit", "not flown to its end", "No number of the flights varies."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
}

// A part that is not as run.json has it is refused, as is one that lacks a number.
func TestReadSweepRefuses(t *testing.T) {
	b := sample.Brief("")
	part := tableOf(b, sweptFlight{b.Own(), numbersOf(b, 1), false, "landed"})
	part.Columns = part.Columns[1:]
	f, r := sweptRun(t, b, part, nil)
	path := filepath.Join(f.Dir, runs.PartName(1))
	if _, err := report.ReadSweep(t.Context(), b, r, f.Dir); err == nil || !strings.HasPrefix(err.Error(), "read "+path+": no column ") {
		t.Errorf("ReadSweep = %v, want it to name the file and the column", err)
	}
	if err := os.WriteFile(path, []byte("PAR1"), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := report.ReadSweep(t.Context(), b, r, f.Dir); err == nil || !strings.HasPrefix(err.Error(), "read "+path+": SHA-256 ") {
		t.Errorf("ReadSweep = %v, want it to name the file and its hash", err)
	}
}

// A sweep of an older build lacks the default limits that are new.
func TestReadSweepOfAnOlderBuild(t *testing.T) {
	b := sample.Brief("")
	k := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Default })
	if k < 0 {
		t.Fatal("no default limit")
	}
	name := table.ColumnName(b.Limits[k].Metric.Key, b.Limits[k].Unit)
	part := tableOf(b, sweptFlight{b.Own(), numbersOf(b, 1), true, "landed"})
	part.Columns = slices.DeleteFunc(part.Columns, func(c table.Column) bool { return c.Name == name })
	if page := sweepPage(t, b, part, nil); !strings.Contains(page, "1 flights, ") {
		t.Error("the page does not count its flight")
	}
}

// Whoever asks for the page of a large sweep may stop it.
func TestReadSweepStops(t *testing.T) {
	b := sample.Brief("")
	f, r := sweptRun(t, b, tableOf(b, sweptFlight{b.Own(), numbersOf(b, 1), true, "landed"}), nil)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := report.ReadSweep(ctx, b, r, f.Dir); !errors.Is(err, context.Canceled) {
		t.Errorf("ReadSweep = %v, want %v", err, context.Canceled)
	}
}

// Only a default limit may be one that an older build did not know: what the brief
// limits itself has to be there.
func TestReadSweepWantsEveryLimit(t *testing.T) {
	b := sample.Brief("")
	for i := range b.Limits {
		l := &b.Limits[i]
		name := table.ColumnName(l.Metric.Key, l.Unit)
		part := tableOf(b, sweptFlight{b.Own(), numbersOf(b, 1), true, "landed"})
		part.Columns = slices.DeleteFunc(part.Columns, func(c table.Column) bool { return c.Name == name })
		f, r := sweptRun(t, b, part, nil)
		_, err := report.ReadSweep(t.Context(), b, r, f.Dir)
		if want := "no column " + name + " of numbers, want one"; l.Default != (err == nil) || err != nil && !strings.HasSuffix(err.Error(), want) {
			t.Errorf("without %s, a default limit %v: %v", name, l.Default, err)
		}
	}
}

package output_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
	"ullage/testdata/briefs"
)

// eachMissing gives read the table without each of its columns in turn, and holds
// that it errs, naming the column, just where the column is needed.
func eachMissing(t *testing.T, whole table.Table, needed func(name string) bool, read func(table.Table) error) {
	t.Helper()
	if err := read(whole); err != nil {
		t.Fatalf("of the whole table: %v", err)
	}
	for i, c := range whole.Columns {
		less := table.Table{Columns: slices.Concat(whole.Columns[:i], whole.Columns[i+1:])}
		err := read(less)
		if want := needed(c.Name); (err != nil) != want || want && !strings.HasPrefix(err.Error(), "no column "+c.Name+" of ") {
			t.Errorf("without %s: %v, want an error that names it: %v", c.Name, err, want)
		}
	}
}

// A front is read where it has what its rows cannot be without: numbers, designs,
// warnings, the distances to limits that the brief writes, and of a robust search what
// was proved. An older build lacked figures, and default limits that are new.
func TestRowsOfAFrontWithoutAColumn(t *testing.T) {
	for _, robust := range []bool{false, true} {
		b, rows := sample.Broad("")
		if robust {
			b, rows = sample.Proved()
		}
		varied := []string{"design", "warnings", "fins_edges", "fins_count", "chamber_throat_m", "payload_mass_kg", "site_tilt_deg"}
		needed := func(name string) bool {
			switch {
			case slices.Contains(varied, name), strings.HasPrefix(name, "slack_") && name != "slack_proof_ratio":
				return true
			case !robust:
				return false
			}
			return name == "feasible" || strings.HasPrefix(name, "mean_") || strings.HasPrefix(name, "shown_") ||
				strings.HasPrefix(name, "chance_") && !strings.HasPrefix(name, "chance_least_")
		}
		whole := output.Front(b, rows, nil)
		eachMissing(t, whole, needed, func(t table.Table) error {
			_, err := output.Rows(b, t)
			return err
		})
		// One whose limit is new to it has the distance of its figure.
		i := slices.IndexFunc(whole.Columns, func(c table.Column) bool { return c.Name == "slack_proof_ratio" })
		older, err := output.Rows(b, table.Table{Columns: slices.Concat(whole.Columns[:i], whole.Columns[i+1:])})
		if err != nil || len(older) != len(rows) || older[0].Slacks[len(b.Limits)-1] != 0.5 {
			t.Errorf("of an older build: %+v, %v, want 2 less 1.5 of the proof ratio", older, err)
		}
	}
}

// Indices, courses of searches, landings and doubts need each of the columns that are
// read of them.
func TestTablesWithoutAColumn(t *testing.T) {
	b, rows := sample.Broad("")
	eachMissing(t, output.Indices(sample.Indices()), func(string) bool { return true }, func(t table.Table) error {
		_, err := output.IndexRows(t)
		return err
	})
	eachMissing(t, output.History(b, []optimize.Record{{Barrier: 1}}, []float64{1}), func(name string) bool { return slices.Contains([]string{"epoch", "flights", "hypervolume"}, name) },
		func(t table.Table) error {
			_, err := output.Records(t)
			return err
		})
	eachMissing(t, output.Landings([][]study.Landing{{{Drift: 1, Speed: 5}}}), func(name string) bool { return name != "draw" }, func(t table.Table) error {
		_, err := output.LandingsOf(t, 1)
		return err
	})
	// A front of an older build has no doubts; one that has them has both ends.
	front := output.Front(b, rows, [][]answers.Doubt{doubts(), nil, nil, nil})
	eachMissing(t, front, func(name string) bool {
		for _, id := range answers.Doubted {
			info := model.Figures[id]
			if name == table.ColumnName(info.Key, info.Unit) || name == table.ColumnName(info.Key+"_high", info.Unit) {
				return true
			}
		}
		return false
	}, func(t table.Table) error {
		_, err := output.Doubts(t)
		return err
	})
	back, err := output.Doubts(front)
	if err != nil || len(back) != 4 || len(back[0]) != len(answers.Doubted) || back[1] != nil {
		t.Fatalf("doubts come back as %+v, %v", back, err)
	}
	for i, d := range back[0] {
		if want := doubts()[i]; d.Figure != want.Figure || d.Low != want.Low || d.High != want.High {
			t.Errorf("doubt %d comes back as %+v, want %+v", i, d, want)
		}
	}
	again, err := output.IndexRows(output.Indices(sample.Indices()[:2]))
	if err != nil || !slices.Equal(again, sample.Indices()[:2]) {
		t.Errorf("indices come back as %+v, %v", again, err)
	}
}

// A canopy that is chosen brings its mass, which is a setting of its own; a number
// that no row has is none.
func TestSettingsOfCanopies(t *testing.T) {
	b := briefs.Listed(t)
	var keys []string
	x := b.Own()
	for _, s := range output.Settings(b) {
		keys = append(keys, s.Key)
		if want := map[string]float64{"recovery.canopy": 0.9, "recovery.mass": 0.05}[s.Key]; want != 0 && s.Of(x) != want {
			t.Errorf("%s is %v, want %v", s.Key, s.Of(x), want)
		}
	}
	at := slices.Index(keys, "recovery.canopy")
	if at < 0 || keys[at+1] != "recovery.mass" || len(keys) != len(b.Vary)+1 {
		t.Errorf("settings %q, want the mass behind the canopy", keys)
	}
	row := study.Row{X: x, Figures: sample.Figures(nil)}
	mass, _ := brief.MetricByKey("recovery.mass")
	if got := output.NumberOf(b, &mass, &row); got != 0.05 {
		t.Errorf("the mass of the canopy is %v", got)
	}
	bore, _ := brief.MetricByKey("chamber.bore")
	if got := output.NumberOf(b, &bore, &row); !math.IsNaN(got) {
		t.Errorf("what is not varied is %v, want none", got)
	}
}

package report_test

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/testdata/briefs"
)

// FuzzPage draws pages of a foreign run.json, a title and numbers as a front may
// hold them: it never panics, and the page has no element that it does not always
// have.
func FuzzPage(f *testing.F) {
	b := briefs.Demo(f, "field-day.toml")
	folder, err := runs.Create(f.TempDir(), b.Source, 7, "v1.2.3")
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { folder.Close() })
	page := func(r runs.Run, title string, value, place float64) (string, error) {
		of := *b
		of.Title = title
		rocket, site := of.At(of.Own())
		scratch := model.NewScratch()
		flight, samples := model.Path(&rocket, &site, scratch)
		row := study.RowOf(&of, 1, of.Own(), &flight, scratch)
		for i := range row.Figures {
			row.Figures[i] *= value
		}
		samples = slices.Clone(samples)
		for i := range samples {
			samples[i].Z *= value
			samples[i].Speed += place
		}
		found := &output.Found{
			Rows: []study.Row{row}, Paths: [][]model.Sample{samples}, Doubts: make([][]answers.Doubt, 1), Archive: []study.Row{row},
			Landings: [][]study.Landing{{{Drift: value * 30, Speed: place}}},
			Records:  []optimize.Record{{Barrier: 1, Flights: 10, Hypervolume: value}, {Barrier: 2, Flights: 20, Hypervolume: place}},
		}
		path, err := report.Of(&of, r, found).Write(folder)
		if err != nil {
			return "", err
		}
		data, err := os.ReadFile(path)
		return string(data), err
	}
	tags := func(page string) int {
		return strings.Count(page, "<script") + strings.Count(page, "<img") + strings.Count(page, "<iframe")
	}
	plain, err := page(runs.Run{}, "", 1, 1)
	if err != nil {
		f.Fatal(err)
	}
	f.Add([]byte(`{"state":"finished","stop":"flights","set":["a=</script><script>"],"answers":{"knee":"<img src=x>","doubts":["\u202e"],"prices":[{"limit":"a","per_unit":1e300}],"bands":[{"quantity":"x","from":-1e300,"to":1e300}],"hardest":"é"},"from":{"run":"<iframe>"}}`), "</title><script>", 1e300, -1.0)
	f.Add([]byte(`{"answers":{"hardest":""},"proof":{"draws":-1},"hypervolume":-1,"front":-1}`), "t", -1.0, 0.0)
	f.Fuzz(func(t *testing.T, record []byte, title string, value, place float64) {
		var r runs.Run
		if json.Unmarshal(record, &r) != nil {
			return
		}
		got, err := page(r, title, value, place)
		if err != nil {
			return
		}
		// One more where a picture is left out or drawn, never more than always.
		if tags(got) > tags(plain) {
			t.Errorf("run.json %q, title %q: %d scripts, images and frames, want %d", record, title, tags(got), tags(plain))
		}
	})
}

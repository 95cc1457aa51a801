package terminal_test

import (
	"encoding/json"
	"testing"

	"ullage/output/runs"
	"ullage/output/terminal"
)

// The answers that run.json keeps, as a terminal shows them.
func TestAnswers(t *testing.T) {
	var record runs.Answers
	if err := json.Unmarshal([]byte(`{"goal":"apogee","knee":"apogee 142 m (best 142)",`+
		`"doubts":["landing speed 5.00 m/s as modelled; 4.40 to 5.60 before any measured flight",`+
		`"acceleration 20.0 gn as modelled; 18.0 to 21.0 before any measured flight, most of it for the gauge"],`+
		`"prices":[{"limit":"acceleration","goal":"apogee","per_unit":0.2,"unit":"m per m/s2"},`+
		`{"limit":"flutter_factor","goal":"apogee","per_unit":12,"unit":"m per 1"}],`+
		`"bands":[{"quantity":"fins.span","unit":"m","from":0.12,"from_by":"margin","to":0.162,"to_by":"apogee"},{"quantity":"chamber.fill","unit":"1","from":0.2,"to":0.34,"to_by":"acceleration"}]}`), &record); err != nil {
		t.Fatal(err)
	}
	wantText(t, "Answers", terminal.Answers(&record), `
design 1: apogee 142 m (best 142)
  landing speed 5.00 m/s as modelled; 4.40 to 5.60 before any measured flight
  acceleration 20.0 gn as modelled; 18.0 to 21.0 before any measured flight, most of it for the
  gauge
there acceleration costs 1.96 m of apogee per gn
there flutter_factor costs 12.0 m of apogee per unit
each alone may move so far within the limits and 1 % of apogee:
  fins.span 120 to 162 mm, stopped by margin and apogee
  chamber.fill 0.200 to 0.340, above by acceleration
`[1:])
}

package text_test

import (
	"encoding/json"
	"testing"

	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
)

func TestAnswers(t *testing.T) {
	apogee := table.Quantity{Key: "apogee", Unit: "m", Sense: "highest"}
	answers := runs.Answers{
		Goal: "apogee",
		Knee: "apogee 124 m (best 136)",
		Prices: []runs.Price{
			runs.NewPrice(table.Quantity{Key: "acceleration", Unit: "m/s2"}, apogee, 0.2),
			runs.NewPrice(table.Quantity{Key: "flutter_factor", Unit: "1"}, apogee, 12),
		},
		Bands: []runs.Band{
			runs.NewBand(table.Quantity{Key: "fins.span", Unit: "m"}, 0.12, 0.162),
			runs.NewBand(table.Quantity{Key: "chamber.fill", Unit: "1"}, 0.2, 0.34),
		},
	}
	wantText(t, "Answers", text.Answers(answers), `
design 1: apogee 124 m (best 136)
there acceleration costs 1.96 m of apogee per gn
there flutter_factor costs 12.0 m of apogee per unit
each alone may move so far for 1 % of apogee:
  fins.span 120 to 162 mm
  chamber.fill 0.200 to 0.340
`[1:])
	got, err := json.Marshal(answers)
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"goal":"apogee","knee":"apogee 124 m (best 136)",` +
		`"prices":[{"limit":"acceleration","goal":"apogee","per_unit":0.2,"unit":"m per m/s2"},` +
		`{"limit":"flutter_factor","goal":"apogee","per_unit":12,"unit":"m per 1"}],` +
		`"bands":[{"quantity":"fins.span","unit":"m","from":0.12,"to":0.162},{"quantity":"chamber.fill","unit":"1","from":0.2,"to":0.34}]}`
	if string(got) != want {
		t.Errorf("JSON of answers = %s, want %s", got, want)
	}
}

// The best of a goal is that of its sense; the first row's own value stands
// before it.
func TestKnee(t *testing.T) {
	l := output.Layout{
		Figures: []table.Quantity{{Key: "apogee", Unit: "m"}, {Key: "dry_mass", Unit: "kg"}, {Key: "drift", Unit: "m"}},
		Goals: []table.Quantity{
			{Key: "apogee", Unit: "m", Sense: "highest"},
			{Key: "dry_mass", Unit: "kg", Sense: "lowest"},
			{Key: "drift", Unit: "m", Sense: "nearest 10 m"},
		},
	}
	row := func(apogee, mass float64) output.Row {
		return output.Row{Figures: []table.Value{table.Of(apogee, true), table.Of(mass, true), table.Of(12, true)}}
	}
	got := text.Knee(l, []output.Row{row(100, 0.8), row(120, 0.9), row(90, 0.7)})
	if want := "apogee 100 m (best 120), dry_mass 800 g (best 700), drift 12.0 m (best 12.0)"; got != want {
		t.Errorf("Knee = %q, want %q", got, want)
	}
	if got := text.Knee(l, nil); got != "" {
		t.Errorf("Knee of no rows = %q, want nothing", got)
	}
}

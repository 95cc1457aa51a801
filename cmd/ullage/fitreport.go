package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/fit"
	"ullage/output/report"
	"ullage/output/table"
)

// A fitReport is a fit as it is printed and written.
type fitReport struct {
	brief   *brief.Brief
	result  *fit.Result
	next    fit.Forecast
	gas     *fit.GasComparison // nil: not asked for
	refused string             // why there is no fitted brief
}

var gasNames = map[model.Gas]string{model.Moist: "moist", model.Dry: "dry"}

func gasText(g *fit.GasComparison) string {
	is, other := gasNames[g.Brief], gasNames[g.Other]
	switch {
	case g.Better > fit.Decisive:
		return fmt.Sprintf("the logs prefer %s gas, as in the brief, to %s (by %.0f)", is, other, g.Better)
	case g.Better < -fit.Decisive:
		return fmt.Sprintf("the logs prefer %s gas to the brief's %s (by %.0f): set chamber.gas and fit again", other, is, -g.Better)
	}
	return fmt.Sprintf("the logs cannot tell %s gas from %s (%+.1f, want more than %d either way)", is, other, g.Better, fit.Decisive)
}

func (f *fitReport) text() string {
	var out strings.Builder
	out.WriteString(f.result.Text())
	if f.gas != nil {
		fmt.Fprintf(&out, "  %s\n", gasText(f.gas))
	}
	fmt.Fprintf(&out, "\nnext flight as in the brief, fitted: 90 %% of %d draws of what the fit leaves open and of its scatter\n", f.next.Draws)
	for _, b := range f.next.Figures {
		unit := b.Unit
		if unit == "1" {
			unit = ""
		}
		fmt.Fprintf(&out, "  %-14s %8.4g  %8.4g to %-8.4g %s\n", b.Key, b.Value, b.Low, b.High, unit)
	}
	fmt.Fprintf(&out, "\nfor the brief\n\n%s", f.result.Patch())
	if f.refused != "" {
		fmt.Fprintf(&out, "\nno brief.toml written: %s\n", f.refused)
	}
	return out.String()
}

// The JSON of a fit; keys of numbers carry their units as columns do.
type (
	fitJSON struct {
		Confidence  float64                 `json:"confidence"`
		Converged   bool                    `json:"converged"`
		Readings    int                     `json:"readings"`
		Worth       float64                 `json:"independent_readings"`
		Condition   *float64                `json:"condition"` // null: some unknowns cannot be told apart
		Estimates   map[string]estimateJSON `json:"estimates"`
		Correlation [][]float64             `json:"correlation"` // of the fitted ones, in the order of keys
		Keys        []string                `json:"keys"`
		Gas         *gasJSON                `json:"gas,omitempty"`
		Logs        []logJSON               `json:"logs"`
		Observed    []observedJSON          `json:"observed"`
		Next        nextJSON                `json:"next"`
	}
	gasJSON struct {
		Brief  string  `json:"brief"`
		Other  string  `json:"other"`
		Better float64 `json:"brief_better_by"`
	}
	estimateJSON struct {
		Value     float64  `json:"value"`
		Was       float64  `json:"was"`
		Fitted    bool     `json:"fitted"`
		Why       string   `json:"why,omitempty"` // not
		Deviation *float64 `json:"deviation"`
		Low       *float64 `json:"low"`
		High      *float64 `json:"high"`
		AtTheEnd  bool     `json:"at_end_of_range"`
	}
	observedJSON struct {
		Text      string  `json:"text"`
		Figure    string  `json:"figure"` // its column; the numbers below are in its unit
		Value     float64 `json:"value"`
		Deviation float64 `json:"deviation"`
		Before    float64 `json:"before"`
		Fitted    float64 `json:"fitted"`
	}
	logJSON struct {
		Name    string   `json:"name"`
		Hash    string   `json:"sha256"`
		LiftOff float64  `json:"lift_off_s"`
		Impulse float64  `json:"impulse_ratio"`
		Notes   []string `json:"notes"`
		Planned []string `json:"planned"` // what is as the brief plans it, not measured

		// Of a flight; null of a test stand.
		Level   *float64 `json:"pad_level_m"`
		Highest *float64 `json:"highest_m"`
		Before  *float64 `json:"apogee_before_m"`
		After   *float64 `json:"apogee_fitted_m"`
		Noise   *float64 `json:"noise_height_m"`
		Claims  *float64 `json:"energy_claimed_j"`
		Holds   *float64 `json:"energy_charge_j"`

		// Of a test stand; null of a flight.
		Measured *float64 `json:"impulse_measured_n_s"`
		Brief    *float64 `json:"impulse_before_n_s"`
		Fitted   *float64 `json:"impulse_fitted_n_s"`
	}
	nextJSON struct {
		Draws   int                  `json:"draws"`
		Landed  int                  `json:"landed"`
		Figures map[string]rangeJSON `json:"figures"`
		Path    []pointJSON          `json:"path"`
	}
	rangeJSON struct {
		Value float64 `json:"fitted"`
		Low   float64 `json:"low"`
		High  float64 `json:"high"`
	}
	pointJSON struct {
		Time   float64 `json:"t_s"`
		Height float64 `json:"z_m"`
		Low    float64 `json:"low_m"`
		High   float64 `json:"high_m"`
	}
)

func (f *fitReport) json() ([]byte, error) {
	r := f.result
	out := fitJSON{
		Confidence: fit.Confidence, Converged: r.Converged, Readings: r.Readings, Worth: r.Worth, Correlation: r.Correlation,
		Estimates: map[string]estimateJSON{}, Keys: []string{}, Logs: []logJSON{}, Observed: []observedJSON{}, Next: nextJSONOf(&f.next),
	}
	if !math.IsInf(r.Condition, 0) {
		out.Condition = &r.Condition
	}
	if g := f.gas; g != nil {
		out.Gas = &gasJSON{gasNames[g.Brief], gasNames[g.Other], g.Better}
	}
	for i := range r.Estimates {
		e := &r.Estimates[i]
		name := table.ColumnName(e.Key, e.Unit)
		j := estimateJSON{Value: e.Value, Was: e.Was, Fitted: e.Fitted, Why: e.Why, AtTheEnd: e.AtTheRange}
		if e.Fitted {
			j.Deviation, j.Low, j.High = &e.Deviation, &e.Low, &e.High
			out.Keys = append(out.Keys, name)
		}
		out.Estimates[name] = j
	}
	for i := range r.Observed {
		o := &r.Observed[i]
		info := model.Figures[o.Figure]
		out.Observed = append(out.Observed, observedJSON{o.Text, table.ColumnName(info.Key, info.Unit), o.Value, o.Deviation, o.Before, o.After})
	}
	for i := range r.Logs {
		out.Logs = append(out.Logs, logJSONOf(&r.Logs[i]))
	}
	text, err := json.MarshalIndent(out, "", "  ")
	return append(text, '\n'), err
}

func logJSONOf(l *fit.LogFit) logJSON {
	j := logJSON{Name: l.Name, Hash: l.Hash, LiftOff: l.LiftOff, Impulse: l.Impulse, Notes: append([]string{}, l.Notes...), Planned: append([]string{}, l.Planned...)}
	if l.Bench {
		j.Measured, j.Brief, j.Fitted = &l.Highest, &l.Before, &l.After
	} else {
		j.Level, j.Highest, j.Before, j.After = &l.Level, &l.Highest, &l.Before, &l.After
		j.Noise, j.Claims, j.Holds = &l.Noise[0], &l.Claims, &l.Holds
	}
	return j
}

func nextJSONOf(f *fit.Forecast) nextJSON {
	j := nextJSON{Draws: f.Draws, Landed: f.Flights, Figures: map[string]rangeJSON{}}
	for _, b := range f.Figures {
		j.Figures[table.ColumnName(b.Key, b.Unit)] = rangeJSON{b.Value, b.Low, b.High}
	}
	for _, p := range f.Path {
		j.Path = append(j.Path, pointJSON(p))
	}
	return j
}

func (f *fitReport) comparisons() []report.Comparison {
	var all []report.Comparison
	for i := range f.result.Logs {
		l := &f.result.Logs[i]
		if l.Bench {
			continue
		}
		c := report.Comparison{Name: l.Name}
		for _, row := range l.Rows {
			c.Time, c.Logged, c.Says = append(c.Time, row.Time), append(c.Logged, row.Height), append(c.Says, row.ModelHeight)
		}
		all = append(all, c)
	}
	return all
}

// residuals returns the table of what the logs say and the fitted model.
func (f *fitReport) residuals() table.Table {
	var logs []string
	var rows []fit.Row
	for i := range f.result.Logs {
		for _, row := range f.result.Logs[i].Rows {
			logs, rows = append(logs, f.result.Logs[i].Name), append(rows, row)
		}
	}
	t := table.Table{Columns: []table.Column{
		{Name: "log", Unit: "1", Role: table.Identity, Doc: "file of the log", Values: logs},
	}}
	for _, c := range []struct {
		key, unit, doc string
		value          func(*fit.Row) float64
	}{
		{"t", "s", "time after lift-off", func(r *fit.Row) float64 { return r.Time }},
		{"height", "m", "above the pad by the log, corrected", func(r *fit.Row) float64 { return r.Height }},
		{"model_height", "m", "above the pad by the fitted model, through the altimeter's filter", func(r *fit.Row) float64 { return r.ModelHeight }},
		{"residual", "m", "log less model", func(r *fit.Row) float64 { return r.Height - r.ModelHeight }},
		{"weight", "1", "of the residual in the loss; below 1 it counts as an outlier", func(r *fit.Row) float64 { return r.Weight }},
		{"speed", "m/s", "upward by the log", func(r *fit.Row) float64 { return r.Speed }},
		{"model_speed", "m/s", "upward by the fitted model", func(r *fit.Row) float64 { return r.ModelSpeed }},
		{"thrust", "N", "mean since the row with one before, by the log of a test stand", func(r *fit.Row) float64 { return r.Thrust }},
		{"model_thrust", "N", "the same by the fitted model", func(r *fit.Row) float64 { return r.ModelThrust }},
		{"acceleration", "m/s2", "mean felt since the row with one before, by the log", func(r *fit.Row) float64 { return r.Felt }},
		{"model_acceleration", "m/s2", "the same by the fitted model", func(r *fit.Row) float64 { return r.ModelFelt }},
	} {
		values := make(table.Nullable, len(rows))
		for i := range rows {
			v := c.value(&rows[i])
			values[i] = v
		}
		t.Columns = append(t.Columns, table.Column{Name: table.ColumnName(c.key, c.unit), Unit: c.unit, Role: table.Figure, Doc: c.doc, Values: values})
	}
	return t
}

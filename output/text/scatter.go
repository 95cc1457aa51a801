package text

import (
	"fmt"
	"strings"

	"ullage/model"
	"ullage/output"
	"ullage/output/table"
)

// Scatter returns the report for a terminal: of one design all that is known, of
// several a line each.
func Scatter(s *output.Scatter) string {
	if len(s.Designs) == 1 {
		return designText(s, &s.Designs[0])
	}
	return frontText(s)
}

func designText(s *output.Scatter, d *output.Scattered) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d flights under scatter, seed %d\n", s.Flights, s.Seed)
	if len(s.Varied) > 0 {
		heading := "design"
		if d.Design > 0 {
			heading = fmt.Sprintf("design %d", d.Design)
		}
		lines := make([][3]string, len(s.Varied))
		for i, q := range s.Varied {
			lines[i] = [3]string{q.Key, Show(q).Number(d.X[i]), Show(q).Unit}
		}
		block(&b, heading, lines)
	}
	figuresText(s, &b, d)
	landingText(&b, d)
	chancesText(s, &b, d)
	whatIfsText(&b, d)
	return b.String()
}

// figuresText writes a line a figure. An asterisk marks what only some of the
// flights have.
func figuresText(s *output.Scatter, b *strings.Builder, d *output.Scattered) {
	fmt.Fprintf(b, "\n%-22s %-4s", "figures", "")
	for _, of := range output.Statistics {
		fmt.Fprintf(b, " %8s", of.Key)
	}
	if s.Days() {
		fmt.Fprintf(b, " %8s", "in a day")
	}
	b.WriteString("\n")
	some := []string{}
	for i, q := range output.FlightFigures() {
		spread, show := &d.Spreads[i], Show(q)
		if spread.Count == 0 {
			continue
		}
		fmt.Fprintf(b, "  %-20s %-4s", q.Key, show.Unit)
		for _, of := range output.Statistics {
			v := of.Value(spread)
			text := show.Number(v)
			if of.Size {
				text = Three(v * show.Scale)
			}
			fmt.Fprintf(b, " %8s", text)
		}
		if s.Days() {
			fmt.Fprintf(b, " %8s", Three(d.Within[i]*show.Scale))
		}
		if spread.Count < s.Flights {
			b.WriteString("*")
			some = append(some, fmt.Sprintf("%s %d", q.Key, spread.Count))
		}
		b.WriteString("\n")
	}
	if len(some) > 0 {
		const note = "  * only some flights have it: "
		b.WriteString(note + fit(some, LineWidth-len(note)) + "\n")
	}
}

// landingText says where the rocket comes down.
func landingText(b *strings.Builder, d *output.Scattered) {
	drift := &d.Spreads[model.Drift]
	if drift.Count == 0 {
		return
	}
	fmt.Fprintf(b, "\nlanding, downwind of the pad\n  mean %s m, sd %s m; nine flights in ten between %s and %s m\n",
		Three(drift.Mean), Three(drift.Deviation), Three(drift.P05), Three(drift.P95))
}

func chancesText(s *output.Scatter, b *strings.Builder, d *output.Scattered) {
	fmt.Fprintf(b, "\n%-22s %9s %9s\n", "limits: chance to keep", "of flights", "at least")
	line := func(name string, c output.Chance) {
		fmt.Fprintf(b, "  %-20s %8s %% %8s %%\n", name, percent(c.Share), percent(c.AtLeast))
	}
	for i, q := range s.Limits {
		line(q.Key, d.Chances[i])
	}
	line("all of them", d.All)
	fmt.Fprintf(b, "  each bound alone holds with %g %% confidence\n", 100*s.Confidence)
}

// percent never rounds a chance up to a whole that it is not.
func percent(share float64) string {
	tenths := int(share*1000 + 1e-9)
	return fmt.Sprintf("%d.%d", tenths/10, tenths%10)
}

func whatIfsText(b *strings.Builder, d *output.Scattered) {
	if len(d.WhatIfs) == 0 {
		return
	}
	width := 0
	for _, w := range d.WhatIfs {
		width = max(width, len(w.Doc))
	}
	fmt.Fprintf(b, "\n%-*s %8s %8s %8s\n", width+2, "what if", "apogee", "landing", "drift")
	fmt.Fprintf(b, "%-*s %8s %8s %8s\n", width+2, "", "m", "m/s", "m")
	plain := Shown{Scale: 1}
	for _, w := range d.WhatIfs {
		text := fmt.Sprintf("  %-*s %8s %8s %8s", width, w.Doc, plain.Value(w.Apogee), plain.Value(w.LandingSpeed), plain.Value(w.Drift))
		switch {
		case w.Outcome != model.Landed:
			text += "  " + w.Outcome.String()
		case len(w.Missed) > 0:
			text += "  misses " + fit(w.Missed, LineWidth-len(text)-len("  misses "))
		}
		b.WriteString(text + "\n")
	}
}

// frontText writes a line a design: apogee, landing, the chance of keeping all
// limits and the limit that is kept least often.
func frontText(s *output.Scatter) string {
	apogee, drift := int(model.Apogee), int(model.Drift)
	one := Shown{Scale: 1}
	columns := []Column{
		NewColumn([3]string{"", "design", ""}, table.Gather(s.Designs, func(d output.Scattered) string { return fmt.Sprint(d.Design) })),
	}
	add := func(section, name, unit string, value func(d *output.Scattered) string) {
		columns = append(columns, NewColumn([3]string{section, name, unit}, table.Gather(s.Designs, func(d output.Scattered) string { return value(&d) })))
	}
	spread := func(figure int, key string) func(d *output.Scattered) string {
		for _, of := range output.Statistics {
			if of.Key == key {
				return func(d *output.Scattered) string {
					return one.Value(table.Of(of.Value(&d.Spreads[figure]), d.Spreads[figure].Count > 0))
				}
			}
		}
		panic("no statistic " + key)
	}
	for _, key := range []string{"mean", "sd", "p10"} {
		add("apogee", key, "m", spread(apogee, key))
	}
	for _, key := range []string{"mean", "sd", "p05", "p95"} {
		add("drift", key, "m", spread(drift, key))
	}
	add("limits", "all kept", "%", func(d *output.Scattered) string { return percent(d.All.Share) })
	add("limits", "at least", "%", func(d *output.Scattered) string { return percent(d.All.AtLeast) })
	var b strings.Builder
	fmt.Fprintf(&b, "%d flights of each design under scatter, seed %d\n\n", s.Flights, s.Seed)
	for line := range 3 {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.Head[line])
		}
		if line == 1 {
			text += "least kept"
		}
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
	for i := range s.Designs {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.Cells[i])
		}
		text += fit(leastKept(s, &s.Designs[i]), LineWidth-len(text))
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
	fmt.Fprintf(&b, "each bound alone holds with %g %% confidence\n", 100*s.Confidence)
	return b.String()
}

// leastKept names the limit that is kept least often, if one is not always
// kept.
func leastKept(s *output.Scatter, d *output.Scattered) []string {
	name, least := []string(nil), 1.0
	for i, c := range d.Chances {
		if c.Share < least {
			name, least = []string{s.Limits[i].Key}, c.Share
		}
	}
	return name
}

// ScatterJSON returns the report as a JSON object with a final newline. Keys are the
// column names of a front; what does not apply is null.
func ScatterJSON(s *output.Scatter) ([]byte, error) {
	var o table.Object
	o.Add("flights", s.Flights)
	o.Add("seed", s.Seed)
	o.Add("confidence", s.Confidence)
	o.Add("designs", table.Gather(s.Designs, func(d output.Scattered) *table.Object { return designJSON(s, &d) }))
	return o.Indented()
}

func designJSON(s *output.Scatter, d *output.Scattered) *table.Object {
	var o, design, figures, chances, whatIfs table.Object
	for i, q := range s.Varied {
		design.Add(table.ColumnName(q.Key, q.Unit), table.Written(d.X[i], q.Unit))
	}
	for i, q := range output.FlightFigures() {
		figures.Add(table.ColumnName(q.Key, q.Unit), figureJSON(s, d, i, q.Unit))
	}
	for i, q := range s.Limits {
		chances.Add(table.ColumnName(q.Key, "1"), chanceJSON(d.Chances[i]))
	}
	chances.Add("all", chanceJSON(d.All))
	for _, w := range d.WhatIfs {
		var flight table.Object
		flight.Add("outcome", w.Outcome.String())
		flight.Add("apogee_m", w.Apogee)
		flight.Add("landing_speed_m_s", w.LandingSpeed)
		flight.Add("drift_m", w.Drift)
		flight.Add("missed", append([]string{}, w.Missed...))
		whatIfs.Add(w.Key, &flight)
	}
	if d.Design > 0 {
		o.Add("number", d.Design)
	}
	o.Add("design", &design)
	o.Add("figures", &figures)
	o.Add("chances", &chances)
	o.Add("what_ifs", &whatIfs)
	return &o
}

func figureJSON(s *output.Scatter, d *output.Scattered, i int, unit string) *table.Object {
	var o table.Object
	spread := &d.Spreads[i]
	o.Add("as_set", d.Nominal[i].Written(unit))
	for _, of := range output.Statistics {
		o.Add(of.Key, table.Of(of.Value(spread), spread.Count > 0).Written(unit))
	}
	if s.Days() {
		o.Add("sd_within_day", table.Of(d.Within[i], spread.Count > 0).Written(unit))
	}
	o.Add("flights", spread.Count)
	return &o
}

func chanceJSON(c output.Chance) *table.Object {
	var o table.Object
	o.Add("share", c.Share)
	o.Add("at_least", c.AtLeast)
	return &o
}

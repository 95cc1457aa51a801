package terminal

import (
	"fmt"
	"strings"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
	"ullage/output/wording"
)

// Scatter returns a report on designs under scatter for a terminal: of one design
// all that is known, of several a line each.
func Scatter(s *output.Scatter) string {
	if len(s.Designs) == 1 {
		return designText(s, &s.Designs[0])
	}
	return frontText(s)
}

func designText(s *output.Scatter, d *answers.Scattered) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d flights under scatter, seed %d\n", s.Flights, s.Seed)
	b.WriteString(wording.NotJudged(s.Brief))
	if len(s.Brief.Vary) > 0 {
		heading := "design"
		if d.Design > 0 {
			heading = fmt.Sprintf("design %d", d.Design)
		}
		block(&b, heading, designLines(s.Brief, d.X))
	}
	figuresText(s, &b, d)
	landingText(&b, d)
	chancesText(s, &b, d)
	whatIfsText(&b, d)
	return b.String()
}

// figuresText writes a line a figure. An asterisk marks what only some of the
// flights have.
func figuresText(s *output.Scatter, b *strings.Builder, d *answers.Scattered) {
	fmt.Fprintf(b, "\n%-22s %-4s", "figures", "")
	for _, of := range output.Statistics {
		fmt.Fprintf(b, " %8s", of.Key)
	}
	if s.Days() {
		fmt.Fprintf(b, " %8s", "in a day")
	}
	b.WriteString("\n")
	some := []string{}
	for id, info := range model.Figures {
		spread, show := &d.Spreads[id], text.Show(info.Key, info.Unit)
		if spread.Count == 0 {
			continue
		}
		fmt.Fprintf(b, "  %-20s %-4s", info.Key, show.Unit)
		for _, of := range output.Statistics {
			v := of.Value(spread)
			number := show.Number(v)
			if of.Size {
				number = text.Three(v * show.Scale)
			}
			fmt.Fprintf(b, " %8s", number)
		}
		if s.Days() {
			fmt.Fprintf(b, " %8s", text.Three(d.Within[id]*show.Scale))
		}
		if spread.Count < s.Flights {
			b.WriteString("*")
			some = append(some, fmt.Sprintf("%s %d", info.Key, spread.Count))
		}
		b.WriteString("\n")
	}
	if len(some) > 0 {
		const note = "  * only some flights have it: "
		b.WriteString(note + text.Fit(some, text.LineWidth-len(note), "figures") + "\n")
	}
}

// landingText says where the rocket comes down.
func landingText(b *strings.Builder, d *answers.Scattered) {
	drift := &d.Spreads[model.Drift]
	if drift.Count == 0 {
		return
	}
	fmt.Fprintf(b, "\nlanding, downwind of the pad\n  mean %s m, sd %s m; nine flights in ten between %s and %s m\n",
		text.Three(drift.Mean), text.Three(drift.Deviation), text.Three(drift.P05), text.Three(drift.P95))
}

func chancesText(s *output.Scatter, b *strings.Builder, d *answers.Scattered) {
	fmt.Fprintf(b, "\n%-22s %9s %9s\n", "limits: chance to keep", "of flights", "at least")
	line := func(name string, c constraints.Chance, note string) {
		fmt.Fprintf(b, "  %-20s %8s %% %8s %%%s\n", name, text.Percent(c.Share()), text.Percent(c.AtLeast()), note)
	}
	for i := range s.Brief.Limits {
		m, note := &s.Brief.Limits[i].Metric, ""
		if study.AsSet(m) {
			note = "  as set, not as drawn"
		}
		line(m.Key, d.Chances[i], note)
	}
	line("all of them", d.All, "")
	fmt.Fprintf(b, "  each bound alone holds with %g %% confidence\n", 100*constraints.Level)
}

func whatIfsText(b *strings.Builder, d *answers.Scattered) {
	if len(d.WhatIfs) == 0 {
		return
	}
	width := 0
	for _, w := range d.WhatIfs {
		width = max(width, len(w.Doc))
	}
	fmt.Fprintf(b, "\n%-*s %8s %8s %8s\n", width+2, "what if", "apogee", "landing", "drift")
	fmt.Fprintf(b, "%-*s %8s %8s %8s\n", width+2, "", "m", "m/s", "m")
	for _, w := range d.WhatIfs {
		number := func(id model.Figure) string { return text.Shown{Scale: 1}.Value(output.FigureOf(&w.Flight, id)) }
		line := fmt.Sprintf("  %-*s %8s %8s %8s", width, w.Doc, number(model.Apogee), number(model.LandingSpeed), number(model.Drift))
		switch {
		case w.Flight.Outcome != model.Landed:
			line += "  " + w.Flight.Outcome.String()
		case len(w.Missed) > 0:
			line += "  misses " + text.Fit(w.Missed, text.LineWidth-len(line)-len("  misses "), "limits")
		}
		b.WriteString(line + "\n")
	}
}

// frontText writes a line a design: apogee, landing, the chance of keeping all
// limits and the limit that is kept least often.
func frontText(s *output.Scatter) string {
	columns := []text.Column{
		{Head: [3]string{"", "design", ""}, Cells: table.Gather(s.Designs, func(d answers.Scattered) string { return fmt.Sprint(d.Design) })},
	}
	add := func(section, name, unit string, value func(d *answers.Scattered) string) {
		columns = append(columns, text.Column{Head: [3]string{section, name, unit}, Cells: table.Gather(s.Designs, func(d answers.Scattered) string { return value(&d) })})
	}
	for _, of := range output.Statistics {
		if of.Key == "mean" || of.Key == "sd" || of.Key == "p10" {
			add("apogee", of.Key, "m", func(d *answers.Scattered) string { return text.Shown{Scale: 1}.Value(of.Of(&d.Spreads[model.Apogee])) })
		}
	}
	for _, of := range output.Statistics {
		if of.Key == "mean" || of.Key == "sd" || of.Key == "p05" || of.Key == "p95" {
			add("drift", of.Key, "m", func(d *answers.Scattered) string { return text.Shown{Scale: 1}.Value(of.Of(&d.Spreads[model.Drift])) })
		}
	}
	add("limits", "all kept", "%", func(d *answers.Scattered) string { return text.Percent(d.All.Share()) })
	add("limits", "at least", "%", func(d *answers.Scattered) string { return text.Percent(d.All.AtLeast()) })
	var b strings.Builder
	fmt.Fprintf(&b, "%d flights of each design under scatter, seed %d\n%s\n", s.Flights, s.Seed, wording.NotJudged(s.Brief))
	writeRows(&b, columns, "least kept", func(i, width int) string { return text.Fit(leastKept(s, &s.Designs[i]), width, "limits") }, len(s.Designs))
	fmt.Fprintf(&b, "each bound alone holds with %g %% confidence\n", 100*constraints.Level)
	return b.String()
}

// leastKept names the limit that is kept least often, if one is not always
// kept.
func leastKept(s *output.Scatter, d *answers.Scattered) []string {
	name, least := []string(nil), 1.0
	for i, c := range d.Chances {
		if c.Share() < least {
			name, least = []string{s.Brief.Limits[i].Metric.Key}, c.Share()
		}
	}
	return name
}

// ScatterJSON returns what Scatter shows, unrounded and in the units of files, as
// a JSON object with a final newline. Keys are the column names of a front; what
// is not there is null. It errs only as encoding/json does, which none of its
// values makes it.
func ScatterJSON(s *output.Scatter) ([]byte, error) {
	var o table.Object
	o.Add("flights", s.Flights)
	o.Add("seed", s.Seed)
	o.Add("confidence", constraints.Level)
	o.Add("designs", table.Gather(s.Designs, func(d answers.Scattered) *table.Object { return designJSON(s, &d) }))
	return o.Indented()
}

func designJSON(s *output.Scatter, d *answers.Scattered) *table.Object {
	var o, figures, chances, whatIfs table.Object
	for id, info := range model.Figures {
		figures.Add(table.ColumnName(info.Key, info.Unit), figureJSON(s, d, model.Figure(id), info.Unit))
	}
	for i := range s.Brief.Limits {
		o := chanceJSON(d.Chances[i])
		o.Add("as_set", study.AsSet(&s.Brief.Limits[i].Metric))
		chances.Add(table.ColumnName(s.Brief.Limits[i].Metric.Key, "1"), o)
	}
	chances.Add("all", chanceJSON(d.All))
	for _, w := range d.WhatIfs {
		var flight table.Object
		flight.Add("outcome", w.Flight.Outcome.String())
		for _, id := range []model.Figure{model.Apogee, model.LandingSpeed, model.Drift} {
			info := model.Figures[id]
			flight.Add(table.ColumnName(info.Key, info.Unit), output.FigureOf(&w.Flight, id))
		}
		flight.Add("missed", append([]string{}, w.Missed...))
		whatIfs.Add(w.Key, &flight)
	}
	if d.Design > 0 {
		o.Add("number", d.Design)
	}
	o.Add("design", design(s.Brief, d.X))
	o.Add("figures", &figures)
	o.Add("chances", &chances)
	o.Add("what_ifs", &whatIfs)
	return &o
}

func figureJSON(s *output.Scatter, d *answers.Scattered, id model.Figure, unit string) *table.Object {
	var o table.Object
	o.Add("as_set", table.Written(output.FigureOf(&d.Nominal, id), unit))
	for _, of := range output.Statistics {
		o.Add(of.Key, table.Written(of.Of(&d.Spreads[id]), unit))
	}
	if s.Days() {
		o.Add("sd_within_day", table.Written(output.WithinDay(d, id), unit))
	}
	o.Add("flights", d.Spreads[id].Count)
	return &o
}

func chanceJSON(c constraints.Chance) *table.Object {
	var o table.Object
	o.Add("share", c.Share())
	o.Add("at_least", c.AtLeast())
	return &o
}

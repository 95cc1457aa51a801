package output

import (
	"fmt"
	"strings"

	"ullage/model"
)

// Text returns the report for a terminal: of one design all that is known, of
// several a line each.
func (s *Scatter) Text() string {
	if len(s.Designs) == 1 {
		return s.designText(&s.Designs[0])
	}
	return s.frontText()
}

func (s *Scatter) designText(d *Scattered) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d flights under scatter, seed %d\n", s.Flights, s.Seed)
	if len(s.Varied) > 0 {
		heading := "design"
		if d.Design > 0 {
			heading = fmt.Sprintf("design %d", d.Design)
		}
		lines := make([][3]string, len(s.Varied))
		for i, q := range s.Varied {
			lines[i] = [3]string{q.Key, display(q).number(d.X[i]), display(q).unit}
		}
		block(&b, heading, lines)
	}
	s.figuresText(&b, d)
	s.landingText(&b, d)
	s.chancesText(&b, d)
	whatIfsText(&b, d)
	return b.String()
}

// figuresText writes a line a figure. An asterisk marks what only some of the
// flights have.
func (s *Scatter) figuresText(b *strings.Builder, d *Scattered) {
	fmt.Fprintf(b, "\n%-22s %-4s", "figures", "")
	for _, of := range statistics {
		fmt.Fprintf(b, " %8s", of.key)
	}
	if s.days() {
		fmt.Fprintf(b, " %8s", "in a day")
	}
	b.WriteString("\n")
	some := []string{}
	for i, q := range FlightFigures() {
		spread, show := &d.Spreads[i], display(q)
		if spread.Count == 0 {
			continue
		}
		fmt.Fprintf(b, "  %-20s %-4s", q.Key, show.unit)
		for _, of := range statistics {
			v := of.value(spread)
			text := show.number(v)
			if of.size {
				text = three(v * show.scale)
			}
			fmt.Fprintf(b, " %8s", text)
		}
		if s.days() {
			fmt.Fprintf(b, " %8s", three(d.Within[i]*show.scale))
		}
		if spread.Count < s.Flights {
			b.WriteString("*")
			some = append(some, fmt.Sprintf("%s %d", q.Key, spread.Count))
		}
		b.WriteString("\n")
	}
	if len(some) > 0 {
		const note = "  * only some flights have it: "
		b.WriteString(note + fit(some, lineWidth-len(note)) + "\n")
	}
}

// landingText says where the rocket comes down.
func (s *Scatter) landingText(b *strings.Builder, d *Scattered) {
	drift := &d.Spreads[model.Drift]
	if drift.Count == 0 {
		return
	}
	fmt.Fprintf(b, "\nlanding, downwind of the pad\n  mean %s m, sd %s m; nine flights in ten between %s and %s m\n",
		three(drift.Mean), three(drift.Deviation), three(drift.P05), three(drift.P95))
}

func (s *Scatter) chancesText(b *strings.Builder, d *Scattered) {
	fmt.Fprintf(b, "\n%-22s %9s %9s\n", "limits: chance to keep", "of flights", "at least")
	line := func(name string, c Chance) {
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

func whatIfsText(b *strings.Builder, d *Scattered) {
	if len(d.WhatIfs) == 0 {
		return
	}
	width := 0
	for _, w := range d.WhatIfs {
		width = max(width, len(w.Doc))
	}
	fmt.Fprintf(b, "\n%-*s %8s %8s %8s\n", width+2, "what if", "apogee", "landing", "drift")
	fmt.Fprintf(b, "%-*s %8s %8s %8s\n", width+2, "", "m", "m/s", "m")
	plain := shown{scale: 1}
	for _, w := range d.WhatIfs {
		text := fmt.Sprintf("  %-*s %8s %8s %8s", width, w.Doc, plain.value(w.Apogee), plain.value(w.LandingSpeed), plain.value(w.Drift))
		switch {
		case w.Outcome != model.Landed:
			text += "  " + w.Outcome.String()
		case len(w.Missed) > 0:
			text += "  misses " + fit(w.Missed, lineWidth-len(text)-len("  misses "))
		}
		b.WriteString(text + "\n")
	}
}

// frontText writes a line a design: apogee, landing, the chance of keeping all
// limits and the limit that is kept least often.
func (s *Scatter) frontText() string {
	apogee, drift := int(model.Apogee), int(model.Drift)
	one := shown{scale: 1}
	columns := []textColumn{
		newTextColumn([3]string{"", "design", ""}, gather(s.Designs, func(d Scattered) string { return fmt.Sprint(d.Design) })),
	}
	add := func(section, name, unit string, value func(d *Scattered) string) {
		columns = append(columns, newTextColumn([3]string{section, name, unit}, gather(s.Designs, func(d Scattered) string { return value(&d) })))
	}
	spread := func(figure int, key string) func(d *Scattered) string {
		for _, of := range statistics {
			if of.key == key {
				return func(d *Scattered) string {
					return one.value(Of(of.value(&d.Spreads[figure]), d.Spreads[figure].Count > 0))
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
	add("limits", "all kept", "%", func(d *Scattered) string { return percent(d.All.Share) })
	add("limits", "at least", "%", func(d *Scattered) string { return percent(d.All.AtLeast) })
	var b strings.Builder
	fmt.Fprintf(&b, "%d flights of each design under scatter, seed %d\n\n", s.Flights, s.Seed)
	for line := range 3 {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.head[line])
		}
		if line == 1 {
			text += "least kept"
		}
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
	for i := range s.Designs {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.cells[i])
		}
		text += fit(s.leastKept(&s.Designs[i]), lineWidth-len(text))
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
	fmt.Fprintf(&b, "each bound alone holds with %g %% confidence\n", 100*s.Confidence)
	return b.String()
}

// leastKept names the limit that is kept least often, if one is not always
// kept.
func (s *Scatter) leastKept(d *Scattered) []string {
	name, least := []string(nil), 1.0
	for i, c := range d.Chances {
		if c.Share < least {
			name, least = []string{s.Limits[i].Key}, c.Share
		}
	}
	return name
}

// JSON returns the report as a JSON object with a final newline. Keys are the
// column names of a front; what does not apply is null.
func (s *Scatter) JSON() ([]byte, error) {
	var o object
	o.add("flights", s.Flights)
	o.add("seed", s.Seed)
	o.add("confidence", s.Confidence)
	o.add("designs", gather(s.Designs, func(d Scattered) *object { return s.designJSON(&d) }))
	return o.bytes()
}

func (s *Scatter) designJSON(d *Scattered) *object {
	var o, design, figures, chances, whatIfs object
	for i, q := range s.Varied {
		design.add(ColumnName(q.Key, q.Unit), written(d.X[i], q.Unit))
	}
	for i, q := range FlightFigures() {
		figures.add(ColumnName(q.Key, q.Unit), s.figureJSON(d, i, q.Unit))
	}
	for i, q := range s.Limits {
		chances.add(ColumnName(q.Key, "1"), chanceJSON(d.Chances[i]))
	}
	chances.add("all", chanceJSON(d.All))
	for _, w := range d.WhatIfs {
		var flight object
		flight.add("outcome", w.Outcome.String())
		flight.add("apogee_m", w.Apogee)
		flight.add("landing_speed_m_s", w.LandingSpeed)
		flight.add("drift_m", w.Drift)
		flight.add("missed", append([]string{}, w.Missed...))
		whatIfs.add(w.Key, &flight)
	}
	if d.Design > 0 {
		o.add("number", d.Design)
	}
	o.add("design", &design)
	o.add("figures", &figures)
	o.add("chances", &chances)
	o.add("what_ifs", &whatIfs)
	return &o
}

func (s *Scatter) figureJSON(d *Scattered, i int, unit string) *object {
	var o object
	spread := &d.Spreads[i]
	o.add("as_set", d.Nominal[i].written(unit))
	for _, of := range statistics {
		o.add(of.key, Of(of.value(spread), spread.Count > 0).written(unit))
	}
	if s.days() {
		o.add("sd_within_day", Of(d.Within[i], spread.Count > 0).written(unit))
	}
	o.add("flights", spread.Count)
	return &o
}

func chanceJSON(c Chance) *object {
	var o object
	o.add("share", c.Share)
	o.add("at_least", c.AtLeast)
	return &o
}

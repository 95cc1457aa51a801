package card

import (
	"fmt"
	"math"
	"strings"

	"ullage/model"
	"ullage/output"
	"ullage/output/text"
	"ullage/output/wording"
)

// A massLine is a line of the mass budget.
type massLine struct{ Name, Mass, Station string }

// A proofLine is a line of the proof test box.
type proofLine struct{ Pressure, Multiple, Note string }

// A sheetView is the build sheet in words.
type sheetView struct {
	Title, Design        string
	Throat, Drill        string
	Chosen               []cell // words of the body that vary
	Fins                 []cell
	Masses               []massLine
	Total                massLine
	Weighed              string
	Balance, Tolerance   string
	BalanceNote          string
	Side                 sideView
	Proof                []proofLine
	Cautions             []string
	Template             finTemplate
	Diagonal             bool
	Brief, Version, Code string
}

func (c *Card) sheetView() sheetView {
	s := &c.Statics
	v := sheetView{
		Title: c.title(), Design: c.design(),
		Fins: c.finCells(), Masses: c.masses(), Proof: c.proofLines(), Cautions: c.cautions(),
		Total: massLine{"ready but empty", grams(s.SummedMass), text.Decimals(s.SummedCG*1e3, 0)},
		Side:  c.sideView(), Template: newFinTemplate(&c.Rocket.Fins), Diagonal: c.Flown.Diagonal,
		Brief: c.hash(), Version: c.Version, Code: c.Code(),
	}
	v.Throat, v.Drill = c.drill()
	for _, s := range output.Settings(c.Brief) {
		if of, _, _ := strings.Cut(s.Key, "."); s.Names != nil && of == "body" {
			v.Chosen = append(v.Chosen, cell{Name: text.Words(s.Key), Value: s.Name(s.Of(c.Row.X))})
		}
	}
	if s.Weighed {
		v.Weighed = fmt.Sprintf("The scale says %s g, balance at %s mm: these are used, not the sums. It was %s.", grams(s.DryMass), text.Decimals(s.DryCG*1e3, 0), wording.WeighedWith(s))
	}
	v.Balance = text.Decimals(s.DryCG*1e3, 0)
	v.Tolerance, v.BalanceNote = c.tolerance()
	return v
}

// drill says which drill makes the throat and what it gives.
func (c *Card) drill() (throat, note string) {
	mm := c.Rocket.Chamber.Throat * 1e3
	throat = strings.TrimSuffix(text.Decimals(mm, 2), "0") + " mm"
	if c.Flown.Throat.Exact {
		return throat, "a drill size"
	}
	note = fmt.Sprintf("no drill size; the nearest is %s mm", text.Decimals(c.Flown.Throat.Diameter*1e3, 2))
	if apogee := output.FigureOf(&c.Flown.Throat.Flight, model.Apogee); !math.IsNaN(apogee) {
		note += fmt.Sprintf(", with which it reaches %s m", text.Decimals(apogee, 0))
	}
	if len(c.Flown.Throat.Missed) == 0 {
		return throat, note + " and keeps every limit"
	}
	return throat, note + " and misses " + plainAll(c.Flown.Throat.Missed)
}

func (c *Card) finCells() []cell {
	f := &c.Rocket.Fins
	mm := func(v float64) string { return text.Decimals(v*1e3, 1) + " mm" }
	edges := map[model.Edges]string{model.Cut: "left square", model.Radiused: "rounded", model.Faired: "faired to a sharp trailing edge"}
	sheet := "edges " + edges[f.Edges]
	if material := c.Brief.FinMaterial(&c.Rocket); material != "" {
		sheet = material + "; " + sheet
	}
	return []cell{
		{"count", fmt.Sprint(f.Count), "equal, evenly spaced"},
		{"root", mm(f.Root), "the glue line"},
		{"tip", mm(f.Tip), ""},
		{"span", mm(f.Span), "one fin, root to tip"},
		{"rake", mm(f.Rake), "leading edge, root to tip, aft"},
		{"sheet", mm(f.Thickness), sheet},
		{"station", mm(f.Station), "nose tip to leading edge"},
	}
}

// masses lists the dry masses. What the sums leave beside parts, payload,
// ballast and canopy is the fins'.
func (c *Card) masses() []massLine {
	r, s := &c.Rocket, &c.Statics
	line := func(name string, mass, station float64) massLine {
		return massLine{name, grams(mass), text.Decimals(station*1e3, 0)}
	}
	moment := s.SummedMass * s.SummedCG
	var lines []massLine
	for _, p := range r.Parts {
		lines = append(lines, line(text.Plain(p.Name, text.TitleLength), p.Mass, p.Station))
		moment -= p.Mass * p.Station
	}
	canopy := model.Part{Mass: r.Recovery.Mass, Station: r.Recovery.Station}
	for _, p := range []model.Part{r.Payload, r.Ballast, canopy} {
		moment -= p.Mass * p.Station
	}
	lines = append(lines, line(fmt.Sprintf("%d fins, with fillets", r.Fins.Count), s.FinMass, moment/s.FinMass))
	lines = append(lines, line("payload", r.Payload.Mass, r.Payload.Station))
	if r.Ballast.Mass > 0 {
		lines = append(lines, line("ballast", r.Ballast.Mass, r.Ballast.Station))
	}
	if canopy.Mass > 0 {
		lines = append(lines, line(fmt.Sprintf("canopy of %s cm, with line", text.Decimals(r.Recovery.Canopy*1e2, 1)), canopy.Mass, canopy.Station))
	}
	return lines
}

// tolerance says how far the balance point may lie off, cut inward, and how
// that was found.
func (c *Card) tolerance() (words, note string) {
	b := &c.Flown.Balance
	margin := fmt.Sprintf("a margin of %g calibre, for the brief limits none (common practice, no source)", b.Assumed)
	switch {
	case !b.Holds && b.Assumed > 0:
		return "", "No tolerance: as planned the rocket misses a limit, or " + margin + "."
	case !b.Holds:
		return "", "No tolerance: as planned the rocket misses a limit."
	}
	side := func(v float64, name string) string {
		if math.IsInf(v, 1) {
			return name + ": no limit is met within " + text.Decimals(c.Rocket.Body.Diameter*1e3, 0) + " mm"
		}
		return name + ": " + text.AtMost(v*1e3, 0) + " mm at most"
	}
	note = "Found by flights with the balance point shifted and the mass as planned: within the tolerance every limit holds"
	if b.Assumed > 0 {
		note += ", and " + margin
	}
	return "; " + side(b.Aft, "aft of it") + "; " + side(b.Fore, "forward of it"), note + "."
}

// proofLines are the pressures of the water test, lowest first.
func (c *Card) proofLines() []proofLine {
	ch := &c.Rocket.Chamber
	ratio := ch.Proof / ch.Pressure
	lines := []proofLine{
		{text.BarsAtMost(ch.Pressure), "1.00", "launch pressure"},
		{wording.TestPressure(ch.Pressure, ch.Proof, text.BarsAtLeast, text.BarsAtMost), text.Decimals(wording.TestMultiple, 2), "the least before air"},
	}
	if math.Abs(ratio-wording.TestMultiple) > 1e-6 {
		lines = append(lines, proofLine{text.BarsAtMost(ch.Proof), text.AtMost(ratio, 2), "proof pressure of the brief"})
	} else {
		lines[1].Note += ", and the proof pressure"
	}
	if c.Brief.ProofDate != "" {
		lines[len(lines)-1].Note += ", tested on " + c.Brief.ProofDate
	}
	return lines
}

package card

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/testdata/kept"
)

// whole fills in what made leaves out: figures, lines of a day and a drill, which are
// flown.
func whole(c *Card) {
	f := flown(c)
	c.Row.Figures[model.LandingEnergy], c.Row.Figures[model.LandingSpeed] = 10.2, 4.96
	c.Row.Warnings = model.FillExtreme
	c.Flown.Throat.Flight, c.Flown.Throat.Missed = f, []string{"margin"}
	c.Flown.Wind = pad.Wind{Speed: 13.46, Ends: true}
	c.Flown.IfThen = []pad.IfThen{
		{Key: "as_planned", Doc: "as planned", Fill: 0.305, Delay: 5.25, Flight: f},
		{Key: "heavier", Doc: "20 g heavier", Fill: 0.3, Delay: 5.355, Flight: f, Missed: []string{"landing_speed", "margin"}},
		{Key: "windier", Doc: "2 m/s more wind", Fill: 0.31, Delay: 5, Flight: model.Flight{Outcome: model.NoLiftOff}},
	}
	c.Brief.ProofDate, c.Brief.Cycles = "2026-05-01", 17
	c.Brief.Field = brief.Field{Upwind: 62.5, Downwind: math.Inf(1), Ceiling: 250}
}

// american has the other units, a scale, a canopy that was weighed and one side of
// the balance without an end.
func american(c *Card) {
	whole(c)
	c.Brief.US, c.Statics.Weighed = true, true
	c.Statics.Aboard.Payload, c.Statics.Aboard.Ballast, c.Statics.Aboard.Canopy = 0.08, 0.03, 0.05
	c.Rocket.Recovery.Mass, c.Rocket.Recovery.Station = 0.05, 0.22
	c.Flown.Balance = pad.Balance{Holds: true, Fore: 0.0309, Aft: math.Inf(1), Assumed: 1}
	c.Flown.Word, c.Flown.Call.Word = study.Tight, study.Tight
	c.Flown.Call.Chances[0], c.Flown.Call.Usual = constraints.Chance{Met: 251, Flights: 400}, true
	for _, m := range []struct {
		key            string
		planned, value float64
	}{{"chamber.pressure", 6.118e5, 5.5e5}, {"chamber.fill", 0.305, 0.29}, {"fins.span", 0.1304, 0.135}, {"ballast.mass", 0, 0.01}} {
		c.Flown.Mends = append(c.Flown.Mends, pad.Mend{Quantity: brief.MustQuantity(m.key), Planned: m.planned, Value: m.value})
	}
	c.Rocket.Chamber.Proof = 1.5 * c.Rocket.Chamber.Pressure
	c.Rocket.Fins.Span, c.Rocket.Fins.Root, c.Rocket.Fins.Edges = 0.31, 0.42, model.Faired
	c.Brief.Set = []string{"site.wind=12 m/s"}
}

// bare is NO-GO, without a canopy, beyond the field.
func bare(c *Card) {
	whole(c)
	c.Rocket.Recovery = model.Recovery{}
	c.Brief.NotJudged = []string{"landing_speed", "deploy_speed"}
	c.Flown.Word = study.NoGo
	c.Flown.Call = study.Call{Word: study.NoGo, Slacks: []float64{-0.1, math.NaN(), 2e5, 0.5}}
	c.Row.Slacks = c.Flown.Call.Slacks
	c.Flown.Beyond = []pad.Beyond{{Key: "site.field_upwind", Reach: 41, Room: 40}, {Key: "site.field_downwind", Reach: math.NaN(), Room: 99}, {Key: "site.ceiling", Reach: 142.2, Room: 140}}
	c.Flown.Balance = pad.Balance{Assumed: 1}
	c.Rocket.Fins.Tip = 0
}

// unpowered is a rocket without canopy that may go.
func unpowered(c *Card) {
	whole(c)
	c.Rocket.Recovery, c.Brief.NotJudged = model.Recovery{}, []string{"landing_speed"}
	c.Flown.Wind = pad.Wind{Speed: 16}
	c.Flown.Throat.Exact = true
}

// without returns what is kept of a page: its code stands for the rocket and the
// brief, which have tests of their own.
func without(c *Card, page string) string { return strings.ReplaceAll(page, c.Code(), "CODE") }

func page(t *testing.T, of func() ([]byte, error)) string {
	t.Helper()
	data, err := of()
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// TestKeptCards keeps the cards of four designs in every form they have.
func TestKeptCards(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	for name, change := range map[string]func(*Card){"planned": whole, "american": american, "bare": bare, "no-canopy": unpowered} {
		c := made(change)
		kept.Same(t, name+".txt", without(c, c.PadText()))
		kept.Same(t, name+".json", without(c, page(t, c.JSON)))
		if name == "no-canopy" {
			continue
		}
		kept.Same(t, name+".pad.html", without(c, kept.Page(page(t, c.PadHTML))))
		kept.Same(t, name+".sheet.html", without(c, kept.Page(page(t, c.SheetHTML))))
	}
}

// TestKeptEvenings keeps the page for the phone, in both systems of units.
func TestKeptEvenings(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	e := pad.Evening{Winds: []float64{0, 0.55, 1.1, 1.65}, Weights: []float64{0.6813, 0.7026, 0.7239}, Pressures: []float64{5.51e5, 5.82e5, 6.118e5}}
	for i := range 12 {
		cell := pad.Cell{
			Word: []study.Word{study.Go, study.Tight, study.NoGo}[i%3], Fill: 0.305 - 0.004*float64(i), Delay: 5.25 - 0.055*float64(i), Height: [2]float64{130.4 - float64(i), 142.6 - float64(i)},
			Landing: 4.96 + 0.111*float64(i), Drift: 21.4 + 3*float64(i), BareDrift: 40 - 2.5*float64(i), Deciding: []string{"landing_speed", "scatter", ""}[i%3],
		}
		if i == 4 {
			cell.BareDrift = math.NaN()
		}
		e.Cells = append(e.Cells, cell)
	}
	for name, change := range map[string]func(*Card){"planned": whole, "american": american, "no-canopy": unpowered} {
		c := made(change)
		data := page(t, func() ([]byte, error) { return c.GridHTML(&e) })
		kept.Same(t, name+".evening.html", without(c, kept.Page(data)))
	}
}

// TestKeptCardOf keeps the card of the sample, as it is flown.
func TestKeptCardOf(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	b := sample.Brief("")
	scratch := model.NewScratch()
	rocket, site := b.At(b.Own())
	f := model.Fly(&rocket, &site, scratch)
	c := Of(b, 0, b.Own(), &f, scratch)
	c.Name, c.Version = "as set", "7"
	kept.Same(t, "flown.txt", without(&c, c.PadText()))
}

// TestKeptFins keeps the drawings of fins at full size: of one sheet and of many,
// upright and lying, with arrows that have room and with ones that have little.
func TestKeptFins(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, f := range []model.Fins{
		{Count: 3, Root: 0.13, Tip: 0.07, Span: 0.13, Rake: 0.06},
		{Count: 4, Root: 0.1, Tip: 0, Span: 0.09, Rake: 0.1},
		{Count: 3, Root: 0.05, Tip: 0.01, Span: 0.12, Rake: 0.2},
		{Count: 3, Root: 0.02, Tip: 0.02, Span: 0.1, Rake: -0.05},
		{Count: 6, Root: 0.171, Tip: 0.1, Span: 0.25, Rake: 0.02},
		{Count: 3, Root: 0.3, Tip: 0.2, Span: 0.16, Rake: 0.15},
		{Count: 3, Root: 0.42, Tip: 0.07, Span: 0.31, Rake: 0.06},
		{Count: 3, Root: 0.192, Tip: 0.1, Span: 0.172, Rake: 0.01},
		{Count: 3, Root: 0.1921, Tip: 0.1, Span: 0.1721, Rake: 0.01},
	} {
		fin := newFinTemplate(&f)
		fmt.Fprintf(&out, "root %v, tip %v, span %v, rake %v: %s, %d × %d sheets\n  %s\n", f.Root, f.Tip, f.Span, f.Rake, fin.Size, fin.Columns, fin.Rows, fin.Path)
		fmt.Fprintf(&out, "  glue %.3f, nose %.3f, grain %.3f, cloth %.3f, heads %s\n  crosses %.3f\n", fin.Glue, fin.Nose, fin.Grain, fin.Cloth, arrowHead(fin.Nose[0], fin.Nose[1]), fin.Crosses)
		for _, tile := range fin.Tiles {
			fmt.Fprintf(&out, "  %+v\n", tile)
		}
	}
	kept.Same(t, "fins.txt", out.String())
}

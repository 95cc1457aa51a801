package answers

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
	"ullage/testdata/kept"
)

func exactly(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// What a builder is told of the demo designs is what it was when it was last
// looked at: every step in the workshop, mishap and share decides of some line.
func TestAnswersAreAsKept(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	scratch := model.NewScratch()
	listed := briefs.Listed(t)
	for _, b := range []*brief.Brief{
		briefs.Demo(t, "bottle.toml"), briefs.Demo(t, "field-day.toml"), briefs.Demo(t, "highest-in-class.toml"),
		briefs.Demo(t, "lighter-or-stable.toml", "site.wind=0 m/s"), briefs.Demo(t, briefs.High), listed,
	} {
		fmt.Fprintf(&out, "%s\n", b.Title)
		for _, d := range doubts(b) {
			most := "nothing"
			if d.Most != nil {
				most = d.Most.Key
			}
			fmt.Fprintf(&out, "  %s %s, from %s to %s for %s\n", model.Figures[d.Figure].Key, exactly(d.Value), exactly(d.Low), exactly(d.High), most)
		}
		for _, e := range Effects(b, b.Own()) {
			fmt.Fprintf(&out, "  %s by %s, share %s, %q, doubt %v: %v, misses %v\n", e.Quantity.Key, exactly(e.Step), exactly(e.Share), e.Word, e.Doubt, e.Changes, e.Missed)
		}
		for _, w := range whatIfs(b, b.Own(), scratch) {
			apogee, _ := w.Flight.Figure(model.Apogee)
			fmt.Fprintf(&out, "  %s (%s): %v %s, misses %v\n", w.Key, w.Doc, w.Flight.Outcome, exactly(apogee), w.Missed)
		}
		for _, e := range EndsOf(b, b.Own()) {
			fmt.Fprintf(&out, "  at an end %s %s\n", e.Key, exactly(e.Value))
		}
	}
	kept.Same(t, "answers.txt", out.String())
}

func doubts(b *brief.Brief) []Doubt {
	f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
	return NewDoubter(b).Doubts(&b.Rocket, &b.Site, &f)
}

// Prices, bands and the best with each value of what a short search finds.
func TestFrontsAnswersAreAsKept(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, row := range []struct {
		b       *brief.Brief
		flights int
		each    string
	}{
		{briefs.Demo(t, "bottle.toml"), 1500, "recovery.delay"},
		{briefs.Demo(t, "highest-in-class.toml"), 1500, "chamber.throat"},
		{briefs.Demo(t, "lighter-or-stable.toml"), 1000, "recovery.delay"},
		{oneGoal(t, "14 gn"), 1000, ""},
		{briefs.Demo(t, briefs.High, "search.islands=1"), 60, "fins.span"}, // too few to meet the limits
	} {
		p, err := study.Problem(row.b)
		if err != nil {
			t.Fatal(err)
		}
		found, err := optimize.Evolve(t.Context(), p, optimize.Settings{Seed: 1, Flights: row.flights}, 2, nil)
		if err != nil {
			t.Fatal(err)
		}
		front := study.Settle(t.Context(), row.b, &found, 2)
		fmt.Fprintf(&out, "%s: %d designs, met %v\n", row.b.Title, len(front.Rows), front.Met)
		a := Of(row.b, &front)
		for _, price := range a.Prices {
			fmt.Fprintf(&out, "  price of %s %s\n", price.Limit.Metric.Key, exactly(price.PerUnit))
		}
		for _, band := range a.Bands {
			fmt.Fprintf(&out, "  band of %s %+v to %+v\n", band.Key, band.From, band.To)
		}
		if a.Hardest != nil {
			fmt.Fprintf(&out, "  hardest %s, missed by %d of %d\n", a.Hardest.Limit.Metric.Key, a.Hardest.Missed, a.Hardest.Of)
		}
		if row.each == "" {
			continue
		}
		all, err := BestOfEach(row.b, row.each, front.Rows, 3)
		if err != nil {
			t.Fatal(err)
		}
		for i, best := range all {
			if i%3 == 0 {
				fmt.Fprintf(&out, "  %s %s: design %d, %v, misses %v\n", row.each, exactly(best.Value), best.Row.Design, best.Row.X, best.Missed)
			}
		}
	}
	kept.Same(t, "fronts.txt", out.String())
}

// Every quantity's steps in the workshop, from the value that it has in a brief
// without steps of its own.
func TestWorkshopIsAsKept(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	b.Vary = nil
	b.Rocket.Chamber.Tube = model.Tube{Diameter: 0.012, Length: 0.3}
	b.Rocket.Body.Tail.Length = 0.05
	b.Rocket.Recovery.Mass, b.Rocket.Recovery.Station = 0.04, 0.2
	b.Rocket.Chamber.Volume = 0
	var out strings.Builder
	for _, q := range brief.Quantities() {
		value := 2.0
		if q.Key == "chamber.throat" {
			value = 0.00903
		}
		steps := workshopSteps(b, brief.MustQuantity(q.Key), &b.Rocket, value)
		fmt.Fprintf(&out, "%s (%s)", q.Key, q.Unit)
		for _, s := range steps {
			fmt.Fprintf(&out, " %s", strconv.FormatFloat(s-value, 'g', 9, 64))
		}
		fmt.Fprintf(&out, ", as a share %v\n", byShare(brief.MustQuantity(q.Key)))
	}
	kept.Same(t, "workshop.txt", out.String())
}

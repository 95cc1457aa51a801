package study

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/testdata/briefs"
	"ullage/testdata/kept"
)

func digits(values []float64) string {
	var out strings.Builder
	for _, v := range values {
		out.WriteString(" " + strconv.FormatFloat(v, 'g', -1, 64))
	}
	return out.String()
}

// What a search is told of a design, as set, under a few flights for a robust one
// and stepped back, is what it was when it was last looked at.
func TestEvaluationsAreAsKept(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	tell := func(what string, p *optimize.Problem, err error, designs ...[]float64) {
		if err != nil {
			t.Fatal(err)
		}
		fly := p.Evaluator()
		fmt.Fprintf(&out, "%s: cost %d, keeps %d\n", what, p.Cost, p.Keep)
		for _, x := range designs {
			r := optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}
			fly(x, &r)
			fmt.Fprintf(&out, "  %v: goals%s, misses%s, slack%s, failed %v\n", x, digits(r.Goals), digits(r.Violations), digits([]float64{r.Slack}), r.Failed)
		}
	}
	for _, name := range []string{"bottle.toml", "field-day.toml", "highest-in-class.toml", "lighter-or-stable.toml"} {
		b := briefs.Demo(t, name)
		p, err := Problem(b)
		tell(b.Title, p, err, b.Own())
		p, err = SteppedBack(b, 2)
		tell(b.Title+", two deviations back", p, err, b.Own())
	}
	b := briefs.Demo(t, "field-day.toml")
	off := [][]float64{{0.17, 0.011, 0.3, 0.08, 5.2}, {0.1, 0.009, 0.4, 0.2, 7}, {0.15, 0.012, 0.25, 20, 4.8}}
	p, err := Problem(b)
	tell("others of the field day", p, err, off...)
	for _, goal := range []string{"mean", "p10", "best 2 of 3"} {
		for _, day := range []string{"", briefs.ADay} {
			robust := robustField(t, goal, day)
			p, err := Problem(robust)
			tell(fmt.Sprintf("robust %s, of days %v", goal, day != ""), p, err, b.Own(), off[0], off[1], off[2])
		}
	}
	kept.Same(t, "evaluations.txt", out.String())
}

// robustField is the field day with height as such a number of its flights.
func robustField(t *testing.T, goal, day string) *brief.Brief {
	text := briefs.Edited(t, "field-day.toml",
		`apogee         = "highest"`, `apogee = { highest = true, as = "`+goal+`" }`, "[search]", day+"\n[search]")
	return briefs.Parse(t, text, "search.robust.draws=60", "search.robust.confidence=0.9", "search.flights=6000", "search.front=6")
}

// Words, proofs, fronts and spreads are what they were.
func TestJudgementsAreAsKept(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, set := range [][]string{nil, {"recovery.delay=4.6 s"}, {"recovery.delay=4.9 s"}, {"recovery.delay=6 s"}} {
		b := briefs.Demo(t, "lighter-or-stable.toml", set...)
		c := NewCaller(b)
		call := c.Call(&b.Rocket, &b.Site)
		fmt.Fprintf(&out, "%v: %v, in short %v, GO %v, for want of %v; all %v, each %v\n", set, call.Word,
			c.WordOf(&b.Rocket, &b.Site), c.Goes(&b.Rocket, &b.Site), call.Lacking(b), call.All, call.Chances)
		if n := len(call.Apogees); n > 0 {
			fmt.Fprintf(&out, "  slacks%s; %d heights, the last%s\n", digits(call.Slacks), n, digits(call.Apogees[n-1:]))
		}
	}
	for _, day := range []string{"", briefs.ADay} {
		b := robustField(t, "best 2 of 3", day)
		s := Scatterer(b, 40, 3)(b.Own())
		fmt.Fprintf(&out, "scattered, %d flights, all %v, each %v\n", s.Flights, s.All, s.Chances)
		for id := range model.Figures {
			fmt.Fprintf(&out, "  %s %+v, within a day%s\n", model.Figures[id].Key, s.Spreads[id], digits(s.Within[id:id+1]))
		}
	}
	writeFronts(t, &out)
	kept.Same(t, "judgements.txt", out.String())
}

// writeFronts settles what robust and plain searches find.
func writeFronts(t *testing.T, out *strings.Builder) {
	roomy := briefs.Roomy(t, nil, "search.robust.draws=60", "search.robust.confidence=0.9", "search.flights=8000", "search.front=5")
	for _, b := range []*brief.Brief{
		roomy,
		robustField(t, "best 2 of 3", briefs.ADay), // none is proved
		briefs.Demo(t, "lighter-or-stable.toml", "search.flights=1000", "search.front=7"),
		briefs.Demo(t, briefs.High, "search.flights=80", "search.front=5"), // none keeps the limits
	} {
		_, found := searched(t, b)
		front := Settle(t.Context(), b, &found, 2)
		draft, rows := Draft(b, &found, 2)
		fmt.Fprintf(out, "%s: %d of %d designs, met %v, proof %+v; a draft of %d and %d, met %v\n",
			b.Title, len(front.Rows), len(found.Archive), front.Met, front.Proof, len(draft.Rows), len(rows), draft.Met)
		for i := range front.Rows {
			r := &front.Rows[i]
			fmt.Fprintf(out, "  %d: %v, misses %v, binding %v, extra%s, slacks%s\n",
				r.Design, r.X, r.Missed(b), r.Binding(b), digits(r.Figures[model.FigureCount:]), digits(r.Slacks))
			if r.Proof != nil {
				fmt.Fprintf(out, "    held %v, all %v, each %v, shown%s, goals%s\n", r.Proof.Held, r.Proof.All, r.Proof.Chances, digits(r.Proof.Shown), digits(r.Proof.Goals))
			}
		}
		for i, fell := range Landings(t.Context(), b, front.Rows[:min(1, len(front.Rows))], 1) {
			fmt.Fprintf(out, "  %d comes down at %d places, the first %+v\n", i+1, len(fell), fell[:3])
		}
	}
}

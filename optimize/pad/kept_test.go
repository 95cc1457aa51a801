package pad

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
	"ullage/testdata/kept"
)

func exactly(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// figures are those of a flight that a card prints.
func figures(f *model.Flight) string {
	var out strings.Builder
	out.WriteString(f.Outcome.String())
	for _, of := range []model.Figure{model.Apogee, model.Margin, model.Drift, model.LandingSpeed} {
		v, _ := f.Figure(of)
		out.WriteString(" " + exactly(v))
	}
	return out.String()
}

// A keptBrief differs from the others in what a card of it says.
type keptBrief struct {
	name string
	*brief.Brief
}

func keptBriefs(t *testing.T) (few, more []keptBrief) {
	bare := briefs.Demo(t, "bottle.toml")
	bare.Rocket.Recovery = model.Recovery{}
	bare.Limits = slices.DeleteFunc(bare.Limits, func(l brief.Limit) bool { return l.Figure == model.LandingSpeed || l.Figure == model.DeploySpeed })
	few = []keptBrief{
		{"field day, flown", built(t, "12.5 mm")},
		{"field day, high", briefs.Demo(t, briefs.High)},
		{"in wind from behind", briefs.Demo(t, "bottle.toml", "site.wind=-4 m/s", "site.wind_exponent=0.2")},
		{"lighter, late", briefs.Demo(t, "lighter-or-stable.toml", "recovery.delay=4.6 s")},
	}
	more = []keptBrief{
		{"bottle", briefs.Demo(t, "bottle.toml")},
		{"bottle in a field", briefs.Demo(t, "bottle.toml", "site.field_upwind=30 m", "site.field_downwind=60 m", "site.ceiling=60 m")},
		{"highest in class", briefs.Demo(t, "highest-in-class.toml")},
		{"lighter or stable", briefs.Demo(t, "lighter-or-stable.toml")},
		{"listed, high", briefs.Parse(t, briefs.Listed(t).Source, "chamber.fill=0.30", "payload.mass=80 g")},
		{"without a canopy", bare},
	}
	return few, more
}

// Cards say what they said when they were last looked at: each step, stride, lean
// and width by which one is made decides of some line.
func TestCardsAreAsKept(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	few, more := keptBriefs(t)
	kept.Same(t, "cards.txt", cardsOf(few))
	if !testing.Short() {
		kept.Same(t, "more-cards.txt", cardsOf(more))
	}
}

func cardsOf(all []keptBrief) string {
	var out strings.Builder
	for _, b := range all {
		c := card(b.Brief)
		fmt.Fprintf(&out, "%s: %v, called %v\n", b.name, c.Word, c.Call.Word)
		fmt.Fprintf(&out, "  with canopy %v, without %v, beyond %v\n", c.With, c.Without, c.Beyond)
		fmt.Fprintf(&out, "  wind %v, balance %v, ceiling %s, diagonal %v\n", c.Wind, c.Balance, exactly(c.Ceiling.Pressure), c.Diagonal)
		fmt.Fprintf(&out, "  drill %s, exact %v, misses %v: %s\n", exactly(c.Throat.Diameter), c.Throat.Exact, c.Throat.Missed, figures(&c.Throat.Flight))
		for i := range c.IfThen {
			line := &c.IfThen[i]
			fmt.Fprintf(&out, "  %s (%s): fill %s, timer %s, misses %v: %s\n", line.Key, line.Doc, exactly(line.Fill), exactly(line.Delay), line.Missed, figures(&line.Flight))
		}
		for _, m := range c.Mends {
			fmt.Fprintf(&out, "  mend %s: %s to %s\n", m.Quantity.Key, exactly(m.Planned), exactly(m.Value))
		}
		for _, s := range c.Scatter {
			fmt.Fprintf(&out, "  under %s %s %v\n", s.Key, exactly(s.Deviation), s.Relative)
		}
	}
	return out.String()
}

// Some cells of a grid are as they were, of every wind, weight and pressure.
func TestEveningIsAsKept(t *testing.T) {
	if testing.Short() || !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, b := range []*brief.Brief{briefs.Demo(t, "lighter-or-stable.toml"), briefs.Demo(t, "bottle.toml", "site.wind=9 m/s", "site.field_downwind=200 m")} {
		r, s := b.At(b.Own())
		st, _ := model.Weigh(&r, &s)
		e := gridOf(&r, &s, &st)
		fmt.Fprintf(&out, "%s\n  winds %v\n  weights %v\n  pressures %v\n", b.Title, e.Winds, e.Weights, e.Pressures)
		n := newNight(b, &r, &s, &st)
		fmt.Fprintf(&out, "  water %v\n  timers %v\n", n.water, n.timers)
		for i := 0; i < windCells*weightCells*pressureCells; i += 53 {
			fmt.Fprintf(&out, "  cell %d: %+v\n", i, n.cell(&e, i))
		}
	}
	kept.Same(t, "evening.txt", out.String())
}

// A design with room is the one that it was, of the run or of a search.
func TestRoomIsAsKept(t *testing.T) {
	if testing.Short() || !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, name := range []string{"bottle.toml", "lighter-or-stable.toml"} {
		b := briefs.Demo(t, name)
		designs := searched(t, b, 600)
		words, _ := Words(context.Background(), b, designs, 2)
		going := 0
		for _, w := range words {
			if w == study.Go {
				going++
			}
		}
		room, ok := Room(context.Background(), b, designs, 2)
		fmt.Fprintf(&out, "%s: %d of %d designs GO; %v, %+v\n", name, going, len(designs), ok, room)
	}
	kept.Same(t, "room.txt", out.String())
}

package brief_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// roomy returns the text of a brief for a robust search whose goal counts flights as
// told, where days differ or not.
func roomy(t *testing.T, as string, differ bool) []byte {
	t.Helper()
	day := ""
	if differ {
		day = briefs.ADay
	}
	return briefs.Edited(t, briefs.High, `apogee         = "highest"`, `apogee = { highest = true, as = "`+as+`" }`, "[search]", day+"[search]")
}

// The flights of a robust search are whole days, enough for the draws and for 500 that
// prove a design; a third of all is kept for proofs, but no more than for twice the
// front; the rest searches.
func TestPlans(t *testing.T) {
	for _, c := range []struct {
		as                             string
		differ                         bool
		draws, flights, front          int
		perDay, near, days, each, scrn int
		proof                          int
	}{
		{"mean", false, 200, 60000, 100, 1, 4, 500, 500, 200, 20000},
		{"mean", true, 200, 60000, 100, 1, 4, 500, 500, 200, 20000},
		{"mean", false, 700, 60000, 100, 1, 4, 700, 700, 700, 20000},
		{"best 2 of 3", false, 200, 60000, 100, 1, 4, 500, 500, 200, 20000},
		{"best 2 of 3", true, 200, 60000, 100, 3, 6, 167, 501, 201, 20000},
		{"best 2 of 5", true, 201, 60001, 3, 5, 10, 100, 500, 205, 4230},
		{"best 1 of 2", true, 16, 30000, 4, 2, 4, 250, 500, 16, 4128},
		{"best 1 of 1", true, 16, 30000, 4, 1, 4, 500, 500, 16, 4128},
		{"best 1 of 7", false, 499, 60000, 100, 1, 7, 500, 500, 499, 20000},
	} {
		b := briefs.Parse(t, roomy(t, c.as, c.differ), "search.islands=1", fmt.Sprintf("search.robust.draws=%d", c.draws),
			fmt.Sprintf("search.flights=%d", c.flights), fmt.Sprintf("search.front=%d", c.front))
		p := b.Plan()
		want := brief.Plan{Search: c.flights - c.proof, Proof: c.proof, PerDay: c.perDay, Near: c.near, Days: c.days, Each: c.each, Screen: c.scrn}
		if p != want {
			t.Errorf("%+v: %+v, want %+v", c, p, want)
		}
		if p.ScreenDays()*p.PerDay != p.Screen {
			t.Errorf("%+v: %d days of %d make a screen of %d", c, p.ScreenDays(), p.PerDay, p.Screen)
		}
		if once := b.OnceEach().Plan(); once != (brief.Plan{Search: c.flights}) || once.ScreenDays() != 0 {
			t.Errorf("%+v: not robust it is %+v, want all flights to search", c, once)
		}
	}
}

// The draws that show a chance are those of which all must keep the limit: the least n
// with chance^n at most 0.05, of whole days. One fewer is refused.
func TestLeastDraws(t *testing.T) {
	for _, confidence := range []float64{0.5, 0.9, 0.994, 0.995, 0.997, 0.999} {
		for as, perDay := range map[string]int{"best 1 of 1": 1, "best 2 of 3": 3} {
			days := int(math.Ceil(math.Log(0.05) / math.Log(confidence)))
			src := roomy(t, as, true)
			parse := func(draws int) error {
				_, err := brief.Parse("x.toml", src, "search.flights=10000000", "search.islands=1", fmt.Sprintf("search.robust.draws=%d", draws), fmt.Sprintf("search.robust.confidence=%g", confidence))
				return err
			}
			if days <= 500/perDay { // as many prove a design in any case
				if err := parse(16); err != nil {
					t.Errorf("16 draws for %g: %v", confidence, err)
				}
				continue
			}
			if err := parse(days * perDay); err != nil {
				t.Errorf("%d draws for %g: %v", days*perDay, confidence, err)
			}
			draws := days*perDay - perDay
			fact := strconv.Itoa(draws)
			if perDay > 1 {
				fact += fmt.Sprintf(" in days of %d", perDay)
			}
			want := fmt.Sprintf("search.robust.draws: %s, want at least %d to show that a limit holds with a chance of %g", fact, days*perDay, confidence)
			if got := facts(parse(draws)); got != want {
				t.Errorf("%q, want %q", got, want)
			}
		}
	}
}

// As many flights as are asked for leave enough to fly each island's first designs and
// to prove one; one fewer does not, and is refused.
func TestLeastFlights(t *testing.T) {
	asked := regexp.MustCompile(`search\.flights: \d+ flights in all, want search\.flights of at least (\d+) to prove one design`)
	for _, c := range []struct {
		as             string
		draws, islands int
	}{{"mean", 16, 1}, {"mean", 200, 3}, {"best 2 of 3", 200, 4}, {"mean", 16, 256}, {"best 2 of 7", 16, 200}, {"best 1 of 10", 700, 256}} {
		src := roomy(t, c.as, true)
		parse := func(flights int) (*brief.Brief, error) {
			return brief.Parse("x.toml", src, fmt.Sprintf("search.islands=%d", c.islands), fmt.Sprintf("search.robust.draws=%d", c.draws), fmt.Sprintf("search.flights=%d", flights))
		}
		_, err := parse(256)
		m := asked.FindStringSubmatch(facts(err))
		if m == nil {
			t.Fatalf("%+v: %v", c, err)
		}
		least, _ := strconv.Atoi(m[1])
		b, err := parse(least)
		if err != nil {
			t.Errorf("%+v: %d flights as asked: %v", c, least, err)
			continue
		}
		plan := b.Plan()
		if plan.Proof < plan.Screen+plan.Each || plan.Search < plan.Near*c.islands {
			t.Errorf("%+v: %d flights are enough, and make %+v", c, least, plan)
		}
		if _, err := parse(least - 1); err == nil {
			t.Errorf("%+v: %d flights pass, want at least %d", c, least-1, least)
		}
		b.Search.Flights = least - 1
		if plan := b.Plan(); plan.Proof >= plan.Screen+plan.Each && plan.Search >= plan.Near*c.islands {
			t.Errorf("%+v: %d flights would do: %+v", c, least-1, plan)
		}
	}
}

package answers

import (
	"math"
	"slices"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// TestSmallestMends says GO from a given change on: the mend is the step at which
// that begins, none where it begins too far off, and none the wrong way.
func TestSmallestMends(t *testing.T) {
	bottle := briefs.Demo(t, "bottle.toml", "ballast.mass=55 g", "site.tilt=4 deg", "payload.mass=100 g")
	const degree = math.Pi / 180
	for _, row := range []struct {
		key        string
		from, want float64 // GO from this change on, and the mend; in SI, NaN: none
	}{
		{"chamber.pressure", -2.35e5, -2.4e5},
		{"chamber.pressure", -0.04e5, -0.1e5},
		{"chamber.pressure", 0.1e5, math.NaN()},
		{"chamber.fill", -0.023, -0.025},
		{"chamber.fill", 0.061, 0.065},
		{"recovery.delay", -1.23, -1.3},
		{"recovery.delay", 6.4, 6.4},
		{"recovery.delay", 6.41, math.NaN()},
		{"ballast.mass", 0.317, 0.32},
		{"ballast.mass", 0.321, math.NaN()},
		{"ballast.mass", -0.005, math.NaN()},
		{"payload.mass", -0.071, -0.075},
		{"payload.mass", 0.005, math.NaN()},
		{"site.tilt", -2.5 * degree, -3 * degree},
		{"site.tilt", -4.5 * degree, math.NaN()},
		{"recovery.canopy", 0.42, 0.45},
		{"fins.span", 0.011, 0.015},
	} {
		q := brief.MustQuantity(row.key)
		own := q.Value(&bottle.Rocket, &bottle.Site)
		mends := Mends(func(r *model.Rocket, s *model.Site) bool {
			change := q.Value(r, s) - own
			return change*row.from > 0 && math.Abs(change) >= math.Abs(row.from)-1e-9
		}, &bottle.Rocket, &bottle.Site)
		switch {
		case math.IsNaN(row.want) && len(mends) > 0:
			t.Errorf("%s mended from %v on: %+v, want none", row.key, row.from, mends)
		case math.IsNaN(row.want):
		case len(mends) != 1 || mends[0].Quantity.Key != row.key || mends[0].Planned != own || math.Abs(mends[0].Value-own-row.want) > 1e-9*max(1, own):
			t.Errorf("%s of %v mended from %v on: %+v, want it changed by %v", row.key, own, row.from, mends, row.want)
		}
	}
	keys := func(r model.Rocket) (keys []string) {
		for _, m := range Mends(func(*model.Rocket, *model.Site) bool { return true }, &r, &bottle.Site) {
			keys = append(keys, m.Quantity.Key)
		}
		return keys
	}
	if got := keys(bottle.Rocket); !slices.Contains(got, "fins.span") || !slices.Contains(got, "ballast.mass") {
		t.Errorf("changes of a plan: %v, want fins and ballast among them", got)
	}
	built := bottle.Rocket
	built.Weighed, built.Ballast = model.Weighed{Mass: 0.4, Balance: 0.3}, model.Part{}
	if got := keys(built); slices.Contains(got, "fins.span") || slices.Contains(got, "ballast.mass") || !slices.Contains(got, "payload.mass") {
		t.Errorf("changes of a weighed rocket without a place for ballast: %v, want neither fins nor ballast", got)
	}
}

// TestWithinTheField judges the farthest touch-downs as they are printed.
func TestWithinTheField(t *testing.T) {
	b, scratch := briefs.Demo(t, "bottle.toml"), model.NewScratch()
	_, without := Falls(b, &b.Rocket, &b.Site, scratch)
	up, down, open := OnPaper(without.Upwind), OnPaper(without.Downwind), math.Inf(1)
	for _, row := range []struct {
		up, down float64
		want     bool
	}{{open, open, true}, {up, down, true}, {up, open, true}, {open, down, true}, {up - 5, open, false}, {open, down - 5, false}, {up - 1, down, false}} {
		b.Field = brief.Field{Upwind: row.up, Downwind: row.down, Ceiling: open}
		if got := fallsWithin(b, &b.Rocket, &b.Site, scratch); got != row.want {
			t.Errorf("room of %v and %v m for %v and %v m: within %v, want %v", row.up, row.down, up, down, got, row.want)
		}
	}
	tumbles := briefs.Demo(t, "bottle.toml", "fins.span=40 mm", "ballast.mass=0 g", "site.field_upwind=10000 m", "site.field_downwind=10000 m")
	if fallsWithin(tumbles, &tumbles.Rocket, &tumbles.Site, scratch) {
		t.Error("a rocket that may come down anywhere is within the field")
	}
	if FallFlights != 500 {
		t.Errorf("%d flights, README says 500", FallFlights)
	}
	// In a calm a guide leans to the side that is called upwind.
	calm := briefs.Demo(t, "highest-in-class.toml", "site.wind=0 m/s", "site.tilt=8 deg")
	if _, f := Falls(calm, &calm.Rocket, &calm.Site, scratch); !(f.Upwind > 1.2*f.Downwind) {
		t.Errorf("leaned by 8 degrees in a calm it comes down within %+v, want most of it upwind", f)
	}
}

// TestMostlyBelow is the height that 95 of 100 flights stay below.
func TestMostlyBelow(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	call := study.Call{Nominal: model.Fly(&b.Rocket, &b.Site, model.NewScratch())}
	if v, _ := call.Nominal.Figure(model.Apogee); mostlyBelow(&call) != v {
		t.Errorf("without flights under scatter %v m, want that as set, %v m", mostlyBelow(&call), v)
	}
	for i := range 101 {
		call.Apogees = append(call.Apogees, float64((i*37)%101))
	}
	if got := mostlyBelow(&call); math.Abs(got-95) > 1e-9 {
		t.Errorf("of heights from 0 to 100 m %v m, want 95", got)
	}
	if v := call.Apogees[1]; v != 37 {
		t.Errorf("the flights were put in another order: the second reached %v m", v)
	}
}

// TestDoubtsAreFlown draws the flights of the doubts again.
func TestDoubtsAreFlown(t *testing.T) {
	b, scratch := briefs.Demo(t, briefs.High), model.NewScratch()
	draws := scatter.ForDoubts(b, 200, 1)
	values := make([][]float64, len(Doubted))
	for i := range draws.Flights() {
		var r model.Rocket
		var s model.Site
		draws.At(i, &b.Rocket, &b.Site, &r, &s)
		f := model.Fly(&r, &s, scratch)
		for k, id := range Doubted {
			v, _ := f.Figure(id)
			values[k] = append(values[k], v)
		}
	}
	rows := []study.Row{{X: b.Own()}, {X: []float64{0.15, 0.012, 0.25, 0.1, 4.8}}, {X: b.Own()}}
	all := DoubtsOf(t.Context(), b, rows, 2)
	for _, doubts := range [][]Doubt{all[0], all[2]} {
		for k, d := range doubts {
			slices.Sort(values[k])
			low, high := constraints.Quantile(values[k], 0.05), constraints.Quantile(values[k], 0.95)
			if d.Low != low || d.High != high {
				t.Errorf("%s: %v to %v, want 5 and 95 %% of the flights, %v and %v", model.Figures[d.Figure].Key, d.Low, d.High, low, high)
			}
		}
	}
	r, s := b.At(rows[1].X)
	f := model.Fly(&r, &s, scratch)
	if v, _ := f.Figure(model.Apogee); len(all) != 3 || all[1][0].Value != v {
		t.Errorf("doubts of %d rows, of the second's height %v, want %v", len(all), all[1][0].Value, v)
	}
	if none := DoubtsOf(t.Context(), b, []study.Row{{X: []float64{0.15, 0.012, 0.25, 20, 4.8}}}, 1); none[0] != nil {
		t.Errorf("doubts of a rocket that stays on the pad: %+v", none[0])
	}
}

func TestFirstAffected(t *testing.T) {
	goal := func(id model.Figure) brief.Goal { return brief.Goal{Metric: brief.FigureMetric(id)} }
	mass, _ := brief.MetricByKey("payload.mass")
	payload := brief.Goal{Metric: mass}
	for _, row := range []struct {
		goals []brief.Goal
		want  model.Figure
	}{
		{nil, model.Apogee},
		{[]brief.Goal{payload}, model.Apogee},
		{[]brief.Goal{payload, goal(model.FlightTime), goal(model.LandingSpeed), goal(model.Margin)}, model.LandingSpeed},
		{[]brief.Goal{goal(model.Margin), goal(model.Apogee)}, model.Margin},
		{[]brief.Goal{goal(model.Apogee)}, model.Apogee},
	} {
		if got := Affected[FirstAffected(&brief.Brief{Goals: row.goals})]; got != row.want {
			t.Errorf("%d goals: %s, want %s", len(row.goals), model.Figures[got].Key, model.Figures[row.want].Key)
		}
	}
}

// TestNeighbours are the next choices to either side, the larger first.
func TestNeighbours(t *testing.T) {
	for _, row := range []struct{ value, up, down float64 }{{3, 4, 0}, {4, 6, 3}, {6, 0, 4}, {2, 3, 0}, {7, 0, 6}, {5, 6, 4}} {
		var want []float64
		for _, v := range []float64{row.up, row.down} {
			if v != 0 {
				want = append(want, v)
			}
		}
		if got := neighbours([]float64{6, 3, 4}, row.value); !slices.Equal(got, want) {
			t.Errorf("beside %v: %v, want %v", row.value, got, want)
		}
	}
}

// TestChangeable leaves out what a rocket does not have, and what is settled once
// it was weighed or its chamber measured.
func TestChangeable(t *testing.T) {
	plan := briefs.Demo(t, briefs.High).Rocket
	plan.Chamber.Tube, plan.Body.Tail = model.Tube{}, model.Tail{}
	full := plan
	full.Weighed.Mass, full.Chamber.Volume, full.Chamber.Tube.Length, full.Body.Tail.Length, full.Ballast.Station = 0.9, 4e-3, 0.5, 0.05, 0.1
	for key, want := range map[string][2]bool{
		"chamber.bore": {true, false}, "chamber.cylinder": {true, false}, "fins.span": {true, false}, "payload.mass": {true, true},
		"chamber.tube.length": {false, true}, "body.tail.diameter": {false, true}, "ballast.mass": {false, true},
	} {
		q := brief.MustQuantity(key)
		if got := [2]bool{changeable(q, &plan), changeable(q, &full)}; got != want {
			t.Errorf("%s: of a plan %v, of a rocket that was built %v, want %v", key, got[0], got[1], want)
		}
	}
}

// TestOwnSteps takes the step and the choices of [vary], and none of what is
// not changed at a bench.
func TestOwnSteps(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	of := func(key string, value float64) []float64 {
		return workshopSteps(b, brief.MustQuantity(key), &b.Rocket, value)
	}
	b.Vary = []brief.Vary{
		{Quantity: brief.MustQuantity("fins.span"), From: 0.05, To: 0.2, Step: 0.002},
		{Quantity: brief.MustQuantity("fins.root"), Choices: []float64{0.1, 0.14, 0.12}},
		{Quantity: brief.MustQuantity("fins.tip"), From: 0.02, To: 0.1},
	}
	for _, row := range []struct {
		key   string
		value float64
		want  []float64
	}{
		{"fins.span", 0.1, []float64{0.102, 0.098}},
		{"fins.root", 0.12, []float64{0.14, 0.1}},
		{"fins.tip", 0.05, []float64{0.06, 0.04}},
		{"fins.density", 1000, []float64{1100, 900}},
		{"payload.mass", 0.1, []float64{0.11, 0.09}},
		{"chamber.proof", 1e6, nil},
	} {
		got := of(row.key, row.value)
		if !slices.EqualFunc(got, row.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9*max(1, b) }) {
			t.Errorf("%s of %v: %v, want %v", row.key, row.value, got, row.want)
		}
	}
}

// TestRoundSteps are of 1, 2 or 5 at the first place.
func TestRoundSteps(t *testing.T) {
	for _, row := range []struct{ v, want float64 }{{1, 1}, {1.99, 1}, {2, 2}, {4.9, 2}, {5, 5}, {9.99, 5}, {0.031, 0.02}, {0.0075, 0.005}, {30, 20}} {
		if got := roundStep(row.v); math.Abs(got-row.want) > 1e-12*row.want {
			t.Errorf("roundStep(%v) = %v, want %v", row.v, got, row.want)
		}
	}
}

// TestAround tries what is planned first, then round values that the brief lets
// the quantity have.
func TestAround(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	for _, row := range []struct {
		vary []brief.Vary
		want []float64
	}{
		{[]brief.Vary{{Quantity: brief.MustQuantity("recovery.delay"), From: 3.3, To: 3.6}}, []float64{3.44, 3.3, 3.4, 3.5, 3.6}},
		{[]brief.Vary{{Quantity: brief.MustQuantity("recovery.delay"), Choices: []float64{3.5, 3.2}}}, []float64{3.44, 3.2, 3.3, 3.4, 3.5}},
		{nil, []float64{3.44, 3.2, 3.3, 3.4, 3.5, 3.6}},
	} {
		b.Vary = row.vary
		got := around(b, "recovery.delay", 3.44, 0.1, 2)
		want := row.want
		if !slices.EqualFunc(got, want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
			t.Errorf("vary %+v: %v, want %v", row.vary, got, want)
		}
	}
	b.Vary = nil
	if got := around(b, "recovery.delay", 0.1, 0.1, 2); !slices.EqualFunc(got, []float64{0.1, 0, 0.2, 0.3}, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
		t.Errorf("around 0.1 s: %v, want no timer below 0 and the planned one once", got)
	}
}

// TestWorth compares settings: limits first, then what is given away, then the
// goal.
func TestWorth(t *testing.T) {
	rising := []try{{goal: -9}, {goal: -5}, {given: true, goal: -20}, {violation: 0.1, goal: -30}, {violation: 0.1, given: true, goal: -40}, {violation: 0.2, goal: -50}}
	for i := range rising {
		for j := range rising {
			if got, want := compareWorth(rising[i], rising[j]), i-j; (got < 0) != (want < 0) || (got > 0) != (want > 0) {
				t.Errorf("setting %d against %d: %d", i, j, got)
			}
		}
	}
}

// TestNoBands of a design that misses a limit, or cannot fly.
func TestNoBands(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	if got := Bands(b, b.Own()); got != nil {
		t.Errorf("bands of a design that misses limits: %+v", got)
	}
	if got := Bands(b, []float64{0.15, 0.012, 0.25, 20, 4.8}); got != nil {
		t.Errorf("bands of a rocket that stays on the pad: %+v", got)
	}
	if got := Prices(b, []float64{0.15, 0.012, 0.25, 20, 4.8}); got != nil {
		t.Errorf("prices of a rocket that stays on the pad: %+v", got)
	}
}

// TestBandsBySteps end at a whole number of steps from the design; a quantity
// with choices has none.
func TestBandsBySteps(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml", "ballast.mass=90 g")
	b.Goals = b.Goals[:1]
	x := []float64{}
	for i := range b.Vary {
		x = append(x, b.Vary[i].Value(&b.Rocket, &b.Site))
	}
	bands, p := Bands(b, x), newPilot(b)
	goals, _, ok := p.fly(x)
	if !ok || len(bands) == 0 {
		t.Fatalf("%d bands, flown %v", len(bands), ok)
	}
	for i, band := range bands {
		v := &b.Vary[i]
		if v.Step == 0 {
			continue
		}
		for side, end := range map[float64]End{-1: band.From, 1: band.To} {
			steps := (end.Value - x[i]) / v.Step
			if math.Abs(steps-math.Round(steps)) > 1e-6 || steps*side < 0 {
				t.Errorf("%s: its band ends %v steps off", v.Key, steps)
			}
			y := slices.Clone(x)
			if y[i] = end.Value; p.stops(y, goals[0]-0.01*math.Abs(goals[0])) != "" {
				t.Errorf("%s = %v is stopped, the band says not", v.Key, y[i])
			}
			if y[i] += side * v.Step; end.By != "" && p.stops(y, goals[0]-0.01*math.Abs(goals[0])) != end.By {
				t.Errorf("%s = %v is not stopped by %s", v.Key, y[i], end.By)
			}
			if next := end.Value + side*v.Step; end.By == "" && next > v.From-1e-9 && next < v.To+1e-9 {
				t.Errorf("%s: nothing stops the band at %v, within its range", v.Key, end.Value)
			}
		}
	}
}

// TestFinestSteps finds the end of a band of a thousand million steps in some
// dozens of flights: a brief may ask for steps as fine as it likes.
func TestFinestSteps(t *testing.T) {
	for _, last := range []float64{0, 1, 2, 3, 1000, 123_456_789, 1e9} {
		flights := 0
		good, why := farthest(1e9, func(k float64) string {
			if flights++; k > last {
				return "margin"
			}
			return ""
		})
		if want := map[bool]string{true: "", false: "margin"}[last == 1e9]; good != last || why != want || flights > 70 {
			t.Errorf("%v steps of %v, stopped by %q after %d flights, want %q after 70 at most", good, last, why, flights, want)
		}
	}
}

// TestHardest counts which limit most rows miss; a front that meets the limits
// has prices instead, one without rows nothing.
func TestHardest(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	row := func(missed ...int) study.Row {
		r := study.Row{X: b.Own(), Slacks: make([]float64, len(b.Limits))}
		for _, i := range missed {
			r.Slacks[i] = -1
		}
		return r
	}
	rows := []study.Row{row(0, 2), row(2, 3), row(3), row(1, 2, 3)}
	h := HardestOf(b, rows)
	if h.Limit != &b.Limits[2] || h.Missed != 3 || h.Of != 4 {
		t.Errorf("hardest %+v, want limit 2, the first of two that 3 of 4 rows miss", h)
	}
	if h = HardestOf(b, []study.Row{row()}); h.Limit != nil || h.Missed != 0 || h.Of != 1 {
		t.Errorf("hardest %+v of a row that misses none", h)
	}
	if a := Of(b, &study.Front{Rows: rows}); a == nil || a.Hardest == nil || a.Hardest.Missed != 3 || a.Prices != nil || a.Bands != nil {
		t.Errorf("answers of a front that misses limits: %+v", a)
	}
	if a := Of(b, &study.Front{Rows: rows, Met: true}); a == nil || a.Hardest != nil {
		t.Errorf("answers of a front that meets them: %+v", a)
	}
	if a := Of(b, &study.Front{}); a != nil {
		t.Errorf("answers of no front: %+v", a)
	}
}

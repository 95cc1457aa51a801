package pad

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"ullage/optimize/study"
	"ullage/testdata/briefs"

	"ullage/model"
	"ullage/optimize/brief"
)

func card(b *brief.Brief) Card { return CardOf(b, b.Own(), model.NewScratch()) }

// built is a design of the field-day brief; with a throat of 12.5 mm it keeps
// every limit.
func built(t *testing.T, throat string) *brief.Brief {
	t.Helper()
	return briefs.Demo(t, briefs.High,
		"chamber.throat="+throat, "fins.span=148 mm", "chamber.fill=0.305", "payload.mass=175 g", "recovery.delay=4.9 s")
}

// keeps reports whether a flight keeps every limit of a brief.
func keeps(b *brief.Brief, r *model.Rocket, s *model.Site, f *model.Flight) bool {
	return study.NewJudge(b).Of(r, s, f).Kept
}

// heavier adds 20 g to a rocket where it balances: as a part, which the card
// does by another way.
func heavier(r *model.Rocket, s *model.Site) {
	st, _ := model.Weigh(r, s)
	r.Parts = append(slices.Clone(r.Parts), model.Part{Mass: 0.02, Station: st.DryCG})
}

// otherDays are what a line of the card is for: as planned, heavier, at less pressure, in more
// wind, colder, warmer.
var otherDays = []func(r *model.Rocket, s *model.Site){
	func(*model.Rocket, *model.Site) {},
	heavier,
	func(r *model.Rocket, _ *model.Site) { r.Chamber.Pressure -= 1e5 },
	func(_ *model.Rocket, s *model.Site) { s.Wind += 2 },
	func(_ *model.Rocket, s *model.Site) { s.Temperature -= 10 },
	func(_ *model.Rocket, s *model.Site) { s.Temperature += 10 },
}

// TestIfThen looks through fills and timers by itself: the planned setting must
// stand where it keeps every limit, and the planned water where another timer
// will do, or the planned timer where other water will. On a grid that is not
// the card's it must find no setting that keeps the limits where the card says
// no-go, and where both change none that is better by more than the card's line
// may miss.
func TestIfThen(t *testing.T) {
	changed := map[string]int{}
	for _, row := range []struct {
		b     *brief.Brief
		noGos []string
	}{
		{built(t, "12.5 mm"), []string{"windier"}},
		{briefs.Demo(t, "highest-in-class.toml"), nil},
	} {
		b := row.b
		lines := card(b).IfThen
		keys := []string{"as_planned", "heavier", "pressure_low", "windier", "colder", "warmer"}
		if len(lines) != len(keys) {
			t.Fatalf("%d lines, want %d", len(lines), len(keys))
		}
		for i, change := range otherDays {
			line := lines[i]
			if line.Key != keys[i] {
				t.Fatalf("line %d is %s, want %s", i, line.Key, keys[i])
			}
			r, s := b.Rocket, b.Site
			change(&r, &s)
			planned := r.Chamber.Fill
			r.Chamber.Fill, r.Recovery.Delay = line.Fill, line.Delay
			f := model.Fly(&r, &s, model.NewScratch())
			height, _ := f.Figure(model.Apogee)
			said, _ := line.Flight.Figure(model.Apogee)
			// 1e-4: the card's heavier rocket has 2 % more pitch inertia, this one none.
			if math.Abs(height-said) > 1e-4*height {
				t.Errorf("%s: height %v, flown again %v", line.Key, said, height)
			}
			goes := !slices.Contains(row.noGos, line.Key)
			if keeps(b, &r, &s, &f) != goes || (len(line.Missed) == 0) != goes {
				t.Errorf("%s: misses %v, want go %v", line.Key, line.Missed, goes)
			}
			if i == 0 {
				continue
			}
			what := mustChange(b, r, s, planned)
			changed[what]++
			water, timer := line.Fill != planned, line.Delay != b.Rocket.Recovery.Delay
			switch {
			case what == "nothing" && (water || timer), what == "timer" && (water || !timer), what == "water" && (timer || !water):
				t.Errorf("%s: %s must change; the card changes water %v, timer %v", line.Key, what, water, timer)
			}
			if what != "both" {
				continue
			}
			// 1 %: half of it the card gives up for room, half the coarser grid may.
			if best, found := search(b, r, s, planned); found != goes || found && best > height*1.01 {
				t.Errorf("%s: a setting of %v m that keeps the limits (%v), the card has %v m (%v)", line.Key, best, found, height, goes)
			}
		}
	}
	t.Logf("must change: %v", changed)
	if changed["nothing"] == 0 || len(changed) < 2 {
		t.Errorf("must change: %v, want lines that keep the plan and others", changed)
	}
}

// mustChange says what of a setting must change on a day for every limit to be
// kept, as far as a grid tells: of water and timer, both where neither alone
// will do.
func mustChange(b *brief.Brief, r model.Rocket, s model.Site, planned float64) string {
	kept := func(fill, delay float64) bool {
		r.Chamber.Fill, r.Recovery.Delay = fill, delay
		f := model.Fly(&r, &s, model.NewScratch())
		return keeps(b, &r, &s, &f)
	}
	delay := b.Rocket.Recovery.Delay
	if kept(planned, delay) {
		return "nothing"
	}
	for k := -14; k <= 14; k++ {
		if kept(planned, delay+float64(k)*0.1) {
			return "timer"
		}
	}
	for k := -14; k <= 14; k++ {
		if kept(planned*(1+float64(k)*0.02), delay) {
			return "water"
		}
	}
	return "both"
}

// search returns the greatest height of the settings that keep every limit and,
// where some do and margin is a goal, leave it within 1 % of what the planned
// setting has.
func search(b *brief.Brief, r model.Rocket, s model.Site, planned float64) (best float64, found bool) {
	scratch := model.NewScratch()
	r.Chamber.Fill, r.Recovery.Delay = planned, b.Rocket.Recovery.Delay
	f := model.Fly(&r, &s, scratch)
	margin, _ := f.Figure(model.Margin)
	if slices.ContainsFunc(b.Goals, func(g brief.Goal) bool { return g.Key == "margin" }) {
		if best, found = above(b, r, s, min(margin, 2)*0.99); found {
			return best, found
		}
	}
	return above(b, r, s, 0)
}

func above(b *brief.Brief, r model.Rocket, s model.Site, least float64) (best float64, found bool) {
	scratch, planned := model.NewScratch(), r.Chamber.Fill
	for fill := -7; fill <= 7; fill++ {
		for delay := -7; delay <= 7; delay++ {
			r.Chamber.Fill = planned * (1 + float64(fill)*0.02)
			r.Recovery.Delay = b.Rocket.Recovery.Delay + float64(delay)*0.2
			f := model.Fly(&r, &s, scratch)
			height, _ := f.Figure(model.Apogee)
			margin, _ := f.Figure(model.Margin)
			if keeps(b, &r, &s, &f) && margin >= least {
				best, found = max(best, height), true
			}
		}
	}
	return best, found
}

// A line that no brief could ask for is left out.
func TestIfThenBounds(t *testing.T) {
	for _, line := range card(briefs.Demo(t, "bottle.toml", "site.wind=29 m/s", "chamber.pressure=1 bar")).IfThen {
		if line.Key == "windier" || line.Key == "pressure_low" {
			t.Errorf("line %s of 29 m/s and 1 bar", line.Key)
		}
	}
	// Wind from behind grows from behind.
	b := briefs.Demo(t, "bottle.toml", "site.wind=-3 m/s")
	for _, line := range card(b).IfThen {
		if line.Key == "windier" {
			r, s := b.Rocket, b.Site
			s.Wind, r.Chamber.Fill, r.Recovery.Delay = -5, line.Fill, line.Delay
			f := model.Fly(&r, &s, model.NewScratch())
			drift, _ := f.Figure(model.Drift)
			// 1e-6: as above.
			if said, _ := line.Flight.Figure(model.Drift); math.Abs(said-drift) > 1e-6*math.Abs(drift) {
				t.Errorf("drift in more wind %v, want %v", said, drift)
			}
		}
	}
}

// TestBalance moves the chamber until the balance point has shifted: another
// way than the card's, with another pitch inertia.
func TestBalance(t *testing.T) {
	b := built(t, "12.5 mm")
	got := card(b).Balance
	if !got.Holds || math.IsInf(got.Aft, 1) || !math.IsInf(got.Fore, 1) || got.Assumed != 0 {
		t.Fatalf("balance %+v, want an end aft and none forward", got)
	}
	st, _ := model.Weigh(&b.Rocket, &b.Site)
	for _, row := range []struct {
		shift float64
		want  bool
	}{
		{got.Aft - 5e-4, true}, // 0.5 mm: the step of 0.1 mm, and what the inertia does to the Mach number
		{got.Aft + 5e-4, false},
		{-b.Rocket.Body.Diameter, true},
	} {
		r := b.Rocket
		r.Parts = slices.Clone(r.Parts)
		r.Parts[0].Station += row.shift * st.DryMass / r.Parts[0].Mass
		f := model.Fly(&r, &b.Site, model.NewScratch())
		if keeps(b, &r, &b.Site, &f) != row.want {
			t.Errorf("balance shifted by %v: limits kept %v, want %v", row.shift, !row.want, row.want)
		}
	}
}

func TestBalanceWithoutLimit(t *testing.T) {
	steady := "margin = \"none\"\ndry_margin = \"none\"\npeak_incidence = \"none\""
	b := briefs.Parse(t, briefs.Edited(t, "bottle.toml", `margin        = { at_least = 1.0 }`, steady), "ballast.mass=10 g")
	margin := func(b *brief.Brief) float64 {
		f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
		m, _ := f.Figure(model.Margin)
		return m
	}
	if got, m := card(b).Balance, margin(b); m >= 1 || got.Holds || got.Assumed != 1 {
		t.Errorf("balance %+v at a margin of %v, want no tolerance for less than 1", got, m)
	}
	b = briefs.Parse(t, briefs.Edited(t, "bottle.toml", `margin        = { at_least = 1.0 }`, steady), "ballast.mass=70 g")
	got := card(b).Balance
	if m := margin(b); m < 1 || !got.Holds || got.Assumed != 1 || got.Aft <= 0 || math.IsInf(got.Aft, 1) {
		t.Errorf("balance %+v at a margin of %v, want a tolerance against 1", got, m)
	}
	// A design that misses a limit has no tolerance.
	if got := card(briefs.Demo(t, briefs.High)).Balance; got.Holds {
		t.Errorf("balance %+v of a design that misses limits", got)
	}
}

func TestThroatDrill(t *testing.T) {
	for _, row := range []struct {
		throat string
		want   float64
		exact  bool
	}{
		{"11 mm", 11e-3, true},
		{"11.04 mm", 11e-3, false},
		{"11.06 mm", 11.1e-3, false},
		{"13.9 mm", 13.9e-3, true},
		{"13.96 mm", 14e-3, false},
		{"14.1 mm", 14e-3, false},
		{"14.25 mm", 14.25e-3, true},
		{"21.7 mm", 21.75e-3, false},
	} {
		b := built(t, row.throat)
		got := card(b).Throat
		if math.Abs(got.Diameter-row.want) > 1e-12 || got.Exact != row.exact { // 1e-12 m: rounding
			t.Errorf("drill for %s: %v (exact %v), want %v (%v)", row.throat, got.Diameter, got.Exact, row.want, row.exact)
		}
		r := b.Rocket
		r.Chamber.Throat = row.want
		f := model.Fly(&r, &b.Site, model.NewScratch())
		height, _ := f.Figure(model.Apogee)
		// 1e-6: what integration makes of the last digit of a diameter.
		if said, _ := got.Flight.Figure(model.Apogee); math.Abs(said-height) > 1e-6*height || (len(got.Missed) == 0) != keeps(b, &r, &b.Site, &f) {
			t.Errorf("drill for %s: height %v, misses %v; flown again %v", row.throat, said, got.Missed, height)
		}
	}
}

func TestCeiling(t *testing.T) {
	for _, row := range []struct {
		name, limit string
		want        float64
		key         string
	}{
		{"field-day.toml", "", 22.5e5 / 1.5, "proof_ratio"},
		{"field-day.toml", "proof_ratio = { at_least = 1.25 }", 22.5e5 / 1.25, "proof_ratio"},
		{"field-day.toml", `"chamber.pressure" = { at_most = "12 bar" }`, 12e5, "chamber.pressure"},
		{"field-day.toml", `"chamber.pressure" = { at_most = "15 bar" }`, 15e5, "chamber.pressure"}, // as the other says: the first
		{"field-day.toml", `"chamber.pressure" = { at_most = "16 bar" }`, 15e5, "proof_ratio"},
		{"field-day.toml", `"chamber.pressure" = { at_least = "10 bar" }`, 15e5, "proof_ratio"},
	} {
		b, err := brief.Parse("x.toml", briefs.Edited(t, row.name, "[limits]\n", "[limits]\n"+row.limit+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		got := card(b).Ceiling
		if math.Abs(got.Pressure-row.want) > 1e-6 || got.Limit.Metric.Key != row.key { // Pa: rounding
			t.Errorf("ceiling with %q: %v of %s, want %v of %s", row.limit, got.Pressure, got.Limit.Metric.Key, row.want, row.key)
		}
	}
}

// TestField judges the room of a site: what is rounded up to 5 m must be within
// it, a mend must bring it back, and where a touch-down cannot be said no room
// is large enough.
func TestField(t *testing.T) {
	free := card(briefs.Demo(t, "bottle.toml"))
	if free.Word != study.Go || len(free.Beyond) != 0 {
		t.Fatalf("without a field %v, %v; want GO", free.Word, free.Beyond)
	}
	top := slices.Max(free.Call.Apogees)
	lowest := slices.Min(free.Call.Apogees)
	metres := func(v float64) string { return fmt.Sprintf("%.9g m", v) }
	for _, row := range []struct {
		key, room string
		keeps     bool
	}{
		{"site.field_upwind", metres(OnPaper(free.Without.Upwind)), true},
		{"site.field_upwind", metres(OnPaper(free.Without.Upwind) - 5), false},
		{"site.field_downwind", metres(OnPaper(free.Without.Downwind)), true},
		{"site.ceiling", metres(top), true},
		{"site.ceiling", metres((top + lowest) / 2), false},
	} {
		got := card(briefs.Demo(t, "bottle.toml", row.key+"="+row.room))
		if got.Call.Word != study.Go || (got.Word == study.Go) != row.keeps || (len(got.Beyond) == 0) != row.keeps {
			t.Errorf("%s of %s: %v, beyond %v", row.key, row.room, got.Word, got.Beyond)
			continue
		}
		if row.keeps {
			continue
		}
		if got.Beyond[0].Key != row.key {
			t.Errorf("%s of %s: beyond %v", row.key, row.room, got.Beyond)
		}
		if len(got.Mends) == 0 {
			t.Errorf("%s of %s: no mend, want less pressure at least", row.key, row.room)
			continue
		}
		for _, m := range got.Mends[:1] {
			b := briefs.Demo(t, "bottle.toml", row.key+"="+row.room)
			m.Quantity.Set(&b.Rocket, &b.Site, m.Value)
			if again := card(b); again.Word != study.Go {
				t.Errorf("%s of %s: with %s at %v %v, want GO", row.key, row.room, m.Quantity.Key, m.Value, again.Word)
			}
		}
	}
	unsteady := card(briefs.Demo(t, "bottle.toml", "fins.span=40 mm", "ballast.mass=0 g", "site.field_upwind=10000 m"))
	if len(unsteady.Beyond) != 1 || !math.IsNaN(unsteady.Beyond[0].Reach) {
		t.Errorf("a rocket that tumbles keeps to its field: %v", unsteady.Beyond)
	}
}

// TestOnPaper rounds away from the pad, so that nobody stands nearer than was
// found.
func TestOnPaper(t *testing.T) {
	for _, row := range []struct{ distance, want float64 }{{0, 0}, {0.1, 5}, {5, 5}, {5.01, 10}, {41, 45}, {100, 100}, {15.000000000001, 15}, {15.000000004, 15}, {15.000000006, 20}} {
		if got := OnPaper(row.distance); got != row.want || math.Signbit(got) {
			t.Errorf("OnPaper(%v) = %v, want %v", row.distance, got, row.want)
		}
	}
	if got := OnPaper(math.NaN()); !math.IsNaN(got) {
		t.Errorf("OnPaper(NaN) = %v, want NaN", got)
	}
}

// TestFallsBefore turns round with the wind: from behind, too, it drifts downwind
// under its canopy.
func TestFallsBefore(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml", "site.wind=-4 m/s")
	if with, _ := falls(b, &b.Rocket, &b.Site, model.NewScratch()); !(with.Downwind > 2*with.Upwind) {
		t.Errorf("with canopy %+v, want it downwind", with)
	}
}

func TestGrain(t *testing.T) {
	for _, row := range []struct {
		material string
		want     bool
	}{
		{"carbon 45", true},
		{"carbon 0/90", false},
		{"balsa", false},
	} {
		src := briefs.Edited(t, briefs.High, `density = "1600 kg/m3"`, `material = "`+row.material+`"`, `shear_modulus = "3.5 GPa"`, "")
		b, err := brief.Parse("x.toml", src)
		if err != nil {
			t.Fatal(err)
		}
		if got := card(b).Diagonal; got != row.want {
			t.Errorf("grain of %s: %v, want %v", row.material, got, row.want)
		}
	}
}

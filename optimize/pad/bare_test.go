package pad

import (
	"math"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// TestFalls holds the farthest touch-downs against single flights.
func TestFalls(t *testing.T) {
	b := briefs.Demo(t, "highest-in-class.toml")
	with, without := falls(b, &b.Rocket, &b.Site, model.NewScratch())
	bare := model.Bare(&b.Rocket, &b.Site, model.NewScratch())
	drift, _ := bare.Figure(model.Drift)
	speed, _ := bare.Figure(model.LandingSpeed)
	if -without.Upwind > drift || without.Downwind < drift || without.Speed < speed || without.Energy < with.Energy {
		t.Errorf("without canopy %+v, and a flight as set comes down at %v with %v m/s", without, drift, speed)
	}
	if without.Upwind < with.Upwind || without.Downwind < with.Downwind {
		t.Errorf("without canopy %+v, with it %+v: want no smaller circle without", without, with)
	}
	// A guide that leans 10 degrees sends it farther than one as set.
	if without.Upwind < 10 {
		t.Errorf("upwind %v m, want what a leaning guide does", without.Upwind)
	}
	tumbles := briefs.Demo(t, "bottle.toml", "fins.span=40 mm", "ballast.mass=0 g")
	if _, f := falls(tumbles, &tumbles.Rocket, &tumbles.Site, model.NewScratch()); !math.IsNaN(f.Upwind) || !math.IsNaN(f.Downwind) {
		t.Errorf("a rocket that tumbles comes down within %+v, want that it cannot be said", f)
	}
}

// Where a rocket comes down can be said from one calibre of dry margin on, and not
// of one that cannot be weighed.
func TestSteady(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	st, ok := model.Weigh(&b.Rocket, &b.Site)
	if !ok {
		t.Fatal("the demo has no balance")
	}
	for margin, want := range map[float64]bool{0.99: false, 1.01: true, -1: false, 3: true} {
		r := study.OnScale(&b.Rocket, &st)
		r.Weighed.Balance += (st.DryMargin - margin) * r.Body.Diameter
		if moved, _ := model.Weigh(&r, &b.Site); math.Abs(moved.DryMargin-margin) > 1e-3 {
			t.Fatalf("a dry margin of %v, want %v", moved.DryMargin, margin)
		}
		if got := steady(&r, &b.Site); got != want {
			t.Errorf("a dry margin of %v calibres: steady %v, want %v", margin, got, want)
		}
	}
	r := b.Rocket
	r.Chamber.Throat = 10 // no such chamber
	if _, ok := model.Weigh(&r, &b.Site); ok || steady(&r, &b.Site) {
		t.Errorf("a throat of 10 m: weighed %v, steady %v, want neither", ok, steady(&r, &b.Site))
	}
}

// TestWithinTheField judges the farthest touch-downs as they are printed.
func TestWithinTheField(t *testing.T) {
	b, scratch := briefs.Demo(t, "bottle.toml"), model.NewScratch()
	_, without := falls(b, &b.Rocket, &b.Site, scratch)
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
	if _, f := falls(calm, &calm.Rocket, &calm.Site, scratch); !(f.Upwind > 1.2*f.Downwind) {
		t.Errorf("leaned by 8 degrees in a calm it comes down within %+v, want most of it upwind", f)
	}
}

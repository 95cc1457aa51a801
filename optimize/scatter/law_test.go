package scatter

import (
	"math"
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// TestDoubtsAfterFit holds that a fit's deviations, and only a fit's, stand for
// the rows that they are of, and that no row comes or goes.
func TestDoubtsAfterFit(t *testing.T) {
	demo := briefs.Demo(t, "lighter-or-stable.toml")
	before := Doubts(demo)
	day := string(demo.Source) + "\n[scatter.day]\n\"body.drag\" = 0.031\n\"chamber.drawn\" = 0.04\n\"site.wind\" = \"1 m/s\"\n"
	for _, row := range []struct {
		src    string
		fitted bool
	}{{day, false}, {brief.FittedMark + "a.csv (SHA-256 0123456789ab)\n" + day, true}} {
		b := briefs.Parse(t, []byte(row.src))
		if fitted := b.Fitted != ""; fitted != row.fitted || row.fitted && b.Fitted != "a.csv (SHA-256 0123456789ab)" {
			t.Fatalf("fitted to %q, want it %v", b.Fitted, row.fitted)
		}
		after := Doubts(b)
		if len(after) != len(before) {
			t.Fatalf("%d rows, want %d", len(after), len(before))
		}
		for i, l := range after {
			want := before[i]
			switch {
			case row.fitted && l.Key == "body.drag":
				want.Deviation, want.Relative = 0.031, false
			case row.fitted && l.Key == "chamber.drawn":
				want.Deviation, want.Reach = 0.04, 0
			}
			if l != want {
				t.Errorf("fitted %v, %s: %+v, want %+v", row.fitted, l.Key, l, want)
			}
		}
	}
}

// TestEvenly goes one way from the own value, evenly over the reach; the gas is
// as warm as the air where a brief says nothing else.
func TestEvenly(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	laws := Doubts(b)
	for _, row := range []struct {
		key        string
		own, reach float64
		set        func(r *model.Rocket)
	}{
		{"chamber.drawn", b.Rocket.Chamber.Drawn, 0.5, func(*model.Rocket) {}},
		{"chamber.gas_temperature", b.Site.Temperature, 10, func(r *model.Rocket) { r.Chamber.GasTemperature = 0 }},
		{"chamber.gas_temperature", 300, 10, func(r *model.Rocket) { r.Chamber.GasTemperature = 300 }},
	} {
		law := &laws[slices.IndexFunc(laws, func(l Law) bool { return l.Key == row.key })]
		own := b.Rocket
		row.set(&own)
		for z, share := range map[float64]float64{-3: 0, 0: 0.5, 3: 1} {
			r, s := law.Alone(z, &own, &b.Site)
			if got, want := law.Value(&r, &s), row.own+share*row.reach; math.Abs(got-want) > 1e-9*max(1, want) {
				t.Errorf("%s at %v deviations: %v, want %v", row.key, z, got, want)
			}
		}
	}
}

// TestEachFlightOfAnotherDay holds the draws of a call and of doubts to be
// independent, also where days differ from each other.
func TestEachFlightOfAnotherDay(t *testing.T) {
	days := briefs.Scattering(t, briefs.ADay)
	call, usual := ForCall(days, 40, 1)
	if usual || call.PerDay != 1 || call.Flights() != 40 || len(call.laws) != len(days.Day)+len(days.Scatter) {
		t.Errorf("usual %v, %d flights, %d a day, %d laws; want 40 by the brief's own", usual, call.Flights(), call.PerDay, len(call.laws))
	}
	for i := 1; i < call.Flights(); i++ {
		if call.z[i][0] == call.z[i-1][0] {
			t.Errorf("flights %d and %d are of one day", i, i+1)
		}
	}
	plain := briefs.Demo(t, "bottle.toml")
	call, usual = ForCall(plain, 40, 1)
	if !usual || call.PerDay != 1 || call.Flights() != 40 || len(call.laws) != len(Usual) {
		t.Errorf("usual %v, %d flights, %d a day, %d laws; want 40 by the usual ones", usual, call.Flights(), call.PerDay, len(call.laws))
	}
	if d := ForDoubts(plain, 40, 1); d.PerDay != 1 || d.Flights() != 40 || len(d.laws) != len(Doubts(plain)) {
		t.Errorf("doubts: %d flights, %d a day, %d laws", d.Flights(), d.PerDay, len(d.laws))
	}
}

// TestDoubtedGrowth doubts that of a chamber for low pressure of which a brief
// says nothing.
func TestDoubtedGrowth(t *testing.T) {
	for _, row := range []struct {
		growth, pressure float64
		want             bool
	}{{0, 6e5, true}, {0, 15e5, false}, {1e-9, 6e5, false}, {1e-9, 15e5, false}} {
		b := briefs.Demo(t, briefs.High)
		b.Rocket.Chamber.Growth, b.Rocket.Chamber.Pressure = row.growth, row.pressure
		if got := slices.ContainsFunc(Doubts(b), func(l Law) bool { return l.Key == "chamber.growth" }); got != row.want {
			t.Errorf("growth of %v/Pa at %v Pa: doubted %v, want %v", row.growth, row.pressure, got, row.want)
		}
	}
}

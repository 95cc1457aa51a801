package brief_test

import (
	"math"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
)

// A metric has the value of its quantity, whatever the flight was, or of its figure
// where the flight has it; what takes flights of its own has none here.
func TestMetricValue(t *testing.T) {
	b := demo(t, "field-day.toml")
	f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
	var none model.Flight
	apogee := mustFigure(t, &f, model.Apogee)
	for _, c := range []struct {
		key    string
		flight *model.Flight
		want   float64
		ok     bool
	}{
		{"chamber.fill", &f, 0.13, true},
		{"chamber.fill", &none, 0.13, true},
		{"fins.count", &none, 3, true},
		{"apogee", &f, apogee, true},
		{"apogee", &none, 0, false},
		{"tube_time", &f, 0, false},
		{"gust_incidence", &f, 0, false},
	} {
		m, known := brief.MetricByKey(c.key)
		if v, ok := m.Value(&b.Rocket, &b.Site, c.flight); !known || v != c.want || ok != c.ok || m.Key != c.key {
			t.Errorf("%s: %v, %v (known %v), want %v, %v", c.key, v, ok, known, c.want, c.ok)
		}
	}
	for _, key := range []string{"", "fins.edges", "bare_drift", "fins"} {
		if _, known := brief.MetricByKey(key); known {
			t.Errorf("%q is a metric", key)
		}
	}
}

// A goal is told with its target or its cap in SI, and a ratio without a unit.
func TestGoalDescribed(t *testing.T) {
	none := math.Inf(1)
	metric := func(key string) brief.Metric { m, _ := brief.MetricByKey(key); return m }
	for want, g := range map[string]brief.Goal{
		"highest":             {Metric: metric("apogee"), Sense: brief.Highest, UpTo: none},
		"lowest":              {Metric: metric("apogee"), Sense: brief.Lowest, UpTo: -none},
		"highest up to 90 m":  {Metric: metric("apogee"), Sense: brief.Highest, UpTo: 90},
		"lowest down to 0 m":  {Metric: metric("apogee"), Sense: brief.Lowest, UpTo: 0},
		"nearest 90 m":        {Metric: metric("apogee"), Sense: brief.Nearest, Target: 90, UpTo: none},
		"nearest 0.3":         {Metric: metric("chamber.fill"), Sense: brief.Nearest, Target: 0.3, UpTo: none},
		"highest up to 2 cal": {Metric: metric("margin"), Sense: brief.Highest, UpTo: 2},
	} {
		if got := g.Describe(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A design written as a brief of its own has its canopy's mass with the canopy, and no
// tube where that is left out.
func TestAloneWritesMasses(t *testing.T) {
	b, err := brief.Parse("chosen.toml", chosen(t))
	if err != nil {
		t.Fatal(err)
	}
	x := b.Own()
	for i := range b.Vary {
		if b.Vary[i].Key == "recovery.canopy" {
			x[i] = 1.1
		}
		if b.Vary[i].Key == "chamber.tube.fitted" {
			x[i] = 1
		}
	}
	text, err := b.Alone(x)
	if err != nil {
		t.Fatal(err)
	}
	got, err := brief.Parse("alone.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	if r := got.Rocket; r.Recovery.Canopy != 1.1 || r.Recovery.Mass != 0.071 || !r.Chamber.NoTube {
		t.Errorf("recovery %+v, tube left out: %v; want the canopy of 110 cm with its 71 g, and no tube", r.Recovery, r.Chamber.NoTube)
	}
}

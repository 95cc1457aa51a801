package brief_test

import (
	"math"
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// The ends of what a search may set: of a range, of whole steps that fall short of it,
// of choices in any order.
func TestEndsOfVaried(t *testing.T) {
	for _, c := range []struct {
		why           string
		v             brief.Vary
		lowest, highs float64
	}{
		{"a range", brief.Vary{From: 2, To: 5}, 2, 5},
		{"whole steps", brief.Vary{From: 2, To: 5, Step: 0.5}, 2, 5},
		{"steps that fall short", brief.Vary{From: 2, To: 5, Step: 0.7}, 2, 4.8},
		{"steps that fall a last digit short", brief.Vary{From: 0.1, To: 0.4, Step: 0.1}, 0.1, 0.4},
		{"choices", brief.Vary{Choices: []float64{4, 3, 9, 6}}, 3, 9},
	} {
		if low, high := c.v.Lowest(), c.v.Highest(); low != c.lowest || math.Abs(high-c.highs) > 1e-12 {
			t.Errorf("%s: %v to %v, want %v to %v", c.why, low, high, c.lowest, c.highs)
		}
	}
}

// A canopy of a list brings its own mass; any other value brings none and leaves the
// rocket's.
func TestMassOfChoice(t *testing.T) {
	b := briefs.Listed(t)
	i := slices.IndexFunc(b.Vary, func(v brief.Vary) bool { return v.Key == "recovery.canopy" })
	v := &b.Vary[i]
	for canopy, mass := range map[float64]float64{1.3: 0.095, 0.75: 0.038, 1.1: 0.071, 0.9: 0.05} {
		r, s := b.Rocket, b.Site
		v.Put(&r, &s, canopy)
		if got, ok := v.Mass(canopy); !ok || got != mass || r.Recovery.Mass != mass || r.Recovery.Canopy != canopy {
			t.Errorf("a canopy of %v m weighs %v kg, %v, aboard %v; want %v", canopy, got, ok, r.Recovery.Mass, mass)
		}
	}
	r, s := b.Rocket, b.Site
	v.Put(&r, &s, 1)
	if mass, ok := v.Mass(1); ok || mass != 0 || r.Recovery.Mass != b.Rocket.Recovery.Mass {
		t.Errorf("a canopy that is none of the choices weighs %v kg, %v, and aboard are %v", mass, ok, r.Recovery.Mass)
	}
	plain := brief.Vary{Quantity: brief.QuantityByKey("fins.span"), Choices: []float64{0, 1}}
	if mass, ok := plain.Mass(0); ok || mass != 0 {
		t.Errorf("a choice that brings nothing weighs %v kg", mass)
	}
}

// At gives each varied quantity its value and leaves the brief as it is; Own is the
// design that is the brief's.
func TestDesigns(t *testing.T) {
	b := briefs.Demo(t, "field-day.toml")
	before := b.Rocket
	x := b.Own()
	if want := []float64{0.15, 0.0105, 0.13, 0.22, 4}; !slices.Equal(x, want) {
		t.Fatalf("Own() = %v, want %v", x, want)
	}
	for i := range x {
		x[i] = b.Vary[i].Lowest()
	}
	r, s := b.At(x)
	got := []float64{r.Fins.Span, r.Chamber.Throat, r.Chamber.Fill, r.Payload.Mass, r.Recovery.Delay}
	if want := []float64{0.08, 0.006, 0.12, 0.04, 4}; !slices.Equal(got, want) || s != b.Site {
		t.Errorf("At(%v) has %v, want %v", x, got, want)
	}
	if b.Rocket.Fins != before.Fins || b.Rocket.Chamber != before.Chamber {
		t.Error("At changed the brief")
	}
}

// Another seed, and every design once, are another brief's, and nothing else of it.
func TestOtherBriefs(t *testing.T) {
	b := briefs.Roomy(t, nil, "search.robust.draws=200")
	if o := b.WithSeed(77); o.Search.Seed != 77 || b.Search.Seed != 1 || o.Search.Robust != b.Search.Robust || o.Name != b.Name {
		t.Errorf("WithSeed: %+v of %+v", o.Search, b.Search)
	}
	if o := b.OnceEach(); o.Search.Robust != (brief.Robust{}) || b.Search.Robust.Draws != 200 || o.Search.Seed != 1 || o.Search.Flights != b.Search.Flights {
		t.Errorf("OnceEach: %+v of %+v", o.Search, b.Search)
	}
}

// The sheet of the fins has a name where the brief cuts them from one and they have its
// values, and only there.
func TestFinMaterial(t *testing.T) {
	src := edited(t, "field-day.toml", `density = "1600 kg/m3"`, `material = "balsa"`, `shear_modulus = "3.5 GPa"`, "")
	b := briefs.Parse(t, src)
	r := b.Rocket
	if got := b.FinMaterial(&r); got != "balsa" {
		t.Errorf("the fins are of %q, want balsa", got)
	}
	for name, change := range map[string]func(f *model.Fins){
		"another density": func(f *model.Fins) { f.Density *= 1.01 }, "another stiffness": func(f *model.Fins) { f.ShearModulus *= 1.01 },
	} {
		other := b.Rocket
		change(&other.Fins)
		if got := b.FinMaterial(&other); got != "" {
			t.Errorf("%s: the fins are of %q, want no name", name, got)
		}
	}
	numbers := briefs.Demo(t, "field-day.toml") // which has those of a sheet
	if got := numbers.FinMaterial(&numbers.Rocket); got != "" {
		t.Errorf("fins given by numbers are of %q, want no name", got)
	}
}

// A brief says what it was fitted to in the first comment that begins so.
func TestFittedTo(t *testing.T) {
	src := string(read(t, demos+"bottle.toml"))
	for head, want := range map[string]string{
		"": "", "# fitted to a.csv, b.csv \n": "a.csv, b.csv", "# of mine\n# fitted to one\n# fitted to two\n": "one", "title = \"# fitted to x\" #": "",
	} {
		text := head + src
		if head == "title = \"# fitted to x\" #" {
			text = head + src[len("title"):]
		}
		if b := briefs.Parse(t, []byte(text)); b.Fitted != want {
			t.Errorf("%q: fitted to %q, want %q", head, b.Fitted, want)
		}
	}
}

// A rocket has the quantities of what it has, and no others.
func TestThere(t *testing.T) {
	listed := briefs.Listed(t)
	for _, c := range []struct {
		key  string
		b    *brief.Brief
		more func(r *model.Rocket)
		want bool
	}{
		{"recovery.delay", listed, nil, true},
		{"recovery.delay", listed, func(r *model.Rocket) { r.Recovery.Canopy = 0 }, false},
		{"recovery.mass", listed, nil, true},
		{"recovery.station", listed, nil, true},
		{"recovery.station", listed, func(r *model.Rocket) { r.Recovery.Mass = 0 }, false},
		{"ballast.mass", listed, nil, false},
		{"ballast.mass", listed, func(r *model.Rocket) { r.Ballast.Mass = 0.01 }, true},
		{"ballast.mass", listed, func(r *model.Rocket) { r.Ballast.Station = 0.01 }, true},
		{"chamber.volume", listed, nil, false},
		{"chamber.volume", listed, func(r *model.Rocket) { r.Chamber.Volume = 0.004 }, true},
		{"chamber.tube.length", listed, nil, false},
		{"site.wind", listed, nil, true},
	} {
		r, s := c.b.Rocket, c.b.Site
		if c.more != nil {
			c.more(&r)
		}
		q := brief.QuantityByKey(c.key)
		if v := q.There(&r, &s); math.IsNaN(v) == c.want || c.want && v != q.Value(&r, &s) {
			t.Errorf("%s is %v, there: %v", c.key, v, c.want)
		}
	}
}

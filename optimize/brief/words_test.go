package brief_test

import (
	"maps"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
)

// chosen is the demo brief with words and canopies to choose from.
func chosen(t testing.TB) []byte {
	t.Helper()
	src := string(read(t, demos+"field-day.toml"))
	for was, now := range map[string]string{
		"density = \"1600 kg/m3\"       # carbon sheet\nshear_modulus = \"3.5 GPa\" ":   "material = \"plywood\" ",
		"[[part]]\nname = \"canopy and line\"\nmass = \"50 g\"\nstation = \"220 mm\"\n": "",
		"line = \"400 N\"\n": "line = \"400 N\"\nmass = \"50 g\"\nstation = \"220 mm\"\n",
		"gas_jet  = 0.95\n":  "gas_jet  = 0.95\ntube = { diameter = \"9 mm\", length = \"400 mm\", fitted = \"yes\" }\n",
		"[vary]\n": `[vary]
"fins.material" = { choices = ["balsa", "plywood"] }
"fins.edges" = { choices = ["cut", "radiused"] }
"body.nose.shape" = { choices = ["ogive", "cone"] }
"chamber.gas" = { choices = ["moist", "dry"] }
"chamber.tube.fitted" = { choices = ["no", "yes"] }
"recovery.canopy" = { choices = [{ canopy = "75 cm", mass = "38 g" }, { canopy = "90 cm", mass = "50 g" }, { canopy = "110 cm", mass = "71 g" }] }
`,
	} {
		if !strings.Contains(src, was) {
			t.Fatalf("the demo brief has no %q", was)
		}
		src = strings.Replace(src, was, now, 1)
	}
	return []byte(src)
}

// A word that varies is its number inside and its name outside, and sets what the
// same word in its section sets.
func TestVariedWords(t *testing.T) {
	src := chosen(t)
	b, err := brief.Parse("chosen.toml", src)
	if err != nil {
		t.Fatal(err)
	}
	own := map[string]string{}
	for i := range b.Vary {
		v := &b.Vary[i]
		x := b.Own()
		if v.Choices != nil {
			own[v.Key] = v.Text(x[i])
		}
		for _, value := range v.Choices {
			x[i] = value
			got, _ := b.At(x)
			want, err := brief.Parse("chosen.toml", src, v.Setting(value))
			if err != nil {
				t.Fatalf("--set %s: %v", v.Setting(value), err)
			}
			if got.Body != want.Rocket.Body || got.Chamber != want.Rocket.Chamber || got.Fins != want.Rocket.Fins || got.Recovery != want.Rocket.Recovery {
				t.Errorf("%s in [vary] gives another rocket than --set", v.Setting(value))
			}
		}
	}
	want := map[string]string{
		"fins.material": "plywood", "fins.edges": "radiused", "body.nose.shape": "ogive", "chamber.gas": "moist",
		"chamber.tube.fitted": "yes", "recovery.canopy": "90 cm",
	}
	if !maps.Equal(own, want) {
		t.Errorf("the brief's own values are %v, want %v", own, want)
	}
	if v := &b.Vary[0]; v.Text(5) != "plywood" || v.Name(0) != "" || v.Name(4.5) != "" {
		t.Errorf("fins.material 5 is %q, 0 %q and 4.5 %q, want plywood and none", v.Text(5), v.Name(0), v.Name(4.5))
	}
}

// A canopy of the list brings its mass, in a design and by --set; on a scale it
// is the difference to the one that was weighed.
func TestCanopyWithItsMass(t *testing.T) {
	src := chosen(t)
	dry := func(set ...string) model.Statics {
		t.Helper()
		b, err := brief.Parse("chosen.toml", src, set...)
		if err != nil {
			t.Fatal(err)
		}
		s, ok := model.Weigh(&b.Rocket, &b.Site)
		if !ok {
			t.Fatal("no rocket")
		}
		return s
	}
	own := dry()
	if d := dry("recovery.canopy=110 cm").DryMass - own.DryMass; d < 0.021-1e-12 || d > 0.021+1e-12 {
		t.Errorf("a canopy of 71 g for one of 50 g adds %v kg, want 0.021", d)
	}
	if d := dry("recovery.canopy=120 cm", "recovery.mass=80 g").DryMass - own.DryMass; d < 0.03-1e-12 || d > 0.03+1e-12 {
		t.Errorf("a canopy that is told to weigh 80 g adds %v kg, want 0.030", d)
	}
	const want = "--set recovery.canopy=120 cm: recovery.canopy: a canopy whose mass is not told, want 75 cm, 90 cm or 110 cm, or --set recovery.mass=… too"
	if _, err := brief.Parse("chosen.toml", src, "recovery.canopy=120 cm"); err == nil || err.Error() != want {
		t.Errorf("a canopy off the list: %v, want %s", err, want)
	}

	src = []byte(strings.Replace(string(src), "[vary]\n", "[weighed]\nmass = \"925 g\"\nbalance = \"757 mm\"\n\n[vary]\n", 1))
	for _, fins := range []string{"\"fins.material\"", "\"fins.edges\"", "\"fins.span\" "} {
		src = []byte(strings.Replace(string(src), fins, "# "+fins, 1))
	}
	if got := dry().DryMass; got != 0.925 {
		t.Errorf("as weighed it is %v kg, want 0.925", got)
	}
	light := dry("recovery.canopy=75 cm")
	if d := light.DryMass - 0.925; d < -0.012-1e-12 || d > -0.012+1e-12 {
		t.Errorf("with a canopy of 38 g for one of 50 g the weighed rocket is %v kg heavier, want -0.012", d)
	}
	// (0.925·0.757 − 0.012·0.22)/0.913, by hand
	if light.DryCG < 0.764058 || light.DryCG > 0.764059 {
		t.Errorf("with a lighter canopy it balances at %v m, want 0.764058", light.DryCG)
	}
}

// A tube that is left out is none: it need not fit, and its flight is that of a
// brief without one.
func TestTubeLeftOut(t *testing.T) {
	fly := func(src []byte, set ...string) model.Flight {
		t.Helper()
		b, err := brief.Parse("tube.toml", src, set...)
		if err != nil {
			t.Fatal(err)
		}
		return model.Fly(&b.Rocket, &b.Site, model.NewScratch())
	}
	src := chosen(t)
	none := read(t, demos+"field-day.toml")
	with, without := fly(src, "fins.material=carbon 0/90"), fly(src, "fins.material=carbon 0/90", "chamber.tube.fitted=no", "chamber.throat=8 mm")
	if w, o := mustFigure(t, &with, model.TubeSpeed), 0.0; w <= o {
		t.Errorf("with the tube it leaves it at %v m/s", w)
	}
	if _, has := without.Figure(model.TubeSpeed); has {
		t.Error("without the tube it leaves one")
	}
	bare := fly(none, "chamber.throat=8 mm")
	if a, b := mustFigure(t, &without, model.Apogee), mustFigure(t, &bare, model.Apogee); a < b-1e-6 || a > b+1e-6 {
		t.Errorf("apogee %v m with the tube left out, %v m without one", a, b)
	}
}

func mustFigure(t *testing.T, f *model.Flight, id model.Figure) float64 {
	t.Helper()
	v, ok := f.Figure(id)
	if !ok {
		t.Fatalf("no %s: %v", model.Figures[id].Key, f.Outcome)
	}
	return v
}

func TestSchemaAcceptsChoices(t *testing.T) {
	if err := compiled(t).Validate(asJSON(t, chosen(t))); err != nil {
		t.Error(err)
	}
}

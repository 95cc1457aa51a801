package brief_test

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

const demos = "../../testdata/briefs/"

func demo(t testing.TB, name string, set ...string) *brief.Brief {
	t.Helper()
	b, err := brief.Parse(name, briefs.Read(t, name), set...)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// edited is a demo brief with each pair of old and new replaced once.
func edited(t testing.TB, name string, pairs ...string) []byte {
	t.Helper()
	text := string(read(t, demos+name))
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("%s has no %q", name, pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return []byte(text)
}

func TestDemosParse(t *testing.T) {
	files, _ := filepath.Glob(demos + "*.toml")
	if len(files) < 4 {
		t.Fatalf("%d demo briefs, want at least 4", len(files))
	}
	for _, f := range files {
		b := demo(t, filepath.Base(f))
		if !bytes.Equal(b.Source, briefs.Read(t, filepath.Base(f))) || b.Name != filepath.Base(f) || b.Title == "" {
			t.Errorf("%s: source, name or title differ from the file", f)
		}
	}
}

// fieldDay is the rocket of the demo brief.
var fieldDay = model.Rocket{
	Body: model.Body{
		Diameter: 0.09, Length: 1.36, Roughness: 20e-6, Drag: 1,
		Nose: model.Nose{Shape: model.Ogive, Length: 0.24}, Tail: model.Tail{Diameter: 0.075, Length: 0.03},
	},
	Chamber: model.Chamber{
		Bore: 0.087, Cylinder: 0.69, End: 0.0435, Pressure: 15e5, Proof: 22.5e5, Throat: 0.0105, Fill: 0.13,
		Gas: model.Moist, Jet: 0.97, Contraction: 1, GasJet: 0.95, GasThrust: 1,
	},
	Fins: model.Fins{
		Count: 3, Root: 0.13, Tip: 0.07, Span: 0.15, Rake: 0.06, Thickness: 0.002, Station: 1.185,
		Density: 1600, ShearModulus: 3.5e9, Edges: model.Radiused, Fillets: 0.009,
	},
	Parts: []model.Part{
		{Name: "pressure chamber", Mass: 0.42, Station: 0.96, Length: 0.777},
		{Name: "payload bay, servo, timer, batteries", Mass: 0.16, Station: 0.36, Length: 0.25},
		{Name: "canopy and line", Mass: 0.05, Station: 0.22},
	},
	Payload:  model.Part{Name: "payload", Mass: 0.22, Station: 0.25},
	Ballast:  model.Part{Name: "ballast"},
	Recovery: model.Recovery{Canopy: 0.9, Drag: 0.75, Delay: 4, Latency: 0.3, Line: 400},
}

func TestFieldDay(t *testing.T) {
	b := demo(t, "field-day.toml")
	if !reflect.DeepEqual(b.Rocket, fieldDay) {
		t.Errorf("rocket = %+v, want %+v", b.Rocket, fieldDay)
	}
	s := model.Site{
		Temperature: 290.15, Pressure: 99800, Humidity: 0.55, Wind: 3, WindExponent: 0.143, Gust: 3, Guide: 1.2, Tilt: 2 * math.Pi / 180,
	}
	if b.Site != s {
		t.Errorf("site = %+v, want %+v", b.Site, s)
	}
	if want := (brief.Search{Seed: 1, Islands: 4, Population: 40, Flights: 60000, Front: 100}); b.Search != want {
		t.Errorf("search = %+v, want %+v", b.Search, want)
	}
	if v := b.Vary[1]; v.Key != "chamber.throat" || v.From != 0.006 || v.To != 0.016 || v.Step != 0.0005 || v.Choices != nil {
		t.Errorf("second varied quantity = %+v", v)
	}
	if g := b.Goals[2]; g.Key != "margin" || g.Sense != brief.Highest || g.UpTo != 2 {
		t.Errorf("third goal = %+v", g)
	}
	if l := b.Limits[1]; l.Metric.Key != "acceleration" || l.AtMost != 196.133 || !math.IsInf(l.AtLeast, -1) || l.Size {
		t.Errorf("second limit = %+v", l)
	}
	if l := b.Limits[6]; l.Limit.Key != "drift" || l.AtMost != 70 || !l.Size {
		t.Errorf("seventh limit = %+v", l)
	}
	var defaults []string
	for _, l := range b.Limits[7:] {
		defaults = append(defaults, fmt.Sprintf("%s %g %g %v", l.Limit.Key, l.AtLeast, l.AtMost, l.Default))
	}
	want := []string{"dry_margin 1 +Inf true", "peak_incidence -Inf 0.26179938779914946 true", "proof_ratio 1.5 +Inf true"}
	if !slices.Equal(defaults, want) {
		t.Errorf("default limits %q, want %q: margin and landing_speed are the brief's own", defaults, want)
	}
	if s := b.Scatter[0]; s.Key != "chamber.pressure" || s.Sigma(10e5) != 0.015*10e5 {
		t.Errorf("first scatter = %+v", s)
	}
	if s := b.Scatter[2]; s.Key != "recovery.delay" || s.Sigma(7) != 0.1 {
		t.Errorf("third scatter = %+v", s)
	}
}

// TestDefaults leaves out what may be left out.
func TestDefaults(t *testing.T) {
	b, err := brief.Parse("x.toml", []byte(`
body = { diameter = "90 mm", length = "1.36 m", nose = { shape = "cone", length = "240 mm" } }
chamber = { bore = "87 mm", cylinder = "690 mm", end = "43.5 mm", pressure = "8 bar", proof = "12 bar", throat = "9 mm", fill = 0.3 }
fins = { count = 4, root = "130 mm", tip = "70 mm", span = "130 mm", rake = "60 mm", thickness = "2 mm", station = "1.185 m" }
part = [{ mass = "600 g", station = "800 mm" }]
payload = { mass = "80 g", station = "250 mm" }
recovery = { canopy = "95 cm", delay = "5 s" }
site = { elevation = "1000 m" }
`))
	if err != nil {
		t.Fatal(err)
	}
	// ICAO Doc 7488/3 at 1000 m (geopotential): 281.65 K, 898.745 hPa.
	if b.Site.Temperature != 281.65 || math.Abs(b.Site.Pressure-89874.5) > 1 {
		t.Errorf("air = %v K, %v Pa, want 281.65, 89874.5", b.Site.Temperature, b.Site.Pressure)
	}
	b.Site.Temperature, b.Site.Pressure = 0, 0
	if want := (model.Site{WindExponent: 1.0 / 7, Gust: 3, Guide: 1.5}); b.Site != want {
		t.Errorf("site = %+v, want %+v", b.Site, want)
	}
	r := b.Rocket
	if r.Body.Roughness != 20e-6 || r.Body.Drag != 1 || r.Body.Tail != (model.Tail{}) {
		t.Errorf("body = %+v", r.Body)
	}
	if r.Chamber.Gas != model.Moist || r.Chamber.Jet != 0.97 || r.Chamber.GasJet != 0.95 {
		t.Errorf("chamber = %+v", r.Chamber)
	}
	if f := r.Fins; f.Density != 1600 || f.ShearModulus != 3.5e9 || f.Edges != model.Cut || f.Fillets != 0 {
		t.Errorf("fins = %+v", f)
	}
	if c := r.Recovery; c.Drag != 0.75 || c.Latency != 0.3 || c.Line != 0 {
		t.Errorf("recovery = %+v", c)
	}
	if want := (brief.Search{Seed: 1, Flights: 60000, Front: 100}); b.Search != want {
		t.Errorf("search = %+v, want %+v", b.Search, want)
	}
	_, err = study.Problem(b)
	if want := "x.toml:1:1: vary: nothing to vary, want at least one quantity in [vary] that --set does not fix\n" +
		"x.toml:1:1: goals: no goal, want at least one in [goals] that --set does not fix"; err == nil || err.Error() != want {
		t.Errorf("Problem() error = %v, want %s", err, want)
	}
}

func TestNoGoals(t *testing.T) {
	src := edited(t, "bottle.toml", `apogee = "highest"`, "")
	b, err := brief.Parse("x.toml", src)
	if err != nil {
		t.Fatal(err)
	}
	_, err = study.Problem(b)
	if want := `x.toml:1:1: goals: no goal, want at least one in [goals] that --set does not fix`; err == nil || err.Error() != want {
		t.Errorf("Problem() error = %v, want %s", err, want)
	}
}

func TestUnits(t *testing.T) {
	rows := []struct {
		set  string
		get  func(b *brief.Brief) float64
		want float64
		why  string
	}{
		{"chamber.throat=0.5 in", func(b *brief.Brief) float64 { return b.Rocket.Chamber.Throat }, 0.0127, "international inch"},
		{"site.guide=6 ft", func(b *brief.Brief) float64 { return b.Site.Guide }, 1.8288, "international foot"},
		{"site.wind=10 mph", func(b *brief.Brief) float64 { return b.Site.Wind }, 4.4704, "NIST SP 811"},
		{"site.wind=36km/h", func(b *brief.Brief) float64 { return b.Site.Wind }, 10, "no blank"},
		{"site.wind=9 kn", func(b *brief.Brief) float64 { return b.Site.Wind }, 4.63, "1852 m an hour"},
		{"payload.mass=4 oz", func(b *brief.Brief) float64 { return b.Rocket.Payload.Mass }, 0.1133980925, "NIST SP 811"},
		{"payload.mass=0.5 lb", func(b *brief.Brief) float64 { return b.Rocket.Payload.Mass }, 0.226796185, "NIST SP 811"},
		{"chamber.pressure=174 psi", func(b *brief.Brief) float64 { return b.Rocket.Chamber.Pressure }, 174 * 6894.757293168, "NIST SP 811"},
		{"chamber.pressure=2 atm", func(b *brief.Brief) float64 { return b.Rocket.Chamber.Pressure }, 202650, "standard atmosphere"},
		{"recovery.line=100 lbf", func(b *brief.Brief) float64 { return b.Rocket.Recovery.Line }, 444.82216152605, "NIST SP 811"},
		{"recovery.delay=5200 ms", func(b *brief.Brief) float64 { return b.Rocket.Recovery.Delay }, 5.2, ""},
		{"site.temperature=50 degF", func(b *brief.Brief) float64 { return b.Site.Temperature }, 283.15, "10 °C"},
		{"site.temperature=280 K", func(b *brief.Brief) float64 { return b.Site.Temperature }, 280, ""},
		{"site.humidity=40 %", func(b *brief.Brief) float64 { return b.Site.Humidity }, 0.4, ""},
		{"site.humidity=0.4", func(b *brief.Brief) float64 { return b.Site.Humidity }, 0.4, "bare ratio"},
		{"site.tilt=-0.05 rad", func(b *brief.Brief) float64 { return b.Site.Tilt }, -0.05, ""},
		{"fins.density=1.85 g/cm3", func(b *brief.Brief) float64 { return b.Rocket.Fins.Density }, 1850, ""},
		{"fins.count=6", func(b *brief.Brief) float64 { return float64(b.Rocket.Fins.Count) }, 6, "bare count"},
		{"chamber.gas=dry", func(b *brief.Brief) float64 { return float64(b.Rocket.Chamber.Gas) }, float64(model.Dry), "a word"},
		{"search.flights=500", func(b *brief.Brief) float64 { return float64(b.Search.Flights) }, 500, "a count of the search"},
	}
	for _, row := range rows {
		b := demo(t, "field-day.toml", row.set)
		// 1e-12: the rounding of a few products.
		if got := row.get(b); math.Abs(got-row.want) > 1e-12*math.Abs(row.want) {
			t.Errorf("%s = %v, want %v (%s)", row.set, got, row.want, row.why)
		}
	}
}

// TestWater converts fills: the chamber is π/4·0.087²·(0.69 + 4/3·0.0435) m³.
func TestWater(t *testing.T) {
	volume := math.Pi / 4 * 0.087 * 0.087 * (0.69 + 4.0/3*0.0435)
	for set, want := range map[string]float64{
		"chamber.fill=1.35 l":  1.35e-3 / volume,
		"chamber.fill=1350 ml": 1.35e-3 / volume,
		"chamber.fill=1350 g":  1.35 / 998.2 / volume,
		"chamber.fill=30 %":    0.3,
	} {
		if got := demo(t, "field-day.toml", set).Rocket.Chamber.Fill; math.Abs(got-want) > 1e-12 {
			t.Errorf("%s = %v, want %v", set, got, want)
		}
	}
	measured := demo(t, "field-day.toml", "chamber.volume=4.38 l", "chamber.fill=1.35 l", "chamber.neck=30 mm").Rocket.Chamber
	if measured.Volume != 0.00438 || math.Abs(measured.Fill-1.35/4.38) > 1e-12 || measured.Neck != 0.03 {
		t.Errorf("chamber = %+v, want 1.35 of measured 4.38 l, a neck of 30 mm", measured)
	}
	b := demo(t, "bottle.toml")
	litre := math.Pi / 4 * 0.109 * 0.109 * (b.Rocket.Chamber.Cylinder + 4.0/3*b.Rocket.Chamber.End) / 1e-3
	if v := b.Vary[0]; v.Key != "chamber.fill" || math.Abs(v.Step*litre-0.025) > 1e-12 {
		t.Errorf("step of the fill = %v of %v l, want 25 ml", v.Step, litre)
	}
}

// TestMaterials names a sheet instead of its density and modulus.
func TestMaterials(t *testing.T) {
	src := edited(t, "field-day.toml", `density = "1600 kg/m3"`, `material = "balsa"`, `shear_modulus = "3.5 GPa"`, "")
	for set, want := range map[string][2]float64{
		"fins.material=balsa":       {160, 0.14e9},
		"fins.material=carbon 0/90": {1600, 3.5e9},
		"fins.material=PETG":        {1270, 0.75e9},
		"fins.count=4":              {160, 0.14e9},
	} {
		b, err := brief.Parse("x.toml", src, set)
		if err != nil {
			t.Fatal(err)
		}
		if f := b.Rocket.Fins; f.Density != want[0] || f.ShearModulus != want[1] {
			t.Errorf("--set %s: %g kg/m³ and %g Pa, want %g and %g", set, f.Density, f.ShearModulus, want[0], want[1])
		}
	}
	_, err := brief.Parse("x.toml", src, "fins.density=150 kg/m3")
	if want := "--set fins.density=150 kg/m3: fins.density: given with fins.material, want one or the other"; err == nil || err.Error() != want {
		t.Errorf("both: %v, want %s", err, want)
	}
	// Every material carries a source, and says so where it is from memory.
	all := brief.Materials()
	if len(all) < 12 {
		t.Errorf("%d materials, want at least 12", len(all))
	}
	for _, m := range all {
		if !strings.Contains(m.Source, "from memory") {
			t.Errorf("no source of %s %s in %q", m.Key, m.Name, m.Source)
		}
	}
}

func TestTwentyG(t *testing.T) {
	src := edited(t, "field-day.toml", `"20 gn"`, `"20 g"`)
	b, err := brief.Parse("x.toml", src)
	if err != nil || b.Limits[1].AtMost != 196.133 {
		t.Errorf(`acceleration "20 g" = %v m/s², %v; want 20 standard gravities`, b.Limits[1].AtMost, err)
	}
}

// TestNumerals reads TOML's other ways to write a number.
func TestNumerals(t *testing.T) {
	for text, want := range map[string]float64{"0x2": 2, "0b11": 3, "1_0.0": 10, "+5e-1": 0.5} {
		b, err := brief.Parse("x.toml", edited(t, "field-day.toml", "drag     = 1.0", "drag     = "+text))
		if err != nil || b.Rocket.Body.Drag != want {
			t.Errorf("drag = %s: %v, %v; want %v", text, b, err, want)
		}
	}
}

// TestDifferences reads steps and deviations of a temperature: no zero.
func TestDifferences(t *testing.T) {
	src := edited(t, "field-day.toml",
		"[vary]", "[vary]\n\"site.temperature\" = { from = \"0 degC\", to = \"36 degF\", step = \"0.9 degF\" }",
		"[scatter]", "[scatter]\nsite.temperature = \"2 degC\"")
	b, err := brief.Parse("x.toml", src)
	if err != nil {
		t.Fatal(err)
	}
	if v := b.Vary[0]; v.From != 273.15 || math.Abs(v.Step-0.5) > 1e-12 {
		t.Errorf("temperature from %v step %v, want 273.15 and 0.5 K", v.From, v.Step)
	}
	if s := b.Scatter[0]; s.Sigma(300) != 2 {
		t.Errorf("deviation = %v K, want 2", s.Sigma(300))
	}
}

func TestSetFixes(t *testing.T) {
	b := demo(t, "field-day.toml", "payload.mass=95 g", "chamber.throat = 9 mm")
	if len(b.Vary) != 3 || len(b.Goals) != 2 || b.Rocket.Payload.Mass != 0.095 || b.Rocket.Chamber.Throat != 0.009 {
		t.Errorf("vary %d, goals %d, payload %v, throat %v; want 3, 2, 0.095, 0.009",
			len(b.Vary), len(b.Goals), b.Rocket.Payload.Mass, b.Rocket.Chamber.Throat)
	}
}

func TestSetFaults(t *testing.T) {
	rows := []struct {
		set  []string
		want string
	}{
		{[]string{"chamber.throat"}, `--set chamber.throat: no "=", want key=value`},
		{[]string{"chamber.throat=9"}, `--set chamber.throat=9: chamber.throat: 9 has no unit, want a length such as "11 mm"`},
		{[]string{"chamber.throta=9 mm"}, `--set chamber.throta=9 mm: chamber.throta: unknown key, want chamber.throat`},
		{[]string{"a=1"}, `--set a=1: a: unknown key, want site, body, chamber, fins, payload, ballast, recovery, weighed or search`},
		{[]string{"search.islands=5", "search.flights=4"}, `--set search.flights=4: search.flights: 4, want at least search.islands, 5`},
		{[]string{"throat=9 mm"}, `--set throat=9 mm: throat: unknown key, want chamber.throat`},
		{[]string{"chambr.throta=9 mm"}, `--set chambr.throta=9 mm: chambr.throta: unknown key, want chamber.throat`},
		{[]string{"chamber=9 mm"}, `--set chamber=9 mm: chamber: a table, want one of its keys`},
		{[]string{"chamber.throat=9 mm", "chamber.throat=8 mm"}, `--set chamber.throat=8 mm: chamber.throat: given twice, want it once`},
		{[]string{"chamber.throat=88 mm"}, `--set chamber.throat=88 mm: chamber.throat: 88 mm, want below chamber.bore, 87 mm`},
		{[]string{"ballast.mass=20 g"}, `--set ballast.mass=20 g: ballast.station: missing, want a length such as "60 mm"`},
		{[]string{"chamber.pressure=23 bar", "site.wind=x"}, "--set chamber.pressure=23 bar: chamber.pressure: 23 bar, want below chamber.proof, 22.5 bar\n" +
			`--set site.wind=x: site.wind: "x", want a speed such as "3 m/s"`},
	}
	src := read(t, demos+"field-day.toml")
	for _, row := range rows {
		if _, err := brief.Parse("x.toml", src, row.set...); err == nil || err.Error() != row.want {
			t.Errorf("--set %q: %v, want %s", row.set, err, row.want)
		}
	}
}

// TestWeighed gives the rocket as weighed: what was aboard is what the file
// says, whatever --set changes afterwards.
func TestWeighed(t *testing.T) {
	src := edited(t, "field-day.toml", "[vary]\n\"fins.span\"", "[weighed]\nmass = \"925 g\"\nbalance = \"757 mm\"\n\n[vary]\n\"fins.span\"")
	_, err := brief.Parse("x.toml", src)
	if err == nil || !strings.HasSuffix(err.Error(), "vary.fins.span: varied, and the rocket is weighed, want the fins as they were built") {
		t.Errorf("varied fins of a weighed rocket: %v", err)
	}
	b, err := brief.Parse("x.toml", src, "fins.span=120 mm", "payload.mass=120 g", "ballast.mass=30 g", "ballast.station=60 mm")
	if err != nil {
		t.Fatal(err)
	}
	if want := (model.Weighed{Mass: 0.925, Balance: 0.757, Payload: 0.22}); b.Rocket.Weighed != want {
		t.Errorf("weighed = %+v, want %+v", b.Rocket.Weighed, want)
	}
	if b.Rocket.Payload.Mass != 0.12 || b.Rocket.Ballast.Mass != 0.03 {
		t.Errorf("payload %v, ballast %v; want what --set gave", b.Rocket.Payload.Mass, b.Rocket.Ballast.Mass)
	}
}

// TestDefaultLimits names, switches off and aims for figures that have default
// limits.
func TestDefaultLimits(t *testing.T) {
	for _, row := range []struct {
		why, limits, goals string
		want, notJudged    []string // defaults that are left
	}{
		{"none named", "", `apogee = "highest"`, []string{"dry_margin", "margin", "peak_incidence", "deploy_speed", "landing_speed", "proof_ratio"}, nil},
		{"openings named", `deploy_speed = { at_most = "20 m/s" }`, `apogee = "highest"`, []string{"dry_margin", "margin", "peak_incidence", "landing_speed", "proof_ratio"}, nil},
		{"one named", `landing_speed = { at_most = "9 m/s" }`, `apogee = "highest"`, []string{"dry_margin", "margin", "peak_incidence", "deploy_speed", "proof_ratio"}, nil},
		{"aimed for", "", `margin = "highest"`, []string{"dry_margin", "peak_incidence", "deploy_speed", "landing_speed", "proof_ratio"}, nil},
		{"the proof ratio holds whatever is aimed for", "", `proof_ratio = "highest"`, []string{"dry_margin", "margin", "peak_incidence", "deploy_speed", "landing_speed", "proof_ratio"}, nil},
		{"switched off", `margin = "none"`, `apogee = "highest"`, []string{"dry_margin", "peak_incidence", "deploy_speed", "landing_speed", "proof_ratio"}, []string{"margin"}},
	} {
		src := string(edited(t, "bottle.toml"))
		src = src[:strings.Index(src, "[goals]")] + "[goals]\n" + row.goals + "\n[limits]\n" + row.limits + "\n"
		b, err := brief.Parse("x.toml", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		var left []string
		for _, l := range b.Limits {
			if l.Default {
				left = append(left, l.Metric.Key)
			}
		}
		if !slices.Equal(left, row.want) || !slices.Equal(b.NotJudged, row.notJudged) {
			t.Errorf("%s: defaults %v, not judged %v; want %v, %v", row.why, left, b.NotJudged, row.want, row.notJudged)
		}
	}
}

// TestDefaultBounds holds the bounds that the README tells.
func TestDefaultBounds(t *testing.T) {
	src := string(edited(t, "bottle.toml"))
	b, err := brief.Parse("x.toml", []byte(src[:strings.Index(src, "[goals]")]+"[goals]\napogee = \"highest\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	none := math.Inf(1)
	want := map[string][2]float64{ // at least, at most
		"dry_margin": {1, none}, "margin": {1, none}, "peak_incidence": {-none, 15 * math.Pi / 180},
		"deploy_speed": {-none, 15}, "landing_speed": {-none, 8}, "proof_ratio": {1.5, none},
	}
	for _, l := range b.Limits {
		if got := [2]float64{l.AtLeast, l.AtMost}; got != want[l.Metric.Key] {
			t.Errorf("%s: %v, want %v", l.Metric.Key, got, want[l.Metric.Key])
		}
	}
	if len(b.Limits) != len(want) {
		t.Errorf("%d limits, want %d", len(b.Limits), len(want))
	}
}

// TestSafety tells limits that decide between go and no-go from a class's.
func TestSafety(t *testing.T) {
	b := demo(t, "highest-in-class.toml")
	var class []string
	for i := range b.Limits {
		if l := &b.Limits[i]; !l.Safety() {
			class = append(class, l.Metric.Key)
		}
	}
	if want := []string{"volume", "dry_mass"}; !slices.Equal(class, want) {
		t.Errorf("limits of the class %v, want %v", class, want)
	}
}

// TestWeighedAboard gives the same rocket whether a payload is set or typed.
func TestWeighedAboard(t *testing.T) {
	const scale = "\n[weighed]\nmass = \"900 g\"\nbalance = \"700 mm\"\npayload = \"80 g\"\nballast = \"0 g\"\n"
	typed := edited(t, "field-day.toml", "mass = \"220 g\"", "mass = \"120 g\"", "\n[recovery]", scale+"\n[recovery]", "\"fins.span\" ", "# ")
	set := edited(t, "field-day.toml", "\n[recovery]", scale+"\n[recovery]", "\"fins.span\" ", "# ")
	a, err := brief.Parse("x.toml", typed)
	if err != nil {
		t.Fatal(err)
	}
	b, err := brief.Parse("x.toml", set, "payload.mass=120 g")
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a.Rocket, b.Rocket) || a.Rocket.Weighed.Payload != 0.08 {
		t.Errorf("typed %+v, set %+v; want the same rocket, weighed with 80 g", a.Rocket.Weighed, b.Rocket.Weighed)
	}
}

// TestProofRatio lowers the default limit by an explicit one.
func TestProofRatio(t *testing.T) {
	b, err := brief.Parse("x.toml", edited(t, "bottle.toml", "[limits]", "[limits]\nproof_ratio = { at_least = 1.2 }"))
	if err != nil {
		t.Fatal(err)
	}
	l := b.Limits[0]
	if last := b.Limits[len(b.Limits)-1]; l.AtLeast != 1.2 || l.Default || last.Metric.Key == "proof_ratio" {
		t.Errorf("limits = %+v, want proof_ratio 1.2 and no default one", b.Limits)
	}
}

// TestDottedKeys holds keys of [vary] equal whether quoted or not.
func TestDottedKeys(t *testing.T) {
	b, err := brief.Parse("x.toml", edited(t, "field-day.toml", `"fins.span" `, `fins.span `, `"payload.mass" = "highest"`, `payload.mass = "highest"`))
	if err != nil {
		t.Fatal(err)
	}
	if b.Vary[0].Key != "fins.span" || b.Goals[1].Key != "payload.mass" {
		t.Errorf("vary %q, goal %q", b.Vary[0].Key, b.Goals[1].Key)
	}
}

// What is too large or nests too deep is refused at once, not after minutes of
// quadratic work.
func TestBriefTooLarge(t *testing.T) {
	many := func(n int, s string) string { return strings.Repeat(s, n) }
	for _, c := range []struct{ src, want string }{
		{many(65537, "#"), "x.toml:1:1: more than 65536 bytes, want a brief"},
		{"a = " + many(8000, "[") + many(8000, "]"), "x.toml:1:1: nested deeper than 8, want a brief"},
		{"a = 1\n" + many(30000, "b.") + "b = 1", "x.toml:2:1: nested deeper than 8, want a brief"},
		{"[" + many(30000, "b.") + "b]", "x.toml:1:2: nested deeper than 8, want a brief"},
		{"\"" + many(30000, "b.") + "b\" = 1", "x.toml:1:1: nested deeper than 8, want a brief"},
		{many(9, "a = {") + many(9, "}"), "x.toml:1:41: nested deeper than 8, want a brief"},
	} {
		if _, err := brief.Parse("x.toml", []byte(c.src)); err == nil || err.Error() != c.want {
			t.Errorf("%.20q…: %.200v, want %s", c.src, err, c.want)
		}
	}
}

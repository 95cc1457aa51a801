package card

import (
	"math"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/pad"
	"ullage/output/internal/sample"
	"ullage/output/text"
)

// TestWindLimit holds what is said of the strongest wind: up to it where it was found,
// none but the planned where that is the strongest, and no end where none was flown.
func TestWindLimit(t *testing.T) {
	const found, open, none = "and not in stronger wind", "no stronger wind was flown", "GO in no stronger wind"
	for _, row := range []struct {
		planned float64
		wind    pad.Wind
		want    string
	}{
		{12, pad.Wind{Speed: math.NaN()}, ""},
		{12, pad.Wind{Speed: math.NaN(), Ends: true}, ""},
		{12, pad.Wind{Speed: 12, Ends: true}, "; as set it is " + none},
		{-12, pad.Wind{Speed: 12, Ends: true}, "; as set it is " + none},
		{12, pad.Wind{Speed: 11, Ends: true}, "; as set it is " + none},
		{12, pad.Wind{Speed: 12.1, Ends: true}, "; as set it is GO up to 12.1 m/s at 10 m, 8.2 m/s in your hand, " + found},
		{12, pad.Wind{Speed: 12}, "; as set it is GO up to 12.0 m/s at 10 m, " + open},
		{12, pad.Wind{Speed: 30.19}, "; as set it is GO up to 30.1 m/s at 10 m, " + open},
	} {
		c := made(func(c *Card) { c.Site.Wind, c.Flown.Wind = row.planned, row.wind })
		if got := c.windLimit(); got != row.want {
			t.Errorf("planned %v, strongest %+v: %q, want %q", row.planned, row.wind, got, row.want)
		}
	}
}

// A brief that chooses whether the launch tube is used says so on the card, and one
// that chooses words of the body on the sheet; others say nothing of either.
func TestChoicesAreSaid(t *testing.T) {
	tube := func(c *Card) { c.Rocket.Chamber.Tube = model.Tube{Diameter: 0.0105, Length: 0.3126} }
	varied := func(c *Card) {
		c.Brief.Vary = append(c.Brief.Vary, brief.Vary{Quantity: &brief.Quantity{Key: "chamber.tube.fitted"}})
		c.Row.X = append(c.Row.X, 1)
	}
	for _, row := range []struct {
		why    string
		change []func(c *Card)
		want   string
	}{
		{"chosen", []func(*Card){tube, varied}, "launch tube 313 mm of travel on it; diameter 10 mm"},
		{"not chosen from", []func(*Card){tube}, ""},
		{"left off", []func(*Card){tube, varied, func(c *Card) { c.Rocket.Chamber.NoTube = true }}, "launch tube none take it off the launcher"},
	} {
		var said []string
		for _, cell := range made(row.change...).launchTube() {
			said = append(said, cell.Name+" "+cell.Value+" "+cell.Note)
		}
		if got := strings.Join(said, "; "); got != row.want {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
	}
}

// Of a brief with a class, limits say whose they are and whether the word hangs on
// them, and what is chosen of words stands where it is set or built.
func TestBroadCard(t *testing.T) {
	b, rows := sample.Broad("")
	c := made(func(c *Card) {
		c.Brief, c.Row = b, rows[0]
		c.Flown.Call.Chances = nil
		c.Flown.Call.Slacks = rows[0].Slacks
	})
	var notes []string
	for _, line := range c.room() {
		notes = append(notes, line.Name+": "+line.Note)
	}
	if got, want := strings.Join(notes, "; "), "drift: ; guide speed: ; payload mass: no verdict; margin: ; peak incidence: ; chamber pressure: class; dry mass: class, no verdict; proof ratio: default"; got != want {
		t.Errorf("room %s\nwant %s", got, want)
	}
	set := c.setObject()
	data, err := set.MarshalJSON()
	if err != nil || !strings.Contains(string(data), `"fins_edges":"radiused"`) || strings.Contains(string(data), "recovery_mass_kg") {
		t.Errorf("set %s, %v, want the edges chosen and no mass of a canopy", data, err)
	}
	c.Rocket.Recovery.Mass = 0.05
	if data, err := c.setObject().MarshalJSON(); err != nil || !strings.Contains(string(data), `"recovery_mass_kg":0.05`) {
		t.Errorf("set %s, %v, want the mass of the canopy", data, err)
	}
}

// Whatever stands in a table of columns, no line is longer than there is room, and
// what is folded stands under the words it goes on from.
func TestColumnsAreFolded(t *testing.T) {
	var out strings.Builder
	long := strings.TrimSpace(strings.Repeat("misses what ", 18))
	writeColumns(&out, [][]string{{"", "m", ""}, {"höher", "1", long}, {"x", "1000", "short"}})
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if len(lines) != 5 || lines[0] != "            m" || lines[4] != "  x      1000  short" {
		t.Errorf("lines %q", lines)
	}
	words := ""
	for i, line := range lines[1:4] {
		if n := len([]rune(line)); n > text.LineWidth || i < 1 && n < text.LineWidth-len("misses ") {
			t.Errorf("%d columns: %q", n, line)
		}
		if i == 0 && !strings.HasPrefix(line, "  höher     1  misses") || i > 0 && !strings.HasPrefix(line, "               ") {
			t.Errorf("line %d begins %q", i, line)
		}
		words += " " + strings.TrimSpace(line)
	}
	if !strings.HasSuffix(words, strings.TrimSpace(long)) {
		t.Errorf("words %q, want all of %q", words, long)
	}
}

// A word of the body that a brief chooses stands on the build sheet; one of the fins
// stands with the fins, a number of the body in the drawing.
func TestChosenWordsOfTheBody(t *testing.T) {
	b, rows := sample.Broad("")
	broad := made(func(c *Card) { c.Brief, c.Row = b, rows[0] })
	if chosen := broad.sheetView().Chosen; chosen != nil {
		t.Errorf("of edges of the fins %v is chosen of the body", chosen)
	}
	src := strings.Replace(string(sample.Brief("").Source), "[vary]\n", "[vary]\n\"body.length\" = { from = \"1.35 m\", to = \"1.37 m\" }\n\"body.nose.shape\" = { choices = [\"ogive\", \"cone\"] }\n", 1)
	shaped, err := brief.Parse("plan.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	c := made(func(c *Card) { c.Brief, c.Row.X = shaped, shaped.Own() })
	if chosen := c.sheetView().Chosen; len(chosen) != 1 || chosen[0].Name != "body nose shape" || chosen[0].Value != "ogive" {
		t.Errorf("chosen %v, want the shape of the nose", chosen)
	}
}

// The material of the fins stands before their edges, where the brief names one.
func TestFinMaterialIsSaid(t *testing.T) {
	sheet := func(c *Card) string {
		for _, cell := range c.finCells() {
			if cell.Name == "sheet" {
				return cell.Note
			}
		}
		return ""
	}
	if got := sheet(made()); got != "edges left square" {
		t.Errorf("without a material: %q", got)
	}
	material := brief.Materials()[len(brief.Materials())-1].Name
	src := strings.Replace(string(sample.Brief("").Source), "thickness = \"2 mm\"\n", "thickness = \"2 mm\"\nmaterial = \""+material+"\"\n", 1)
	b, err := brief.Parse("plan.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	c := made(func(c *Card) { c.Brief, c.Rocket = b, b.Rocket })
	if got := sheet(c); got != material+"; edges left square" {
		t.Errorf("of %s: %q", material, got)
	}
}

// A proof pressure is the customary one where it is within a millionth of it, and a
// line of its own else, above or below.
func TestProofLineOfItsOwn(t *testing.T) {
	for off, lines := range map[float64]int{0: 2, 5e-7: 2, -5e-7: 2, 2e-6: 3, -2e-6: 3, 0.5: 3} {
		c := made(func(c *Card) { c.Rocket.Chamber.Proof = (1.5 + off) * c.Rocket.Chamber.Pressure })
		if got := len(c.proofLines()); got != lines {
			t.Errorf("1.5 and %v times launch pressure: %d lines, want %d", off, got, lines)
		}
	}
}

package palette_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ullage/output/palette"
)

// Nothing that is drawn has a colour that is not of the palette: what reports and
// cards are made of names its colours by the palette's properties and holds none
// itself, and a notebook, which nothing is put into, holds those of the palette.
func TestEverythingTakesItsColoursHere(t *testing.T) {
	hex := regexp.MustCompile(`#(?:[0-9a-fA-F]{6}|[0-9a-fA-F]{3})\b|\brgba?\(|\bhsla?\(|color\.(?:RGBA|NRGBA|Gray)\{|scheme=`)
	var ours []string
	for _, c := range grounds {
		ours = slices.Concat(ours, []string{c.Ground, c.Panel, c.Band, c.Ink, c.Faint, c.Line, c.Design, c.Chosen}, c.Series, c.Ramp)
	}
	for room, own := range map[string][]string{"report": nil, "card": nil, "notebook": ours} {
		files, err := filepath.Glob("../" + room + "/*.*")
		if err != nil {
			t.Fatal(err)
		}
		found := 0
		for _, file := range files {
			if strings.HasSuffix(file, "_test.go") || strings.HasPrefix(filepath.Base(file), "echarts.") {
				continue
			}
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			for _, colour := range hex.FindAllString(string(text), -1) {
				found++
				if !slices.Contains(own, colour) {
					t.Errorf("%s: colour %s, want one of the palette", file, colour)
				}
			}
		}
		if own != nil && found == 0 {
			t.Errorf("%s: no colours, want those of the palette", room)
		}
	}
}

// The styles hold every property that the pages ask for.
func TestPropertiesAreThere(t *testing.T) {
	asked := regexp.MustCompile(`var\(--([a-z0-9-]+)\)`)
	for room, style := range map[string]string{"report": palette.Style(), "card": palette.Paper()} {
		files, err := filepath.Glob("../" + room + "/*.css")
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: styles %q, %v, want some", room, files, err)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			names := asked.FindAllStringSubmatch(string(text), -1)
			if len(names) == 0 {
				t.Errorf("%s asks for no colour, want some", file)
			}
			for _, name := range names {
				if !strings.Contains(style, "--"+name[1]+": #") {
					t.Errorf("%s asks for --%s, which the palette does not have", file, name[1])
				}
			}
		}
	}
}

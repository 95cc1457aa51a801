package card_test

import (
	"html"
	"strings"
	"testing"

	"ullage/model"
	"ullage/output/card"
	"ullage/output/internal/sample"
)

// What a brief names is shown as text, on one line, and no page of it fetches or
// runs anything.
func TestForeignText(t *testing.T) {
	b := sample.Brief("")
	b.Title = "A\x1b[2J plan\u202e\nGO as planned<script>alert(1)</script>"
	b.Rocket.Parts[0].Name = "cham\u200bber\x07"
	rocket, site := b.At(b.Own())
	scratch := model.NewScratch()
	flight := model.Fly(&rocket, &site, scratch)
	if flight.Outcome != model.Landed {
		t.Fatalf("the sample does not land: %v", flight.Outcome)
	}
	c := card.Of(b, 0, b.Own(), &flight, scratch)
	c.Name = "design 1 of runs/\x1b]0;x\x07"
	pad, err := c.PadHTML()
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := c.SheetHTML()
	if err != nil {
		t.Fatal(err)
	}
	for name, page := range map[string]string{"pad-card.txt": c.PadText(), "pad-card.html": string(pad), "build-sheet.html": string(sheet)} {
		if i := strings.IndexAny(page, "\x1b\x07\u202e\u200b"); i >= 0 {
			t.Errorf("%s holds %q", name, page[max(0, i-20):i+1])
		}
		if name == "pad-card.txt" {
			if first, _, _ := strings.Cut(page, "\n"); first != "A\uFFFD[2J plan\uFFFD GO as planned<script>alert(1)</script>" {
				t.Errorf("%s begins with %q", name, first)
			}
			continue
		}
		if strings.Contains(page, "<script") {
			t.Errorf("%s runs a script", name)
		}
		const policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
		if !strings.Contains(html.UnescapeString(page), `http-equiv="Content-Security-Policy" content="`+policy+`"`) {
			t.Errorf("%s has no policy, want %s", name, policy)
		}
	}
}

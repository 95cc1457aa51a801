package terminal

import (
	"fmt"
	"slices"
	"strings"

	"ullage/model"
	"ullage/model/air"
	"ullage/optimize/brief"
	"ullage/output/text"
	"ullage/output/wording"
)

// BriefCautions returns wording.ProofCautions and what a brief says that may well
// be meant otherwise, one sentence an entry.
func BriefCautions(b *brief.Brief) []string {
	notes := wording.ProofCautions(b)
	if at := b.Site.Temperature; at < air.IceTemp {
		notes = append(notes, fmt.Sprintf("At %s water freezes, in the outlet first, and walls are brittle. The flights have it liquid and the wall as ever.",
			brief.MustQuantity("site.temperature").Text(at)))
	}
	for _, s := range slices.Concat(b.Day, b.Scatter) {
		at := s.Value(&b.Rocket, &b.Site)
		if d := s.Sigma(at); at-d < s.Min || at+d > s.Max {
			notes = append(notes, fmt.Sprintf("The scatter of %s is wide: one deviation from %s leaves what it can be, %s to %s. The draws are cut there.",
				s.Key, s.Text(at), s.Text(s.Min), s.Text(s.Max)))
		}
	}
	for _, part := range b.Rocket.Parts {
		if b.Rocket.Recovery.Mass > 0 && strings.Contains(strings.ToLower(part.Name), "canopy") {
			notes = append(notes, fmt.Sprintf("A part is named %q, and recovery.mass is that of canopy and line: is it written twice? Both weigh.", text.Plain(part.Name, text.TitleLength)))
		}
	}
	return append(notes, sameNames(b.Rocket.Parts)...)
}

// sameNames says which parts cannot be told apart by their names.
func sameNames(parts []model.Part) (notes []string) {
	times := map[string]int{}
	for i := range parts {
		name := parts[i].Name
		if times[name]++; name != "" && times[name] == 2 {
			notes = append(notes, fmt.Sprintf("More than one part is named %q: is one written twice? Each weighs.", text.Plain(name, text.TitleLength)))
		}
	}
	return notes
}

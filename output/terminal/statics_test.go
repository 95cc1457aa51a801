package terminal

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"ullage/model"
)

// plain is a rocket that there is nothing to note of.
func plain() model.Statics {
	return model.Statics{
		Volume: 4.45e-3, SummedVolume: 4.45e-3, RootAhead: -0.5, RootAft: -0.0015,
		DryMass: 0.844, SummedMass: 0.844, DryCG: 0.757, SummedCG: 0.757, Jet: 0.97,
	}
}

func TestNotes(t *testing.T) {
	aboard := model.Weighed{Payload: 0.03}
	for _, row := range []struct {
		change func(s *model.Statics)
		want   []string
	}{
		{func(*model.Statics) {}, []string{}},
		{func(s *model.Statics) { s.RootAhead, s.RootAft = 1e-4, 1e-4 }, []string{}},
		{func(s *model.Statics) { s.Jet = 0 }, []string{}},     // it was not given
		{func(s *model.Statics) { s.DryCG = 0.7 }, []string{}}, // it was not weighed
		{func(s *model.Statics) { s.Volume = 4.38e-3 }, []string{
			"measured volume: 4.38 l against 4.45 l of bore, cylinder and ends; the profile is scaled to it",
		}},
		{func(s *model.Statics) {
			s.Weighed, s.Aboard, s.DryMass, s.DryCG, s.Correction = true, aboard, 0.871, 0.765, model.Part{Mass: 0.027, Station: 1.02}
		}, []string{
			"weighed: 871 g against 844 g summed from parts, fins, payload and ballast; balance at 765 mm against 757 mm; the scale is used",
			"weighed with 30.0 g payload, 0 g ballast aboard",
			"the scale corrects the sums by +27.0 g at 1020 mm",
		}},
		{func(s *model.Statics) { s.Weighed, s.Aboard, s.DryCG = true, aboard, 0.765 }, []string{
			"weighed: 844 g against 844 g summed from parts, fins, payload and ballast; balance at 765 mm against 757 mm; the scale is used",
			"weighed with 30.0 g payload, 0 g ballast aboard",
			"no one part within the body explains the difference: look for a slip in the masses or stations",
		}},
		{func(s *model.Statics) { s.Weighed, s.Aboard = true, aboard }, []string{
			"weighed: 844 g against 844 g summed from parts, fins, payload and ballast; balance at 757 mm against 757 mm; the scale is used",
			"weighed with 30.0 g payload, 0 g ballast aboard",
		}},
		{func(s *model.Statics) { s.Jet = 0.62 }, []string{
			"chamber.jet 0.620 is a coefficient of velocity and low for one: the narrowing of a jet behind a sharp edge, to some 0.62 of the hole, is chamber.contraction",
		}},
		{func(s *model.Statics) { s.Jet = 0.9 }, []string{}},
		{func(s *model.Statics) { s.RootAhead, s.RootAft = 0.012, 0.0085 }, []string{
			"fins: 12.0 mm of the root lie ahead of the chamber's cylinder: look at what they are glued to there",
			"fins: 8.50 mm of the root lie aft of the chamber's cylinder, over its end or the tail: look at what they are glued to there",
		}},
	} {
		s := plain()
		row.change(&s)
		if got := notes(s); !slices.Equal(got, row.want) {
			t.Errorf("notes of %+v = %q, want %q", s, got, row.want)
		}
		printed := Statics(s)
		if strings.Contains(printed, "\nnotes\n") != (len(row.want) > 0) {
			t.Errorf("heading of %d notes in:\n%s", len(row.want), printed)
		}
		for _, note := range row.want {
			if !strings.Contains(printed, "\n  "+note+"\n") {
				t.Errorf("no %q in:\n%s", note, printed)
			}
		}
	}
}

func TestStaticsJSON(t *testing.T) {
	s := plain()
	s.Volume = 4.38e-3
	text, err := StaticsJSON(s, []string{"mind it"}, []string{"the canopy"})
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Volume   float64  `json:"volume_m3"`
		Summed   float64  `json:"summed_volume_m3"`
		CG       float64  `json:"dry_cg_m"`
		Mass     *float64 `json:"correction_mass_kg"`
		Station  *float64 `json:"correction_station_m"`
		Notes    []string
		Cautions []string
		First    []string `json:"measure_first"`
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if got.Volume != 4.38e-3 || got.Summed != 4.45e-3 || got.CG != 0.757 || got.Mass != nil || got.Station != nil || len(got.Notes) != 1 || !slices.Equal(got.Cautions, []string{"mind it"}) || !slices.Equal(got.First, []string{"the canopy"}) {
		t.Errorf("StaticsJSON = %s", text)
	}
}

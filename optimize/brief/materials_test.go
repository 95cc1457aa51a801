package brief_test

import (
	"testing"

	"ullage/optimize/brief"
)

// TestChamberMaterial holds that a material sets how far the chamber grows, in
// place of chamber.growth, and that its pressure is held against that.
func TestChamberMaterial(t *testing.T) {
	src := edited(t, "bottle.toml", `growth   = "0.8 %/bar"`, `material = "PET"`)
	b, err := brief.Parse("x.toml", src)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.Rocket.Chamber.Growth; got != 0.008e-5 {
		t.Errorf("growth of PET = %g a pascal, want 0.8 %% a bar", got)
	}
	for _, c := range []struct{ set, want string }{
		{"chamber.growth=0.5 %/bar", "--set chamber.growth=0.5 %/bar: chamber.growth: given with chamber.material, want one or the other"},
		{"chamber.material=wood", `--set chamber.material=wood: chamber.material: "wood", want PET`},
	} {
		if _, err := brief.Parse("x.toml", src, c.set); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", c.set, err, c.want)
		}
	}
	_, err = brief.Parse("x.toml", src, "chamber.pressure=40 bar", "chamber.proof=80 bar")
	if want := "--set chamber.pressure=40 bar: chamber.pressure: the chamber grows by 32 %, want chamber.growth times chamber.pressure at most 25 %"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

package brief_test

import (
	"strings"
	"testing"

	"ullage/optimize/brief"
)

const clubLitre = `title = "Eight bar, two litres"

[limits]
"chamber.pressure" = { at_most = "8 bar" }
dry_mass = { at_most = "500 g" }
landing_speed = { at_most = "10 m/s" }

[goals]
apogee = "highest"
`

// inClass returns the brief of a bottle with more limits and a class in it.
func inClass(t *testing.T, limits, class string) (*brief.Brief, error) {
	t.Helper()
	src := edited(t, "bottle.toml", "[limits]\n", "[limits]\n"+limits)
	src = append([]byte("class = \"club-litre.toml\"\n"), src...)
	whole, err := brief.WithClass("x.toml", src, brief.ClassFile(src), []byte(class))
	if err != nil {
		return nil, err
	}
	return brief.Parse("x.toml", whole)
}

// TestClass holds that the limits of a class join those of a brief, that a brief
// may be stricter and never looser, that no class loosens a default limit, and
// that each limit says where it is from.
func TestClass(t *testing.T) {
	b, err := inClass(t, "dry_mass = { at_most = \"450 g\" }\n", clubLitre)
	if err != nil {
		t.Fatal(err)
	}
	if c := b.Class; c.Title != "Eight bar, two litres" || c.File != "club-litre.toml" || len(c.Hash) != 64 {
		t.Errorf("class = %+v", c)
	}
	for _, want := range []struct {
		key    string
		atMost float64
		class  bool
	}{
		{"chamber.pressure", 8e5, true},
		{"dry_mass", 0.45, false},
		{"landing_speed", 6, false}, // the brief's own, of bottle.toml
	} {
		found := 0
		for _, l := range b.Limits {
			if l.Metric.Key == want.key {
				found++
				if l.AtMost != want.atMost || l.Class != want.class || l.Default {
					t.Errorf("%s: at most %g, class %v, default %v; want %g, %v, false", want.key, l.AtMost, l.Class, l.Default, want.atMost, want.class)
				}
			}
		}
		if found != 1 {
			t.Errorf("%d limits of %s, want 1", found, want.key)
		}
	}
	for _, c := range []struct{ why, limits, class, want string }{
		{"looser", "dry_mass = { at_most = \"0.6 kg\" }\n", clubLitre, "x.toml:80:1: limits.dry_mass: looser than the class, want at_most of at most 0.5 kg"},
		{"switched off", "dry_margin = \"none\"\n", clubLitre + "[limits.dry_margin]\nat_least = 1.5\n", "x.toml:80:1: limits.dry_margin: none, and the class limits it, want a limit as strict as the class's, or no line of its own"},
		{"no room", "dry_mass = { at_least = \"0.55 kg\" }\n", clubLitre, "x.toml:80:1: limits.dry_mass: no value keeps it and the class, want a limit that the class leaves room for"},
		{"a fault of the class", "", strings.Replace(clubLitre, "8 bar", "8 kg", 1), `club-litre.toml:4:24: limits.chamber.pressure.at_most: "8 kg" is a mass, want a pressure such as "15 bar"`},
		{"a class of something else", "", "[limits]\n[search]\nseed = 1\n", "club-litre.toml:2:2: search: unknown key, want title, limits or goals"},
		{"another goal", "", strings.Replace(clubLitre, "highest", "lowest", 1), "x.toml:77:1: goals.apogee: highest, want lowest, as the class has it"},
		{"a class without limits", "", "title = \"x\"\n", "club-litre.toml:1:1: limits: missing, want the limits of the class"},
	} {
		if _, err := inClass(t, c.limits, c.class); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", c.why, err, c.want)
		}
	}
}

// TestClassKeepsDefaults holds that a class that allows more than a default limit
// leaves that in force, and that what it allows less of is its own.
func TestClassKeepsDefaults(t *testing.T) {
	for text, class := range map[string]bool{"10 m/s": false, "7 m/s": true} {
		src := edited(t, "bottle.toml", `landing_speed = { at_most = "6 m/s" }`, "")
		whole, err := brief.WithClass("x.toml", src, "c.toml", []byte(`limits.landing_speed.at_most = "`+text+`"`))
		if err != nil {
			t.Fatal(err)
		}
		b, err := brief.Parse("x.toml", whole)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range b.Limits {
			if l.Metric.Key == "landing_speed" && (l.AtMost > 8 || l.Class != class || l.Default == class) {
				t.Errorf("class of %s: landing speed at most %g, of the class %v, default %v", text, l.AtMost, l.Class, l.Default)
			}
		}
	}
}

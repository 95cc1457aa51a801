package brief_test

import (
	"fmt"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

// A brief may be as strict as its class or stricter in either bound, and takes from it
// what it does not say; what is looser in either is refused.
func TestClassBothBounds(t *testing.T) {
	const class = "[limits]\ndry_mass = { at_least = \"100 g\", at_most = \"500 g\" }\n\"fins.span\" = { at_most = \"120 mm\" }\n"
	for _, c := range []struct {
		limits      string
		least, most float64
		class       bool
		want        string
	}{
		{"", 0.1, 0.5, true, ""},
		{`dry_mass = { at_least = "100 g" }`, 0.1, 0.5, true, ""},
		{`dry_mass = { at_most = "500 g" }`, 0.1, 0.5, true, ""},
		{`dry_mass = { at_least = "110 g" }`, 0.11, 0.5, false, ""},
		{`dry_mass = { at_most = "490 g" }`, 0.1, 0.49, false, ""},
		{`dry_mass = { at_least = "110 g", at_most = "490 g" }`, 0.11, 0.49, false, ""},
		{`dry_mass = { at_least = "500 g" }`, 0.5, 0.5, false, ""},
		{`dry_mass = { at_least = "99 g" }`, 0, 0, false, "limits.dry_mass: looser than the class, want at_least of at least 0.1 kg"},
		{`dry_mass = { at_most = "501 g" }`, 0, 0, false, "limits.dry_mass: looser than the class, want at_most of at most 0.5 kg"},
		{`dry_mass = { at_most = "99 g" }`, 0, 0, false, "limits.dry_mass: no value keeps it and the class, want a limit that the class leaves room for"},
		{`"fins.span" = { at_most = "121 mm" }`, 0, 0, false, "limits.fins.span: looser than the class, want at_most of at most 120 mm"},
	} {
		b, err := inClass(t, c.limits+"\n", class)
		if got := facts(err); got != c.want {
			t.Errorf("%s: %q, want %q", c.limits, got, c.want)
		}
		if err != nil {
			continue
		}
		for _, l := range b.Limits {
			if l.Metric.Key == "dry_mass" && (l.AtLeast != c.least || l.AtMost != c.most || l.Class != c.class || l.Default) {
				t.Errorf("%s: %v to %v, of the class %v; want %v to %v, %v", c.limits, l.AtLeast, l.AtMost, l.Class, c.least, c.most, c.class)
			}
		}
	}
}

// The goals of a class join those of the brief, of which none may go against them.
func TestClassGoals(t *testing.T) {
	goals := func(keys ...string) (text string) {
		for _, k := range keys {
			text += k + " = \"lowest\"\n"
		}
		return text
	}
	for _, c := range []struct {
		why, own, class string
		count           int
		want            string
	}{
		{"one more", "apogee = \"highest\"\n", "drift = \"lowest\"\n", 2, ""},
		{"the same", "apogee = { nearest = \"80 m\" }\n", "apogee = { nearest = \"80 m\" }\n", 1, ""},
		{"another target", "apogee = { nearest = \"80 m\" }\n", "apogee = { nearest = \"81 m\" }\n", 0, "goals.apogee: nearest 80 m, want nearest 81 m, as the class has it"},
		{"another sense", "apogee = \"highest\"\n", "apogee = \"lowest\"\n", 0, "goals.apogee: highest, want lowest, as the class has it"},
		{"five", goals("drift", "impulse", "gas_time", "water_time"), "apogee = \"highest\"\n", 5, ""},
		{"six", goals("drift", "impulse", "gas_time", "water_time", "max_speed"), "apogee = \"highest\"\n", 0, "goals: goal 6 with those of the class, want at most 5"},
		{"five and the same", goals("drift", "impulse", "gas_time", "water_time", "max_speed"), "drift = \"lowest\"\n", 5, ""},
	} {
		src := edited(t, "bottle.toml", "apogee = \"highest\"\n", c.own)
		whole, err := brief.WithClass("x.toml", src, "c.toml", []byte("[limits]\n[goals]\n"+c.class))
		if err != nil {
			t.Fatal(err)
		}
		b, err := brief.Parse("x.toml", whole)
		if got := facts(err); got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
		if err == nil && len(b.Goals) != c.count {
			t.Errorf("%s: %d goals, want %d", c.why, len(b.Goals), c.count)
		}
	}
}

// A class is put in once, below the brief's lines, which keep their numbers; what is
// no class as it was put in is refused.
func TestClassPutIn(t *testing.T) {
	class := []byte("\ufefftitle = \"Two\"\n[limits]\ndry_mass.at_most = \"1 kg\"\n[limits.apogee]\nat_least = \"1 m\"\n")
	plain := strings.TrimRight(string(read(t, demos+"bottle.toml")), "\n")
	for _, head := range []string{"", "class = \"c.toml\"\n", "  class   =   'c.toml' # mine\n"} {
		whole, err := brief.WithClass("x.toml", []byte(head+plain), "c.toml", class)
		if err != nil {
			t.Fatal(err)
		}
		want := strings.Replace(head, head, "# "+head, 1)
		if head == "" {
			want = ""
		}
		if !strings.HasPrefix(string(whole), want+plain+"\n\n[class]\nfile = \"c.toml\"\nsha256 = \"") ||
			!strings.HasSuffix(string(whole), "\"\ntitle = \"Two\"\n[class.limits]\ndry_mass.at_most = \"1 kg\"\n[class.limits.apogee]\nat_least = \"1 m\"\n") {
			t.Errorf("%q: the text is\n%s", head, whole)
		}
		if brief.ClassFile(whole) != "" || head != "" && brief.ClassFile([]byte(head+plain)) != "c.toml" {
			t.Errorf("%q: the class is %q", head, brief.ClassFile([]byte(head+plain)))
		}
		_, err = brief.WithClass("x.toml", whole, "d.toml", class)
		if want := fmt.Sprintf("x.toml:%d:2: class: given already, want one class", strings.Count(head+plain, "\n")+3); err == nil || err.Error() != want {
			t.Errorf("a second class: %v, want %s", err, want)
		}
	}
	for _, head := range []string{"\"class\" = \"c.toml\"", "class = 3", "class = { file = \"c.toml\" }", "class.file = \"c.toml\""} { // no line to make a comment of
		_, err := brief.WithClass("x.toml", []byte(head+"\n"+plain), "c.toml", class)
		if got := facts(err); got != "class: given already, want one class" {
			t.Errorf("%s: %q, want it refused", head, got)
		}
	}
	if got := brief.ClassFile([]byte("class = ")); got != "" {
		t.Errorf("what is no TOML names the class %q", got)
	}
}

// What a brief says of its class, and a class of itself, is taken or refused by name.
func TestClassText(t *testing.T) {
	plain := strings.TrimRight(string(read(t, demos+"bottle.toml")), "\n")
	for text, want := range map[string]string{
		"class = \"c.toml\"": `class: "c.toml" is not in the brief's text, want its text in [class]`,
		"class = 3":          "class: 3 is not in the brief's text, want its text in [class]",
		"[class]\nfile = \"c.toml\"\nsha256 = \"12\"":                "",
		"[class]\ntitle = \"C\"\nfile = \"c.toml\"\nsha256 = \"12\"": "",
		"[class]\nfile = \"c.toml\"":                                 "class: no text sha256, want a class as it was put in",
		"[class]\nsha256 = \"12\"":                                   "class: no text file, want a class as it was put in",
		"[class]\nfile = 3\nsha256 = \"12\"":                         "class: no text file, want a class as it was put in",
		"[class]\ntitle = 3\nfile = \"c.toml\"\nsha256 = \"12\"":     "class: no text title, want a class as it was put in",
		"[class]\nfile = \"c.toml\"\nsha256 = \"12\"\nweight = 1":    "class.weight: unknown key, want payload.mass",
	} {
		src := plain + "\n" + text
		if strings.HasPrefix(text, "class") {
			src = text + "\n" + plain
		}
		_, err := brief.Parse("x.toml", []byte(src))
		if got := facts(err); got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
	for text, want := range map[string]string{
		"title = 3\n[limits]\n":                        "title: 3, want a text",
		"limits = 3\n":                                 "limits: 3, want a table",
		"goals = 3\n[limits]\n":                        "goals: 3, want a table",
		"[limits]\n[goals]\napogee = \"up\"\n":         `goals.apogee: "up", want "highest", "lowest" or { nearest = … }`,
		"[limits]\napogee = { at_most = \"9 m\" }\nx=": "not TOML: expected value, not end of input",
		"[limits]\ngust_incidence = { at_most = 3 }\n": `limits.gust_incidence.at_most: 3 has no unit, want an angle such as "2 deg"`,
	} {
		_, err := brief.WithClass("x.toml", []byte(plain), "c.toml", []byte(text))
		if got := facts(err); got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

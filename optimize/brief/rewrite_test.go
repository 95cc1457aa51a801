package brief

import "testing"

func TestRewritten(t *testing.T) {
	for _, c := range []struct{ src, set, want string }{
		{"\ufeff[fins] # three\nspan = \"1 mm\" # glued\ntip = '2 mm'\n", "fins.span=9 mm", "\ufeff[fins] # three\nspan = \"9 mm\" # glued\ntip = '2 mm'\n"},
		{"[fins]\nspan = \"1 mm\"\ntip = '2 mm'", "fins.tip=3 inch", "[fins]\nspan = \"1 mm\"\ntip = \"3 inch\""},
		{"nose = 1\n[chamber]\nfill = 0.30 # x\n", "chamber.fill=0.4", "nose = 1\n[chamber]\nfill = 0.4 # x\n"},
		{"[chamber]\nfill = 0.30\n", "chamber.fill = 600 ml", "[chamber]\nfill = \"600 ml\"\n"},
		{"[chamber]\nfill = 0.30\n[fins]\n", "chamber.gas=dry", "[chamber]\ngas = \"dry\"\nfill = 0.30\n[fins]\n"},
		{"[chamber]\nfill = 0.30\n\n\n", "weighed.mass=900 g", "[chamber]\nfill = 0.30\n\n[weighed]\nmass = \"900 g\"\n"},
		{"[body]\nnose = { length = \"1 mm\", shape = \"cone\" }\n", "body.nose.length=2 mm", "[body]\nnose = { length = \"2 mm\", shape = \"cone\" }\n"},
		{"[chamber]", "chamber.fill=0.4", "[chamber]\nfill = 0.4\n"},
	} {
		if got, err := rewritten([]byte(c.src), c.set); err != nil || string(got) != c.want {
			t.Errorf("rewritten(%q, %q) = %q, %v, want %q", c.src, c.set, got, err, c.want)
		}
	}
	_, err := rewritten([]byte("chamber = { fill = 0.3 }\n"), "chamber.gas=dry")
	if want := "chamber.gas: its table has no header of its own, want one"; err == nil || err.Error() != want {
		t.Errorf("a table in a line: %v, want %s", err, want)
	}
}

func TestSettled(t *testing.T) {
	src := "[vary]\n\"fins.span\" = { from = \"1 mm\", to = \"2 mm\" }\n\"fins.tip\" = 1\n[goals]\n\"fins.span\" = \"lowest\"\n"
	want := "[vary]\n# \"fins.span\" = { from = \"1 mm\", to = \"2 mm\" }\n\"fins.tip\" = 1\n[goals]\n# \"fins.span\" = \"lowest\"\n"
	if got, err := settled([]byte(src), "fins.span", "weighed.mass"); err != nil || string(got) != want {
		t.Errorf("settled = %q, %v, want %q", got, err, want)
	}
	_, err := settled([]byte("[vary.\"fins.span\"]\nchoices = [1]\n"), "fins.span")
	if want := "vary.fins.span: takes more than a line, want it in one"; err == nil || err.Error() != want {
		t.Errorf("a table: %v, want %s", err, want)
	}
}

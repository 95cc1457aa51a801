package fit

import (
	"slices"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

func TestReadConditions(t *testing.T) {
	src := "# of the day\r\n\nsite.temperature = \"21 degC\"   # in the shade\n site.humidity=0.3 # dry\nbody.drag = \"open\nfill= 0.3\n"
	want := []string{"site.temperature=21 degC", "site.humidity=0.3", "body.drag=\"open", "fill=0.3"}
	if got, err := ReadConditions("day.txt", []byte(src)); err != nil || !slices.Equal(got, want) {
		t.Errorf("%q, %v, want %q", got, err, want)
	}
	if _, err := ReadConditions("day.txt", []byte("# one\nwindy\n")); err == nil || err.Error() != `day.txt:2: "windy", want KEY = VALUE` {
		t.Errorf("%v", err)
	}
	large := []byte("#" + strings.Repeat(" ", brief.MostSource-1))
	if _, err := ReadConditions("day.txt", large); err != nil {
		t.Errorf("%d bytes: %v", len(large), err)
	}
	if _, err := ReadConditions("day.txt", append(large, ' ')); err == nil || err.Error() != "day.txt: more than 65536 bytes, want lines of KEY = VALUE" {
		t.Errorf("%v", err)
	}
}

func TestJoinSets(t *testing.T) {
	got := JoinSets([]string{"a=1", "b = 2"}, nil, []string{"c=3", "b=4"})
	if want := []string{"a=1", "c=3", "b=4"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestUnder holds that a log's own conditions go before the brief's overrides,
// that nothing which is fitted to all logs is one log's own, and that the brief's
// doubts of a day come with the flight.
func TestUnder(t *testing.T) {
	b := demo(t, "site.wind=1 m/s", "chamber.pressure=14 bar")
	b.Source = append(slices.Clone(b.Source), "\n[scatter.day]\n\"chamber.jet\" = \"2 %\"\n\"recovery.latency\" = \"0.04 s\"\n"...)
	f, err := Under(b, []string{"site.wind=5 m/s"}, Usual())
	if err != nil {
		t.Fatal(err)
	}
	if f.Site.Wind != 5 || f.Rocket.Chamber.Pressure != 14e5 || !slices.Equal(f.Planned, []string{"chamber.fill"}) {
		t.Errorf("wind %v, pressure %v, planned %q", f.Site.Wind, f.Rocket.Chamber.Pressure, f.Planned)
	}
	if f.Doubts["chamber.jet"] != 0.02*0.97 || f.Doubts["recovery.latency"] != 0.04 || len(f.Doubts) != 2 {
		t.Errorf("doubts %v", f.Doubts)
	}
	if _, err := Under(b, []string{"body.drag = 1.1"}, Usual()); err == nil || err.Error() != "body.drag is fitted to all logs, want it left out of the conditions, or --fix body.drag" {
		t.Errorf("%v", err)
	}
	if _, err := Under(b, []string{"body.drag=1.1"}, []string{"chamber.jet"}); err != nil {
		t.Errorf("what is not fitted may be a log's own: %v", err)
	}
	if _, err := Under(b, []string{"site.wnd=1 m/s"}, nil); err == nil || !strings.Contains(err.Error(), "site.wnd") {
		t.Errorf("%v", err)
	}
}

func TestChoose(t *testing.T) {
	for _, c := range []struct{ free, fix, want []string }{
		{nil, nil, Usual()},
		{[]string{"chamber.gas_jet"}, []string{"body.drag"}, []string{"chamber.jet", "chamber.gas_jet", "recovery.drag", "recovery.latency"}},
		{[]string{"chamber.gas_jet"}, []string{"chamber.gas_jet"}, Usual()},
		{nil, Usual(), nil},
	} {
		if got := Choose(c.free, c.fix); !slices.Equal(got, c.want) {
			t.Errorf("free %q, fix %q: %q, want %q", c.free, c.fix, got, c.want)
		}
	}
}

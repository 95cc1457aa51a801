package report

import (
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/output/internal/sample"
)

// However many quantities vary, the maps of all pairs together have 40 000 cells at
// most, and as fine steps as that leaves room for, up to 25 each way.
func TestMapsHaveRoom(t *testing.T) {
	all := []string{
		`"chamber.throat" = { from = "10 mm", to = "12 mm" }`, `"payload.mass" = { from = "70 g", to = "90 g" }`, `"site.tilt" = { from = "1 deg", to = "3 deg" }`,
		`"chamber.cylinder" = { from = "680 mm", to = "700 mm" }`, `"chamber.pressure" = { from = "5 bar", to = "7 bar" }`, `"chamber.fill" = { from = 0.25, to = 0.35 }`,
		`"fins.root" = { from = "120 mm", to = "140 mm" }`, `"fins.tip" = { from = "60 mm", to = "80 mm" }`, `"fins.span" = { from = "120 mm", to = "140 mm" }`,
		`"fins.rake" = { from = "50 mm", to = "70 mm" }`, `"fins.thickness" = { from = "1 mm", to = "3 mm" }`, `"fins.station" = { from = "1.17 m", to = "1.19 m" }`,
		`"payload.station" = { from = "240 mm", to = "260 mm" }`, `"recovery.delay" = { from = "5 s", to = "6 s" }`,
	}
	source := string(sample.Brief("").Source)
	from, to := strings.Index(source, "[vary]\n")+len("[vary]\n"), strings.Index(source, "[goals]")
	for n := 1; n <= len(all); n++ {
		vary := strings.Join(all[:n], "\n") + "\n"
		if n < 2 {
			vary += all[1] + "\n" // a goal has to vary
		}
		b, err := brief.Parse("plan.toml", []byte(source[:from]+vary+source[to:]))
		if err != nil {
			t.Fatal(err)
		}
		c, err := newCensus(b)
		if err != nil {
			t.Fatal(err)
		}
		cells, bins := 0, c.width[0]
		for _, p := range c.pairs() {
			cells += len(p.Rows)
		}
		pairs := len(c.pairs())
		if want := len(b.Vary) * (len(b.Vary) - 1) / 2; pairs != want {
			t.Errorf("%d maps of %d quantities, want %d", pairs, len(b.Vary), want)
		}
		if cells > mostCells || bins < 25 && pairs*(bins+1)*(bins+1) <= mostCells || bins > 25 {
			t.Errorf("%d quantities: %d bins, %d cells", len(b.Vary), bins, cells)
		}
	}
}

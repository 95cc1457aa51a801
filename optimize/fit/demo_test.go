package fit

import (
	"bytes"
	"flag"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"ullage/testdata/briefs"

	"ullage/optimize/brief"
)

var update = flag.Bool("update", false, "write the demo log again")

const demoLogs = "../../testdata/logs/"

// demoMaker is the logger of the demo: 20 readings a second in steps of 0.1 m,
// a filter of 0.1 s, a short drop-out, two spikes, above sea
// level, calibrated for 15 °C.
func demoMaker(b *brief.Brief) logger {
	return logger{
		rate: 20, noise: 0.35, quantum: 0.1, lag: 0.1, level: 128.4, before: 6, after: 6, gap: [2]float64{9.1, 9.8}, spikes: 2,
		stretch: PadAt15.stretch(&b.Site),
	}
}

// TestDemoLogs holds that the demo's logs, of a flight and of a test stand, are
// what the model makes of the demo brief with other values, and that the files
// say so. With -update they are written.
func TestDemoLogs(t *testing.T) {
	shipped := func(more ...string) *brief.Brief {
		return briefs.Demo(t, "field-day.toml", slices.Concat(asFlown, more)...)
	}
	real := shipped()
	head := "# Made by the flight model with noise, not flown: testdata/briefs/field-day.toml with body.drag 1.12,\n" +
		"# chamber.jet 0.955, recovery.drag 0.68, recovery.latency 0.55 s; altimeter of 20 Hz with a filter of 0.1 s.\n"
	log := demoMaker(real).record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(2026, 7)))
	sameLog(t, "field-day.csv", head, log, Height, 0.11) // a step of the altimeter
	head = "# Made by the flight model with noise, not measured: testdata/briefs/field-day.toml with chamber.jet 0.955\n" +
		"# and chamber.gas_jet 0.88 on a test stand of 100 Hz.\n"
	log = []byte(standLog(shipped("chamber.gas_jet=0.88"), 100, 2, 7, rand.New(rand.NewPCG(2026, 8))))
	sameLog(t, "stand.csv", head, log, Thrust, 0.01)
}

func sameLog(t *testing.T, name, head string, log []byte, k Kind, tolerance float64) {
	t.Helper()
	want := append([]byte(head), log...)
	file := demoLogs + name
	if *update {
		if err := os.WriteFile(file, want, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	// Another architecture may round the last millimetre in another way: the
	// rows are compared, not the bytes.
	if !bytes.HasPrefix(got, []byte(head)) {
		t.Errorf("%s does not say how it was made", name)
	}
	a, b := readLog(t, "got", got), readLog(t, "want", want)
	if len(a.Rows) != len(b.Rows) {
		t.Fatalf("%s: %d rows, want %d; write it again with -update", name, len(a.Rows), len(b.Rows))
	}
	for i := range a.Rows {
		if d := a.Rows[i][k] - b.Rows[i][k]; d > tolerance || d < -tolerance {
			t.Fatalf("%s, row %d: %v, want %v; write it again with -update", name, i+1, a.Rows[i][k], b.Rows[i][k])
		}
	}
}

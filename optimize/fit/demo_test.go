package fit

import (
	"bytes"
	"flag"
	"math/rand/v2"
	"os"
	"testing"

	"ullage/optimize/brief"
)

var update = flag.Bool("update", false, "write the demo log again")

const demoLog = "../../testdata/logs/field-day.csv"

// demoMaker is the logger of the demo: 20 readings a second in steps of 0.1 m,
// a filter of 0.1 s, a short drop-out, two spikes, above sea
// level, calibrated for 15 °C.
func demoMaker(b *brief.Brief) logger {
	return logger{
		rate: 20, noise: 0.35, quantum: 0.1, lag: 0.1, level: 128.4, before: 6, after: 6, gap: [2]float64{9.1, 9.8}, spikes: 2,
		stretch: PadAt15.stretch(&b.Site),
	}
}

// TestDemoLog holds that the demo log is what the model makes of the demo brief
// with other values, and that the file says so. With -update it is written.
func TestDemoLog(t *testing.T) {
	real := flown(t)
	head := "# Made by the flight model with noise, not flown: testdata/briefs/field-day.toml with body.drag 1.12,\n" +
		"# chamber.jet 0.955, recovery.drag 0.68, recovery.latency 0.55 s; altimeter of 20 Hz with a filter of 0.1 s.\n"
	want := append([]byte(head), demoMaker(real).record(t, &real.Rocket, &real.Site, rand.New(rand.NewPCG(2026, 7)))...)
	if *update {
		if err := os.WriteFile(demoLog, want, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	// Another class of CPU may round the last millimetre in another way: the
	// rows are compared, not the bytes.
	if !bytes.HasPrefix(got, []byte(head)) {
		t.Error("the demo log does not say how it was made")
	}
	a, b := readLog(t, "got", got), readLog(t, "want", want)
	if len(a.Rows) != len(b.Rows) {
		t.Fatalf("%d rows, want %d; write it again with -update", len(a.Rows), len(b.Rows))
	}
	for i := range a.Rows {
		if d := a.Rows[i][Height] - b.Rows[i][Height]; d > 0.11 || d < -0.11 { // a step of the altimeter
			t.Fatalf("row %d: %v m, want %v m; write it again with -update", i+1, a.Rows[i][Height], b.Rows[i][Height])
		}
	}
}

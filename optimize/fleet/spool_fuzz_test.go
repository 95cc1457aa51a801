package fleet

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ullage/optimize/sweep"
)

// FuzzSpoolAnswer puts any bytes where a spool looks for its answer, as they are
// and sealed: nothing but the true answer is taken as the first of a spool, and
// what is wrong names the file.
func FuzzSpoolAnswer(f *testing.F) {
	_, _, j := demo(f)
	j.Stretch = &Stretch{Mode: sweep.DrawsMode, Size: 100, To: 10, Numbers: []string{"apogee"}}
	dir := f.TempDir()
	var question string
	run := Run{Program: same, Name: "run", Write: func(path string, data []byte) error {
		question = path
		return os.WriteFile(path, data, 0o666)
	}}
	asked := j
	asked.Program, asked.Run = same, "run"
	sealedJob, err := asked.MarshalBinary()
	if err != nil {
		f.Fatal(err)
	}
	var hand flier
	honest, err := hand.fly(f.Context(), &asked)
	if err != nil {
		f.Fatal(err)
	}
	sealed, err := (&answer{Key: key(sealedJob), Body: honest}).marshal()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(sealed, false)
	f.Add(honest, true)
	f.Fuzz(func(t *testing.T, data []byte, seal bool) {
		if seal { // past the checksum, which no fuzzer guesses
			var err error
			if data, err = (&answer{Key: key(sealedJob), Body: data}).marshal(); err != nil {
				t.Fatal(err)
			}
		}
		path := AnswerPath(filepath.Join(dir, key(sealedJob)[:16]+jobEnding))
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
		var taken []byte
		err := run.Spool(dir)(t.Context(), j, func(body []byte) error {
			taken = slices.Clone(body)
			return nil
		})
		switch {
		case err == nil && !slices.Equal(taken, honest):
			t.Errorf("%q was taken", data)
		case err != nil && (!strings.Contains(err.Error(), path) || strings.Contains(err.Error(), "panic: ")):
			t.Errorf("%q: %v, want the name of %s (%s)", data, err, path, question)
		}
	})
}

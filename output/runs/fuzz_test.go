package runs

import (
	"bytes"
	"crypto/sha256"
	"testing"

	"ullage/output/table"
)

// FuzzCheckpoint is given whole files and what a checksum that fits is put
// behind: decoding never panics, and what decodes is the same once it was
// written and read again.
func FuzzCheckpoint(f *testing.F) {
	whole, err := (&checkpointHead{
		Format: table.Format, Version: "v0.1.0", Machine: thisMachine(), Seed: 7,
		Checkpoint: Checkpoint{
			Set: []string{"chamber.throat=9 mm"}, From: &Origin{Run: "runs/a", Front: "abc"},
			First: [][]float64{{0.1, 2e-300}}, Barrier: 2, Seconds: []float64{0.5, 1}, State: []byte("state\n\x00"),
		},
	}).encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(whole)
	f.Add(whole[:len(whole)-sha256.Size])
	f.Fuzz(func(t *testing.T, data []byte) {
		sum := sha256.Sum256(data)
		for _, file := range [][]byte{data, append(bytes.Clone(data), sum[:]...)} {
			var head, again checkpointHead
			if head.decode(file) != nil {
				continue
			}
			written, err := head.encode()
			if err == nil {
				err = again.decode(written)
			}
			rewritten, _ := again.encode()
			if err != nil || !bytes.Equal(rewritten, written) {
				t.Errorf("read %+v, again %+v, %v", head, again, err)
			}
		}
	})
}

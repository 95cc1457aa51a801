package fleet

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
)

// TestDamage flips every bit and cuts at every length: nothing of it is taken
// for a job or an answer.
func TestDamage(t *testing.T) {
	job := Job{Program: same, Run: "run", Name: "x.toml", Source: []byte("title = 'x'"), Epoch: &Epoch{Island: []byte("isl")}}
	job.Epoch.Settings.Algorithm = optimize.Default
	answer := Answer{Key: "k", By: "w", Body: []byte("body")}
	for _, v := range []interface {
		MarshalBinary() ([]byte, error)
		UnmarshalBinary([]byte) error
	}{&job, &answer} {
		whole, err := v.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if err := v.UnmarshalBinary(whole); err != nil {
			t.Fatal(err)
		}
		for n := range whole {
			if err := v.UnmarshalBinary(whole[:n]); !errors.Is(err, ErrDamaged) {
				t.Fatalf("%T cut to %d bytes: %v", v, n, err)
			}
		}
		for bit := range 8 * len(whole) {
			bad := slices.Clone(whole)
			bad[bit/8] ^= 1 << (bit % 8)
			if err := v.UnmarshalBinary(bad); !errors.Is(err, ErrDamaged) {
				t.Fatalf("%T with bit %d flipped: %v", v, bit, err)
			}
		}
	}
}

func FuzzJob(f *testing.F) {
	job := Job{Program: same, Run: "run", Name: "x.toml", Source: []byte("title = 'x'"), Stretch: &Stretch{Mode: "grid", To: 5, Numbers: []string{"apogee"}}}
	sealed, err := job.MarshalBinary()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(sealed)
	f.Fuzz(func(t *testing.T, data []byte) {
		var j Job
		if j.UnmarshalBinary(data) != nil {
			// Past the checksum, which no fuzzer guesses.
			head, body := data, []byte(nil)
			var raw rawHead
			if raw.UnmarshalJSON(head) != nil {
				return
			}
			var err error
			if data, err = seal(jobKind, raw, body); err != nil || j.UnmarshalBinary(data) != nil {
				return
			}
		}
		if j.Stretch != nil && j.Stretch.To-j.Stretch.From > 100 {
			return
		}
		var pilot Pilot
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		_, _ = pilot.Fly(ctx, &j)
	})
}

// rawHead is a head as it is.
type rawHead []byte

func (r *rawHead) UnmarshalJSON(data []byte) error {
	*r = data
	return nil
}

func (r rawHead) MarshalJSON() ([]byte, error) { return r, nil }

func FuzzRows(f *testing.F) {
	var w rowWriter
	w.add(&study.Kept{Numbers: []float64{1, math.NaN()}, Missed: []bool{true}, Outcome: model.Landed.String()})
	w.add(&study.Kept{Numbers: []float64{0, 2}, Missed: []bool{false}, Outcome: study.Panicked})
	f.Add(w.bytes, 2)
	f.Fuzz(func(t *testing.T, data []byte, n int) {
		if n < 0 || n > 1000 {
			return
		}
		var again rowWriter
		if EachRow(data, n, 1, 2, func(_ int, k *study.Kept) { again.add(k) }) == nil && !slices.Equal(again.bytes, data) {
			t.Errorf("rows %x written again are %x", data, again.bytes)
		}
	})
}

// TestOutcomes holds that every outcome of the model has its byte.
func TestOutcomes(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("the model has outcomes beyond those that rows can carry")
		}
	}()
	_ = model.Outcome(len(outcomes)).String()
}

// TestTallyChecks changes one thing at a time in a good tally.
func TestTallyChecks(t *testing.T) {
	p := &optimize.Problem{Goals: 2, Limits: 1}
	good := func() sweep.Tally {
		return sweep.Tally{
			Next: 20, Feasible: 3, Failed: 1, Missed: []int64{2}, Worst: []float64{1, 2},
			Front: []sweep.Member{{Number: 12, Goals: []float64{0, 1}}},
		}
	}
	ok := good()
	if err := checkTally(&ok, p, 10, 20); err != nil {
		t.Fatal(err)
	}
	for i, spoil := range []func(*sweep.Tally){
		func(t *sweep.Tally) { t.Next = 21 },
		func(t *sweep.Tally) { t.Feasible = -1 },
		func(t *sweep.Tally) { t.Feasible = 10 },
		func(t *sweep.Tally) { t.Feasible = 0 },
		func(t *sweep.Tally) { t.Missed = nil },
		func(t *sweep.Tally) { t.Missed[0] = 11 },
		func(t *sweep.Tally) { t.Worst = t.Worst[:1] },
		func(t *sweep.Tally) { t.Front[0].Number = 9 },
		func(t *sweep.Tally) { t.Front[0].Number = 20 },
		func(t *sweep.Tally) { t.Front[0].Goals = nil },
		func(t *sweep.Tally) { t.Front = slices.Repeat(t.Front, 4) },
		func(t *sweep.Tally) { t.Nearest = []sweep.Member{{Number: rand.Int64N(10)}} },
	} {
		bad := good()
		spoil(&bad)
		if checkTally(&bad, p, 10, 20) == nil {
			t.Errorf("spoilt tally %d is taken for good: %+v", i, bad)
		}
	}
}

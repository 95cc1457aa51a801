package fleet

import (
	"context"
	"crypto/sha256"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
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
	job := Job{Program: same, Run: "run", Name: "x.toml", Source: []byte("title = 'x'"), Leg: &Leg{Island: []byte("isl")}}
	job.Leg.Settings.Algorithm = optimize.Default
	back := answer{Key: "k", Body: []byte("body")}
	for _, v := range []struct {
		name    string
		marshal func() ([]byte, error)
		read    func([]byte) error
	}{{"job", job.MarshalBinary, job.UnmarshalBinary}, {"answer", back.marshal, back.unmarshal}} {
		whole, err := v.marshal()
		if err != nil {
			t.Fatal(err)
		}
		if err := v.read(whole); err != nil {
			t.Fatal(err)
		}
		for n := range whole {
			if err := v.read(whole[:n]); !errors.Is(err, optimize.ErrCorrupt) {
				t.Fatalf("%s cut to %d bytes: %v", v.name, n, err)
			}
		}
		for bit := range 8 * len(whole) {
			bad := slices.Clone(whole)
			bad[bit/8] ^= 1 << (bit % 8)
			if err := v.read(bad); !errors.Is(err, optimize.ErrCorrupt) {
				t.Fatalf("%s with bit %d flipped: %v", v.name, bit, err)
			}
		}
	}
}

// TestOtherKind gives an answer where a job is wanted, and a job where an answer
// is: whole as they are, neither is taken for the other.
func TestOtherKind(t *testing.T) {
	job := Job{Program: same, Run: "run", Name: "x.toml", Source: []byte("title = 'x'"), Leg: &Leg{Island: []byte("isl")}}
	job.Leg.Settings.Algorithm = optimize.Default
	sealed, err1 := job.MarshalBinary()
	back, err2 := (&answer{Key: "k", Body: []byte("body")}).marshal()
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	if err := new(Job).UnmarshalBinary(back); !errors.Is(err, optimize.ErrCorrupt) || !strings.Contains(err.Error(), "begins with") {
		t.Errorf("an answer read as a job: %v", err)
	}
	if err := new(answer).unmarshal(sealed); !errors.Is(err, optimize.ErrCorrupt) || !strings.Contains(err.Error(), "begins with") {
		t.Errorf("a job read as an answer: %v", err)
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
		var hand flier
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		_, _ = hand.fly(ctx, &j)
	})
}

// rawHead is a head as it is.
type rawHead []byte

func (r *rawHead) UnmarshalJSON(data []byte) error {
	*r = data
	return nil
}

func (r rawHead) MarshalJSON() ([]byte, error) { return r, nil }

// FuzzAnswer changes the answers to three jobs: nothing passes but what comes
// out of the job.
func FuzzAnswer(f *testing.F) {
	_, p, j := demo(f)
	plan, err := sweep.Grid(p.Variables)
	if err != nil {
		f.Fatal(err)
	}
	from := plan.Size / 97 * 73
	jobs, honest := []Job{j, j, j}, make([][]byte, 3)
	jobs[0].Leg = &Leg{Settings: optimize.Settings{Seed: 1, Islands: 1, Population: 4, Flights: 40, Algorithm: optimize.Default}}
	jobs[0].Leg.Island, _ = (&optimize.Island{}).MarshalBinary()
	jobs[1].Stretch = &Stretch{Mode: sweep.FrontMode, From: from, To: from + 500}
	jobs[2].Stretch = &Stretch{Mode: sweep.DrawsMode, Size: 100, To: 50, Numbers: []string{"apogee"}}
	var hand flier
	for i := range jobs {
		if honest[i], err = hand.fly(f.Context(), &jobs[i]); err != nil {
			f.Fatal(err)
		}
	}
	f.Add(0, honest[0][:len(honest[0])-sha256.Size])
	f.Add(1, honest[1])
	f.Add(2, honest[2])
	f.Fuzz(func(t *testing.T, which int, body []byte) {
		if which < 0 || which > 2 {
			return
		}
		if which == 0 { // past the checksum, which no fuzzer guesses
			sum := sha256.Sum256(body)
			body = append(slices.Clone(body), sum[:]...)
		}
		err := hand.inspect(t.Context(), &jobs[which], body, true)
		if err == nil && !slices.Equal(body, honest[which]) {
			t.Errorf("answer %q passed for %q", body, honest[which])
		}
		if err != nil && (slices.Equal(body, honest[which]) || strings.Contains(err.Error(), "panic: ")) {
			t.Error(err)
		}
	})
}

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
		if eachRow(data, n, 1, 2, func(_ int, k *study.Kept) { again.add(k) }) == nil && !slices.Equal(again.bytes, data) {
			t.Errorf("rows %x written again are %x", data, again.bytes)
		}
	})
}

// TestRowsOfNoWorker changes one thing at a time in good rows.
func TestRowsOfNoWorker(t *testing.T) {
	var w rowWriter
	k := study.Kept{Numbers: []float64{1, math.NaN()}, Missed: []bool{true, false}, Outcome: model.TimeLimit.String()}
	w.add(&k)
	k.Outcome = study.Panicked
	w.add(&k)
	read := func(body []byte) (rows int, err error) {
		err = eachRow(body, 2, 2, 2, func(i int, k *study.Kept) { rows++ })
		return rows, err
	}
	if rows, err := read(w.bytes); rows != 2 || err != nil {
		t.Fatalf("good rows: %d, %v", rows, err)
	}
	const width = 2 + 2 + 2*8
	for why, spoil := range map[string]func(b []byte) []byte{
		"a byte less":        func(b []byte) []byte { return b[:len(b)-1] },
		"a byte more":        func(b []byte) []byte { return append(b, 0) },
		"an unknown outcome": func(b []byte) []byte { b[width] = byte(len(outcomes)); return b },
		"half feasible":      func(b []byte) []byte { b[width+1] = 2; return b },
		"half missed":        func(b []byte) []byte { b[width+3] = 2; return b },
		"infinite":           func(b []byte) []byte { return append(b[:2*width-8], 0, 0, 0, 0, 0, 0, 0xf0, 0x7f) },
	} {
		if rows, err := read(spoil(slices.Clone(w.bytes))); rows != 0 || !errors.Is(err, optimize.ErrCorrupt) {
			t.Errorf("%s: %d rows, %v, want none and %v", why, rows, err, optimize.ErrCorrupt)
		}
	}
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
	if err := ok.Check(p, 10, 20); err != nil {
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
		if bad.Check(p, 10, 20) == nil {
			t.Errorf("spoilt tally %d is taken for good: %+v", i, bad)
		}
	}
}

package optimize

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"ullage/testdata/problems"
)

// through sends an island and its answer through their wire form.
func through(run Runner) Runner {
	pass := func(isl Island) (c Island, err error) {
		data, err := isl.MarshalBinary()
		if err == nil {
			err = c.UnmarshalBinary(data)
		}
		return c, err
	}
	return func(ctx context.Context, isl Island) (Island, error) {
		isl, err := pass(isl)
		if err != nil {
			return isl, err
		}
		if isl, err = run(ctx, isl); err != nil {
			return isl, err
		}
		return pass(isl)
	}
}

// A search that goes on from the bytes of any of its barriers, and one whose
// islands are flown elsewhere, end as one that was never disturbed.
func TestContinueFromAnyBarrier(t *testing.T) {
	reference := Settings{Flights: 6100, Islands: 2, Algorithm: Reference}
	for _, c := range []struct {
		known
		Settings
	}{
		{osy(), Settings{Flights: 8000, Islands: 3}},
		{dtlz2(3), Settings{Flights: 3000, Islands: 1}},
		{stepped(), Settings{Flights: 3100, Islands: 2}}, // exhausted
		{zdt3(), reference},
		{keeping(osy(), 100), Settings{Flights: 5000, Islands: 2}},
	} {
		c.Seed = 77
		run := Local(&c.Problem, c.Settings, 2)
		var saved [][]byte
		want, err := Continue(t.Context(), &c.Problem, c.Settings, State{}, run, func(st State) error {
			data, err := st.MarshalBinary()
			saved = append(saved, data)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		if len(saved) < 2 {
			t.Fatalf("%s: %d barriers, want at least 2", c.name, len(saved))
		}
		for i, data := range saved {
			var from State
			if err := from.UnmarshalBinary(data); err != nil {
				t.Fatal(err)
			}
			later := i + 1
			got, err := Continue(t.Context(), &c.Problem, c.Settings, from, run, func(st State) error {
				again, err := st.MarshalBinary()
				if !bytes.Equal(again, saved[later]) {
					t.Errorf("%s: barrier %d after going on from barrier %d has other bytes", c.name, later+1, i+1)
				}
				later++
				return err
			})
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("%s: going on from barrier %d of %d ends otherwise (%v)", c.name, i+1, len(saved), err)
			}
			if later != len(saved) {
				t.Errorf("%s: %d barriers after going on from barrier %d, want %d", c.name, later, i+1, len(saved))
			}
		}
		elsewhere, err := Continue(t.Context(), &c.Problem, c.Settings, State{}, through(run), func(State) error { return nil })
		if err != nil || !reflect.DeepEqual(elsewhere, want) {
			t.Errorf("%s: islands that travel end otherwise (%v)", c.name, err)
		}
	}
}

// The states that an interrupted search passed on lead to the same end.
func TestContinueAfterInterruption(t *testing.T) {
	k := tnk()
	s := Settings{Seed: 5, Flights: 6000, Islands: 2}
	want, err := Evolve(t.Context(), &k.Problem, s, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	var state State
	for stop := 300; ; stop += 777 {
		ctx, cancel := context.WithCancel(t.Context())
		p := k.Problem
		inner := p.Evaluator()
		flown := 0
		p.Evaluator = always(func(x []float64, r *Result) {
			if flown++; flown == stop {
				cancel()
			}
			inner(x, r)
		})
		got, err := Continue(ctx, &p, s, state, Local(&p, s, 1), func(st State) error {
			state = st
			return nil
		})
		cancel()
		if err != nil {
			t.Fatal(err)
		}
		if got.Stop == "interrupted" {
			continue
		}
		if !reflect.DeepEqual(got, want) {
			t.Error("an interrupted search ends otherwise")
		}
		return
	}
}

func TestBarrierError(t *testing.T) {
	full := errors.New("no space left on device")
	p := zdt1().Problem
	s := Settings{Flights: 3000}
	_, err := Continue(t.Context(), &p, s, State{}, Local(&p, s, 1), func(State) error { return full })
	if !errors.Is(err, full) {
		t.Errorf("Continue = %v, want the error of the barrier", err)
	}
}

// otherSearches are what makes a state that of another search, and what is said of it.
var otherSearches = []struct {
	why  string
	edit func(p *Problem, s *Settings, st *State)
	want string
}{
	{"fewer islands", func(_ *Problem, s *Settings, _ *State) { s.Islands = 1 }, "state: 2 islands, want 1"},
	{"evaluations that cost more", func(p *Problem, _ *Settings, _ *State) { p.Cost = 3 }, "state: island 0: 1040 evaluations, want at most 500"},
	{"an empty block", func(_ *Problem, _ *Settings, st *State) { st.Islands[1].Blocks = append(st.Islands[1].Blocks, 0) }, "state: island 1: 0 designs in a block, want at least 1"},
	{"an empty block in front", func(_ *Problem, _ *Settings, st *State) {
		st.Islands[1].Blocks = append([]int32{-1}, st.Islands[1].Blocks...)
	}, "state: island 1: -1 designs in a block, want at least 1"},
	{"a population that is gone", func(_ *Problem, _ *Settings, st *State) { st.Islands[0].Population = Rows{} }, "state: island 0: no population after 1040 flights"},
	{"a credit too few", func(_ *Problem, _ *Settings, st *State) { st.Islands[0].Credits = st.Islands[0].Credits[1:] }, "state: island 0: 2 credits and 2 scales, want 3 and 2"},
	{"a goal that is no number", func(_ *Problem, _ *Settings, st *State) { st.Islands[0].Population.Goals[3] = math.NaN() }, "state: island 0: population: design 1: results that cannot be ranked"},
	{"a slack that is none", func(_ *Problem, _ *Settings, st *State) { st.Islands[1].Archive.Slack[0] = math.NaN() }, "state: island 1: archive: design 0: results that cannot be ranked"},
	{"a barrier without islands", func(_ *Problem, _ *Settings, st *State) { st.Islands = nil }, "state: 0 islands, want 2"},
	{"fewer flights", func(_ *Problem, s *Settings, _ *State) { s.Flights = 1000 }, "state: island 0: 1040 evaluations, want at most 500"},
	{"a record less", func(_ *Problem, _ *Settings, st *State) { st.Records = st.Records[1:] }, "state: 1 records, want 2"},
	{"a record of no barrier", func(_ *Problem, _ *Settings, st *State) { st.Records[1].Barrier = 0 }, "state: record 1 of barrier 0, want 1"},
	{"islands changed places", func(_ *Problem, _ *Settings, st *State) { st.Islands[0].Index = 1 }, "state: island 0: index 1, want 0"},
	{"another limit", func(p *Problem, _ *Settings, _ *State) { p.Limits = 3 }, "state: island 0: 3 credits and 2 scales, want 3 and 3"},
	{"another goal", func(p *Problem, _ *Settings, _ *State) { p.Goals = 3 }, "state: island 0: 2 worst goals, want 3"},
	{"a block too much", func(_ *Problem, _ *Settings, st *State) { st.Islands[1].Blocks = []int32{1} }, "state: island 1: "},
	{"goals too few", func(_ *Problem, _ *Settings, st *State) {
		st.Islands[0].Population.Goals = st.Islands[0].Population.Goals[1:]
	}, "state: island 0: population: 4"},
	{"failures too few", func(_ *Problem, _ *Settings, st *State) {
		st.Islands[0].Population.Failed = st.Islands[0].Population.Failed[1:]
	}, "state: island 0: population: 4"},
	{"violations too many", func(_ *Problem, _ *Settings, st *State) {
		st.Islands[1].Archive.Violations = []float64{0}
	}, "state: island 1: archive: "},
	{"more kept than asked for", func(_ *Problem, _ *Settings, st *State) {
		st.Islands[1].Kept = Rows{Genes: make([]float64, 2), Goals: make([]float64, 2), Slack: make([]float64, 1), Failed: make([]bool, 1)}
	}, "state: island 1: 1 designs kept, want at most 0"},
	{"kept of another shape", func(p *Problem, _ *Settings, st *State) {
		p.Keep = 5
		st.Islands[1].Kept = Rows{Genes: make([]float64, 1), Goals: make([]float64, 2), Slack: make([]float64, 1), Failed: make([]bool, 1)}
	}, "state: island 1: kept: 1 designs of another shape"},
	{"another range", func(p *Problem, _ *Settings, _ *State) { p.Variables[0].To = 0.05 }, "state: island 0: population: design "},
	{"another step", func(p *Problem, _ *Settings, _ *State) { p.Variables = p.Variables[:1] }, "state: island 0: population: 4"},
}

// A state of another search is told from one of this.
func TestStateOfAnotherSearch(t *testing.T) {
	k := stepped()
	s := Settings{Seed: 5, Flights: 3000, Islands: 2, Population: 40}.filled(&k.Problem)
	var state State
	_, err := Continue(t.Context(), &k.Problem, s, State{}, Local(&k.Problem, s, 1), func(st State) error {
		if state.Barrier == 0 {
			state = st
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range otherSearches {
		p, s := k.Problem, s
		p.Variables = append([]Variable(nil), p.Variables...)
		var st State
		data, err := state.MarshalBinary()
		if err == nil {
			err = st.UnmarshalBinary(data)
		}
		if err != nil {
			t.Fatal(err)
		}
		row.edit(&p, &s, &st)
		if _, err := Continue(t.Context(), &p, s, st, Local(&p, s, 1), nil); err == nil || !strings.HasPrefix(err.Error(), row.want) {
			t.Errorf("%s: %v, want %s", row.why, err, row.want)
		}
	}
}

// small is a search whose wire forms are short.
func small() (Problem, Settings) {
	return stepped().Problem, Settings{Seed: 3, Flights: 300, Islands: 2, Population: 5}
}

// smallWire returns the wire forms of a state of it and of its first island.
func smallWire(t testing.TB) (state, island []byte) {
	t.Helper()
	p, s := small()
	_, err := Continue(t.Context(), &p, s, State{}, Local(&p, s, 1), func(st State) (err error) {
		if state != nil {
			return nil
		}
		if state, err = st.MarshalBinary(); err == nil {
			island, err = st.Islands[0].MarshalBinary()
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return state, island
}

// Every bit of a wire form that is turned, and every byte that is missing or
// too much, is found out.
func TestDamageIsFound(t *testing.T) {
	state, island := smallWire(t)
	for _, c := range []struct {
		data   []byte
		decode func([]byte) error
	}{
		{state, func(b []byte) error { return new(State).UnmarshalBinary(b) }},
		{island, func(b []byte) error { return new(Island).UnmarshalBinary(b) }},
	} {
		if err := c.decode(c.data); err != nil {
			t.Fatal(err)
		}
		want := func(what string, i int, err error) {
			t.Helper()
			// The bytes of the version name another version.
			if i >= 4 && i < 8 && what == "changed" {
				if err == nil || errors.Is(err, ErrCorrupt) || !strings.Contains(err.Error(), "wire version ") {
					t.Fatalf("version changed: %v, want the version that it has", err)
				}
			} else if !errors.Is(err, ErrCorrupt) {
				t.Fatalf("byte %d %s: %v, want %v", i, what, err, ErrCorrupt)
			}
		}
		damaged := bytes.Clone(c.data)
		for i := range damaged {
			want("the last", i, c.decode(c.data[:i]))
			for bit := range 8 {
				damaged[i] ^= 1 << bit
				want("changed", i, c.decode(damaged))
				damaged[i] ^= 1 << bit
			}
		}
		want("too much", len(damaged), c.decode(append(damaged, 0)))
	}
}

// Fields that were never written, under a checksum that fits, do no harm
// either: a second of random changes. A search from a state that seems whole
// ends.
func TestForgedFields(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	state, island := smallWire(t)
	p, s := small()
	run := Local(&p, s, 1)
	searched := 0
	for until := time.Now().Add(time.Second); time.Now().Before(until); {
		other := forged(rng, stateKind, state)
		checkWire(t, forged(rng, islandKind, island), other)
		var st State
		if st.UnmarshalBinary(other) != nil || st.check(&p, s.filled(&p)) != nil {
			if err := st.UnmarshalBinary(state); err != nil {
				t.Fatal(err)
			}
		}
		at := rng.IntN(len(st.Islands))
		bytes := forged(rng, islandKind, island)
		if st.Islands[at].UnmarshalBinary(bytes) != nil {
			continue
		}
		st.Islands[at].Index = at
		if _, err := Continue(t.Context(), &p, s, st, run, func(State) error { return nil }); err == nil {
			searched++
		}
	}
	if searched == 0 {
		t.Error("no forged island was taken for one")
	}
	t.Logf("%d searches", searched)
}

// forged changes some words of the fields and seals them again.
func forged(rng *rand.Rand, kind string, data []byte) []byte {
	fields, err := unseal(kind, data)
	if err != nil {
		panic(err)
	}
	fields = bytes.Clone(fields)
	for range 1 + rng.IntN(3) {
		at := rng.IntN(len(fields) - 8)
		if rng.IntN(2) == 0 {
			at &^= 7
		}
		v := rng.Uint64() >> rng.IntN(64)
		binary.LittleEndian.PutUint64(fields[at:], v)
	}
	return seal(kind, fields[:len(fields)-rng.IntN(2)*rng.IntN(len(fields))])
}

// checkWire holds that what decodes encodes to the same bytes.
func checkWire(t *testing.T, island, state []byte) {
	t.Helper()
	var isl Island
	if err := isl.UnmarshalBinary(island); err == nil {
		if again, err := isl.MarshalBinary(); err != nil || !bytes.Equal(again, island) {
			t.Fatalf("island of %d bytes encodes to %d others (%v)", len(island), len(again), err)
		}
	} else if !reflect.DeepEqual(isl, Island{}) {
		t.Fatal("an island that could not be read was changed")
	}
	var st State
	if err := st.UnmarshalBinary(state); err == nil {
		if again, err := st.MarshalBinary(); err != nil || !bytes.Equal(again, state) {
			t.Fatalf("state of %d bytes encodes to %d others (%v)", len(state), len(again), err)
		}
	} else if !reflect.DeepEqual(st, State{}) {
		t.Fatal("a state that could not be read was changed")
	}
}

// FuzzWire is given whole frames and bare fields: with a checksum that fits,
// the fields behind it are reached.
func FuzzWire(f *testing.F) {
	state, island := smallWire(f)
	f.Add(state)
	f.Add(island)
	f.Add(state[frameHead : len(state)-32])
	f.Add(island[frameHead : len(island)-32])
	f.Fuzz(func(t *testing.T, data []byte) {
		checkWire(t, data, data)
		checkWire(t, seal(islandKind, data), seal(stateKind, data))
	})
}

// The seed goes on to decide after a barrier: from one state, two seeds breed
// other designs.
func TestContinueFollowsTheSeed(t *testing.T) {
	for _, k := range []known{zdt1(), knownOf(problems.Rosenbrock())} {
		s := Settings{Seed: 77, Flights: 3000, Islands: 1}
		var from State
		want, err := Continue(t.Context(), &k.Problem, s, from, Local(&k.Problem, s, 1), func(st State) error {
			if from.Barrier == 0 {
				from = st
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		s.Seed = 78
		other, err := Continue(t.Context(), &k.Problem, s, from, Local(&k.Problem, s, 1), func(State) error { return nil })
		if err != nil {
			t.Fatal(err)
		}
		if reflect.DeepEqual(other.Archive, want.Archive) {
			t.Errorf("%s: seed 78 breeds from a barrier what seed 77 does", k.name)
		}
	}
}

package optimize

import (
	"errors"
	"fmt"
	"slices"
	"sync"
)

// A State is a search at a barrier: with the problem and the settings, all
// that the rest of it depends on. The zero State is a search that has not
// begun.
type State struct {
	Barrier   int       // barriers passed
	Reference []float64 // of the hypervolume; nil: no feasible design yet
	Records   []Record  // of all islands at all these barriers
	Islands   []Island  // as they enter the next epoch, migrants aboard
}

// MarshalBinary returns the wire form of the state: equal states give equal
// bytes. The error is always nil.
func (st *State) MarshalBinary() ([]byte, error) {
	var w wire
	w.whole(st.Barrier)
	w.floats(st.Reference)
	w.count(len(st.Records))
	for i := range st.Records {
		c := &st.Records[i]
		w.whole(c.Barrier, c.Island, c.Flights, c.Feasible, c.Failed)
		w.floats([]float64{c.Hypervolume})
		w.floats(c.Best)
	}
	// The search waits at its barrier for this: one processor an island.
	islands, faults := make([][]byte, len(st.Islands)), make([]error, len(st.Islands))
	var busy sync.WaitGroup
	for i := range islands {
		busy.Go(func() { islands[i], faults[i] = st.Islands[i].MarshalBinary() })
	}
	busy.Wait()
	w.count(len(islands))
	for _, island := range islands {
		w.bytes(island)
	}
	return seal(stateKind, w), errors.Join(faults...)
}

// UnmarshalBinary reads what MarshalBinary wrote. For any other bytes it
// returns an error that wraps ErrCorrupt, or one that says which version it
// cannot read, and leaves the state as it was.
func (st *State) UnmarshalBinary(data []byte) error {
	fields, err := unseal(stateKind, data)
	if err != nil {
		return fmt.Errorf("state of a search: %w", err)
	}
	r := reader{left: fields}
	var c State
	r.whole(&c.Barrier)
	c.Reference = r.floats()
	for range r.count(8) {
		var record Record
		r.whole(&record.Barrier, &record.Island, &record.Flights, &record.Feasible, &record.Failed)
		volume := r.floats()
		record.Best = r.floats()
		if len(volume) != 1 {
			r.spoil()
			break
		}
		record.Hypervolume = volume[0]
		c.Records = append(c.Records, record)
	}
	for range r.count(8) {
		var island Island
		if err := island.UnmarshalBinary(r.bytes()); err != nil {
			return fmt.Errorf("state of a search: %w", err)
		}
		c.Islands = append(c.Islands, island)
	}
	if !r.atEnd() {
		return fmt.Errorf("state of a search: %w: fields that no state has", ErrCorrupt)
	}
	*st = c
	return nil
}

// check tells what keeps a search of p with filled settings from going on
// from here. Damage is not looked for: that is what the checksum finds.
func (st *State) check(p *Problem, s Settings) error {
	if len(st.Islands) == 0 && st.Barrier == 0 {
		return nil
	}
	if len(st.Islands) != s.Islands {
		return fmt.Errorf("state: %d islands, want %d", len(st.Islands), s.Islands)
	}
	if n := st.Barrier * s.Islands; len(st.Records) != n {
		return fmt.Errorf("state: %d records, want %d", len(st.Records), n)
	}
	for i := range st.Records {
		if e := st.Records[i].Barrier; e != i/s.Islands+1 {
			return fmt.Errorf("state: record %d of barrier %d, want %d", i, e, i/s.Islands+1)
		}
	}
	for i := range st.Islands {
		if err := st.Islands[i].check(p, s, i); err != nil {
			return fmt.Errorf("state: island %d: %w", i, err)
		}
	}
	return nil
}

// Check returns nil where the island can be the one of that index in a search
// of p with the settings s, at a barrier or before its first epoch. Otherwise
// the error says in what it differs: an island may come from elsewhere, and an
// epoch relies on what is checked here.
func (isl *Island) Check(p *Problem, s Settings, index int) error {
	if isl.Index == index && isl.Flights == 0 && isl.Population.Len() == 0 && isl.Credits == nil {
		return nil
	}
	return isl.check(p, s.filled(p), index)
}

// check tells what keeps an epoch from starting with the island: numbers that
// no epoch of this problem leaves.
func (isl *Island) check(p *Problem, s Settings, index int) error {
	archived := 0
	for _, n := range isl.Blocks {
		archived += int(n)
	}
	empty := slices.IndexFunc(isl.Blocks, func(n int32) bool { return n < 1 })
	switch {
	case isl.Index != index:
		return fmt.Errorf("index %d, want %d", isl.Index, index)
	case isl.Flights > s.share(index)/p.cost():
		return fmt.Errorf("%d evaluations, want at most %d", isl.Flights, s.share(index)/p.cost())
	case len(isl.Credits) != int(operators) || len(isl.Scales) != p.Limits:
		return fmt.Errorf("%d credits and %d scales, want %d and %d", len(isl.Credits), len(isl.Scales), operators, p.Limits)
	case isl.Worst != nil && len(isl.Worst) != p.Goals:
		return fmt.Errorf("%d worst goals, want %d", len(isl.Worst), p.Goals)
	case empty >= 0:
		return fmt.Errorf("%d designs in a block, want at least 1", isl.Blocks[empty])
	case isl.Population.Len() == 0 && isl.Flights > 0:
		return fmt.Errorf("no population after %d flights", isl.Flights)
	case isl.Kept.Len() > p.Keep:
		return fmt.Errorf("%d designs kept, want at most %d", isl.Kept.Len(), p.Keep)
	case archived != isl.Archive.Len():
		return fmt.Errorf("%d designs in the archive, its blocks hold %d", isl.Archive.Len(), archived)
	}
	if err := isl.Population.check(p, p.Limits); err != nil {
		return fmt.Errorf("population: %w", err)
	}
	if err := isl.Archive.check(p, 0); err != nil {
		return fmt.Errorf("archive: %w", err)
	}
	if err := isl.Kept.check(p, 0); err != nil {
		return fmt.Errorf("kept: %w", err)
	}
	return nil
}

func (r *Rows) check(p *Problem, limits int) error {
	k, n := r.Len(), len(p.Variables)
	if len(r.Genes) != k*n || len(r.Goals) != k*p.Goals || len(r.Violations) != k*limits || len(r.Failed) != k {
		return fmt.Errorf("%d designs of another shape, want %d variables, %d goals, %d limits", k, n, p.Goals, limits)
	}
	for j, v := range p.Variables {
		a := newAxis(v)
		for i := range k {
			if g := r.Genes[i*n+j]; a.settle(g) != g {
				return fmt.Errorf("design %d: %s is off its range", i, v.Name)
			}
		}
	}
	for i := range k {
		one := Result{Goals: r.Goals[i*p.Goals : (i+1)*p.Goals], Violations: r.Violations[i*limits : (i+1)*limits], Slack: r.Slack[i]}
		if !sound(&one, p.Distances) {
			return fmt.Errorf("design %d: results that cannot be ranked", i)
		}
	}
	return nil
}

// clip lets the state grow without a change to copies of it.
func (st *State) clip() State {
	c := *st
	c.Records, c.Islands = slices.Clip(st.Records), slices.Clone(st.Islands)
	return c
}

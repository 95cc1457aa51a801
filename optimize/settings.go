package optimize

import (
	"errors"
	"fmt"
)

// An Algorithm is a way to breed and to select.
type Algorithm int

const (
	// Default breeds by three operators in proportion to their success and
	// selects by contribution to the hypervolume.
	Default Algorithm = iota + 1
	// Reference is plain NSGA-II: binary tournament, simulated binary
	// crossover, polynomial mutation, crowding distance. It is here so that
	// published figures can be compared. It keeps no memory of what was flown,
	// and its archive is the first front of the last population.
	//
	// Source: Deb, Pratap, Agarwal & Meyarivan, IEEE TEC 6(2) 182–197 (2002).
	Reference
)

var algorithmNames = [...]string{Default: "default", Reference: "reference"}

// MarshalText returns the name that UnmarshalText reads. It errs where a is
// neither Default nor Reference.
func (a Algorithm) MarshalText() ([]byte, error) {
	if a < Default || a > Reference {
		return nil, fmt.Errorf("algorithm %d: want default or reference", int(a))
	}
	return []byte(algorithmNames[a]), nil
}

// UnmarshalText sets a to the algorithm of that name, "default" or "reference".
// It errs for any other text and leaves a as it was.
func (a *Algorithm) UnmarshalText(text []byte) error {
	for v := Default; v <= Reference; v++ {
		if algorithmNames[v] == string(text) {
			*a = v
			return nil
		}
	}
	return fmt.Errorf("algorithm %q: want default or reference", text)
}

// Settings say how far and how to search. The zero of every field but Flights
// stands for its default.
type Settings struct {
	Seed       uint64
	Islands    int       // 0: one for every 10 000 flights, at least 1, at most 8; Reference 1
	Population int       // designs on an island; 0: 24, 40 where there are limits, Reference 100
	Flights    int       // in all, first populations included; > 0
	Algorithm  Algorithm // 0: Default
}

// Below this many flights an island had too little time: at equal cost one
// island was better (measured on the problems of the tests).
const flightsPerIsland = 10000

// filled returns s with the defaults for p in place of zeros. Limits cut the
// front into pieces, of which a small population loses one; without them a small
// one comes further in the same flights (measured on the problems of the tests).
func (s Settings) filled(p *Problem) Settings {
	if s.Algorithm == 0 {
		s.Algorithm = Default
	}
	if s.Population == 0 {
		switch {
		case s.Algorithm == Reference:
			s.Population = 100
		case p.Limits > 0:
			s.Population = 40
		default:
			s.Population = 24
		}
	}
	if s.Islands == 0 {
		s.Islands = 1
		if s.Algorithm == Default {
			s.Islands = min(max(s.Flights/flightsPerIsland, 1), 8)
		}
	}
	return s
}

// share returns the flights that the island of that index may use.
func (s Settings) share(index int) int {
	n := s.Flights / s.Islands
	if index < s.Flights%s.Islands {
		n++
	}
	return n
}

// The differential operator takes four different designs.
const smallestPopulation = 4

// check lists all that is wrong with filled settings.
func (s Settings) check() error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if s.Flights <= 0 {
		fault("flights: %d, want > 0", s.Flights)
	}
	if s.Population < smallestPopulation {
		fault("population: %d, want ≥ %d", s.Population, smallestPopulation)
	}
	if s.Islands < 1 || s.Islands > max(s.Flights, 1) {
		fault("islands: %d, want 1 to the number of flights, %d", s.Islands, s.Flights)
	}
	if _, err := s.Algorithm.MarshalText(); err != nil {
		faults = append(faults, err)
	}
	return errors.Join(faults...)
}

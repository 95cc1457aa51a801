package optimize

// An archive holds the feasible designs that no other dominates.
type archive interface {
	// offer puts a feasible design in unless a member dominates it or is equal
	// in goals, within tolerance, with as much slack; members that it outdoes
	// leave.
	offer(genes, goals []float64, slack float64, tolerance []float64)

	// pack returns the members, neighbours together, and the lengths of the
	// blocks that they stand in.
	pack() (Rows, []int32)
}

// newArchive takes over rows, divided into blocks of the given lengths, and
// holds most designs at most.
func newArchive(m, most int, rows Rows, blocks []int32) archive {
	if m == 2 {
		return newChain(rows) // of 2 goals a front is short enough to be kept whole
	}
	return newQuilt(m, most, rows, blocks)
}

// A shelf keeps the rows of an archive with m goals; those of members that left
// are used again.
type shelf struct {
	m     int
	rows  Rows
	free  []int32
	count int
}

func (s *shelf) goals(p int32) []float64 { return s.rows.Goals[int(p)*s.m : int(p)*s.m+s.m] }

// put stores a design and returns its row.
func (s *shelf) put(genes, goals []float64, slack float64) int32 {
	s.count++
	if k := len(s.free); k > 0 {
		p := s.free[k-1]
		s.free = s.free[:k-1]
		copy(s.rows.Genes[int(p)*len(genes):], genes)
		copy(s.goals(p), goals)
		s.rows.Slack[p] = slack
		return p
	}
	s.rows.Genes = append(s.rows.Genes, genes...)
	s.rows.Goals = append(s.rows.Goals, goals...)
	s.rows.Slack = append(s.rows.Slack, slack)
	s.rows.Failed = append(s.rows.Failed, false)
	return int32(s.rows.Len() - 1)
}

func (s *shelf) remove(rows []int32) {
	s.free = append(s.free, rows...)
	s.count -= len(rows)
}

// members returns the members, which these rows are, set after set.
func (s *shelf) members(sets ...[]int32) Rows {
	n, m, _ := s.rows.widths()
	out := Rows{
		Genes: make([]float64, 0, s.count*n), Goals: make([]float64, 0, s.count*m),
		Slack: make([]float64, 0, s.count), Failed: make([]bool, s.count),
	}
	for _, rows := range sets {
		for _, p := range rows {
			i := int(p)
			out.Genes = append(out.Genes, s.rows.Genes[i*n:i*n+n]...)
			out.Goals = append(out.Goals, s.rows.Goals[i*m:i*m+m]...)
			out.Slack = append(out.Slack, s.rows.Slack[i])
		}
	}
	return out
}

// within tells whether a is nowhere worse than b by more than the tolerance.
func within(a, b, tolerance []float64) bool {
	for k, v := range a {
		if v > b[k]+tolerance[k] {
			return false
		}
	}
	return true
}

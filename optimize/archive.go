package optimize

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

const (
	mostArchived = 5000 // designs, from 3 goals
	thinnedTo    = 4500 // designs that remain when there would be more
	blockSize    = 48   // designs
)

// An archive holds the feasible designs that no other dominates. With 2 goals
// they are kept in order: those that a newcomer may meet stand together. With
// more the rows are kept in blocks of neighbours with the box around each: a
// newcomer is compared with the members of a block only where its box allows
// one to dominate the other.
type archive struct {
	m      int
	bound  int // most designs
	rows   Rows
	free   []int32
	order  []int32 // 2 goals: by rising first, hence falling second goal
	blocks []block // else
	count  int
	hint   int // block that held the last dominating design
	low    [mostGoals]float64
	high   [mostGoals]float64
	origin [mostGoals]float64 // of the cells
	scale  [mostGoals]float64 // cells in a unit of each goal
	marks  []int32
}

type block struct {
	rows        []int32
	goals       []float64 // of the rows, once more: read at every comparison
	low, high   [mostGoals]float64
	least, most cell // the cells of low and high
}

// newArchive takes over rows, divided into blocks of the given lengths; with 2
// goals it puts them in order.
func newArchive(m int, rows Rows, blocks []int32) *archive {
	a := &archive{m: m, rows: rows, bound: math.MaxInt}
	if m >= 3 {
		a.bound = mostArchived
	}
	for k := range m {
		a.low[k], a.high[k] = math.Inf(1), math.Inf(-1)
	}
	if m == 2 {
		a.count = rows.Len()
		for p := range a.count {
			a.order = append(a.order, int32(p))
		}
		slices.SortFunc(a.order, func(p, q int32) int { return slices.Compare(a.goals(p), a.goals(q)) })
		return a
	}
	p := int32(0)
	for _, n := range blocks {
		b := newBlock(a.m)
		for range n {
			a.enter(&b, p)
			p++
		}
		a.blocks = append(a.blocks, b)
	}
	a.count = int(p)
	a.divide()
	return a
}

func newBlock(m int) block {
	b := block{rows: make([]int32, 0, blockSize+1), goals: make([]float64, 0, (blockSize+1)*m)}
	b.empty()
	return b
}

// empty takes all rows out and returns them; they last until as many entered.
func (b *block) empty() []int32 {
	rows := b.rows
	b.rows, b.goals = b.rows[:0], b.goals[:0]
	for k := range b.low {
		b.low[k], b.high[k] = math.Inf(1), math.Inf(-1)
	}
	return rows
}

func (a *archive) goals(p int32) []float64 { return a.rows.Goals[int(p)*a.m : int(p)*a.m+a.m] }

func (a *archive) enter(b *block, p int32) {
	b.rows = append(b.rows, p)
	b.goals = append(b.goals, a.goals(p)...)
	for k, v := range a.goals(p) {
		if v < b.low[k] {
			b.low[k], a.low[k] = v, min(a.low[k], v)
		}
		if v > b.high[k] {
			b.high[k], a.high[k] = v, max(a.high[k], v)
		}
	}
}

// A cell is where goals lie on a grid across the archive: fieldBits a goal, the
// top one 0. A point that is nowhere worse than another has no greater field,
// which one subtraction tells: of the top bits set in the minuend, none is then
// borrowed.
type cell uint64

const (
	fieldBits = 64 / mostGoals
	topBits   = cell(1<<11 | 1<<23 | 1<<35 | 1<<47 | 1<<59)
)

// mayPrecede tells whether no field of c is greater than that of d: a point of
// c may be nowhere worse than one of d.
func (c cell) mayPrecede(d cell) bool { return ((d|topBits)-c)&topBits == topBits }

func (a *archive) cell(goals []float64) (c cell) {
	const last = 1<<(fieldBits-1) - 1
	for k, v := range goals {
		if at := (v - a.origin[k]) * a.scale[k]; at >= last {
			c |= last << (k * fieldBits)
		} else if at > 0 {
			c |= cell(at) << (k * fieldBits)
		}
	}
	return c
}

// divide lays the grid anew.
func (a *archive) divide() {
	for k := range a.m {
		a.origin[k], a.scale[k] = 0, 0
		if s := (1 << (fieldBits - 1)) / (a.high[k] - a.low[k]); s > 0 && !math.IsInf(s, 0) {
			a.origin[k], a.scale[k] = a.low[k], s
		}
	}
	for i := range a.blocks {
		a.locate(&a.blocks[i])
	}
}

func (a *archive) locate(b *block) {
	b.least, b.most = a.cell(b.low[:a.m]), a.cell(b.high[:a.m])
}

// offer puts a feasible design in unless a member dominates it or is equal in
// goals, within tolerance, with as much slack; members that it outdoes leave.
func (a *archive) offer(genes, goals []float64, slack float64, tolerance []float64) {
	if a.m == 2 {
		a.offer2(genes, goals, slack, tolerance)
		return
	}
	var least, most [mostGoals]float64
	for k, v := range goals {
		least[k], most[k] = v-tolerance[k], v+tolerance[k]
	}
	a.marks = a.marks[:0]
	from, to := a.cell(least[:a.m]), a.cell(most[:a.m])
	refused := func(i int) bool {
		return a.blocks[i].least.mayPrecede(to) && a.refused(&a.blocks[i], goals, most[:a.m], slack, tolerance)
	}
	if a.hint < len(a.blocks) && refused(a.hint) {
		return
	}
	for i := range a.blocks {
		if refused(i) {
			a.hint = i
			return
		}
		if from.mayPrecede(a.blocks[i].most) {
			a.marks = append(a.marks, int32(i))
		}
	}
	a.drop(least[:a.m])
	a.place(a.store(genes, goals, slack))
	if a.count > a.bound {
		a.thin()
	}
}

// offer2 is offer for 2 goals.
func (a *archive) offer2(genes, goals []float64, slack float64, tolerance []float64) {
	x, y, dx, dy := goals[0], goals[1], tolerance[0], tolerance[1]
	from, to := a.falls(math.Nextafter(y+dy, math.Inf(1))), a.rises(math.Nextafter(x+dx, math.Inf(1)))
	for i := from; i < to; i++ { // nowhere worse than the newcomer
		p := a.order[i]
		if !within(goals, a.goals(p), tolerance) || slack <= a.rows.Slack[p] {
			return
		}
	}
	from, to = a.rises(x-dx), a.falls(y-dy)
	if to > from {
		a.free = append(a.free, a.order[from:to]...)
		a.count -= to - from
	}
	a.order = slices.Replace(a.order, from, max(from, to), a.store(genes, goals, slack))
}

// rises returns the first place in order with a first goal of at least v.
func (a *archive) rises(v float64) int {
	return sort.Search(len(a.order), func(i int) bool { return a.rows.Goals[2*a.order[i]] >= v })
}

// falls returns the first place in order with a second goal below v.
func (a *archive) falls(v float64) int {
	return sort.Search(len(a.order), func(i int) bool { return a.rows.Goals[2*a.order[i]+1] < v })
}

func (a *archive) refused(b *block, goals, most []float64, slack float64, tolerance []float64) bool {
	for at := 0; at < len(b.goals); at += len(goals) {
		other := b.goals[at : at+len(goals)]
		if noWorse(other, most) &&
			(!within(goals, other, tolerance) || slack <= a.rows.Slack[b.rows[at/len(goals)]]) {
			return true
		}
	}
	return false
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

// drop removes the members, in the marked blocks, that are nowhere better than
// least.
func (a *archive) drop(least []float64) {
	m := len(least)
	emptied := false
	for _, i := range a.marks {
		b := &a.blocks[i]
		left := len(b.rows)
		for j := 0; j < left; {
			if !noWorse(least, b.goals[j*m:j*m+m]) {
				j++
				continue
			}
			a.free = append(a.free, b.rows[j])
			a.count--
			left--
			b.rows[j] = b.rows[left]
			copy(b.goals[j*m:j*m+m], b.goals[left*m:left*m+m])
		}
		b.rows, b.goals = b.rows[:left], b.goals[:left*m]
		emptied = emptied || left == 0
	}
	if emptied {
		a.blocks = slices.DeleteFunc(a.blocks, func(b block) bool { return len(b.rows) == 0 })
	}
}

func (a *archive) store(genes, goals []float64, slack float64) int32 {
	a.count++
	if k := len(a.free); k > 0 {
		p := a.free[k-1]
		a.free = a.free[:k-1]
		copy(a.rows.Genes[int(p)*len(genes):], genes)
		copy(a.goals(p), goals)
		a.rows.Slack[p] = slack
		return p
	}
	a.rows.Genes = append(a.rows.Genes, genes...)
	a.rows.Goals = append(a.rows.Goals, goals...)
	a.rows.Slack = append(a.rows.Slack, slack)
	a.rows.Failed = append(a.rows.Failed, false)
	return int32(a.rows.Len() - 1)
}

// per returns one over the range of each goal.
func (a *archive) per() (per [mostGoals]float64) {
	for k := range a.m {
		if a.high[k] > a.low[k] {
			per[k] = 1 / (a.high[k] - a.low[k])
		}
	}
	return per
}

// place enters the row into the block that it widens least.
func (a *archive) place(p int32) {
	if len(a.blocks) == 0 {
		a.blocks = append(a.blocks, newBlock(a.m))
	}
	best, least := 0, math.Inf(1)
	per := a.per()
	goals := a.goals(p)
	for i := 0; i < len(a.blocks) && least > 0; i++ {
		b := &a.blocks[i]
		growth := 0.0
		for k, v := range goals {
			if v < b.low[k] {
				growth += float64((b.low[k] - v) * per[k])
			} else if v > b.high[k] {
				growth += float64((v - b.high[k]) * per[k])
			}
			if growth >= least {
				break
			}
		}
		if growth < least {
			best, least = i, growth
		}
	}
	a.enter(&a.blocks[best], p)
	a.locate(&a.blocks[best])
	if len(a.blocks[best].rows) > blockSize {
		a.split(best, per)
	}
}

// split halves a block across its longest side.
func (a *archive) split(i int, per [mostGoals]float64) {
	b := &a.blocks[i]
	side, longest := 0, -1.0
	for k := range a.m {
		if l := (b.high[k] - b.low[k]) * per[k]; l > longest {
			side, longest = k, l
		}
	}
	slices.SortFunc(b.rows, func(p, q int32) int {
		return cmp.Or(cmp.Compare(a.goals(p)[side], a.goals(q)[side]), int(p-q))
	})
	right := newBlock(a.m)
	half := len(b.rows) / 2
	for j, p := range b.empty() {
		if j < half {
			a.enter(b, p)
		} else {
			a.enter(&right, p)
		}
	}
	a.blocks = append(a.blocks, right)
	a.divide()
}

// thin takes out the designs that are nearest to a neighbour in their block,
// never both of a pair, until about thinnedTo remain; the best of each goal
// stays.
func (a *archive) thin() {
	type pair struct {
		distance float64
		p, q     int32
	}
	pairs := make([]pair, 0, a.count)
	best := make([]int32, a.m)
	for k := range best {
		best[k] = a.blocks[0].rows[0]
	}
	per := a.per()
	for i := range a.blocks {
		b := &a.blocks[i]
		at := len(pairs)
		for _, p := range b.rows {
			pairs = append(pairs, pair{math.Inf(1), p, p})
			for k, v := range a.goals(p) {
				if v < a.goals(best[k])[k] {
					best[k] = p
				}
			}
		}
		near := pairs[at:]
		for j := range near {
			x := b.goals[j*a.m : j*a.m+a.m]
			for l := j + 1; l < len(near); l++ {
				d := 0.0
				for k, v := range b.goals[l*a.m : l*a.m+a.m] {
					gap := (v - x[k]) * per[k]
					d += float64(gap * gap)
				}
				if d < near[j].distance {
					near[j].distance, near[j].q = d, near[l].p
				}
				if d < near[l].distance {
					near[l].distance, near[l].q = d, near[j].p
				}
			}
		}
	}
	slices.SortFunc(pairs, func(x, y pair) int {
		switch {
		case x.distance < y.distance:
			return -1
		case x.distance > y.distance:
			return 1
		}
		return int(x.p - y.p)
	})
	gone := make([]bool, a.rows.Len())
	for _, x := range pairs {
		if a.count <= thinnedTo {
			break
		}
		if !gone[x.q] && !slices.Contains(best, x.p) {
			gone[x.p] = true
			a.free = append(a.free, x.p)
			a.count--
		}
	}
	for i := range a.blocks {
		b := &a.blocks[i]
		for _, p := range b.empty() {
			if !gone[p] {
				a.enter(b, p)
			}
		}
	}
	a.blocks = slices.DeleteFunc(a.blocks, func(b block) bool { return len(b.rows) == 0 })
	a.divide()
}

// pack returns the members, block after block, and the lengths of the blocks.
func (a *archive) pack() (Rows, []int32) {
	n, m, _ := a.rows.widths()
	out := Rows{
		Genes: make([]float64, 0, a.count*n), Goals: make([]float64, 0, a.count*m),
		Slack: make([]float64, 0, a.count), Failed: make([]bool, a.count),
	}
	add := func(rows []int32) {
		for _, p := range rows {
			i := int(p)
			out.Genes = append(out.Genes, a.rows.Genes[i*n:i*n+n]...)
			out.Goals = append(out.Goals, a.rows.Goals[i*m:i*m+m]...)
			out.Slack = append(out.Slack, a.rows.Slack[i])
		}
	}
	if len(a.order) > 0 {
		add(a.order)
		return out, []int32{int32(a.count)}
	}
	lengths := make([]int32, 0, len(a.blocks))
	for i := range a.blocks {
		add(a.blocks[i].rows)
		lengths = append(lengths, int32(len(a.blocks[i].rows)))
	}
	return out, lengths
}

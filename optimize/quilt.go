package optimize

import (
	"cmp"
	"slices"
)

const (
	mostArchived = 5000 // designs that a search's archive of 3 goals or more holds
	thinnedTo    = 4500 // designs that remain when there would be more
	blockSize    = 48   // designs
)

// A quilt is the archive for any other number of goals than 2. Its members are
// kept in blocks of neighbours with the box around each: a newcomer is compared
// with the members of a block only where its box allows one to dominate the
// other.
type quilt struct {
	shelf
	most   int // designs
	blocks []block
	hint   int // block that held the last dominating design
	low    [mostGoals]float64
	high   [mostGoals]float64
	lattice
	marks []int32 // blocks that may hold designs to drop
}

type block struct {
	rows        []int32
	goals       []float64 // of the rows, once more: read at every comparison
	low, high   [mostGoals]float64
	least, most cell // the cells of low and high
}

func newQuilt(m, most int, rows Rows, blocks []int32) *quilt {
	q := &quilt{shelf: shelf{m: m, rows: rows}, most: most}
	for k := range m {
		q.low[k], q.high[k] = inf, -inf
	}
	p := int32(0)
	for _, n := range blocks {
		b := newBlock(q.m)
		for range n {
			q.enter(&b, p)
			p++
		}
		q.blocks = append(q.blocks, b)
	}
	q.count = int(p)
	q.divide()
	return q
}

func newBlock(m int) block {
	b := block{rows: make([]int32, 0, blockSize+1), goals: make([]float64, 0, (blockSize+1)*m)}
	b.clear()
	return b
}

// clear takes all rows out and returns them; they last until as many entered.
func (b *block) clear() []int32 {
	rows := b.rows
	b.rows, b.goals = b.rows[:0], b.goals[:0]
	for k := range b.low {
		b.low[k], b.high[k] = inf, -inf
	}
	return rows
}

func (q *quilt) enter(b *block, p int32) {
	b.rows = append(b.rows, p)
	b.goals = append(b.goals, q.goals(p)...)
	for k, v := range q.goals(p) {
		b.low[k], b.high[k] = min(b.low[k], v), max(b.high[k], v)
		q.low[k], q.high[k] = min(q.low[k], v), max(q.high[k], v)
	}
}

// divide lays the lattice anew over all members.
func (q *quilt) divide() {
	q.lay(q.low[:q.m], q.high[:q.m])
	for i := range q.blocks {
		q.locate(&q.blocks[i])
	}
}

func (q *quilt) locate(b *block) {
	b.least, b.most = q.cell(b.low[:q.m]), q.cell(b.high[:q.m])
}

func (q *quilt) offer(genes, goals []float64, slack float64, tolerance []float64) {
	var least, most [mostGoals]float64
	for k, v := range goals {
		least[k], most[k] = v-tolerance[k], v+tolerance[k]
	}
	q.marks = q.marks[:0]
	from, to := q.cell(least[:q.m]), q.cell(most[:q.m])
	refused := func(i int) bool {
		return q.blocks[i].least.mayPrecede(to) && q.refuses(&q.blocks[i], goals, most[:q.m], slack, tolerance)
	}
	if q.hint < len(q.blocks) && refused(q.hint) {
		return
	}
	for i := range q.blocks {
		if refused(i) {
			q.hint = i
			return
		}
		if from.mayPrecede(q.blocks[i].most) {
			q.marks = append(q.marks, int32(i))
		}
	}
	q.drop(least[:q.m])
	q.place(q.put(genes, goals, slack))
	if q.count > q.most {
		q.thin()
	}
}

// refuses tells whether a member of the block keeps the newcomer out.
func (q *quilt) refuses(b *block, goals, most []float64, slack float64, tolerance []float64) bool {
	for at := 0; at < len(b.goals); at += len(goals) {
		other := b.goals[at : at+len(goals)]
		if noWorse(other, most) &&
			(!within(goals, other, tolerance) || slack <= q.rows.Slack[b.rows[at/len(goals)]]) {
			return true
		}
	}
	return false
}

// drop removes the members, in the marked blocks, that are nowhere better than
// least.
func (q *quilt) drop(least []float64) {
	m := len(least)
	emptied := false
	for _, i := range q.marks {
		b := &q.blocks[i]
		left := len(b.rows)
		for j := 0; j < left; {
			if !noWorse(least, b.goals[j*m:j*m+m]) {
				j++
				continue
			}
			q.remove(b.rows[j : j+1])
			left--
			b.rows[j] = b.rows[left]
			copy(b.goals[j*m:j*m+m], b.goals[left*m:left*m+m])
		}
		b.rows, b.goals = b.rows[:left], b.goals[:left*m]
		emptied = emptied || left == 0
	}
	if emptied {
		q.sweepEmpty()
	}
}

func (q *quilt) sweepEmpty() {
	q.blocks = slices.DeleteFunc(q.blocks, func(b block) bool { return len(b.rows) == 0 })
}

// per returns one over the range of each goal.
func (q *quilt) per() (per [mostGoals]float64) {
	for k := range q.m {
		if q.high[k] > q.low[k] {
			per[k] = 1 / (q.high[k] - q.low[k])
		}
	}
	return per
}

// place enters the row into the block that it widens least.
func (q *quilt) place(p int32) {
	if len(q.blocks) == 0 {
		q.blocks = append(q.blocks, newBlock(q.m))
	}
	best, least := 0, inf
	per := q.per()
	goals := q.goals(p)
	for i := 0; i < len(q.blocks) && least > 0; i++ {
		b := &q.blocks[i]
		growth := 0.0
		for k, v := range goals {
			growth += float64(max(b.low[k]-v, v-b.high[k], 0) * per[k])
			if growth >= least {
				break
			}
		}
		if growth < least {
			best, least = i, growth
		}
	}
	q.enter(&q.blocks[best], p)
	q.locate(&q.blocks[best])
	if len(q.blocks[best].rows) > blockSize {
		q.split(best, per)
	}
}

// split halves a block across its longest side.
func (q *quilt) split(i int, per [mostGoals]float64) {
	b := &q.blocks[i]
	side, longest := 0, -1.0
	for k := range q.m {
		if l := (b.high[k] - b.low[k]) * per[k]; l > longest {
			side, longest = k, l
		}
	}
	slices.SortFunc(b.rows, func(p, o int32) int {
		return cmp.Or(cmp.Compare(q.goals(p)[side], q.goals(o)[side]), int(p-o))
	})
	right := newBlock(q.m)
	half := len(b.rows) / 2
	for j, p := range b.clear() {
		if j < half {
			q.enter(b, p)
		} else {
			q.enter(&right, p)
		}
	}
	q.blocks = append(q.blocks, right)
	q.divide()
}

func (q *quilt) pack() (Rows, []int32) {
	sets, lengths := make([][]int32, len(q.blocks)), make([]int32, len(q.blocks))
	for i := range q.blocks {
		sets[i], lengths[i] = q.blocks[i].rows, int32(len(q.blocks[i].rows))
	}
	return q.members(sets...), lengths
}

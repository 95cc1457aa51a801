package optimize

import (
	"context"
	"math/rand"
	"slices"

	"github.com/MaxHalford/eaopt"
)

// Epoch returns the island as it is after so many more generations, the first
// population ahead of them where the island has not begun. It is pure: isl is
// left as it was, and the answer depends on the arguments but not on workers,
// the number of evaluations that run at a time. An epoch ends early when the
// island's share of the flights is used up and when every design of a grid has
// been flown (Exhausted). The error is that of ctx, where it ended: then the
// island holds what was flown until then.
//
// p and s must be what Evolve would accept, and isl what Check would.
func Epoch(ctx context.Context, p *Problem, s Settings, isl Island, generations, workers int) (Island, error) {
	e := newEpoch(ctx, p, s.filled(p), isl, workers)
	e.begin()
	if generations > 0 && !e.over() {
		e.tierMembers()
		if err := e.host(len(e.members), generations); err != nil {
			return e.finish(), err
		}
	}
	return e.finish(), ctx.Err()
}

// An epoch is the working form of an island.
type epoch struct {
	ctx      context.Context
	problem  *Problem
	settings Settings
	axes     []axis
	designs  int     // combinations of a small grid, else 0
	far      float64 // share of mutations that draw from the whole axis
	leeway   float64 // sum of scaled violations below which a design is ranked as a feasible one
	budget   int
	island   Island
	archive  archive
	source   source
	rng      *rand.Rand
	crew     []*worker

	members  eaopt.Individuals // the population in the form of the host
	children eaopt.Individuals
	spare    []*genome
	sel      selector
	all      eaopt.Individuals // parents, then children
	chosen   eaopt.Individuals
	usable   []int32 // of all, the feasible
	other    []int32 // of all, the rest
	goals    []float64
	slack    []float64
	kept     []bool
	margin   [mostGoals]float64

	seen  []sighting // one goal: of this epoch, what was flown
	ahead *forecast  // one goal: of this generation, nil: none
}

func newEpoch(ctx context.Context, p *Problem, s Settings, isl Island, workers int) *epoch {
	room := 0 // the archive of the reference mode is made at the end
	if s.Algorithm == Default {
		room = s.Population * epochGenerations
	}
	e := &epoch{ctx: ctx, problem: p, settings: s, island: isl.clone(room), budget: s.share(isl.Index) / p.cost()}
	for _, v := range p.Variables {
		e.axes = append(e.axes, newAxis(v))
	}
	e.designs = combinations(e.axes)
	if s.Algorithm == Default {
		e.far = farShare
	}
	e.rng = rand.New(&e.source)
	for range max(workers, 1) {
		e.crew = append(e.crew, newWorker(e))
	}
	if e.island.Credits == nil {
		e.island.Credits = slices.Repeat([]float64{1}, int(operators))
		e.island.Scales = make([]float64, p.Limits)
	}
	e.archive = newArchive(p.Goals, mostArchived, e.island.Archive, e.island.Blocks)
	e.load()
	return e
}

// load turns the rows of the population into genomes and makes as many more
// as a generation needs.
func (e *epoch) load() {
	rows := &e.island.Population
	known := rows.Len()
	total := max(known, e.settings.Population) + e.settings.Population + 1 // a pair may give one child
	n, m, l := len(e.axes), e.problem.Goals, e.problem.Limits
	genes, goals, violations := make([]float64, total*n), make([]float64, total*m), make([]float64, total*l)
	copy(genes, rows.Genes)
	copy(goals, rows.Goals)
	copy(violations, rows.Violations)
	genomes := make([]genome, total)
	for i := range genomes {
		g := &genomes[i]
		g.run = e
		g.genes = genes[i*n : i*n+n : i*n+n]
		g.result.Goals = goals[i*m : i*m+m : i*m+m]
		g.result.Violations = violations[i*l : i*l+l : i*l+l]
		if i >= known {
			e.spare = append(e.spare, g)
			continue
		}
		g.result.Slack, g.result.Failed = rows.Slack[i], rows.Failed[i]
		g.print, g.flown, g.rank = fingerprint(g.genes), true, float64(i)
		e.members = append(e.members, eaopt.Individual{Genome: g, Fitness: g.rank, Evaluated: true})
	}
}

// begin flies the first population of an island that has none.
func (e *epoch) begin() {
	if len(e.members) > 0 {
		return
	}
	e.source.begin(e.settings.Seed, purposeFirst, e.island.Index, 0)
	e.first()
	e.children = flyAll(e.ctx, e.crew, e.children)
	e.record()
	e.members = append(e.members, e.survivors(nil)...)
	e.save()
}

// tierMembers finds the fronts of a population that was loaded.
func (e *epoch) tierMembers() {
	e.all, e.children = append(e.all[:0], e.members...), e.children[:0]
	e.divide()
	e.best(len(e.usable))
	e.tier()
}

// host lets the library drive the generations.
func (e *epoch) host(n, generations int) error {
	next := 0
	config := eaopt.GAConfig{
		NPops: 1, PopSize: uint(n), NGenerations: uint(generations), HofSize: 1,
		Model:     model{e},
		RNG:       e.rng,
		EarlyStop: func(*eaopt.GA) bool { return e.over() },
		Callback:  func(ga *eaopt.GA) { e.members = ga.Populations[0].Individuals },
	}
	ga, err := config.NewGA()
	if err != nil {
		return err
	}
	return ga.Minimize(func(*rand.Rand) eaopt.Genome {
		next++
		return e.members[next-1].Genome
	})
}

func (e *epoch) over() bool {
	return e.ctx.Err() != nil || e.island.Exhausted || e.island.Flights >= e.budget
}

// model is variation and survival as the host calls them.
type model struct{ *epoch }

func (model) Validate() error { return nil }

// Apply breeds and flies one generation, within the budget, and leaves the
// survivors in pop, evaluated and in order.
func (m model) Apply(pop *eaopt.Population) error {
	e := m.epoch
	e.source.begin(e.settings.Seed, purposeBreed, e.island.Index, e.island.Generation)
	pop.RNG = e.rng
	n, single := min(e.settings.Population, e.budget-e.island.Flights), e.settings.Algorithm == Default && e.problem.Goals == 1
	if single {
		e.breedSingle(pop.Individuals, n)
	} else {
		e.breed(pop.Individuals, n)
	}
	if len(e.children) == 0 {
		e.island.Exhausted = true
		return nil
	}
	e.children = flyAll(e.ctx, e.crew, e.children)
	e.record()
	if single {
		e.watch(e.children)
		pop.Individuals = append(pop.Individuals[:0], e.heirs(pop.Individuals)...)
	} else {
		pop.Individuals = append(pop.Individuals[:0], e.survivors(pop.Individuals)...)
	}
	e.members = pop.Individuals
	e.island.Generation++
	return nil
}

// save writes the population back into the island's rows.
func (e *epoch) save() {
	rows := Rows{}
	for i := range e.members {
		g := e.members[i].Genome.(*genome)
		rows.Genes = append(rows.Genes, g.genes...)
		rows.Goals = append(rows.Goals, g.result.Goals...)
		rows.Violations = append(rows.Violations, g.result.Violations...)
		rows.Slack = append(rows.Slack, g.result.Slack)
		rows.Failed = append(rows.Failed, g.result.Failed)
	}
	e.island.Population = rows
}

func (e *epoch) finish() Island {
	e.save()
	if e.settings.Algorithm == Reference {
		e.archive = newArchive(e.problem.Goals, mostArchived, Rows{}, nil)
		for i := range e.members {
			e.offer(e.members[i].Genome.(*genome))
		}
	}
	e.island.Archive, e.island.Blocks = e.archive.pack()
	return e.island
}

// offer gives a feasible design to the archive.
func (e *epoch) offer(g *genome) {
	if g.feasible() {
		e.archive.offer(g.genes, g.result.Goals, g.result.Slack, e.margin[:])
	}
}

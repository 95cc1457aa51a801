package brief_test

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
)

// mostEvaluations bounds a flight: twelve evaluations of the equations a step,
// which are six and as many again for what is refused, and as many steps as the
// model takes, 20 000 on each side of the opening.
const mostEvaluations = 2 * 12 * 20_000

// No design whose numbers a brief lets through, up to the ends of their ranges,
// makes the model panic, run on, or report what is not a number.
//
// ULLAGE_ABSURD=N flies so many instead of 5000.
func TestAnyNumbersOfTheTable(t *testing.T) {
	designs := 5000
	if n, err := strconv.Atoi(os.Getenv("ULLAGE_ABSURD")); err == nil {
		designs = n
	}
	b := demo(t, "field-day.toml")
	all := brief.Quantities()
	rng := rand.New(rand.NewPCG(7, 7))
	scratch := model.NewScratch()
	counts := map[model.Outcome]int{}
	most := 0
	for i := range designs {
		r, s := b.Rocket, b.Site
		changed := map[string]float64{}
		for range 1 + rng.IntN(10) {
			q := &all[rng.IntN(len(all))]
			v := within(rng, q)
			changed[q.Key] = v
			q.Set(&r, &s, v)
		}
		f := model.Fly(&r, &s, scratch)
		counts[f.Outcome]++
		if most = max(most, f.Evaluations); f.Evaluations > mostEvaluations {
			t.Errorf("design %d: %d evaluations, want at most %d (%v)", i, f.Evaluations, mostEvaluations, changed)
		}
		for id := range model.Figure(model.FigureCount) {
			if v, ok := f.Figure(id); ok && (math.IsNaN(v) || math.IsInf(v, 0) || f.Outcome != model.Landed) {
				t.Errorf("design %d: %v with %s = %v (%v)", i, f.Outcome, model.Figures[id].Key, v, changed)
			}
		}
		for k := range b.Limits {
			l := &b.Limits[k]
			v, ok := l.Metric.Value(&r, &s, &f)
			if slack := l.Slack(v); ok && (math.IsNaN(slack) || math.IsInf(slack, 0)) {
				t.Errorf("design %d: slack %v of %s (%v)", i, slack, l.Metric.Key, changed)
			}
		}
	}
	t.Logf("%d designs, %v, at most %d evaluations", designs, counts, most)
	if counts[model.Landed] < designs/20 {
		t.Errorf("%d of %d designs landed, want a twentieth", counts[model.Landed], designs)
	}
}

// within draws from the range of validity: its ends, evenly, or by orders of
// magnitude.
func within(rng *rand.Rand, q *brief.Quantity) float64 {
	if q.Allowed != nil {
		return q.Allowed[rng.IntN(len(q.Allowed))]
	}
	switch rng.IntN(6) {
	case 0:
		return q.Min
	case 1:
		return q.Max
	case 2, 3:
		return q.Min + rng.Float64()*(q.Max-q.Min)
	}
	least := max(q.Min, q.Max*1e-6)
	return least * math.Pow(q.Max/least, rng.Float64())
}

package fit

import (
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestCoverage holds that the stated 90 % intervals hold what they should:
// of 600 logs of one flight, each with its own noise, the share whose interval
// holds the value that the logs were made with is 90 % but for what chance does
// to 600 draws, ± 4 % (3.3 deviations of a binomial).
func TestCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("600 fits")
	}
	const draws = 600
	b, real := demo(t), flown(t)
	path, whole := finePath(t, &real.Rocket, &real.Site)
	var held sync.Map
	count := func(key string) *[2]int {
		v, _ := held.LoadOrStore(key, new([2]int))
		return v.(*[2]int)
	}
	var guard sync.Mutex
	var busy sync.WaitGroup
	next := make(chan uint64)
	for range runtime.GOMAXPROCS(0) {
		busy.Go(func() {
			for draw := range next {
				rng := rand.New(rand.NewPCG(draw, 41))
				src := logger{rate: 4, noise: 0.4, before: 3}.write(path, whole, rng)
				log, err := ReadLog("x.csv", src, Columns{})
				if err != nil {
					t.Error(err)
					continue
				}
				r, err := Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site, Altimeter: TrueHeight}}, Usual())
				if err != nil {
					t.Error(err)
					continue
				}
				guard.Lock()
				for _, e := range r.Estimates {
					c := count(e.Key)
					c[0]++
					if e.Fitted && e.Low <= truth[e.Key] && truth[e.Key] <= e.High {
						c[1]++
					}
				}
				guard.Unlock()
			}
		})
	}
	for draw := range uint64(draws) {
		next <- draw
	}
	close(next)
	busy.Wait()
	for _, key := range Usual() {
		c := count(key)
		share := float64(c[1]) / float64(c[0])
		t.Logf("%s: %d of %d, %.3f", key, c[1], c[0], share)
		if c[0] != draws || share < 0.86 || share > 0.94 {
			t.Errorf("%s: %d of %d intervals hold it, want 86 to 94 %% of %d", key, c[1], c[0], draws)
		}
	}
	if p := (distuv.Binomial{N: draws, P: Confidence}).CDF(0.86*draws - 1); p > 1e-3 {
		t.Errorf("%d draws are too few for these bounds: chance alone leaves them in %g of tries", draws, 2*p)
	}
}

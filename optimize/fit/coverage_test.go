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
		t.Skip("-short: 600 fits take most of this package's time; go test ./... makes them")
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
	share(t, draws)
}

// TestStandCoverage holds the same of the logs of a test stand.
func TestStandCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: 600 fits take most of this package's time; go test ./... makes them")
	}
	const draws = 600
	b, real := demo(t), flown(t, "chamber.gas_jet=0.88")
	want := map[string]float64{"chamber.jet": 0.955, "chamber.gas_jet": 0.88}
	held := map[string]int{}
	for draw := range uint64(draws) {
		log := readLog(t, "stand.csv", []byte(standLog(real, 200, 2, 7, rand.New(rand.NewPCG(draw, 43)))))
		r, err := Fit([]Flight{{Log: log, Rocket: b.Rocket, Site: b.Site}}, []string{"chamber.jet", "chamber.gas_jet"})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range r.Estimates {
			if e.Fitted && e.Low <= want[e.Key] && want[e.Key] <= e.High {
				held[e.Key]++
			}
		}
	}
	for key := range want {
		t.Logf("%s: %d of %d", key, held[key], draws)
		if s := float64(held[key]) / draws; s < 0.86 || s > 0.94 {
			t.Errorf("%s: %d of %d intervals hold it, want 86 to 94 %%", key, held[key], draws)
		}
	}
	share(t, draws)
}

// share holds that chance alone rarely leaves 86 to 94 % of so many draws.
func share(t *testing.T, draws int) {
	t.Helper()
	if p := (distuv.Binomial{N: float64(draws), P: Confidence}).CDF(0.86*float64(draws) - 1); p > 1e-3 {
		t.Errorf("%d draws are too few for these bounds: chance alone leaves them in %g of tries", draws, 2*p)
	}
}

package main

import (
	"fmt"
	"io"
	"log/slog"
	"os"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"

	"ullage/optimize"
)

// A watch shows how far a search has come: a bar on a terminal, one plain line
// a minute elsewhere.
type watch struct {
	total    int
	flights  atomic.Int64
	feasible atomic.Int64
	before   int64 // flights of earlier sessions
	start    time.Time

	mu     sync.Mutex
	volume map[int]float64 // hypervolume at the last barrier, by island

	done  chan struct{}
	ended sync.WaitGroup
	bars  *mpb.Progress
	bar   *mpb.Bar
}

// watch counts the evaluations of p from now on, onto those of a search that
// goes on, and shows them, unless quiet.
func (s streams) watch(p *optimize.Problem, from optimize.State, total int, quiet bool) *watch {
	w := &watch{total: total, start: time.Now(), volume: map[int]float64{}, done: make(chan struct{})}
	for _, r := range from.Records[len(from.Records)-len(from.Islands):] {
		w.barrier(r)
		w.flights.Add(int64(r.Flights))
		w.feasible.Add(int64(r.Feasible))
	}
	w.before = w.flights.Load()
	evaluator, cost := p.Evaluator, int64(max(p.Cost, 1))
	p.Evaluator = func() func([]float64, *optimize.Result) {
		evaluate := evaluator()
		return func(x []float64, r *optimize.Result) {
			evaluate(x, r)
			w.flights.Add(cost)
			if !r.Failed && !slices.ContainsFunc(r.Violations, func(v float64) bool { return v > 0 }) {
				w.feasible.Add(cost)
			}
		}
	}
	if quiet {
		return w
	}
	log := slog.New(slog.NewTextHandler(s.err, nil))
	period := time.Minute
	show := func() {
		log.Info("search", "flights", w.flights.Load(), "of", total, "flights_per_second", fmt.Sprintf("%.1f", w.rate()),
			"feasible_percent", fmt.Sprintf("%.0f", 100*w.share()), "hypervolume", fmt.Sprintf("%.4g", w.hypervolume()))
	}
	if terminal(s.err) {
		period = calm / 2 // else two clocks of one rate may show a number twice
		show = func() { w.bar.SetCurrent(min(w.flights.Load(), int64(total)-1)) }
		w.draw(s.err)
	}
	w.ended.Go(func() {
		tick := time.NewTicker(period)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				show()
			case <-w.done:
				return
			}
		}
	})
	return w
}

// calm is the time between two changes of the bar.
const calm = 250 * time.Millisecond

// draw puts the bar on a terminal. Its numbers keep their width, so that the
// line stands still.
func (w *watch) draw(terminal io.Writer) {
	width := len(fmt.Sprint(w.total))
	w.bars = mpb.New(mpb.WithOutput(terminal), mpb.WithWidth(30), mpb.WithRefreshRate(calm))
	w.bar = w.bars.New(int64(w.total), mpb.BarStyle().Lbound("[").Filler("=").Tip(">").Padding(" ").Rbound("]"),
		mpb.PrependDecorators(decor.Any(func(d decor.Statistics) string {
			return fmt.Sprintf("%*d of %d flights ", width, d.Current, w.total)
		})),
		mpb.AppendDecorators(decor.Any(func(decor.Statistics) string {
			return fmt.Sprintf(" %5.0f/s  %3.0f %% feasible  hypervolume %-9.4g ", w.rate(), 100*w.share(), w.hypervolume())
		}), decor.AverageETA(decor.ET_STYLE_GO)))
}

// terminal reports whether w is a character device that a bar can be drawn on.
func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0 && os.Getenv("TERM") != "dumb"
}

func (w *watch) rate() float64 {
	return float64(w.flights.Load()-w.before) / time.Since(w.start).Seconds()
}

func (w *watch) share() float64 {
	return float64(w.feasible.Load()) / float64(max(w.flights.Load(), 1))
}

// barrier notes what an island reached.
func (w *watch) barrier(r optimize.Record) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.volume[r.Island] = r.Hypervolume
}

// hypervolume is the largest of any island.
func (w *watch) hypervolume() float64 {
	w.mu.Lock()
	defer w.mu.Unlock()
	best := 0.0
	for _, v := range w.volume {
		best = max(best, v)
	}
	return best
}

// stop takes the bar off the terminal.
func (w *watch) stop() {
	close(w.done)
	w.ended.Wait()
	if w.bar != nil {
		w.bar.SetCurrent(w.flights.Load())
		w.bar.Abort(false)
		w.bars.Wait()
	}
}

package main

import (
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
)

// A meter shows how far a sweep has come: a bar on a terminal, one plain line a
// minute elsewhere.
type meter struct {
	flights, feasible atomic.Int64
	total, before     int64
	start             time.Time

	done  chan struct{}
	ended sync.WaitGroup
	bars  *mpb.Progress
	bar   *mpb.Bar
}

// measure starts a meter at the flights of earlier sessions.
func (s streams) measure(total, before int64, quiet bool) *meter {
	m := &meter{total: total, before: before, start: time.Now(), done: make(chan struct{})}
	m.flights.Store(before)
	if quiet {
		return m
	}
	log := slog.New(slog.NewTextHandler(s.err, nil))
	period := time.Minute
	show := func() {
		log.Info("sweep", "flights", m.flights.Load(), "of", total, "flights_per_second", fmt.Sprintf("%.1f", m.rate()),
			"feasible", m.feasible.Load(), "left", lasting(float64(total-m.flights.Load())/m.rate()))
	}
	if terminal(s.err) {
		period = calm / 2 // else two clocks of one rate may show a number twice
		show = func() { m.bar.SetCurrent(min(m.flights.Load(), total-1)) }
		width := len(fmt.Sprint(total))
		m.bars = mpb.New(mpb.WithOutput(s.err), mpb.WithWidth(30), mpb.WithRefreshRate(calm))
		m.bar = m.bars.New(total, mpb.BarStyle().Lbound("[").Filler("=").Tip(">").Padding(" ").Rbound("]"),
			mpb.PrependDecorators(decor.Any(func(d decor.Statistics) string {
				return fmt.Sprintf("%*d of %d flights ", width, d.Current, total)
			})),
			mpb.AppendDecorators(decor.Any(func(decor.Statistics) string {
				return fmt.Sprintf(" %5.0f/s  %*d feasible  ", m.rate(), width, m.feasible.Load())
			}), decor.AverageETA(decor.ET_STYLE_GO)))
	}
	m.ended.Go(func() {
		tick := time.NewTicker(period)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				show()
			case <-m.done:
				return
			}
		}
	})
	return m
}

func (m *meter) rate() float64 {
	return float64(m.flights.Load()-m.before) / time.Since(m.start).Seconds()
}

// stop takes the bar off the terminal.
func (m *meter) stop() {
	close(m.done)
	m.ended.Wait()
	if m.bar != nil {
		m.bar.SetCurrent(m.flights.Load())
		m.bar.Abort(false)
		m.bars.Wait()
	}
}

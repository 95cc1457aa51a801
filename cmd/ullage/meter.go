package main

import (
	"fmt"
	"io"
	"log/slog"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
)

// A meter shows how far a job has come: a bar on a terminal, one plain line a
// minute elsewhere.
type meter struct {
	flights, feasible atomic.Int64
	total, before     int64 // flights in all, and of earlier sessions
	start             time.Time

	job   string        // what the plain line calls it
	tail  func() string // of the bar, in a width that stays
	facts func() []any  // of the plain line, in pairs

	done  chan struct{}
	ended sync.WaitGroup
	bars  *mpb.Progress
	bar   *mpb.Bar
}

// calm is the time between two changes of the bar.
const calm = 250 * time.Millisecond

// run starts a meter whose other fields are set.
func (m *meter) run(to io.Writer, quiet bool) {
	m.start, m.done = now(), make(chan struct{})
	if quiet {
		return
	}
	log := slog.New(slog.NewTextHandler(to, nil))
	period := time.Minute
	show := func() {
		facts := []any{"flights", m.flights.Load(), "of", m.total, "flights_per_second", fmt.Sprintf("%.1f", m.rate())}
		log.Info(m.job, append(facts, m.facts()...)...)
	}
	if onTerminal(to) {
		period = calm / 2 // else two clocks of one rate may show a number twice
		show = func() { m.bar.SetCurrent(min(m.flights.Load(), m.total-1)) }
		m.draw(to)
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
}

// draw puts the bar on a terminal. Its numbers keep their width, so that the
// line stands still.
func (m *meter) draw(to io.Writer) {
	width := len(fmt.Sprint(m.total))
	m.bars = mpb.New(mpb.WithOutput(to), mpb.WithWidth(30), mpb.WithRefreshRate(calm))
	m.bar = m.bars.New(m.total, mpb.BarStyle().Lbound("[").Filler("=").Tip(">").Padding(" ").Rbound("]"),
		mpb.PrependDecorators(decor.Any(func(d decor.Statistics) string {
			return fmt.Sprintf("%*d of %d flights ", width, d.Current, m.total)
		})),
		mpb.AppendDecorators(decor.Any(func(decor.Statistics) string {
			return fmt.Sprintf(" %5.0f/s  %s ", m.rate(), m.tail())
		}), decor.AverageETA(decor.ET_STYLE_GO)))
}

// onTerminal reports whether w is a character device that a bar can be drawn on.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0 && os.Getenv("TERM") != "dumb"
}

func (m *meter) rate() float64 {
	return float64(m.flights.Load()-m.before) / since(m.start)
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

package benchmarks

import (
	"context"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"ullage/optimize/study"

	"ullage/optimize"
	"ullage/optimize/fleet"
)

// BenchmarkFleet flies the demo's search by workers that are joined over TCP,
// and here, in turn: what a job costs beyond its flights, and the share of the
// speed that is left.
func BenchmarkFleet(b *testing.B) {
	for _, workers := range []int{1, 2} {
		b.Run(map[int]string{1: "1 worker", 2: "2 workers"}[workers], func(b *testing.B) { fleetOf(b, workers) })
	}
}

func fleetOf(b *testing.B, workers int) {
	d := demo(b)
	p, err := study.Problem(d)
	if err != nil {
		b.Fatal(err)
	}
	program := fleet.Program{Version: "benchmark"}
	quiet := func(string) {}
	root := b.TempDir()
	server, err := fleet.Serve(":0", "", nil, filepath.Join(root, "queue"))
	if err != nil {
		b.Fatal(err)
	}
	defer server.Close()
	desk, err := server.Open(b.Context(), program, "run", root, quiet)
	if err != nil {
		b.Fatal(err)
	}
	defer desk.Close()
	ctx, cancel := context.WithCancel(b.Context())
	for range workers {
		go fleet.Work(ctx, fleet.Place{URL: server.URL()}, program, 1, quiet)
	}
	defer cancel()
	jobs := 0
	s := optimize.Settings{Seed: 1, Islands: 4, Population: 40, Flights: 60000}
	evolve := func(run optimize.Runner) time.Duration {
		runtime.GC()
		start := time.Now()
		_, err := optimize.Continue(b.Context(), p, s, optimize.State{}, run, func(st optimize.State) error {
			jobs = len(st.Records)
			return nil
		})
		if err != nil {
			b.Fatal(err)
		}
		return time.Since(start)
	}
	there := fleet.Epochs(desk.Ask, fleet.Job{Name: "demo", Source: d.Source, Seed: d.Search.Seed}, p, s)
	evolve(there) // the workers learn the brief
	var here, away time.Duration
	for b.Loop() {
		here += evolve(optimize.Local(p, s, workers))
		away += evolve(there)
	}
	// Each worker is busy for its share of the jobs.
	extra := (away - here).Seconds() / float64(b.N) / float64(jobs) * float64(workers)
	b.ReportMetric(1000*extra, "ms/job")
	b.ReportMetric(here.Seconds()/away.Seconds(), "efficiency")
	b.ReportMetric(float64(s.Flights*b.N)/away.Seconds(), "flights/s")
}

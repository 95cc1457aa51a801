package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"runtime/debug"
	"time"

	"github.com/urfave/cli/v2"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/fleet"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
	"ullage/output"
	"ullage/output/file"
	"ullage/output/runs"
)

const (
	partRows    = 1 << 18 // flights in a part: some seconds, some 20 megabytes, and under 300 MB of memory
	frontRound  = 1 << 20 // flights between two states of a sweep without rows
	mostPart    = 1 << 20 // two parts are held in memory
	mostSampled = 1 << 50

	// The compressor leaves hundreds of megabytes of garbage behind each part,
	// and what lives has few pointers: to collect often costs next to nothing
	// and keeps the memory under 300 MB.
	collectAt = 20 // % of what lives

	// Indices are computed in memory: 16 MB a number that flights report.
	mostIndexFlights = 1 << 21
)

func (s streams) sweepCommand() *cli.Command {
	return &cli.Command{
		Name:        "sweep",
		Usage:       "fly every combination of the steps, or a sample spread evenly, and write all flights",
		ArgsUsage:   "BRIEF|RUN",
		Description: "Of the folder of a RUN it sweeps that run's brief, with what was set there, into the next number behind RUN.",
		Flags: append([]cli.Flag{
			&cli.BoolFlag{Name: "grid", Usage: "fly every combination of the steps and choices", DisableDefaultText: true},
			&cli.BoolFlag{Name: "front-only", Usage: "with --grid: keep no flights, only the designs that no other beats", DisableDefaultText: true},
			&cli.BoolFlag{Name: "feasible-only", Usage: "keep the flights that meet every limit, and no others", DisableDefaultText: true},
			&cli.Int64Flag{Name: "draws", Usage: "fly `N` designs spread evenly over the ranges", DefaultText: "none"},
			&cli.Int64Flag{Name: "indices", Usage: "tell which quantity drives what, from `N` rows of one flight a quantity and two more", DefaultText: "none"},
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "the run's `FOLDER` (default: runs/NAME, NAME the brief's file name)"},
			&cli.BoolFlag{Name: "resume", Usage: "go on with a sweep that was interrupted or killed, as if it never had been", DisableDefaultText: true},
			&cli.Int64Flag{Name: "part", Usage: "write `N` flights to a file: memory grows with it, and what a kill costs", DefaultText: "262144, with --front-only 1048576"},
			setFlag, classFlag, formatFlag,
			&cli.BoolFlag{Name: "quiet", Aliases: []string{"q"}, Usage: "show neither size nor progress", DisableDefaultText: true},
			&cli.Uint64Flag{Name: "seed", Usage: "start the random numbers from `N`, a whole number", DefaultText: "the brief's"},
			&cli.IntFlag{Name: "workers", Usage: "fly `N` designs at a time; the result does not depend on it", Value: runtime.NumCPU()},
		}, fleetFlags()...),
		Action: s.sweep(file.Room),
	}
}

// A sweeping is a sweep from its flags to its end.
type sweeping struct {
	streams
	brief   *brief.Brief
	problem *optimize.Problem
	plan    sweep.Plan
	state   runs.Sweep
	tally   sweep.Tally // of a sweep without rows
	folder  *runs.Folder
	meter   *meter
	workers int
	quiet   bool
	ask     fleet.Ask // instead of flying here; nil: none
	start   time.Time
	before  int64 // flights of earlier sessions

	finished *runs.Run // that there was nothing left to resume of
}

// sweep returns the command's action; room tells the bytes that a disk has
// left.
func (s streams) sweep(room func(dir string) (uint64, error)) cli.ActionFunc {
	return func(c *cli.Context) error {
		asJSON, err := wantsJSON(c)
		if err != nil {
			return err
		}
		if err := wantsFolder(c); err != nil {
			return err
		}
		w := &sweeping{streams: s, quiet: c.Bool("quiet")}
		if w.workers, err = crew(c); err != nil {
			return err
		}
		if err := w.flags(c); err != nil {
			return err
		}
		dir, err := w.subject(c)
		if err != nil {
			return err
		}
		if err := w.plans(c); err != nil {
			return coded{err, exitUsage}
		}
		defer w.close()
		if c.Bool("resume") && runs.HasSweep(dir) {
			if err := w.resume(c.Context, dir); err != nil {
				return err
			}
			if w.finished != nil {
				s.say(dir + ": finished already, nothing is left to resume")
				return w.printRun(*w.finished, "", nil, asJSON)
			}
		}
		if err := w.size(c.Context, dir, room); err != nil {
			return err
		}
		if err := w.begin(dir); err != nil {
			return err
		}
		if inFleet(c) {
			party, err := s.gather(c, w.folder.Dir, w.workers, w.quiet)
			if err != nil {
				return err
			}
			defer party.close()
			w.ask = party.ask
		}
		w.workers = max(w.workers, 1) // for what is flown here in any case
		return w.fly(c.Context, asJSON)
	}
}

// begin makes the folder of a sweep that goes on in none, and writes what its
// flights share.
func (w *sweeping) begin(dir string) (err error) {
	if w.folder == nil {
		if w.folder, err = runs.Create(dir, w.brief.Source, w.brief.Search.Seed, version()); err != nil {
			return err
		}
		if err := w.folder.WriteSweep(&w.state); err != nil {
			return err
		}
	}
	if w.state.Mode == sweep.FrontMode {
		return nil
	}
	return w.folder.WriteTable("constants.parquet", output.Constants(w.brief, w.id()))
}

// close frees the folder, if there is one.
func (w *sweeping) close() {
	if w.folder != nil {
		w.folder.Close()
	}
}

// flags reads what is to be swept.
func (w *sweeping) flags(c *cli.Context) error {
	modes := 0
	for _, f := range []struct{ flag, mode string }{{"grid", sweep.GridMode}, {"draws", sweep.DrawsMode}, {"indices", sweep.IndicesMode}} {
		if c.IsSet(f.flag) {
			modes++
			w.state.Mode = f.mode
		}
	}
	if modes != 1 {
		return usage("sweep: %d of --grid, --draws and --indices, want one", modes)
	}
	w.state.Part = partRows
	if c.Bool("front-only") {
		if w.state.Mode != sweep.GridMode {
			return usage("--front-only: given with --%s, want it with --grid", w.state.Mode)
		}
		w.state.Mode, w.state.Part = sweep.FrontMode, frontRound
	}
	if w.state.FeasibleOnly = c.Bool("feasible-only"); w.state.FeasibleOnly && (w.state.Mode == sweep.FrontMode || w.state.Mode == sweep.IndicesMode) {
		return usage("--feasible-only: given with --front-only or --indices, which need all flights, want it with --grid or --draws")
	}
	if n := c.Int64("draws"); w.state.Mode == sweep.DrawsMode && (n < 1 || n > mostSampled) {
		return usage("--draws %d: want 1 to %d", n, int64(mostSampled))
	}
	if c.IsSet("part") {
		w.state.Part = c.Int64("part")
		if n := w.state.Part; n < 1 || n > mostPart {
			return usage("--part %d: want 1 to %d", n, mostPart)
		}
	}
	return nil
}

// plans lists the designs. Every one is flown once and as it is set, also where
// the brief asks for a robust search.
func (w *sweeping) plans(c *cli.Context) error {
	b := w.brief.OnceEach()
	if c.IsSet("seed") {
		b = b.WithSeed(c.Uint64("seed"))
	}
	w.brief = b
	var err error
	if w.problem, err = study.Problem(b); err != nil {
		return err
	}
	variables := w.problem.Variables
	switch w.state.Mode {
	case sweep.DrawsMode:
		w.plan = sweep.Draws(variables, c.Int64("draws"), b.Search.Seed)
	case sweep.IndicesMode:
		n, width := c.Int64("indices"), int64(len(variables)+2)
		if most := mostIndexFlights / width; n < 2 || n > most {
			return usage("--indices %d: want 2 to %d, of %d flights each", n, most, width)
		}
		w.plan = sweep.Saltelli(variables, n, b.Search.Seed)
	default:
		if w.plan, err = sweep.Grid(variables); err != nil {
			return fmt.Errorf("%s: vary.%w", b.Name, err)
		}
	}
	w.state.Size, w.state.Set = w.plan.Size, b.Set
	if parts := (w.plan.Size-1)/w.state.Part + 1; w.state.Mode != sweep.FrontMode && parts > runs.MostParts {
		return usage("sweep: %d parts of %d flights, want at most %d parts: fewer flights, or a larger --part", parts, w.state.Part, runs.MostParts)
	}
	return nil
}

func (w *sweeping) resume(ctx context.Context, dir string) (err error) {
	w.folder, err = until(ctx, dir, func() (*runs.Folder, error) {
		return runs.ResumeSweep(dir, w.brief.Source, w.brief.Search.Seed, version(), &w.state)
	})
	if err != nil {
		return err
	}
	if r, err := runs.Read(dir); err == nil && r.State == runs.Finished {
		w.finished = &r
	}
	if err := w.tallied(); err != nil {
		err = fmt.Errorf("%s: sweep.json: %w", dir, err)
		return errors.Join(err, w.folder.Close())
	}
	w.before = w.flown()
	return nil
}

// tallied takes over what sweep.json says of the flights that are done, if that
// can be.
func (w *sweeping) tallied() error {
	for _, p := range w.state.Parts {
		if len(p.Missed) != len(w.brief.Limits) {
			return fmt.Errorf("part %d: %d limits, the brief has %d", p.Number, len(p.Missed), len(w.brief.Limits))
		}
	}
	if w.state.Front == nil {
		return nil
	}
	if err := json.Unmarshal(w.state.Front, &w.tally); err != nil {
		return fmt.Errorf("front: %w", err)
	}
	if n := w.tally.Next; n > w.state.Size {
		return fmt.Errorf("front: %d designs of %d", n, w.state.Size)
	}
	return w.tally.Check(w.problem, 0, w.tally.Next)
}

// id returns the id of the run: another for whatever decides its flights.
func (w *sweeping) id() string {
	of := fmt.Sprintf("%s %q %d %s %d", runs.Hash(w.brief.Source), w.state.Set, w.brief.Search.Seed, w.state.Mode, w.state.Size)
	return runs.Hash([]byte(of))[:16]
}

// flown returns the flights that are done and kept.
func (w *sweeping) flown() int64 {
	if w.state.Mode == sweep.FrontMode {
		return w.tally.Next
	}
	n := int64(0)
	for _, p := range w.state.Parts {
		n += p.Flights
	}
	return n
}

// fly does the sweep and writes what comes of it.
func (w *sweeping) fly(ctx context.Context, asJSON bool) error {
	defer debug.SetGCPercent(debug.SetGCPercent(collectAt))
	w.start = now()
	w.meter = w.measure(w.state.Size, w.before, w.quiet)
	all := w.flyParts
	if w.state.Mode == sweep.FrontMode {
		all = w.flyFront
	}
	err := all(ctx)
	w.meter.stop()
	if err != nil {
		return err
	}
	return w.finish(ctx, asJSON)
}

// finish writes and prints the results, run.json last.
func (w *sweeping) finish(ctx context.Context, asJSON bool) error {
	record := w.record()
	if w.flown() < w.state.Size {
		return w.interrupted(record)
	}
	switch w.state.Mode {
	case sweep.FrontMode:
		return w.finishFront(ctx, record, asJSON)
	case sweep.IndicesMode:
		return w.finishIndices(ctx, record, asJSON)
	}
	record, err := w.folder.Finish(record)
	if err != nil {
		return err
	}
	if err := w.printRun(record, "", nil, asJSON); err != nil {
		return err
	}
	return w.met(record)
}

func (w *sweeping) interrupted(record runs.Run) error {
	record.State, record.Stop = runs.Interrupted, "interrupted"
	if _, err := w.folder.Finish(record); err != nil {
		return err
	}
	return coded{fmt.Errorf("%s: interrupted with %d of %d flights kept; --resume goes on", w.folder.Dir, record.Flights, w.state.Size), exitInterrupted}
}

// record returns run.json as far as all sweeps have it in common.
func (w *sweeping) record() runs.Run {
	r := runs.Run{Set: w.brief.Set, Class: classRecord(w.brief), State: runs.Finished, Stop: "complete", Sweep: w.state.Mode, FeasibleOnly: w.state.FeasibleOnly, Flights: int(w.flown())}
	if w.state.Mode == sweep.FrontMode {
		r.Feasible, r.Failed = int(w.tally.Feasible), int(w.tally.Failed)
	}
	for _, p := range w.state.Parts {
		r.Feasible += int(p.Feasible)
		r.Failed += int(p.Failed)
	}
	r.Clock.Seconds = since(w.start)
	r.Clock.FlightsPerSecond = float64(w.flown()-w.before) / r.Clock.Seconds
	return r
}

// printRun writes a sweep's result to standard output: in JSON, run.json with
// the folder that holds it and what else there is.
func (w *sweeping) printRun(r runs.Run, text string, indices []output.IndexRow, asJSON bool) error {
	if asJSON {
		encoder := json.NewEncoder(w.out)
		encoder.SetIndent("", "  ")
		return encoder.Encode(struct {
			Folder  string            `json:"folder"`
			Indices []output.IndexRow `json:"indices,omitempty"`
			runs.Run
		}{w.folder.Dir, indices, r})
	}
	text += fmt.Sprintf("%d flights in %s (%.0f a second), %.1f %% of them within every limit, %d not computed; run in %s\n",
		r.Flights, lasting(r.Clock.Seconds), r.Clock.FlightsPerSecond, 100*float64(r.Feasible)/float64(max(r.Flights, 1)), r.Failed, w.folder.Dir)
	_, err := io.WriteString(w.out, text)
	return err
}

// met says which limit is hardest where no flight met them all.
func (w *sweeping) met(r runs.Run) error {
	if r.Feasible > 0 {
		return nil
	}
	missed := make([]int64, len(w.brief.Limits))
	parts := append(w.state.Parts, runs.Part{Missed: w.tally.Missed})
	for _, p := range parts {
		for k, n := range p.Missed {
			missed[k] += n
		}
	}
	fact, most := "none could be flown to its end", int64(0)
	for k, n := range missed {
		if n > most {
			most = n
			fact = fmt.Sprintf("the hardest is %s: %d of %d flights miss it", w.brief.Limits[k].Metric.Key, n, r.Flights-r.Failed)
		}
	}
	return coded{fmt.Errorf("%s: no design meets every limit, %s", w.brief.Name, fact), exitInfeasible}
}

// whole writes a number with a space between thousands.
func whole(v float64) string {
	digits := fmt.Sprintf("%.0f", v)
	text := ""
	for i, d := range digits {
		if i > 0 && (len(digits)-i)%3 == 0 {
			text += " "
		}
		text += string(d)
	}
	return text
}

// lasting writes a time in the unit that suits it.
func lasting(seconds float64) string {
	switch {
	case seconds < 100:
		return fmt.Sprintf("%.1f s", seconds)
	case seconds < 100*60:
		return fmt.Sprintf("%.0f min", seconds/60)
	}
	return fmt.Sprintf("%.1f h", seconds/3600)
}

// amountOf writes a number of bytes, a part of a tenth of its unit as a whole one.
func amountOf(bytes float64) string {
	units := []string{"B", "kB", "MB", "GB", "TB", "PB"}
	tenths := math.Ceil(bytes * 10)
	for tenths >= 10*1000 && len(units) > 1 {
		bytes, units = bytes/1000, units[1:]
		tenths = math.Ceil(bytes * 10)
	}
	return fmt.Sprintf("%v %s", tenths/10, units[0])
}

package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/output"
)

const (
	tableRows  = 12   // designs of the front that the terminal shows
	maxWorkers = 1024 // each costs memory, and none helps beyond the processors
)

func (s streams) searchCommand() *cli.Command {
	return &cli.Command{
		Name:      "search",
		Usage:     "search for the designs that no other beats in every goal, and write a run",
		ArgsUsage: "BRIEF",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "the run's `FOLDER` (default: runs/NAME, NAME the brief's file name)"},
			setFlag, formatFlag,
			&cli.BoolFlag{Name: "quiet", Aliases: []string{"q"}, Usage: "show no progress", DisableDefaultText: true},
			&cli.Uint64Flag{Name: "seed", Usage: "start the random numbers from `N`, a whole number", DefaultText: "the brief's"},
			&cli.IntFlag{Name: "workers", Usage: "fly `N` designs at a time; the result does not depend on it", Value: runtime.NumCPU()},
		},
		Action: s.search,
	}
}

func (s streams) search(c *cli.Context) error {
	asJSON, err := wantsJSON(c)
	if err != nil {
		return err
	}
	workers := c.Int("workers")
	if workers < 1 || workers > maxWorkers {
		return usage("--workers %d: want 1 to %d", workers, maxWorkers)
	}
	b, err := s.readBrief(c)
	if err != nil {
		return err
	}
	if c.IsSet("seed") {
		b.Search.Seed = c.Uint64("seed")
	}
	problem, err := b.Problem()
	if err != nil {
		return coded{err, exitUsage}
	}
	folder, err := output.Create(runFolder(c, b), b.Source, b.Search.Seed, version())
	if err != nil {
		return err
	}
	defer folder.Close()

	start := time.Now()
	found, history, err := s.evolve(c.Context, b, problem, workers, c.Bool("quiet"))
	if err != nil {
		return coded{err, exitUsage}
	}
	elapsed := time.Since(start).Seconds()

	layout := layoutOf(b)
	rows, paths := fronted(b, optimize.Choose(found.Archive, b.Search.Front))
	record := output.Run{
		Set: b.Set, State: output.Finished, Stop: found.Stop, Advice: found.Advice,
		Flights: found.Flights, Feasible: found.Feasible, Failed: found.Failed,
		Front: len(rows), Hypervolume: found.Hypervolume,
		Clock: output.Clock{Seconds: elapsed, FlightsPerSecond: float64(found.Flights) / elapsed},
	}
	// An interrupt that comes while the files are written is too late.
	interrupted := found.Stop == "interrupted"
	if interrupted {
		record.State = output.Interrupted
	}
	if record, err = save(folder, record, layout, rows, paths, history); err != nil {
		return err
	}
	if err := s.printFound(layout, rows, record, folder.Dir, asJSON); err != nil {
		return err
	}
	s.caution(b)
	switch {
	case interrupted:
		return coded{fmt.Errorf("%s: interrupted after %d of %d flights, what was found is written", folder.Dir, found.Flights, b.Search.Flights), exitInterrupted}
	case !found.Met:
		return coded{fmt.Errorf("%s: no design meets every limit, %s", b.Name, hardest(layout, rows)), exitInfeasible}
	}
	return nil
}

// evolve searches under a watch and returns what was found and how it came.
func (s streams) evolve(ctx context.Context, b *brief.Brief, p *optimize.Problem, workers int, quiet bool) (optimize.Outcome, []output.Epoch, error) {
	settings := optimize.Settings{
		Seed: b.Search.Seed, Islands: b.Search.Islands, Population: b.Search.Population, Flights: b.Search.Flights,
	}
	start := time.Now()
	watch := s.watch(p, settings.Flights, quiet)
	defer watch.stop()
	var history []output.Epoch
	found, err := optimize.Evolve(ctx, p, settings, workers, func(r optimize.Record) {
		watch.barrier(r)
		history = append(history, epochOf(b, r, time.Since(start)))
	})
	return found, history, err
}

// save writes the files of a run, run.json last, and returns it as written.
func save(folder *output.Folder, r output.Run, l output.Layout, rows []output.Row, paths [][]model.Sample, history []output.Epoch) (output.Run, error) {
	front := l.Front(rows)
	for _, file := range []struct {
		name  string
		table output.Table
	}{
		{"front.parquet", front},
		{"front.arrow", front},
		{"paths.parquet", pathTable(paths)},
		{"history.parquet", output.History(l.Goals, history)},
	} {
		if err := folder.WriteTable(file.name, file.table); err != nil {
			return r, err
		}
	}
	return folder.Finish(r)
}

func runFolder(c *cli.Context, b *brief.Brief) string {
	if dir := c.String("output"); dir != "" {
		return dir
	}
	name := strings.TrimSuffix(filepath.Base(b.Name), ".toml")
	return filepath.Join("runs", strings.ReplaceAll(name, " ", "-"))
}

// fronted flies the designs of a front and returns their rows, nearest to the
// ideal first, and their trajectories in the same order.
func fronted(b *brief.Brief, designs []optimize.Design) ([]output.Row, [][]model.Sample) {
	goals := make([][]float64, len(designs))
	for i := range designs {
		goals[i] = designs[i].Goals
	}
	scratch := model.NewScratch()
	var rows []output.Row
	var paths [][]model.Sample
	for place, i := range output.Order(goals) {
		rocket, site := b.At(designs[i].X)
		flight, path := model.Path(&rocket, &site, scratch)
		row := rowOf(b, place+1, designs[i].X, &flight, scratch)
		row.Knee = place == 0
		rows, paths = append(rows, row), append(paths, path)
	}
	return rows, paths
}

// epochOf turns a record of the search back into the brief's goals.
func epochOf(b *brief.Brief, r optimize.Record, elapsed time.Duration) output.Epoch {
	e := output.Epoch{
		Epoch: r.Epoch, Island: r.Island, Flights: r.Flights, Hypervolume: r.Hypervolume,
		FeasibleShare: float64(r.Feasible) / float64(max(r.Flights, 1)), Seconds: elapsed.Seconds(),
		Best: make([]output.Value, len(b.Goals)),
	}
	for i, v := range r.Best {
		e.Best[i] = output.Of(b.Goals[i].Natural(v), true)
	}
	return e
}

// printFound writes the front and the run's summary to standard output: in
// JSON, run.json with the folder that holds it.
func (s streams) printFound(l output.Layout, rows []output.Row, r output.Run, dir string, asJSON bool) error {
	if asJSON {
		encoder := json.NewEncoder(s.out)
		encoder.SetIndent("", "  ")
		return encoder.Encode(struct {
			Folder string `json:"folder"`
			output.Run
		}{dir, r})
	}
	text := l.FrontText(rows, tableRows) + fmt.Sprintf("\n%d flights in %.1f s (%.0f a second), %.1f %% of them within every limit; run in %s\n",
		r.Flights, r.Clock.Seconds, r.Clock.FlightsPerSecond, 100*float64(r.Feasible)/float64(max(r.Flights, 1)), dir)
	if r.Advice != "" {
		text += r.Advice + "\n"
	}
	_, err := io.WriteString(s.out, text)
	return err
}

// hardest names the limit that the least violating designs miss most often.
func hardest(l output.Layout, rows []output.Row) string {
	worst, most := "", 0
	for i, limit := range l.Limits {
		missed := 0
		for _, row := range rows {
			if slack := row.Slacks[i]; !slack.Applies || slack.Number < 0 {
				missed++
			}
		}
		if missed > most {
			worst, most = limit.Key, missed
		}
	}
	if worst == "" {
		return "none could be flown to its end"
	}
	return fmt.Sprintf("the hardest is %s: %d of the %d nearest designs miss it", worst, most, len(rows))
}

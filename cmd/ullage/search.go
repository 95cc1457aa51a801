package main

import (
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

// tableRows is how many designs of the front the terminal shows.
const tableRows = 12

func (s streams) searchCommand() *cli.Command {
	return &cli.Command{
		Name:      "search",
		Usage:     "search for the designs that no other beats in every goal, and write a run",
		ArgsUsage: "BRIEF",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "the run's `FOLDER` (default: runs/NAME, NAME the brief's file name)"},
			setFlag, formatFlag, quietFlag,
			&cli.Uint64Flag{Name: "seed", Usage: "replace the brief's seed"},
			&cli.IntFlag{Name: "workers", Usage: "flights at a time", Value: runtime.NumCPU()},
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
	if workers < 1 {
		return usage("--workers %d: want at least 1", workers)
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
	settings := optimize.Settings{
		Seed: b.Search.Seed, Islands: b.Search.Islands, Population: b.Search.Population, Flights: b.Search.Flights,
	}
	watch := s.watch(problem, settings.Flights, c.Bool(quietFlag.Name))
	var history []output.Epoch
	found, err := optimize.Evolve(c.Context, problem, settings, workers, func(r optimize.Record) {
		watch.barrier(r)
		history = append(history, epochOf(b, r, time.Since(start)))
	})
	watch.stop()
	if err != nil {
		return coded{err, exitUsage}
	}

	layout := layoutOf(b)
	rows, paths := fronted(b, optimize.Choose(found.Archive, frontSize(b)))
	record := output.Run{
		Set: b.Set, State: output.Finished, Stop: found.Stop, Advice: found.Advice,
		Flights: found.Flights, Feasible: found.Feasible, Failed: found.Failed,
		Front: len(rows), Hypervolume: found.Hypervolume,
		Clock: output.Clock{Seconds: time.Since(start).Seconds()},
	}
	record.Clock.FlightsPerSecond = float64(found.Flights) / record.Clock.Seconds
	if c.Context.Err() != nil {
		record.State = output.Interrupted
	}
	front := layout.Front(rows)
	for _, file := range []struct {
		name  string
		table output.Table
	}{
		{"front.parquet", front},
		{"front.arrow", front},
		{"paths.parquet", pathTable(paths)},
		{"history.parquet", output.History(layout.Goals, history)},
	} {
		if err := folder.WriteTable(file.name, file.table); err != nil {
			return err
		}
	}
	record, err = folder.Finish(record)
	if err != nil {
		return err
	}
	if err := s.printFound(layout, rows, record, folder.Dir, asJSON); err != nil {
		return err
	}
	switch {
	case record.State == output.Interrupted:
		return coded{fmt.Errorf("%s: interrupted after %d of %d flights, what was found is written", folder.Dir, found.Flights, settings.Flights), exitInterrupted}
	case !found.Met:
		return coded{fmt.Errorf("%s: no design meets every limit, %s", b.Name, hardest(layout, rows)), exitInfeasible}
	}
	return nil
}

func runFolder(c *cli.Context, b *brief.Brief) string {
	if dir := c.String("output"); dir != "" {
		return dir
	}
	name := strings.TrimSuffix(filepath.Base(b.Name), ".toml")
	return filepath.Join("runs", strings.ReplaceAll(name, " ", "-"))
}

func frontSize(b *brief.Brief) int { return b.Search.Front }

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
		row := rowOf(b, place+1, designs[i].X, &flight)
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

// printFound writes the front and the run's summary to standard output.
func (s streams) printFound(l output.Layout, rows []output.Row, r output.Run, dir string, asJSON bool) error {
	if asJSON {
		encoder := json.NewEncoder(s.out)
		encoder.SetIndent("", "  ")
		return encoder.Encode(r)
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
	return fmt.Sprintf("the hardest is %s: %d of the %d nearest designs miss it", worst, most, len(rows))
}

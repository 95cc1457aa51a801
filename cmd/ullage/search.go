package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/fleet"
	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/output/terminal"
	"ullage/output/text"
	"ullage/output/wording"
)

const (
	tableRows  = 12   // designs of the front that the terminal shows
	maxWorkers = 1024 // each costs memory, and none helps beyond the processors
)

func (s streams) searchCommand() *cli.Command {
	return &cli.Command{
		Name:      "search",
		Usage:     "search for the designs that no other beats in every goal, and write a run",
		ArgsUsage: "BRIEF|RUN",
		Description: "From the folder of a RUN it searches that run's brief once more, beginning with its front:\n" +
			"--set fixes what has been built and weighed.",
		Flags: append([]cli.Flag{
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "the run's `FOLDER` (default: runs/NAME, NAME the brief's file name, or the next number behind RUN)"},
			&cli.BoolFlag{Name: "resume", Usage: "go on with a run that was interrupted or killed, as if it never had been", DisableDefaultText: true},
			setFlag, classFlag, formatFlag,
			&cli.BoolFlag{Name: "quiet", Aliases: []string{"q"}, Usage: "show no progress", DisableDefaultText: true},
			&cli.Uint64Flag{Name: "seed", Usage: "start the random numbers from `N`, a whole number", DefaultText: "the brief's"},
			&cli.IntFlag{Name: "workers", Usage: "fly `N` designs at a time; the result does not depend on it", Value: runtime.NumCPU()},
		}, fleetFlags()...),
		Action: s.search,
	}
}

func (s streams) search(c *cli.Context) error {
	asJSON, err := wantsJSON(c)
	if err != nil {
		return err
	}
	if err := wantsFolder(c); err != nil {
		return err
	}
	workers, err := crew(c)
	if err != nil {
		return err
	}
	j, err := s.job(c)
	if err != nil {
		return err
	}
	if j.finished != nil {
		return s.printFinished(c, j, asJSON)
	}
	defer j.folder.Close()
	found, err := s.evolve(c, j, workers)
	if err != nil {
		return err
	}
	return s.keep(c.Context, j, found, max(workers, 1), asJSON) // workers for what is left to fly
}

// keep flies what is told of the designs that were found, writes all of it to the
// folder and prints the front. Told to end, it writes what can be said at once.
func (s streams) keep(ctx context.Context, j *job, found optimize.Outcome, workers int, asJSON bool) error {
	b := j.brief
	end, cut := until(ctx, j.folder.Dir, func() (ending, error) { return endOf(ctx, b, &found, workers), nil })
	if cut != nil {
		end, found.Stop = draftOf(b, &found, workers), "interrupted"
	}
	front, kept := &end.front, &end.kept
	found.Flights += front.Proof.Flights
	record := runs.Run{
		Set: b.Set, Class: classRecord(b), From: j.checkpoint.From, Fit: b.Fitted, State: runs.Finished, Stop: found.Stop, Advice: found.Advice,
		Flights: found.Flights, Feasible: found.Feasible, Failed: found.Failed, Answers: end.answers,
		Front: len(front.Rows), Hypervolume: found.Hypervolume, Clock: j.clock(found.Flights), Proof: proofRecord(b, front.Proof),
	}
	// An interrupt that comes while the files are written is too late.
	if cut != nil {
		record.State = runs.Interrupted
	}
	kept.Seconds = j.times(found.Records)
	if err := kept.Save(b, j.folder); err != nil {
		return err
	}
	record, err := j.folder.Finish(record)
	if err != nil {
		return err
	}
	if _, err := report.Of(b, record, kept).Write(j.folder); err != nil {
		return err
	}
	if err := s.printFound(ctx, b, front.Rows, record, j.folder.Dir, asJSON); err != nil {
		return err
	}
	s.caution(b)
	switch {
	case cut != nil:
		return coded{fmt.Errorf("%s: interrupted after %d of %d flights, what was found is written, without doubts and landings; --resume goes on",
			j.folder.Dir, found.Flights, b.Search.Flights), exitInterrupted}
	case !front.Met:
		return infeasible(b, front.Rows)
	}
	return nil
}

// An ending is what a search comes to when its flights are over.
type ending struct {
	front   study.Front
	kept    output.Found // but for its Seconds
	answers *runs.Answers
}

// endOf flies what is told of a front; where ctx ends first it is not whole.
func endOf(ctx context.Context, b *brief.Brief, found *optimize.Outcome, workers int) (e ending) {
	e.front = study.Settle(ctx, b, found, workers)
	if ctx.Err() != nil {
		return e
	}
	rows := e.front.Rows
	e.kept = output.Found{
		Rows: rows, Paths: e.front.Paths, Landings: study.Landings(ctx, b, rows, workers), Doubts: answers.DoubtsOf(ctx, b, rows, workers),
		Archive: study.Archive(ctx, b, rows, found.Archive, workers), Records: found.Records,
	}
	if len(rows) > 0 {
		e.answers = wording.Record(b, answers.Of(b, &e.front), rows, e.kept.Doubts[0])
	}
	return e
}

// draftOf is endOf a search that is told to end: what can be told at once.
func draftOf(b *brief.Brief, found *optimize.Outcome, workers int) (e ending) {
	var archive []study.Row
	e.front, archive = study.Draft(b, found, workers)
	e.kept = output.Found{Rows: e.front.Rows, Paths: e.front.Paths, Archive: archive, Records: found.Records}
	e.answers = wording.Record(b, answers.Of(b, &e.front), e.front.Rows, nil)
	return e
}

func infeasible(b *brief.Brief, rows []study.Row) error {
	return coded{fmt.Errorf("%s: no design meets every limit, %s", b.Name, wording.Hardest(answers.HardestOf(b, rows))), exitInfeasible}
}

// proofRecord says what run.json keeps of the proof of a robust search.
func proofRecord(b *brief.Brief, n study.Count) *runs.Proof {
	robust := b.Search.Robust
	if robust.Draws == 0 {
		return nil
	}
	return &runs.Proof{
		Draws: robust.Draws, Confidence: robust.Confidence, Screened: n.Screened, Each: b.Plan().Each,
		Checked: n.Checked, Dropped: n.Dropped, Flights: n.Flights,
	}
}

// evolve searches under a watch, and saves at the barriers.
func (s streams) evolve(c *cli.Context, j *job, workers int) (optimize.Outcome, error) {
	quiet := c.Bool("quiet")
	search := j.brief.Search
	settings := optimize.Settings{
		Seed: search.Seed, Islands: search.Islands, Population: search.Population,
	}
	settings.Flights = j.brief.Plan().Search
	var run optimize.Runner
	if inFleet(c) {
		party, err := s.gather(c, j.folder.Dir, workers, quiet)
		if err != nil {
			return optimize.Outcome{}, err
		}
		defer party.close()
		run = fleet.Epochs(party.ask, j.shared(), settings)
	}
	watch := s.watch(j.problem, j.state, settings.Flights, quiet)
	defer watch.stop()
	if run == nil {
		run = optimize.Local(j.problem, settings, workers)
	} else {
		run = watch.over(run)
	}
	found, err := optimize.Continue(c.Context, j.problem, settings, j.state, run, func(st optimize.State) error {
		for _, r := range st.Records[len(st.Records)-len(st.Islands):] {
			watch.barrier(r)
		}
		return j.barrier(st)
	})
	if err == nil {
		return found, j.save()
	}
	var known coded
	if !errors.As(err, &known) {
		err = coded{err, exitUsage}
	}
	return found, err
}

// crew returns how many designs, or jobs, this program flies at a time: in a
// fleet that may be none. It tells what is wrong with the flags of a fleet.
func crew(c *cli.Context) (int, error) {
	least := 1
	if c.IsSet("serve") || c.IsSet("server") {
		least = 0
	}
	n := c.Int("workers")
	if n < least || n > maxWorkers {
		return 0, usage("--workers %d: want %d to %d", n, least, maxWorkers)
	}
	return n, checkFleet(c)
}

// shared returns what the jobs of the search have in common.
func (j *job) shared() fleet.Job {
	return fleet.Job{
		Name: j.brief.Name, Source: j.brief.Source, Set: j.brief.Set,
		Seed: j.brief.Search.Seed, First: j.checkpoint.First,
	}
}

// wantsFolder refuses the name of standard output for the folder of a run.
func wantsFolder(c *cli.Context) error {
	if c.String("output") == "-" {
		return usage("--output -: want a folder, for a run is many files")
	}
	return nil
}

// runFolder returns the folder of a brief's run.
func runFolder(c *cli.Context, name string) string {
	if dir := c.String("output"); dir != "" {
		return dir
	}
	if name == "-" {
		name = "standard input"
	}
	name = strings.TrimSuffix(filepath.Base(name), ".toml")
	return filepath.Join("runs", strings.ReplaceAll(name, " ", "-"))
}

// printFound writes the front and the run's summary to standard output: in
// JSON, run.json with the folder that holds it. What the front's designs would
// be called is flown behind the table, for all files are written by then.
func (s streams) printFound(ctx context.Context, b *brief.Brief, rows []study.Row, r runs.Run, dir string, asJSON bool) error {
	if asJSON {
		encoder := json.NewEncoder(s.out)
		encoder.SetIndent("", "  ")
		return encoder.Encode(struct {
			Folder string `json:"folder"`
			runs.Run
			Called *terminal.Called `json:"called,omitempty"`
		}{dir, r, called(ctx, b, rows)})
	}
	out := terminal.Front(b, rows, tableRows) + fmt.Sprintf("\n%d flights in %.1f s (%.0f a second), %.1f %% of them within every limit; run in %s\n",
		r.Flights, r.Clock.Seconds, r.Clock.FlightsPerSecond, 100*float64(r.Feasible)/float64(max(r.Flights, 1)), dir)
	if p := r.Proof; p != nil {
		out += text.Folded("", wording.Proved(p))
	}
	if r.Answers != nil {
		out += terminal.Answers(r.Answers)
	}
	out += text.Folded("", append(wording.Ends(b, rows), wording.HowNear(b, rows)...)...)
	if r.Advice != "" {
		out += r.Advice + "\n"
	}
	if _, err := io.WriteString(s.out, out); err != nil {
		return err
	}
	if n := called(ctx, b, rows); n != nil {
		_, err := io.WriteString(s.out, n.Words())
		return err
	}
	return nil
}

// mostCalled is how many designs of a front are called: a second or two of
// flights.
const mostCalled = 100

// called counts what the first designs of a front are called; nil where none
// keeps its limits as set or ctx has ended.
func called(ctx context.Context, b *brief.Brief, rows []study.Row) *terminal.Called {
	var designs [][]float64
	for i := range rows[:min(mostCalled, len(rows))] {
		if rows[i].Kept(b) {
			designs = append(designs, rows[i].X)
		}
	}
	words, whole := pad.Words(ctx, b, designs, runtime.NumCPU())
	if !whole || len(words) == 0 {
		return nil
	}
	return terminal.CalledOf(words)
}

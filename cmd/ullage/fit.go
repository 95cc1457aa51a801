package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
	"ullage/optimize/fit"
	"ullage/output/file"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/output/table"
)

const fitDraws = 300 // flights of the band

func (s streams) fitCommand() *cli.Command {
	return &cli.Command{
		Name:      "fit",
		Usage:     "fit drag, jet, canopy and latency to logs of flights, or to what was seen of one: values, intervals, what they cannot tell",
		ArgsUsage: "BRIEF|RUN [LOG.csv...]",
		Description: "A LOG holds a time and a height or a pressure, with units in its header, and may hold a speed and an\n" +
			"acceleration along the axis; or, of a test stand, a time and a thrust. Without a logger a stopwatch and an angle\n" +
			"tell something too: --observed, --sighted. BRIEF describes the rocket; what differed in a flight goes to --set, --flight or\n" +
			"--conditions.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write the fitted brief, patch, numbers, residuals and picture to a new `FOLDER`"},
			designFlag, setFlag, classFlag,
			&cli.StringSliceFlag{Name: "flight", Usage: "replace a value for one log only: `N:KEY=VALUE`, N its place among the logs"},
			&cli.StringSliceFlag{Name: "conditions", Usage: "replace values for one log only by the lines KEY = VALUE of `FILE`: the first for the first log"},
			&cli.StringSliceFlag{Name: "column", Usage: "take a kind of number from a column: `KIND=NAME` or its number; kinds are time, height, pressure, speed, acceleration, thrust"},
			&cli.StringSliceFlag{Name: "unit", Usage: "give the unit that a header leaves out: `KIND=UNIT`"},
			&cli.StringSliceFlag{Name: "observed", Usage: "a figure that was seen, with one standard deviation: `FIGURE=VALUE±VALUE`, as in \"apogee_time = 3.4 s ± 0.2 s\" or \"apogee = 78 m +- 6 m\""},
			&cli.StringSliceFlag{Name: "sighted", Usage: "the angle above the pad's level at which the top was seen, `ANGLE at BASELINE`, as in \"31 deg at 100 m\", with the top above the pad; known to 2 deg, or say \"31 deg ± 1 deg at 100 m\""},
			&cli.StringFlag{Name: "altimeter", Usage: "what heights are counted by: `KIND` pad, the standard atmosphere with 15 degC at the pad; sea, at sea level; true, metres", DefaultText: "what the header says"},
			&cli.StringFlag{Name: "rate", Usage: "samples in a second `RATE` of a log without times, as in \"20 Hz\": they come from the number of the sample"},
			&cli.StringFlag{Name: "lag", Usage: "time constant `TIME` of the altimeter's filter, of first order, as in \"0.1 s\"", DefaultText: "none"},
			&cli.StringSliceFlag{Name: "free", Usage: "also fit `KEY`, chamber.gas_jet: where there is a log of a test stand, of accelerations, or of several fills; a filter must then be given"},
			&cli.StringSliceFlag{Name: "fix", Usage: "leave `KEY` as the brief has it"},
			&cli.BoolFlag{Name: "gas", Usage: "fit the other gas model too, and say which the logs prefer", DisableDefaultText: true},
			formatFlag,
		},
		Action: s.fit,
	}
}

func (s streams) fit(c *cli.Context) error {
	asJSON, err := wantsJSON(c)
	if err != nil {
		return err
	}
	observed, err := observations(c)
	if err != nil {
		return err
	}
	names := c.Args().Slice()
	switch {
	case len(names) == 0 || len(names) == 1 && len(observed) == 0:
		return usage("fit: %d arguments, want a brief and at least one log, or --observed or --sighted", len(names))
	case len(names) == 1 && c.Bool("gas"):
		return usage("--gas: observations alone cannot tell it, want a log")
	}
	b, err := s.readSubjectNamed(c, names[0])
	if err != nil {
		return err
	}
	keys, err := fitKeys(c)
	if err != nil {
		return err
	}
	report, err := until(c.Context, b.Name, func() (fitReport, error) {
		flights, err := s.flights(c, b, names[1:], keys)
		if err != nil {
			return fitReport{}, err
		}
		return fitted(b, flights, keys, observed, c.Bool("gas"))
	})
	if err != nil {
		return err
	}
	return s.show(&report, c.String("output"), asJSON)
}

// fitted fits the flights, with the other gas too where that is asked for.
func fitted(b *brief.Brief, flights []fit.Flight, keys []string, observed []fit.Observation, gas bool) (fitReport, error) {
	if err := fit.Observe(flights, observed); err != nil {
		return fitReport{}, coded{err, exitUsage}
	}
	result, err := fit.Fit(flights, keys)
	if err != nil {
		return fitReport{}, coded{err, exitUsage}
	}
	report := fitReport{brief: b, result: result, next: result.Next(b, fitDraws, b.Search.Seed)}
	if gas {
		if report.gas, err = fit.CompareGas(flights, keys, result); err != nil {
			return fitReport{}, coded{err, exitUsage}
		}
	}
	return report, nil
}

// show writes the folder of a fit, if there is one, and prints the fit.
func (s streams) show(report *fitReport, dir string, asJSON bool) error {
	if dir != "" {
		if err := report.write(dir); err != nil {
			return err
		}
	}
	text := []byte(report.text())
	if asJSON {
		var err error
		if text, err = report.json(); err != nil {
			return err
		}
	}
	_, err := s.out.Write(text)
	return err
}

// fitKeys returns the quantities to fit.
func fitKeys(c *cli.Context) ([]string, error) {
	for _, flag := range []string{"free", "fix"} {
		for _, key := range c.StringSlice(flag) {
			if !slices.Contains(fit.Freeable(), key) {
				return nil, usage("--%s %s: want one of %s", flag, key, strings.Join(fit.Freeable(), ", "))
			}
		}
	}
	keys := fit.Choose(c.StringSlice("free"), c.StringSlice("fix"))
	if len(keys) == 0 {
		return nil, usage("--fix: nothing is left to fit, want one key free")
	}
	return keys, nil
}

// observations returns what was seen without a logger.
func observations(c *cli.Context) (all []fit.Observation, err error) {
	for _, flag := range []struct {
		name string
		read func(string) (fit.Observation, error)
	}{{"observed", fit.ReadObservation}, {"sighted", fit.ReadSighting}} {
		for _, text := range c.StringSlice(flag.name) {
			o, err := flag.read(text)
			if err != nil {
				return nil, usage("--%s %v", flag.name, err)
			}
			all = append(all, o)
		}
	}
	return all, nil
}

// flights reads the logs and the conditions of each; without a log there is one
// flight, which was only seen.
func (s streams) flights(c *cli.Context, b *brief.Brief, logs, keys []string) ([]fit.Flight, error) {
	columns, err := fitColumns(c)
	if err != nil {
		return nil, err
	}
	altimeter, ok := fit.AltimeterOf(c.String("altimeter"))
	if !ok {
		return nil, usage("--altimeter %s: want pad, sea or true", c.String("altimeter"))
	}
	lag, err := fitLag(c)
	if err != nil {
		return nil, err
	}
	own, err := s.conditions(c, max(len(logs), 1))
	if err != nil {
		return nil, err
	}
	if len(logs) == 0 {
		of, err := fit.Under(b, own[0], keys)
		if err != nil {
			return nil, coded{err, exitUsage}
		}
		return []fit.Flight{of}, nil
	}
	flights := make([]fit.Flight, len(logs))
	for i, name := range logs {
		if flights[i], err = s.flightOf(c.Context, b, name, own[i], keys, columns); err != nil {
			return nil, err
		}
		flights[i].Altimeter, flights[i].Lag = altimeter, lag
	}
	return flights, nil
}

// flightOf reads a log, of a flight in its own conditions.
func (s streams) flightOf(ctx context.Context, b *brief.Brief, name string, own, keys []string, columns fit.Columns) (fit.Flight, error) {
	flight, err := fit.Under(b, own, keys)
	if err != nil {
		return flight, coded{fmt.Errorf("%s: %w", name, err), exitUsage}
	}
	src, err := s.source(ctx, name, fit.MostLog)
	if err != nil {
		return flight, err
	}
	if flight.Log, err = fit.ReadLog(name, src, columns); err != nil {
		return flight, coded{err, exitUsage}
	}
	return flight, nil
}

func fitColumns(c *cli.Context) (columns fit.Columns, err error) {
	for _, flag := range []string{"column", "unit"} {
		for _, arg := range c.StringSlice(flag) {
			name, value, ok := strings.Cut(arg, "=")
			kind, known := fit.KindOf(strings.TrimSpace(name))
			if !ok || !known {
				return columns, usage("--%s %s: want time, height, pressure, speed, acceleration or thrust, =, and its %s", flag, arg, flag)
			}
			if value = strings.TrimSpace(value); flag == "column" {
				columns.Name[kind] = value
			} else {
				columns.Unit[kind] = value
			}
		}
	}
	columns.Rate, err = fitRate(c)
	return columns, err
}

func fitRate(c *cli.Context) (float64, error) {
	arg := c.String("rate")
	if arg == "" {
		return 0, nil
	}
	number, found := strings.CutSuffix(strings.TrimSpace(arg), "Hz")
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || !found || !(v >= 0.1 && v <= 1e6) {
		return 0, usage("--rate %s: want samples in a second, 0.1 to 1000000, as in \"20 Hz\"", arg)
	}
	return v, nil
}

func fitLag(c *cli.Context) (float64, error) {
	arg := c.String("lag")
	if arg == "" {
		return 0, nil
	}
	number, unit, _ := strings.Cut(strings.TrimSpace(arg), " ")
	v, err := strconv.ParseFloat(number, 64)
	lag, ok := brief.ToSI(v, strings.TrimSpace(unit), "s")
	if err != nil || !ok || !(lag > 0 && lag <= 5) {
		return 0, usage("--lag %s: want a time above 0 s and up to 5 s, as in \"0.1 s\"", arg)
	}
	return lag, nil
}

// conditions returns the values that replace the brief's for each log.
func (s streams) conditions(c *cli.Context, logs int) ([][]string, error) {
	own := make([][]string, logs)
	files := c.StringSlice("conditions")
	if len(files) > logs {
		return nil, usage("--conditions: %d files for %d logs, want at most one each", len(files), logs)
	}
	for i, file := range files {
		src, err := s.source(c.Context, file, brief.MostSource)
		if err != nil {
			return nil, err
		}
		if own[i], err = fit.ReadConditions(file, src); err != nil {
			return nil, coded{err, exitUsage}
		}
	}
	for _, arg := range c.StringSlice("flight") {
		number, set, ok := strings.Cut(arg, ":")
		n, err := strconv.Atoi(number)
		if !ok || err != nil || n < 1 || n > logs {
			return nil, usage("--flight %s: want N:KEY=VALUE with N from 1 to %d", arg, logs)
		}
		own[n-1] = fit.JoinSets(own[n-1], []string{set})
	}
	return own, nil
}

// write makes the folder of a fit.
func (f *fitReport) write(dir string) error {
	data, err := f.json()
	if err != nil {
		return err
	}
	files := map[string][]byte{"patch.toml": []byte(f.result.Patch()), "fit.json": data}
	if logs := f.comparisons(); len(logs) > 0 {
		files["residuals.svg"] = report.Compare(logs)
	}
	fitted, err := f.result.Apply(f.brief.Name, f.brief.Source)
	if err == nil {
		files["brief.toml"] = fitted
	} else {
		f.refused = err.Error()
	}
	if len(f.result.Logs) > 0 {
		const name = "residuals.parquet"
		meta := table.Meta{Brief: runs.Hash(f.brief.Source), Seed: f.brief.Search.Seed, Version: version()}
		if files[name], err = table.Encode(name, f.residuals(), meta); err != nil {
			return fmt.Errorf("write %s: %w", filepath.Join(dir, name), err)
		}
	}
	return file.WriteFolder(dir, files)
}

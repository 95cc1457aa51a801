package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
)

func (s streams) reportCommand() *cli.Command {
	return &cli.Command{
		Name:      "report",
		Usage:     "write the report.html of a run anew from its other files",
		ArgsUsage: "RUN",
		Action:    s.rewriteReport,
	}
}

func (s streams) rewriteReport(c *cli.Context) error {
	dir, err := oneArgument(c, "a run")
	if err != nil {
		return err
	}
	r, err := runs.Read(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: holds no run that ended, want one", dir)
	}
	if err != nil {
		return err
	}
	b, err := s.parse(c.Context, filepath.Join(dir, "brief.toml"), r.Set)
	if err != nil {
		return err
	}
	if err := sameBrief(b, dir, r.Brief); err != nil {
		return err
	}
	front, _, err := r.ReadTable(dir, "front.parquet")
	if err != nil {
		return err
	}
	designs, err := front.Designs(layoutOf(b).Varied)
	if err != nil {
		return fmt.Errorf("read %s: %w", filepath.Join(dir, "front.parquet"), err)
	}
	path, err := reportOf(b, designs).Write(dir)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintln(s.out, path)
	return err
}

// reportOf gathers what a report says beyond the files of its run. The cautions
// are for the design of the front that holds the most energy.
func reportOf(b *brief.Brief, designs [][]float64) report.Page {
	page := report.Page{Layout: layoutOf(b), Title: cmp.Or(b.Title, "Water rocket"), Brief: b.Source}
	for i := range b.Limits {
		l := &b.Limits[i]
		page.Bounds = append(page.Bounds, report.Bound{
			AtLeast: table.Of(l.AtLeast, !math.IsInf(l.AtLeast, 0)), AtMost: table.Of(l.AtMost, !math.IsInf(l.AtMost, 0)), Size: l.Size,
		})
	}
	if len(designs) == 0 {
		designs = [][]float64{b.Own()}
	}
	var most model.Statics
	var chamber model.Chamber
	for _, x := range designs {
		rocket, site := b.At(x)
		if statics, ok := model.Weigh(&rocket, &site); ok && statics.StoredEnergy > most.StoredEnergy {
			most, chamber = statics, rocket.Chamber
		}
	}
	page.Cautions = proofCautions(b)
	if most.StoredEnergy > 0 {
		page.Cautions = append(page.Cautions, text.Cautions(most.StoredEnergy, chamber.Pressure, chamber.Proof)...)
	}
	return page
}

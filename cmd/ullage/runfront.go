package main

import (
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
	"ullage/output"
	"ullage/output/runs"
)

// runFront reads a run that ended: its brief, with the settings of the run and
// newer ones applied, and the designs of its front on what is still varied.
func (s streams) runFront(c *cli.Context, dir string, newer []string) (*brief.Brief, runs.Run, [][]float64, error) {
	var r runs.Run
	if err := classOf(c, dir); err != nil {
		return nil, r, nil, err
	}
	r, err := runs.Read(dir)
	if err != nil {
		return nil, r, nil, err
	}
	b, err := s.parse(c.Context, filepath.Join(dir, "brief.toml"), replaced(r.Set, newer))
	if err != nil {
		return nil, r, nil, err
	}
	if err := sameBrief(b, dir, r.Brief); err != nil {
		return nil, r, nil, err
	}
	front, _, err := r.ReadTable(dir, "front.parquet")
	if err != nil {
		return nil, r, nil, err
	}
	designs, err := output.Designs(b, front)
	if err != nil {
		return nil, r, nil, fmt.Errorf("read %s: %w", filepath.Join(dir, "front.parquet"), err)
	}
	return b, r, designs, nil
}

// designNumber checks --design against a front.
func designNumber(c *cli.Context, dir string, designs [][]float64) (int, error) {
	n := c.Int("design")
	if n < 1 || n > len(designs) {
		return 0, usage("--design %d: the front of %s has %d, want one of them", n, dir, len(designs))
	}
	return n, nil
}

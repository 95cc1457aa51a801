package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
	"ullage/optimize/sweep"
	"ullage/output/file"
	"ullage/output/report"
	"ullage/output/runs"
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
	path, err := s.draw(c.Context, b, r, dir)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintln(s.out, path)
	return err
}

// draw makes the report of a run from its other files.
func (s streams) draw(ctx context.Context, b *brief.Brief, r runs.Run, dir string) (string, error) {
	folder, err := runs.Lock(dir)
	if err != nil {
		return "", err
	}
	defer folder.Close()
	if r.Sweep != "" {
		b = b.OnceEach() // as it was flown
	}
	path := filepath.Join(dir, report.FileName)
	page, err := until(ctx, path, func() ([]byte, error) {
		if r.Sweep != "" && r.Sweep != sweep.FrontMode {
			page, err := report.ReadSweep(ctx, b, r, dir)
			if err != nil {
				return nil, err
			}
			return page.Render()
		}
		page, err := report.Read(b, r, dir)
		if err != nil {
			return nil, err
		}
		return page.Render()
	})
	if err != nil {
		return "", err
	}
	return path, file.Write(path, page)
}

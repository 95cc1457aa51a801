package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/output/runs"
)

// again searches the brief of a run once more: what --set gives is fixed, and
// the designs of its front are among the first population.
func (s streams) again(c *cli.Context, dir string) (*job, error) {
	if _, err := runs.Read(dir); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: holds no run that ended, want one, or --resume", dir)
	}
	b, r, designs, err := s.runFront(c, dir, c.StringSlice(setFlag.Name))
	if err != nil {
		return nil, err
	}
	// Designs that differed in what is fixed now may be the same.
	var first [][]float64
	for _, x := range designs {
		if !slices.ContainsFunc(first, func(y []float64) bool { return slices.Equal(x, y) }) {
			first = append(first, x)
		}
	}
	target := c.String("output")
	if target == "" {
		target = nextFolder(dir)
	}
	return begin(c, b, target, &runs.Origin{Run: dir, Front: r.Files["front.parquet"]}, first)
}

// replaced returns the settings of a run with newer ones: a key that is set
// again has its newer value.
func replaced(old, newer []string) []string {
	key := func(set string) string {
		k, _, _ := strings.Cut(set, "=")
		return strings.TrimSpace(k)
	}
	all := slices.DeleteFunc(slices.Clone(old), func(set string) bool {
		return slices.ContainsFunc(newer, func(n string) bool { return key(n) == key(set) })
	})
	return append(all, newer...)
}

// nextFolder returns the first free name of runs/x-2, runs/x-3, … after the run
// x or one of these.
func nextFolder(dir string) string {
	stem, n := filepath.Clean(dir), 2
	if i := strings.LastIndexByte(stem, '-'); i >= 0 {
		if k, err := strconv.Atoi(stem[i+1:]); err == nil && k >= 2 {
			stem, n = stem[:i], k+1
		}
	}
	for ; ; n++ {
		name := fmt.Sprintf("%s-%d", stem, n)
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name
		}
	}
}

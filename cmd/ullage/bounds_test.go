package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// A number that a flag takes is taken from the least to the most, and refused just
// outside, by name and with what is wanted.
func TestBoundsOfFlags(t *testing.T) {
	dir, tiny := t.TempDir(), sweepBrief(t)
	log := filepath.Join(dir, "log.csv")
	write(t, log, []byte("time (s),altitude (m)\n0,0\n1,10\n"))
	none, out := filepath.Join(dir, "none.toml"), filepath.Join(dir, "out")
	width := int64(2 + 3) // tiny varies three quantities
	for _, c := range []struct {
		args            string // @ is the number
		inside, outside []any
		refusal         string
	}{
		{"search|" + none + "|--workers|@", []any{1, maxWorkers}, []any{0, maxWorkers + 1}, "--workers @: want 1 to 1024"},
		{"search|" + none + "|--serve|:0|--workers|@", []any{0, maxWorkers}, []any{-1, maxWorkers + 1}, "--workers @: want 0 to 1024"},
		{"search|" + none + "|--server|nats://127.0.0.1:1|--workers|@", []any{0}, []any{-1}, "--workers @: want 0 to 1024"},
		{"sweep|" + none + "|--draws|5|--workers|@", []any{1, maxWorkers}, []any{0, maxWorkers + 1}, "--workers @: want 1 to 1024"},
		{"worker|nats://127.0.0.1:1|--tls-ca|" + none + "|--workers|@", []any{1, maxWorkers}, []any{0, maxWorkers + 1}, "--workers @: want 1 to 1024"},
		{"sweep|" + tiny + "|-q|-o|" + out + "1|--resume|--draws|@", []any{1, int64(mostSampled)}, []any{0, int64(mostSampled) + 1}, "--draws @: want 1 to 1125899906842624"},
		{"sweep|" + tiny + "|-q|-o|" + out + "2|--draws|1|--resume|--part|@", []any{1, mostPart}, []any{0, mostPart + 1}, "--part @: want 1 to 1048576"},
		{"sweep|" + tiny + "|-q|-o|" + out + "3|--resume|--indices|@", []any{2, mostIndexFlights / width}, []any{1, mostIndexFlights/width + 1}, fmt.Sprintf("--indices @: want 2 to %d, of %d flights each", mostIndexFlights/width, width)},
		{"scatter|" + none + "|--draws|@", []any{2, 1_000_000}, []any{1, 1_000_001}, "--draws @: want 2 to 1000000"},
		{"fit|" + tiny + "|" + log + "|--altimeter|pad|--rate|@ Hz", []any{0.1, "1e6"}, []any{0.09, 1000001, "NaN"}, `--rate @ Hz: want samples in a second, 0.1 to 1000000, as in "20 Hz"`},
		{"fit|" + tiny + "|" + log + "|--altimeter|pad|--lag|@ s", []any{0.001, 5}, []any{0, 5.01, -1}, `--lag @ s: want a time above 0 s and up to 5 s, as in "0.1 s"`},
		{"fit|" + tiny + "|" + log + "|--altimeter|pad|--lag|0.1 s|--flight|@:site.wind=2 m/s", []any{1}, []any{0, 2}, "--flight @:site.wind=2 m/s: want N:KEY=VALUE with N from 1 to 1"},
	} {
		said := func(number any) (int, string) {
			args := strings.Split(strings.ReplaceAll("ullage|"+c.args, "@", fmt.Sprint(number)), "|")
			var out, said bytes.Buffer
			s := streams{out: &out, err: &said}
			ctx, stop := context.WithTimeout(t.Context(), time.Second) // of what would fly for hours
			defer stop()
			return s.report(run(ctx, args, s)), said.String()
		}
		flag, _, _ := strings.Cut(c.refusal, "@")
		for _, number := range c.inside {
			if code, text := said(number); strings.HasPrefix(text, flag) {
				t.Errorf("%s with %v: code %d, %s", c.args, number, code, text)
			}
		}
		for _, number := range c.outside {
			want := strings.ReplaceAll(c.refusal, "@", fmt.Sprint(number)) + "\n"
			if code, text := said(number); code != exitUsage || text != want {
				t.Errorf("%s with %v: code %d, %q, want %q", c.args, number, code, text, want)
			}
		}
	}
}

// A command that takes so many names takes no fewer and no more.
func TestCountsOfArguments(t *testing.T) {
	dir := t.TempDir()
	none := func(n int) []string { return slices.Repeat([]string{filepath.Join(dir, "none")}, n) }
	for _, c := range []struct {
		command     []string
		least, most int
	}{
		{[]string{"check"}, 1, 1},
		{[]string{"search"}, 1, 1},
		{[]string{"sweep", "--draws", "3"}, 1, 1},
		{[]string{"fly"}, 1, 1},
		{[]string{"card"}, 1, 1},
		{[]string{"effects"}, 1, 1},
		{[]string{"scatter"}, 1, 1},
		{[]string{"report"}, 1, 1},
		{[]string{"notebook"}, 1, 1},
		{[]string{"table"}, 2, 2},
		{[]string{"compare"}, 2, 5},
		{[]string{"fit"}, 2, 9},
		{[]string{"keys"}, 0, 1},
		{[]string{"help"}, 0, 1},
	} {
		for n := max(0, c.least-1); n <= c.most+1; n++ {
			var said bytes.Buffer
			s := streams{in: strings.NewReader(""), out: &said, err: &said}
			s.report(run(t.Context(), slices.Concat([]string{"ullage"}, c.command, none(n)), s))
			refused := strings.HasPrefix(said.String(), c.command[0]+": ") && strings.Contains(said.String(), "want ")
			if unbounded := c.command[0] == "fit" && n > 1; refused != (n < c.least || n > c.most) && !unbounded {
				t.Errorf("%v with %d names: %s", c.command, n, &said)
			}
		}
	}
}

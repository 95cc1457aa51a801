package main

import (
	"bytes"
	"errors"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"ullage/output/runs"
	"ullage/output/table"
)

// mostResident is the memory that a command may take whatever file it is given,
// in bytes.
const mostResident = 300 << 20

// A hostileRoom is what hostile files are put into: a brief, the run of its search
// and a sweep of it, and the names of a file of 8 GB and of one that is not there.
type hostileRoom struct {
	dir, brief, plan, grid, huge, none string
	sweep                              []string // the command of the sweep, which goes on with it
}

func newHostileRoom(t *testing.T) hostileRoom {
	t.Helper()
	dir, b := t.TempDir(), sweepBrief(t)
	text, err := os.ReadFile(b)
	if err != nil {
		t.Fatal(err)
	}
	write(t, b, append(text, "[scatter]\n\"chamber.pressure\" = \"1.5 %\"\n"...))
	h := hostileRoom{
		dir: dir, brief: b, plan: filepath.Join(dir, "plan"), grid: filepath.Join(dir, "grid"),
		huge: filepath.Join(dir, "huge"), none: filepath.Join(dir, "none"),
	}
	write(t, h.huge, nil)
	if err := os.Truncate(h.huge, 8<<30); err != nil { // without blocks on the disk
		t.Fatal(err)
	}
	ullage(t, t.Context(), 0, "search", b, "-o", h.plan, "-q")
	h.sweep = []string{"sweep", b, "--draws", "8", "--part", "4", "--resume", "-q", "-o", h.grid}
	ullage(t, t.Context(), 0, h.sweep...)
	return h
}

// readers returns which commands read a file of a run.
func (h *hostileRoom) readers(run string) map[string][][]string {
	return map[string][][]string{
		"run.json":         {{"report", run}, {"table", run, h.none + ".csv"}, {"search", run, "--resume"}},
		"brief.toml":       {{"report", run}, {"search", run, "-o", h.none}},
		"front.parquet":    {{"report", run}, {"scatter", run, "--front"}, {"compare", run, run}, {"table", run, filepath.Join(h.dir, "front.csv")}},
		"archive.parquet":  {{"card", run, "--room", "-o", h.none}, {"compare", run, "--by", "fins.span"}},
		"history.parquet":  {{"report", run}, {"table", run, filepath.Join(h.dir, "history.csv")}},
		"paths.parquet":    {{"report", run}},
		"landings.parquet": {{"report", run}},
	}
}

// TestHostileMemory gives the program files that ask for far more memory than
// they have bytes, or that have no end: each command is refused and has never held
// more than 300 MB.
func TestHostileMemory(t *testing.T) {
	t.Parallel()
	h := newHostileRoom(t)
	t.Run("files of 8 GB", func(t *testing.T) { hugeFiles(t, &h) })
	t.Run("many values", func(t *testing.T) { manyValues(t, &h) })
	t.Run("no files of a run", func(t *testing.T) { otherFiles(t, &h) })
	t.Run("tables", func(t *testing.T) { largeTables(t, &h) })
}

func hugeFiles(t *testing.T, h *hostileRoom) {
	of := h.readers(h.plan)
	of["checkpoint-a"] = [][]string{{"search", h.plan, "--resume"}}
	of["front.ipynb"] = [][]string{{"notebook", h.plan}}
	for name, commands := range of {
		instead(t, filepath.Join(h.plan, name), h.huge, func() {
			for _, args := range commands {
				takesLittle(t, name+" of 8 GB", args...)
			}
		})
	}
	for _, name := range []string{"sweep.json", "brief.toml", "flights/part-000001.parquet"} {
		instead(t, filepath.Join(h.grid, name), h.huge, func() { takesLittle(t, name+" of 8 GB", h.sweep...) })
	}
}

// manyValues puts some 8 MB of JSON in the place of a record.
func manyValues(t *testing.T, h *hostileRoom) {
	values := filepath.Join(h.dir, "values")
	for name, of := range map[string]struct {
		run, text string
		args      []string
	}{
		"parts":    {h.grid, `{"parts":[{}` + strings.Repeat(",{}", 2_700_000) + `]}`, h.sweep},
		"missed":   {h.grid, `{"parts":[{"missed":[0` + strings.Repeat(",0", 4_000_000) + `]}]}`, h.sweep},
		"settings": {h.grid, `{"set":[""` + strings.Repeat(`,""`, 2_700_000) + `]}`, h.sweep},
		"a front":  {h.grid, `{"front":{"front":[{}` + strings.Repeat(",{}", 2_700_000) + `]}}`, h.sweep},
		"bands":    {h.plan, `{"answers":{"bands":[{}` + strings.Repeat(",{}", 2_700_000) + `]}}`, []string{"report", h.plan}},
		"files":    {h.plan, `{"files":{"":""` + strings.Repeat(`,"":""`, 1_200_000) + `}}`, []string{"report", h.plan}},
		"lists":    {h.plan, strings.Repeat("[", 8<<20), []string{"report", h.plan}},
	} {
		write(t, values, []byte(of.text))
		record := "run.json"
		if of.run == h.grid {
			record = "sweep.json"
		}
		instead(t, filepath.Join(of.run, record), values, func() { takesLittle(t, "many "+name, of.args...) })
	}
}

func otherFiles(t *testing.T, h *hostileRoom) {
	for _, special := range []string{"/dev/zero", h.huge} {
		for _, args := range [][]string{
			{"check", special},
			{"search", special, "-o", h.none},
			{"check", h.brief, "--class", special},
			{"fit", h.brief, special},
			{"fit", h.brief, h.brief, "--conditions", special},
			{"epoch", "--in", special},
			{"worker", "--replay", special},
			{"worker", "tls://127.0.0.1:1", "--token", special},
			{"worker", "tls://127.0.0.1:1", "--tls-ca", special},
			{"search", h.brief, "-o", h.none, "--serve", ":0", "--token", special},
			{"search", h.brief, "-o", h.none, "--serve", ":0", "--tls-cert", special, "--tls-key", special},
		} {
			takesLittle(t, special, args...)
		}
	}
}

func largeTables(t *testing.T, h *hostileRoom) {
	hostile := filepath.Join(h.dir, "hostile")
	for why, bomb := range tableBombs() {
		data, err := table.EncodePart(bomb, tableMeta(t, h.plan))
		if err != nil {
			t.Fatal(err)
		}
		rows := bomb.Rows()
		for name, commands := range h.readers(hostile) {
			if filepath.Ext(name) != ".parquet" {
				continue
			}
			resealed(t, h.plan, hostile, name, data, rows)
			for _, args := range commands {
				takesLittle(t, name+": "+why, args...)
			}
		}
	}
}

// instead has another file in the place of one while do runs.
func instead(t *testing.T, path, other string, do func()) {
	t.Helper()
	was := path + ".was"
	if err := os.Rename(path, was); err != nil && !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
	if err := os.Symlink(other, path); err != nil {
		t.Fatal(err)
	}
	do()
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(was, path); err != nil && !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
}

func init() { programs["resident"] = resident }

// resident runs the program as its arguments say and writes the memory that it
// held at most, in bytes. It is a process of its own because a child inherits what
// its parent held. What still runs after 20 s is told to end.
func resident() {
	c := exec.Command("ullage", os.Args[1:]...)
	c.Stderr = os.Stderr
	if err := c.Start(); err != nil {
		log.Fatal(err)
	}
	told := time.AfterFunc(20*time.Second, func() { _ = c.Process.Signal(syscall.SIGTERM) })
	_ = c.Wait() // the code is passed on
	told.Stop()
	fmt.Println(c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss << 10)
	os.Exit(c.ProcessState.ExitCode())
}

// takesLittle runs the program on what is hostile: it ends with a code of its own
// and has held little memory.
func takesLittle(t *testing.T, why string, args ...string) {
	t.Helper()
	c := exec.Command("resident", args...)
	var out, said bytes.Buffer
	c.Stdout, c.Stderr = &out, &said
	_ = c.Run() // the code is looked at
	code := c.ProcessState.ExitCode()
	used, err := strconv.Atoi(strings.TrimSpace(out.String()))
	if err != nil || used > mostResident || code < 0 || bytes.Contains(said.Bytes(), []byte("goroutine ")) {
		t.Errorf("%s: %q took %d MB and ended with %d (%v): %.500s", why, args, used>>20, code, err, &said)
	}
	if testing.Verbose() {
		t.Logf("%s: %q: %d MB, code %d, %.200s", why, args, used>>20, code, &said)
	}
}

// tableBombs are tables of small files that are large in memory.
func tableBombs() map[string]table.Table {
	const rows = 6_000_000
	column := func(values any) table.Table {
		return table.Table{Columns: []table.Column{{Name: "design", Unit: "1", Values: values}}}
	}
	return map[string]table.Table{
		"20 million truth values": column(make([]bool, 20_000_000)),
		"numbers":                 column(make([]float64, rows)),
		"texts":                   column(slices.Repeat([]string{strings.Repeat("0123456789", 10)}, rows)),
		"a list without end":      column([][]string{slices.Repeat([]string{"abcdefgh"}, rows)}),
		"lists":                   column(slices.Repeat([][]string{{"a"}}, rows/3)),
		"a long text":             column([]string{strings.Repeat("a", 200<<20)}),
	}
}

// tableMeta returns what the tables of a run say of it.
func tableMeta(t *testing.T, run string) table.Meta {
	t.Helper()
	r := runOf(t, run)
	return table.Meta{Brief: r.Brief, Seed: r.Seed, Version: r.Version}
}

// resealed makes a copy of a run with a table of it replaced: its run.json has the
// hash of that, and counts so many designs where it is a front.
func resealed(t *testing.T, run, to, name string, bomb []byte, rows int) {
	t.Helper()
	r := runOf(t, run)
	brief, err := os.ReadFile(filepath.Join(run, "brief.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(to); err != nil {
		t.Fatal(err)
	}
	folder, err := runs.Create(to, brief, r.Seed, version())
	if err != nil {
		t.Fatal(err)
	}
	defer folder.Close()
	for file := range r.Files {
		data, err := os.ReadFile(filepath.Join(run, file))
		if file == name {
			data = bomb
		}
		if err = errors.Join(err, folder.Write(file, data)); err != nil {
			t.Fatal(err)
		}
	}
	if name == "front.parquet" {
		r.Front = rows
	}
	if _, err := folder.Finish(r); err != nil {
		t.Fatal(err)
	}
}

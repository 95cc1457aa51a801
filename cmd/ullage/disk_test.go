package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"ullage/optimize/fleet"
	"ullage/optimize/sweep"
	"ullage/output/file"
	"ullage/output/runs"
	"ullage/testdata/program"
)

// A failingDisk fails at one call, and where it is lost at every one after it.
type failingDisk struct {
	file.Disk
	at    int64 // the call that fails, from 1
	lost  bool
	calls atomic.Int64
}

func (d *failingDisk) fails() bool {
	n := d.calls.Add(1)
	return n == d.at || d.lost && n > d.at
}

func (d *failingDisk) flaw(op, path string) error {
	if d.fails() {
		return &fs.PathError{Op: op, Path: path, Err: syscall.EIO}
	}
	return nil
}

func (d *failingDisk) Create(path string) (file.Sink, error) {
	if err := d.flaw("open", path); err != nil {
		return nil, err
	}
	s, err := d.Disk.Create(path)
	return failingSink{s, d}, err
}

func (d *failingDisk) Rename(from, to string) error {
	if err := d.flaw("rename", from); err != nil {
		return err
	}
	return d.Disk.Rename(from, to)
}

func (d *failingDisk) Remove(path string) error {
	if err := d.flaw("remove", path); err != nil {
		return err
	}
	return d.Disk.Remove(path)
}

func (d *failingDisk) SyncFolder(dir string) error {
	if err := d.flaw("sync", dir); err != nil {
		return err
	}
	return d.Disk.SyncFolder(dir)
}

func (d *failingDisk) MakeFolder(dir string) error {
	if err := d.flaw("mkdir", dir); err != nil {
		return err
	}
	return d.Disk.MakeFolder(dir)
}

func (d *failingDisk) MakeFolders(dir string) error {
	if err := d.flaw("mkdir", dir); err != nil {
		return err
	}
	return d.Disk.MakeFolders(dir)
}

// A failingSink writes half of what it is given when it fails.
type failingSink struct {
	file.Sink
	d *failingDisk
}

func (s failingSink) Write(data []byte) (int, error) {
	if s.d.fails() {
		n, _ := s.Sink.Write(data[:len(data)/2])
		return n, syscall.EIO
	}
	return s.Sink.Write(data)
}

func (s failingSink) Sync() error {
	if s.d.fails() {
		return syscall.EIO
	}
	return s.Sink.Sync()
}

// TestFailingDisk has the n-th open, write, sync, rename, removal or new folder
// fail, for some three n, and once that call and all after it, of every
// command that writes; with ULLAGE_THOROUGH=1 for every n. The command then ends
// with code 1 and says so, every file is whole, as it was or as it shall be, and
// the same command on a sound disk brings about the same bytes as if nothing had
// failed.
func TestFailingDisk(t *testing.T) {
	clock := time.Unix(0, 0) // else the pace of the disk decides how often it is written to
	defer func(was func() time.Time) { now = was }(now)
	now = func() time.Time { return clock }
	rocket, err := os.ReadFile("testdata/rocket.toml")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	prepare(t, rocket)
	for _, command := range []string{
		"search small.toml -o new -q --resume",
		"search stopped -q --resume",
		"search small.toml -o new -q --resume --spool jobs",
		"sweep small.toml -o new -q --resume --draws 8 --part 4",
		"sweep few.toml -o new -q --resume --grid --front-only --part 8",
		"sweep small.toml -o new -q --resume --indices 4",
		"card small.toml -o old-card --no-page",
		"effects small.toml -o new.parquet",
		"scatter scattered.toml -o old.arrow --draws 20",
		"fly small.toml --path new.parquet",
		"fit few.toml --sighted 45deg@100m -o new",
		"report run",
		"notebook run",
		"epoch --in one.job",
	} {
		t.Run(command, func(t *testing.T) {
			args := strings.Fields(command)
			if i := slices.Index(args, "45deg@100m"); i > 0 {
				args[i] = "45 deg at 100 m"
			}
			if slices.Contains(args, "jobs") {
				defer answerJobs(t, "jobs")()
			}
			once, lost := failAtEach(t, false, args), failAtEach(t, true, args)
			t.Logf("failed %d and %d times", once, lost)
			if once < 3 || lost < 1 { // a file takes 5 calls
				t.Errorf("failed %d and %d times, want 3 and 1 and more", once, lost)
			}
		})
	}
}

// prepare puts into the working folder what the commands read, and files that
// are there already.
func prepare(t *testing.T, rocket []byte) {
	t.Helper()
	search := strings.NewReplacer("flights = 6000", "flights = 30", "islands = 2", "islands = 1", "front = 6", "front = 1").Replace(program.Plain)
	few := strings.NewReplacer(`step = "2 mm"`, `step = "50 mm"`, `to = "16 mm" }`, `to = "16 mm", step = "5 mm" }`, `step = "5 g"`, `step = "100 g"`).Replace(search)
	scattered := "[scatter]\n\"chamber.pressure\" = \"1.5 %\"\n"
	job, err := (&fleet.Job{
		Program: thisProgram(), Name: "small.toml", Source: append(rocket[:len(rocket):len(rocket)], search...),
		Stretch: &fleet.Stretch{Mode: sweep.DrawsMode, Size: 8, To: 8},
	}).MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string]string{
		"small.toml": string(rocket) + search, "few.toml": string(rocket) + few, "scattered.toml": string(rocket) + scattered + search,
		"one.job": string(job), "old.arrow": "of another day",
	} {
		if err := os.WriteFile(name, []byte(data), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	stopped, stop := context.WithCancel(t.Context())
	stop()
	for _, c := range []struct {
		ctx  context.Context
		code int
		args []string
	}{
		{t.Context(), 0, []string{"search", "small.toml", "-o", "run", "-q"}},
		{stopped, exitInterrupted, []string{"search", "small.toml", "-o", "stopped", "-q"}},
		{t.Context(), 0, []string{"card", "few.toml", "-o", "old-card", "--no-page", "--set", "payload.mass=80 g"}},
	} {
		if code, _, said := onDisk(c.ctx, file.System, c.args...); code != c.code {
			t.Fatalf("%v: code %d: %s", c.args, code, said)
		}
	}
	// To fly a grid would take longer than all else.
	write(t, filepath.Join("old-card", gridName), []byte("of another day"))
}

// onDisk runs a command in this process on a disk.
func onDisk(ctx context.Context, d file.Disk, args ...string) (code int, out, said string) {
	defer func(was file.Disk) { file.System = was }(file.System)
	file.System = d
	var o, e bytes.Buffer
	s := streams{in: strings.NewReader(""), out: &o, err: &e}
	code = s.report(run(ctx, append([]string{"ullage"}, args...), s))
	return code, o.String(), e.String()
}

// failAtEach runs the command on disks that fail later and later, until it does
// not notice, and returns how many failed.
func failAtEach(t *testing.T, lost bool, args []string) (failed int) {
	t.Helper()
	was, sound := tree(t), file.System
	before := timelessly(t, was)
	defer restore(t, was)
	counting := &failingDisk{Disk: sound}
	should, done, said := onDisk(t.Context(), counting, args...)
	if should != 0 && should != exitInfeasible {
		t.Fatalf("on a sound disk: code %d: %s", should, said)
	}
	want := timelessly(t, tree(t))
	tried := map[string]bool{}
	stride, n := max(1, counting.calls.Load()/3), int64(1)
	switch {
	case program.Thorough():
		stride = 1
	case lost:
		n, stride = 1+counting.calls.Load()/2, counting.calls.Load()
	}
	for ; ; n++ {
		restore(t, was)
		d := &failingDisk{Disk: sound, at: n, lost: lost}
		code, out, said := onDisk(t.Context(), d, args...)
		n += stride - 1
		if d.calls.Load() < d.at {
			return failed
		}
		failed++
		if code != exitFailed || !strings.Contains(said, syscall.EIO.Error()) || done != "" && out == done {
			t.Fatalf("call %d, lost %v: code %d, %q, %q, want %d and an input/output error", n, lost, code, said, out, exitFailed)
		}
		after := timelessly(t, tree(t))
		for name, data := range after {
			if strings.Contains(name, ".tmp") && !lost {
				t.Errorf("call %d: %s is left", n, name)
			}
			if half := data != before[name] && data != want[name]; half && !strings.Contains(name, ".tmp") && filepath.Base(name) != "sweep.json" {
				t.Fatalf("call %d, lost %v: %s is neither as it was nor as it shall be", n, lost, name)
			}
		}
		if maps.Equal(after, want) {
			continue // a folder may not be synced: nothing is left to do
		}
		if state := left(t); tried[state] {
			continue // most calls of one file leave the same behind
		} else {
			tried[state] = true
		}
		if code, _, said := onDisk(t.Context(), sound, args...); code != should {
			t.Fatalf("call %d, lost %v: then on a sound disk: code %d: %s", n, lost, code, said)
		}
		after = timelessly(t, tree(t))
		maps.DeleteFunc(after, func(name, _ string) bool { return strings.Contains(name, ".tmp") && lost })
		if !maps.Equal(after, want) {
			t.Fatalf("call %d, lost %v: then on a sound disk: other files than undisturbed: %v, want %v", n, lost, names(after), names(want))
		}
	}
}

// tree returns every file below the working folder but those of a spool.
func tree(t *testing.T) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(".", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			if path == "jobs" {
				return fs.SkipDir
			}
			return err
		}
		data, err := os.ReadFile(path)
		files[filepath.ToSlash(path)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// restore brings the working folder back to what tree returned.
func restore(t *testing.T, files map[string]string) {
	t.Helper()
	entries, err := os.ReadDir(".")
	for _, e := range entries {
		if e.Name() != "jobs" {
			err = errors.Join(err, os.RemoveAll(e.Name()))
		}
	}
	for name, data := range files {
		err = errors.Join(err, os.MkdirAll(filepath.Dir(name), 0o777), os.WriteFile(name, []byte(data), 0o666))
	}
	if err != nil {
		t.Fatal(err)
	}
}

// timelessly leaves out what depends on the time or on how often a search was
// stopped; that a run.json has its seal is read.
func timelessly(t *testing.T, files map[string]string) map[string]string {
	t.Helper()
	all := maps.Clone(files)
	for name := range all {
		switch filepath.Base(name) {
		case "checkpoint-a", "checkpoint-b", "lock":
			delete(all, name)
		case "history.parquet", "report.html":
			all[name] = "there"
		case "run.json":
			r, err := runs.Read(filepath.Dir(name))
			if err != nil {
				t.Fatal(err)
			}
			r.Clock, r.Seal = runs.Clock{}, runs.Seal{}
			delete(r.Files, "history.parquet")
			data, err := json.Marshal(r)
			if err != nil {
				t.Fatal(err)
			}
			all[name] = string(data)
		}
	}
	return all
}

// left tells what is in the working folder, of temporary files that there are
// some.
func left(t *testing.T) string {
	t.Helper()
	files := tree(t)
	for name := range files {
		if strings.Contains(name, ".tmp") {
			delete(files, name)
			files[".tmp"] = ""
		}
	}
	return asJSON(t, files)
}

func names(files map[string]string) []string { return slices.Sorted(maps.Keys(files)) }

// answerJobs flies the jobs that come into a spool until it is called off.
func answerJobs(t *testing.T, spool string) (stop func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	var done sync.WaitGroup
	done.Go(func() {
		for ; ctx.Err() == nil; time.Sleep(5 * time.Millisecond) {
			jobs, _ := filepath.Glob(filepath.Join(spool, "*.job"))
			for _, job := range jobs {
				sealed, err := fleet.FlyFile(ctx, job, thisProgram())
				if err != nil {
					continue // it may have been taken back
				}
				half := job + ".half"
				if err := os.WriteFile(half, sealed, 0o666); err == nil {
					_ = os.Rename(half, fleet.AnswerPath(job))
				}
			}
		}
	})
	return func() { cancel(); done.Wait() }
}

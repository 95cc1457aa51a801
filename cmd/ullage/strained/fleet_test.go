package strained_test

import (
	"bytes"
	"crypto/rand"
	"fmt"
	"io"
	"math/big"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"ullage/testdata/program"
)

const fleetSearch = program.Question + `[search]
flights = 36000
islands = 3
population = 160
front = 6
`

// local searches here, once for all tests, and returns brief and run.
var local = sync.OnceValues(func() (paths [2]string, err error) {
	rocket, err := os.ReadFile("../testdata/rocket.toml")
	if err != nil {
		return paths, err
	}
	root, err := os.MkdirTemp("", "ullage-fleet")
	if err != nil {
		return paths, err
	}
	paths = [2]string{filepath.Join(root, "fleet.toml"), filepath.Join(root, "local")}
	if err := os.WriteFile(paths[0], append(rocket, fleetSearch...), 0o666); err != nil {
		return paths, err
	}
	out, err := exec.Command("ullage", "search", paths[0], "-o", paths[1], "-q").CombinedOutput()
	if err != nil {
		err = fmt.Errorf("search: %w: %s", err, out)
	}
	return paths, err
})

func localRun(t *testing.T) (brief, run string) {
	t.Helper()
	paths, err := local()
	if err != nil {
		t.Fatal(err)
	}
	return paths[0], paths[1]
}

// A process is one that a test started.
type process struct {
	*exec.Cmd
	t    *testing.T
	done chan struct{}
	err  error

	mu   sync.Mutex
	text bytes.Buffer // of standard error
}

// starts runs a process until the test ends.
func starts(t *testing.T, args ...string) *process {
	t.Helper()
	return startsWith(t, nil, args...)
}

// startsWith does so with more in the environment, as "NAME=value".
func startsWith(t *testing.T, env []string, args ...string) *process {
	t.Helper()
	p := &process{Cmd: exec.Command(args[0], args[1:]...), t: t, done: make(chan struct{})}
	p.Env = append(os.Environ(), env...)
	p.Stdout, p.Stderr = io.Discard, p
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		p.err = p.Wait()
		close(p.done)
	}()
	t.Cleanup(p.kill)
	return p
}

func (p *process) Write(text []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.text.Write(text)
}

func (p *process) said() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.text.String()
}

// kill ends the process at once.
func (p *process) kill() {
	_ = p.Process.Kill()
	<-p.done
}

// ends waits for the process to end by itself, without an error.
func (p *process) ends() {
	p.t.Helper()
	select {
	case <-p.done:
		if p.err != nil {
			p.t.Fatalf("%v: %v: %s", p.Args, p.err, p.said())
		}
	case <-time.After(3 * time.Minute):
		p.t.Fatalf("%v does not end: %s", p.Args, p.said())
	}
}

// ended reports whether the process has ended.
func (p *process) ended() bool {
	select {
	case <-p.done:
		return true
	default:
		return false
	}
}

// freePort returns an address on this machine that is free now.
func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

func random(t *testing.T, below time.Duration) time.Duration {
	t.Helper()
	n, err := rand.Int(rand.Reader, big.NewInt(int64(below)))
	if err != nil {
		t.Fatal(err)
	}
	return time.Duration(n.Int64())
}

// TestFleetKilledWorkers kills workers at random instants; whatever they were
// at is flown again by others.
func TestFleetKilledWorkers(t *testing.T) {
	t.Parallel()
	brief, want := localRun(t)
	addr, dir := freePort(t), filepath.Join(t.TempDir(), "run")
	search := starts(t, "ullage", "search", brief, "-o", dir, "-q", "--serve", addr, "--workers", "0")
	kills := 0
	for try := 0; try < 8 && !search.ended(); try++ {
		w := starts(t, "ullage", "worker", "nats://"+addr, "--workers", "2")
		time.Sleep(100*time.Millisecond + random(t, 900*time.Millisecond))
		if w.ended() {
			t.Fatalf("worker ended: %v: %s", w.err, w.said())
		}
		w.kill()
		kills++
	}
	starts(t, "ullage", "worker", "nats://"+addr)
	search.ends()
	t.Logf("%d workers killed", kills)
	program.SameRun(t, dir, want)
	if _, err := os.Stat(filepath.Join(dir, "queue")); err == nil {
		t.Error("the run's folder has a folder of the queue")
	}
}

// TestFleetKilledServer kills the search that serves, and resumes it at the
// same address; the workers stay, and so does what somebody else put into the
// folder.
func TestFleetKilledServer(t *testing.T) {
	t.Parallel()
	brief, want := localRun(t)
	addr, dir := freePort(t), filepath.Join(t.TempDir(), "run")
	own := filepath.Join(dir, "queue", "mine")
	for range 2 {
		starts(t, "ullage", "worker", "nats://"+addr, "--workers", "1")
	}
	serve := func() *process {
		return starts(t, "ullage", "search", brief, "-o", dir, "-q", "--resume", "--serve", addr, "--workers", "0")
	}
	kills := 0
	for try := 0; try < 5; try++ {
		search := serve()
		time.Sleep(200*time.Millisecond + random(t, 1500*time.Millisecond))
		if search.ended() {
			break
		}
		search.kill()
		if kills++; kills == 1 {
			if err := os.MkdirAll(filepath.Dir(own), 0o777); err != nil {
				t.Fatal(err)
			}
			write(t, own, []byte("mine"))
		}
	}
	serve().ends()
	t.Logf("server killed %d times", kills)
	program.SameRun(t, dir, want)
	if data, err := os.ReadFile(own); string(data) != "mine" && kills > 0 {
		t.Errorf("%s is %q, %v, want it left alone", own, data, err)
	}
}

// outsideServer builds a NATS server from the module that this one needs.
var outsideServer = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "ullage-nats")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "nats-server")
	out, err := exec.Command("go", "build", "-o", path, "github.com/nats-io/nats-server/v2").CombinedOutput()
	if err != nil {
		err = fmt.Errorf("go build: %w: %s", err, out)
	}
	return path, err
})

// TestFleetOutsideServer uses a server of its own process, kills it and starts
// it again, twice.
func TestFleetOutsideServer(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: a server is built and killed twice, some half a minute; go test ./... does it")
	}
	t.Parallel()
	brief, want := localRun(t)
	path, err := outsideServer()
	if err != nil {
		t.Fatal(err)
	}
	addr, root := freePort(t), t.TempDir()
	_, port, _ := net.SplitHostPort(addr)
	config := filepath.Join(root, "nats.conf")
	text := fmt.Sprintf("host: 127.0.0.1\nport: %s\nauthorization { token: outside-token-1234 }\n", port)
	token := filepath.Join(root, "token")
	if err := os.WriteFile(config, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(token, []byte("outside-token-1234\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	serve := func() *process {
		s := starts(t, path, "-c", config)
		for range 100 {
			if c, err := net.Dial("tcp", addr); err == nil {
				c.Close()
				return s
			}
			time.Sleep(50 * time.Millisecond)
		}
		t.Fatalf("the server does not start: %s", s.said())
		return nil
	}
	server := serve()
	dir := filepath.Join(root, "run")
	starts(t, "ullage", "worker", "nats://"+addr, "--token", token, "--queue", "club")
	search := starts(t, "ullage", "search", brief, "-o", dir, "-q", "--server", "nats://"+addr, "--token", token, "--queue", "club", "--workers", "0")
	for program.Barriers(t, dir) < 1 && !search.ended() { // else it may still be finding its place
		time.Sleep(5 * time.Millisecond)
	}
	// Another search finds the queue taken.
	other := starts(t, "ullage", "search", brief, "-o", filepath.Join(root, "other"), "-q", "--server", "nats://"+addr, "--token", token, "--queue", "club")
	<-other.done
	if want := "queue club: another run hands out its work there, want a queue for each\n"; !search.ended() && other.said() != want {
		t.Errorf("a second search: %q, want %q", other.said(), want)
	}
	for range 2 {
		time.Sleep(random(t, 700*time.Millisecond))
		server.kill()
		time.Sleep(random(t, time.Second))
		server = serve()
	}
	search.ends()
	program.SameRun(t, dir, want)
}

// TestFleetStops ends a search in a fleet with SIGINT: it says where it stands,
// the workers stay, and it can be resumed.
func TestFleetStops(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows sends no SIGINT to another process")
	}
	t.Parallel()
	brief, want := localRun(t)
	addr, dir := freePort(t), filepath.Join(t.TempDir(), "run")
	worker := starts(t, "ullage", "worker", "nats://"+addr, "--workers", "1")
	search := starts(t, "ullage", "search", brief, "-o", dir, "-q", "--serve", addr, "--workers", "0")
	for program.Barriers(t, dir) < 1 && !search.ended() {
		time.Sleep(5 * time.Millisecond)
	}
	_ = search.Process.Signal(syscall.SIGINT)
	<-search.done
	if code := search.ProcessState.ExitCode(); code != exitInterrupted || !strings.Contains(search.said(), "--resume goes on") {
		t.Fatalf("interrupted: code %d: %s", code, search.said())
	}
	if worker.ended() {
		t.Fatalf("worker ended: %s", worker.said())
	}
	starts(t, "ullage", "search", brief, "-o", dir, "-q", "--resume", "--serve", addr, "--workers", "0").ends()
	program.SameRun(t, dir, want)
	_ = worker.Process.Signal(syscall.SIGINT)
	<-worker.done
	if code := worker.ProcessState.ExitCode(); code != exitInterrupted {
		t.Errorf("worker: code %d, want %d: %s", code, exitInterrupted, worker.said())
	}
}

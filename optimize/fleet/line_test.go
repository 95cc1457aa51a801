package fleet

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"ullage/optimize"
	"ullage/testdata/certificates"
)

// slowLineTo returns an address that carries so many bytes a second, each way, to
// another.
func slowLineTo(t *testing.T, to string, rate int) string {
	t.Helper()
	return line(t, to, func(_ int, part []byte) []byte {
		time.Sleep(time.Duration(len(part)) * time.Second / time.Duration(rate))
		return part
	})
}

// line returns an address that leads to another. What comes through, each way,
// goes through pass, which is told the number of the connection.
func line(t *testing.T, to string, pass func(connection int, part []byte) []byte) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	carry := func(connection int, to, from net.Conn) {
		defer to.Close()
		part := make([]byte, 2048)
		for {
			n, err := from.Read(part)
			if _, sent := to.Write(pass(connection, part[:n])); err != nil || sent != nil {
				return
			}
		}
	}
	go func() {
		for n := 0; ; n++ {
			near, err := l.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("tcp", to)
			if err != nil {
				near.Close()
				continue
			}
			go carry(n, near, far)
			go carry(n, far, near)
		}
	}()
	return l.Addr().String()
}

// large returns an island that remembers so many flights, settings that allow
// for it, and what the search at home makes of it.
func large(t *testing.T, p *optimize.Problem, flights int) (isl, want optimize.Island, s optimize.Settings) {
	t.Helper()
	s = optimize.Settings{Seed: 1, Islands: 1, Population: 40, Flights: flights + 5000}
	isl, err := optimize.Local(p, s, 2)(t.Context(), optimize.Island{})
	if err != nil {
		t.Fatal(err)
	}
	// The wire form holds prints in rising order, whatever their number.
	places := 1
	for places < 2*flights {
		places *= 2
	}
	table := make([]uint64, places)
	known := map[uint64]bool{}
	for _, f := range isl.Flown {
		known[f] = true
	}
	for n := isl.Held; n < flights; n++ {
		f := uint64(n+1) * 0x9e3779b97f4a7c15
		if f != 0 && !known[f] {
			table[n] = f
		}
	}
	copy(table[flights:], isl.Flown)
	isl.Flown, isl.Held, isl.Flights = table, flights, flights
	wire, _ := isl.MarshalBinary()
	isl = optimize.Island{}
	if err := isl.UnmarshalBinary(wire); err != nil {
		t.Fatal(err)
	}
	want, err = optimize.Local(p, s, 2)(t.Context(), isl)
	if err != nil {
		t.Fatal(err)
	}
	return isl, want, s
}

func sameIsland(t *testing.T, got, want optimize.Island) {
	t.Helper()
	a, _ := got.MarshalBinary()
	b, _ := want.MarshalBinary()
	if string(a) != string(b) {
		t.Error("another island than at home")
	}
}

// TestSlowLine joins a worker over a line of 100 kB/s, in the middle of which a
// job and its answer take longer than the desk has patience.
func TestSlowLine(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: a job of 700 kB takes 14 s there and back; go test ./... waits")
	}
	_, p, j := demo(t)
	d, said := queue(t)
	isl, want, s := large(t, p, 80_000)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	go func() {
		_ = Work(ctx, Place{URL: "nats://" + slowLineTo(t, strings.TrimPrefix(d.URL(), "nats://"), 100_000)}, same, 1, func(string) {})
	}()
	start := time.Now()
	got, err := Epochs(d.Ask, j, s)(t.Context(), isl)
	if err != nil {
		t.Fatal(err)
	}
	if took := time.Since(start); took < 2*usual.patience {
		t.Errorf("took %v: the line is not slow", took)
	}
	sameIsland(t, got, want)
	if text := said.all(); text != "" {
		t.Errorf("said %q, want nothing", text)
	}
}

// TestLargeJob carries an island of more bytes than a message, or a record of
// a store, would hold.
func TestLargeJob(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: an island of nine million flights takes a gigabyte; go test ./... flies it")
	}
	_, p, j := demo(t)
	d, _ := queue(t)
	isl, want, s := large(t, p, 9_000_000)
	staff(t, d, 1)
	got, err := Epochs(d.Ask, j, s)(t.Context(), isl)
	if err != nil {
		t.Fatal(err)
	}
	sameIsland(t, got, want)
	if wire, _ := got.MarshalBinary(); len(wire) < 70_000_000 {
		t.Errorf("an island of %d bytes, want more than 70 MB", len(wire))
	}
}

// TestTooLargeJob holds that what is not carried is refused with its size.
func TestTooLargeJob(t *testing.T) {
	d, _ := queue(t)
	j := Job{Leg: &Leg{Island: make([]byte, mostIsland+1)}}
	j.Leg.Settings.Algorithm = optimize.Default
	err := d.Ask(t.Context(), j, nil)
	if err == nil || !strings.Contains(err.Error(), "island 0: 1073741825 bytes, a fleet carries 1073741824: want fewer flights an island") {
		t.Errorf("a job of more than a gigabyte: %v", err)
	}
}

// TestDeskAway asks for a part while no desk is there, which is what the end of
// a search looks like that is resumed later: the worker asks until one answers.
func TestDeskAway(t *testing.T) {
	h, err := newHost(":0", "", nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(h.close)
	l, err := dial(t.Context(), Place{}, false, func(string) {}, h.options()...)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(l.conn.Close)
	p := newPuppet(t, &Desk{host: h})
	done := make(chan error, 1)
	go func() {
		_, _, err := p.insist(t.Context(), call{Do: readPart, Key: "lost"}, nil)
		done <- err
	}()
	select {
	case err := <-done:
		t.Fatalf("gave up: %v", err)
	case <-time.After(3 * short):
	}
	d, err := (Run{Program: same, Say: func(string) {}}).open(h, l, usual)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(d.Close)
	if err := <-done; !errors.Is(err, errGone) {
		t.Errorf("%v, want that the job is gone", err)
	}
}

// TestDeadLine has a line go dead without a word, as where a cable is pulled:
// the worker finds out, and joins again.
func TestDeadLine(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: a dead line is noticed after 15 s; go test ./... waits")
	}
	_, _, j := demo(t)
	d, _ := queue(t)
	var dead atomic.Bool
	addr := line(t, strings.TrimPrefix(d.URL(), "nats://"), func(connection int, part []byte) []byte {
		if connection == 0 && dead.Load() {
			return nil
		}
		return part
	})
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- Work(ctx, Place{URL: "nats://" + addr}, same, 1, func(text string) { t.Log(text) }) }()
	ends(t, asks(t, d, j, 0))
	dead.Store(true)
	ends(t, asks(t, d, j, 1))
	cancel()
	<-ended
}

// TestTLS searches over an encrypted line, and refuses who is not vouched for.
func TestTLS(t *testing.T) {
	_, _, j := demo(t)
	cert, key := certificates.Make(t, t.TempDir(), "127.0.0.1")
	secure, err := ServerTLS(cert, key)
	if err != nil {
		t.Fatal(err)
	}
	const token = "a-token-of-the-club"
	run := Run{Program: same, Name: "run", Folder: t.TempDir(), Write: writeFile, Say: func(text string) { t.Log(text) }}
	d, err := run.Serve("127.0.0.1:0", token, secure)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	addr := d.URL()[strings.Index(d.URL(), "//")+2:]
	ca, err := ReadCA(cert)
	if err != nil {
		t.Fatal(err)
	}
	otherCert, otherKey := certificates.Make(t, t.TempDir(), "127.0.0.1")
	other, err := ReadCA(otherCert)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ServerTLS(cert, otherKey); err == nil || !strings.Contains(err.Error(), "private key does not match") {
		t.Errorf("another's key: %v", err)
	}
	for why, at := range map[string]Place{
		"the system's authorities": {URL: "tls://" + addr, Token: token},
		"another authority":        {URL: "tls://" + addr, Token: token, CA: other},
		"another token":            {URL: "tls://" + addr, Token: "a-token-of-others", CA: ca},
	} {
		if _, err := dial(t.Context(), at, false, func(string) {}); err == nil {
			t.Errorf("%s: connected", why)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		ended <- Work(ctx, Place{URL: "tls://" + slowLineTo(t, addr, 1_000_000), Token: token, CA: ca}, same, 1, func(text string) { t.Log(text) })
	}()
	ends(t, asks(t, d, j, 0))
	cancel()
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("Work = %v, want the end of its context", err)
	}
}

// stall connects as a worker that asks for a large job, again and again, and
// does not read it.
func stall(t *testing.T, d *Desk) {
	t.Helper()
	_, _, j := demo(t)
	j.Source = append(j.Source, strings.Repeat("\n# a long brief", 20_000)...)
	asking, stop := context.WithCancel(t.Context())
	t.Cleanup(stop)
	j.Leg = &Leg{Settings: settings}
	j.Leg.Settings.Algorithm = optimize.Default
	go func(j Job) { _ = d.Ask(asking, j, nil) }(j)
	j.Program, j.Run = d.run.Program, d.run.Name
	sealed, err := j.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	conn, err := net.Dial("tcp", strings.TrimPrefix(d.URL(), "nats://"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	id := stranger()
	text := fmt.Sprintf("CONNECT {\"name\":%q,\"verbose\":false}\r\nSUB %s.> 1\r\n", id, inbox(id))
	ask := func(c call) {
		c.ID, c.Program = id, same
		data := pack(c, nil)
		text += fmt.Sprintf("PUB %s %s.x %d\r\n%s\r\n", desk(DefaultQueue), inbox(id), len(data), data)
	}
	ask(call{Do: takeJob})
	for range 200 {
		ask(call{Do: readPart, Key: key(sealed)})
	}
	if _, err := io.WriteString(conn, text); err != nil {
		t.Fatal(err)
	}
	for deadline := time.Now().Add(10 * time.Second); d.link.conn.Stats().OutMsgs < 200; time.Sleep(time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("the desk sent %d messages, want 200 that nobody reads", d.link.conn.Stats().OutMsgs)
		}
	}
}

// stops ends a wait: it takes a second at most.
func stops(t *testing.T, wait func(ctx context.Context) error) {
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- wait(ctx) }()
	time.Sleep(100 * time.Millisecond)
	cancel()
	start := time.Now()
	select {
	case err := <-done:
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%v, want the end of its context", err)
		}
	case <-time.After(10 * time.Second):
	}
	if took := time.Since(start); took > time.Second {
		t.Errorf("ends after %v, want 1 s", took)
	}
}

// TestStops ends every wait, and a desk with a worker that does not read what it
// asked for.
func TestStops(t *testing.T) {
	mute, err := net.Listen("tcp", "127.0.0.1:0") // accepts, and says nothing
	if err != nil {
		t.Fatal(err)
	}
	defer mute.Close()
	d, _ := queue(t)
	_, _, j := demo(t)
	stall(t, d)
	run := Run{Program: same, Say: func(string) {}}
	waits := map[string]func(ctx context.Context) error{
		"a worker for a server that is not there": func(ctx context.Context) error {
			return Work(ctx, Place{URL: "nats://127.0.0.1:1"}, same, 2, func(string) {})
		},
		"a worker for a server that says nothing": func(ctx context.Context) error {
			return Work(ctx, Place{URL: "nats://" + mute.Addr().String()}, same, 2, func(string) {})
		},
		"a desk at a server that says nothing": func(ctx context.Context) error {
			_, err := run.Open(ctx, Place{URL: "nats://" + mute.Addr().String()})
			return err
		},
		"a worker without work": func(ctx context.Context) error {
			return Work(ctx, Place{URL: d.URL()}, same, 2, func(string) {})
		},
		"a job without a worker": func(ctx context.Context) error {
			j.Leg = &Leg{Settings: settings}
			j.Leg.Settings.Algorithm = optimize.Default
			return d.Ask(ctx, j, nil)
		},
		"a job in a spool": func(ctx context.Context) error {
			j.Leg = &Leg{Settings: settings}
			j.Leg.Settings.Algorithm = optimize.Default
			r := run
			r.Write = writeFile
			return r.Spool(t.TempDir())(ctx, j, nil)
		},
	}
	for what, wait := range waits {
		t.Run(what, func(t *testing.T) { stops(t, wait) })
	}
	start := time.Now()
	d.Close()
	if took := time.Since(start); took > time.Second {
		t.Errorf("a desk with a worker that does not read ends after %v, want 1 s", took)
	}
}

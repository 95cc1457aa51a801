package fleet

import (
	"errors"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
)

// TestWorkerRights connects as a worker and tries what is not for it.
func TestWorkerRights(t *testing.T) {
	d, _ := queue(t)
	id := stranger()
	refused := make(chan error, 100)
	conn, err := nats.Connect(d.URL(), nats.Name(id), nats.CustomInboxPrefix(inbox(id)),
		nats.ErrorHandler(func(_ *nats.Conn, _ *nats.Subscription, err error) { refused <- err }))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	wantRefusal := func(what string) {
		t.Helper()
		if err := conn.Flush(); err != nil {
			t.Fatal(err)
		}
		select {
		case err := <-refused:
			if !errors.Is(err, nats.ErrPermissionViolation) {
				t.Errorf("%s: %v", what, err)
			}
		case <-time.After(5 * time.Second):
			t.Errorf("%s: allowed", what)
		}
	}
	for _, subject := range []string{">", desk(DefaultQueue), DefaultQueue + ".>", "_INBOX.>", "_INBOX.*.>", inbox(stranger()) + ".>", "$JS.>", "$SYS.>"} {
		if _, err := conn.Subscribe(subject, func(*nats.Msg) {}); err != nil {
			t.Fatal(err)
		}
		wantRefusal("subscribe " + subject)
	}
	for _, subject := range forbidden(d) {
		if err := conn.Publish(subject, nil); err != nil {
			t.Fatal(err)
		}
		wantRefusal("publish " + subject)
	}
}

// forbidden are subjects that a worker may not publish to, nor have published to
// by others.
func forbidden(d *Desk) []string {
	return []string{
		DefaultQueue, DefaultQueue + ".other", "$JS.API.INFO", "$JS.API.STREAM.CREATE.more", "$JS.API.STREAM.DELETE.ullage-answers",
		"$SYS.REQ.SERVER.PING", "$SYS.REQ.USER.INFO", inbox(d.link.id) + ".x", inbox(stranger()) + ".x", "_INBOX.x",
	}
}

// TestForbiddenReplies asks the desk to reply where the worker may not publish.
// Whatever comes to such a subject would come with the desk's rights.
func TestForbiddenReplies(t *testing.T) {
	_, _, j := demo(t)
	d, _ := queue(t)
	done := asks(t, d, j, 0)
	bad := newPuppet(t, d)
	_, key := bad.take()
	for _, subject := range append(forbidden(d), desk(DefaultQueue), inbox(bad.link.id), inbox(bad.link.id)+".*", inbox(bad.link.id)+".>", inbox(bad.link.id)+"x.y") {
		c := call{ID: bad.link.id, Program: same, Key: key}
		if c.sane(); c.mayReplyTo(subject) {
			t.Errorf("a reply may go to %s", subject)
		}
		// And the desk asks that question: of all it is told to do it does nothing.
		before := d.link.conn.Stats().OutMsgs
		for _, do := range []string{takeJob, readPart, writePart, whoServes, beat, leave} {
			c.Do = do
			if err := bad.link.conn.PublishRequest(desk(DefaultQueue), subject, pack(c, nil)); err != nil {
				t.Fatal(err)
			}
		}
		if _, _, err := bad.ask(t.Context(), call{Do: readPart, Key: key}, nil, 5*time.Second); err != nil {
			t.Fatalf("the desk is silent after a reply to %s: %v", subject, err)
		}
		if n := d.link.conn.Stats().OutMsgs - before; n != 1 {
			t.Errorf("reply to %s: the desk sent %d messages, want the one that is in order", subject, n)
		}
	}
	if r, _, err := bad.ask(t.Context(), call{Do: readPart, Key: key}, nil, 5*time.Second); err != nil || r.Gone {
		t.Errorf("a call with a forbidden reply took the job away: %+v, %v", r, err)
	}
	_ = bad.tell(call{Do: leave})
	staff(t, d, 1)
	ends(t, done)
}

// TestOthersJobs asks, as one worker, for what another holds.
func TestOthersJobs(t *testing.T) {
	_, _, j := demo(t)
	d, _ := queue(t)
	done := asks(t, d, j, 0)
	holding, other := newPuppet(t, d), newPuppet(t, d)
	_, key := holding.take()
	for _, do := range []string{readPart, writePart} {
		if r, part, err := other.ask(t.Context(), call{Do: do, Key: key, Size: 100}, nil, 5*time.Second); err != nil || !r.Gone || len(part) > 0 {
			t.Errorf("%s: %+v, %d bytes, %v, want that the job is another's", do, r, len(part), err)
		}
	}
	for _, at := range []int64{-1, 1 << 40} {
		if r, part, err := holding.ask(t.Context(), call{Do: readPart, Key: key, At: at}, nil, 5*time.Second); err != nil || !r.Gone || len(part) > 0 {
			t.Errorf("read at %d: %+v, %d bytes, %v, want nothing", at, r, len(part), err)
		}
	}
	_ = other.tell(call{Do: leave, Key: key}) // which is about its own
	if r, _, err := holding.ask(t.Context(), call{Do: readPart, Key: key}, nil, 5*time.Second); err != nil || r.Gone {
		t.Errorf("the job is gone: %+v, %v", r, err)
	}
	_ = holding.tell(call{Do: leave})
	staff(t, d, 1)
	ends(t, done)
}

// TestStrayMessages sends the desk what no worker does.
func TestStrayMessages(t *testing.T) {
	_, _, j := demo(t)
	d, _ := queue(t)
	done := asks(t, d, j, 0)
	bad := newPuppet(t, d)
	for _, data := range []string{
		"", "\n", "{}\n", "null\n", "[]\n", `{"do":"take"}` + "\n", `{"do":"take","id":"short"}` + "\n", `{"do":"take","id":"with.dots.in.it"}` + "\n",
		strings.Repeat("x", mostHead+1) + "\n", `{"do":"write","id":"` + bad.link.id + `","version":"1","machine":"this machine","size":-1,"at":-1,"key":"` + strings.Repeat("0", 64) + `"}` + "\n",
		`{"do":"take","version":"1","machine":"this machine","id":"` + bad.link.id + `","name":"` + strings.Repeat("n", 10_000) + `"}` + "\n",
	} {
		if err := bad.link.conn.PublishRequest(desk(DefaultQueue), inbox(bad.link.id)+".x", []byte(data)); err != nil {
			t.Fatal(err)
		}
	}
	staff(t, d, 1)
	ends(t, done)
}

// TestWhoMayJoin tries the doors of a server with a token.
func TestWhoMayJoin(t *testing.T) {
	const token = "a-token-of-the-club"
	run := Run{Program: same, Name: "run", Folder: t.TempDir(), Say: func(string) {}}
	d, err := run.Serve("0.0.0.0:0", token, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	for _, c := range []struct {
		why, want string
		at        Place
		program   Program
	}{
		{"no token", "Authorization Violation", Place{URL: d.URL()}, same},
		{"another token", "Authorization Violation", Place{URL: d.URL(), Token: "a-token-of-others"}, same},
		{"another version", "worker: version 2, the jobs need 1: want the same program on all machines", Place{URL: d.URL(), Token: token}, Program{"2", "this machine"}},
		{"another machine", "worker: a toaster, the jobs need this machine: numbers could differ in their last bits", Place{URL: d.URL(), Token: token}, Program{"1", "a toaster"}},
	} {
		err := Work(t.Context(), c.at, c.program, 1, func(string) {})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.why, err, c.want)
		}
	}
	for _, name := range []string{"", "short", "_INBOX.x.y", "w*w*w*w*", "all of them >"} {
		if c, err := nats.Connect(d.URL(), nats.Token(token), nats.Name(name)); err == nil {
			c.Close()
			t.Errorf("a client called %q came in", name)
		}
	}
	if c, err := nats.Connect(d.URL(), nats.UserInfo(leadUser, token), nats.Name(stranger())); err == nil {
		c.Close()
		t.Error("a worker's token let a lead in")
	}
	if _, err := run.Open(t.Context(), Place{URL: d.URL(), Token: token}); err == nil || !strings.Contains(err.Error(), "another run hands out its work there") {
		t.Errorf("a second desk: %v, want a refusal", err)
	}
}

// TestIdleConnections opens more connections than a server keeps, and says
// nothing on them.
func TestIdleConnections(t *testing.T) {
	_, _, j := demo(t)
	d, _ := queue(t)
	staff(t, d, 1)
	ends(t, asks(t, d, j, 0)) // the worker is in
	addr := strings.TrimPrefix(d.URL(), "nats://")
	for range 400 {
		c, err := net.Dial("tcp", addr)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
	}
	staff(t, d, 1) // waits for a place, and fails the test if it gives up
	ends(t, asks(t, d, j, 1))
	if n := d.host.server.NumClients(); n > mostWorkers {
		t.Errorf("%d connections, want at most %d", n, mostWorkers)
	}
}

// TestPlaces holds which addresses and queues there can be.
func TestPlaces(t *testing.T) {
	for _, c := range []struct{ url, queue, want string }{
		{"nats://127.0.0.1:4222", "", ""},
		{"tls://club.example:4222,nats://[::1]:4222", "club-2", ""},
		{"ftp://x", "", `server "ftp://x": want nats://HOST:PORT or tls://HOST:PORT`},
		{"127.0.0.1:4222", "", `server "127.0.0.1:4222": want nats://`},
		{"nats://", "", `server "nats://": want nats://`},
		{"nats://a:4222,", "", `server "": want nats://`},
		{"ftp://name:secret@x", "", `server "ftp://x": want nats://`},
		{"nats://secret@%zz", "", `server "nats://%zz": want nats://`},
		{"nats://a:4222", "a.b", `queue "a.b": want a name without spaces, dots, slashes and wildcards`},
		{"nats://a:4222", "*", `queue "*": want`},
		{"nats://a:4222", "a\x1bb", `queue "a\x1bb": want`},
	} {
		err := (&Place{URL: c.url, Queue: c.queue}).Check()
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.HasPrefix(err.Error(), c.want)) {
			t.Errorf("Check of %q, %q = %v, want %s", c.url, c.queue, err, c.want)
		}
	}
}

func TestAddresses(t *testing.T) {
	d, _ := queue(t)
	taken := strings.TrimPrefix(d.URL(), "nats://")
	for _, c := range []struct{ addr, want string }{
		{"4222", `address "4222": want host:port or :port`},
		{":x", `address ":x": want a port of 1 to 65535`},
		{":65536", `address ":65536": want a port of 1 to 65535`},
		{":-1", `address ":-1": want a port of 1 to 65535`},
		{"0.0.0.0:0", `address "0.0.0.0:0": other machines reach it, want a token`},
		{"[::]:0", `address "[::]:0": other machines reach it, want a token`},
		{"192.0.2.7:4222", `address "192.0.2.7:4222": other machines reach it, want a token`},
		{"example.invalid:4222", `address "example.invalid:4222": other machines reach it, want a token`},
		{taken, `address "` + taken + `": `},
	} {
		if err := CheckAddress(c.addr, ""); err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("CheckAddress(%q) = %v, want %s", c.addr, err, c.want)
		}
		if d, err := (Run{Say: func(string) {}}).Serve(c.addr, "", nil); err == nil {
			d.Close()
			t.Errorf("Serve(%q) serves", c.addr)
		}
	}
	for _, addr := range []string{":0", "127.0.0.1:0", "localhost:0"} {
		if err := CheckAddress(addr, ""); err != nil {
			t.Errorf("CheckAddress(%q) = %v", addr, err)
		}
	}
}

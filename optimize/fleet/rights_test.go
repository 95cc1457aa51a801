package fleet

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
)

// TestWorkerRights connects as a worker and tries what is not for it.
func TestWorkerRights(t *testing.T) {
	s, d := queue(t)
	id := worker()
	refused := make(chan error, 100)
	conn, err := nats.Connect(s.URL(), nats.Name(id), nats.CustomInboxPrefix(inbox(id)),
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
	for _, subject := range []string{">", jobSubject(DefaultQueue, ">"), answerSubject(DefaultQueue, ">"), "_INBOX_>", inbox(worker()) + ".>", "$JS.>", "$SYS.>"} {
		if _, err := conn.Subscribe(subject, func(*nats.Msg) {}); err != nil {
			t.Fatal(err)
		}
		wantRefusal("subscribe " + subject)
	}
	stream := jobStream(DefaultQueue)
	for _, subject := range []string{
		jobSubject(DefaultQueue, "run"), "$JS.API.STREAM.PURGE." + stream, "$JS.API.STREAM.DELETE." + stream, "$JS.API.STREAM.MSG.GET." + stream,
		"$JS.API.DIRECT.GET." + stream, "$JS.API.STREAM.CREATE.more", "$JS.API.STREAM.NAMES", "$JS.API.CONSUMER.CREATE." + answerStream(DefaultQueue),
		"$JS.API.CONSUMER.MSG.NEXT." + answerStream(DefaultQueue) + ".run", "$SYS.REQ.SERVER.PING", inbox(d.link.conn.Opts.Name) + ".x",
	} {
		if err := conn.Publish(subject, nil); err != nil {
			t.Fatal(err)
		}
		wantRefusal("publish " + subject)
	}
}

// TestWhoMayJoin tries the doors of a server with a token.
func TestWhoMayJoin(t *testing.T) {
	const token = "a-token-of-the-club"
	s, err := Serve("0.0.0.0:0", token, nil, filepath.Join(t.TempDir(), "queue"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	d, err := s.Open(t.Context(), same, "run", t.TempDir(), func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	quiet := func(string) {}
	for _, c := range []struct {
		why, want string
		at        Place
		program   Program
	}{
		{"no token", "Authorization Violation", Place{URL: s.URL()}, same},
		{"another token", "Authorization Violation", Place{URL: s.URL(), Token: "a-token-of-others"}, same},
		{"another version", "worker: version 2, the jobs need 1: want the same program on all machines", Place{URL: s.URL(), Token: token}, Program{"2", "this machine"}},
		{"another machine", "worker: a toaster, the jobs need this machine: numbers could differ in their last bits", Place{URL: s.URL(), Token: token}, Program{"1", "a toaster"}},
		{"a bad queue", `queue "a.b": want a name without`, Place{URL: s.URL(), Token: token, Queue: "a.b"}, same},
	} {
		err := Work(t.Context(), c.at, c.program, 1, quiet)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.why, err, c.want)
		}
	}
	for _, name := range []string{"", "short", "_INBOX.x.y", "w*w*w*w*", "all of them >"} {
		if c, err := nats.Connect(s.URL(), nats.Token(token), nats.Name(name)); err == nil {
			c.Close()
			t.Errorf("a client called %q came in", name)
		}
	}
	if _, err := Open(t.Context(), Place{URL: s.URL(), Token: token}, same, "other", t.TempDir(), quiet); err == nil {
		t.Error("a worker's token opened a desk")
	}
}

func TestServeRefuses(t *testing.T) {
	s, _ := queue(t)
	taken := strings.TrimPrefix(s.URL(), "nats://")
	for _, c := range []struct{ addr, want string }{
		{"4222", `address "4222": want host:port or :port`},
		{":x", `address ":x": want a port of 1 to 65535`},
		{"0.0.0.0:0", `address "0.0.0.0:0": other machines reach it, want a token`},
		{"192.0.2.7:4222", `address "192.0.2.7:4222": other machines reach it, want a token`},
		{"example.invalid:4222", `address "example.invalid:4222": other machines reach it, want a token`},
		{taken, `address "` + taken + `": `},
	} {
		store := filepath.Join(t.TempDir(), "queue")
		_, err := Serve(c.addr, "", nil, store)
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("Serve(%q) = %v, want %s", c.addr, err, c.want)
		}
		if _, err := os.Stat(store); err == nil {
			t.Errorf("Serve(%q) left its store", c.addr)
		}
	}
}

package fleet

import (
	"context"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/hex"
	"fmt"
	"net/url"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
)

// A Place is where a server is and what opens it.
type Place struct {
	URL   string // nats://host:4222, tls://host:4222; more than one with commas between them
	Token string
	CA    *x509.CertPool // of who vouches for the server; nil: the system's
	Queue string         // name that jobs are asked for under; empty: DefaultQueue
}

// DefaultQueue is the queue's name where nobody chose another.
const DefaultQueue = "ullage"

func (p *Place) queue() string {
	if p.Queue == "" {
		return DefaultQueue
	}
	return p.Queue
}

// Check errs where an address is no nats:// or tls:// with a host, or the name of
// the queue has a space, a dot, a slash or a wildcard; the error has no word of
// what opens the server.
func (p *Place) Check() error {
	if strings.ContainsFunc(p.queue(), func(c rune) bool { return c <= ' ' || c == 0x7f || strings.ContainsRune(`.*>/\`, c) }) {
		return fmt.Errorf("queue %q: want a name without spaces, dots, slashes and wildcards", p.queue())
	}
	for at := range strings.SplitSeq(p.URL, ",") {
		u, err := url.Parse(at)
		if err != nil || u.Scheme != "nats" && u.Scheme != "tls" || u.Hostname() == "" {
			return fmt.Errorf("server %q: want nats://HOST:PORT or tls://HOST:PORT", redacted(at))
		}
	}
	return nil
}

// redacted returns an address without what opens it.
func redacted(address string) string {
	var open []string
	for at := range strings.SplitSeq(address, ",") {
		if i := strings.LastIndexByte(at, '@'); i >= 0 {
			scheme, _, _ := strings.Cut(at, "://")
			at = scheme + "://" + at[i+1:]
		}
		open = append(open, at)
	}
	return strings.Join(open, ",")
}

// desk is the subject that a desk listens to, the only one that workers may
// publish to.
func desk(queue string) string { return queue + ".desk" }

// inboxes begins the subject of every reply; the token behind it is the name of
// the one that the reply is for.
const inboxes = "_INBOX."

func inbox(id string) string { return inboxes + id }

// stranger returns a name that nobody can guess: replies come to it.
func stranger() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails
	return "w" + hex.EncodeToString(b[:])
}

// A link is a connection to a server.
type link struct {
	conn  *nats.Conn
	queue string
	id    string
	url   string // without what opens it
}

// dial connects, or returns the error of ctx when that ends first. say is told
// when the connection is lost, comes back, or is refused something; forever
// waits for a server that is not there yet.
func dial(ctx context.Context, p Place, forever bool, say func(string), more ...nats.Option) (*link, error) {
	id := stranger()
	options := append([]nats.Option{
		nats.Name(id), nats.CustomInboxPrefix(inbox(id)),
		nats.MaxReconnects(-1), nats.ReconnectWait(500 * time.Millisecond),
		nats.RetryOnFailedConnect(forever),
		nats.PingInterval(5 * time.Second), nats.MaxPingsOutstanding(2),
		nats.DisconnectErrHandler(func(_ *nats.Conn, err error) {
			if err != nil {
				say(fmt.Sprintf("connection lost: %v", err))
			}
		}),
		nats.ReconnectHandler(func(c *nats.Conn) { say("connected to " + c.ConnectedUrlRedacted()) }),
		nats.ErrorHandler(func(_ *nats.Conn, _ *nats.Subscription, err error) { say(err.Error()) }),
	}, more...)
	if p.Token != "" {
		options = append(options, nats.Token(p.Token))
	}
	if p.CA != nil {
		options = append(options, nats.Secure(&tls.Config{RootCAs: p.CA, MinVersion: tls.VersionTLS12}))
	}
	type dialled struct {
		conn *nats.Conn
		err  error
	}
	done := make(chan dialled, 1)
	go func() {
		conn, err := nats.Connect(p.URL, options...)
		done <- dialled{conn, err}
	}()
	select {
	case <-ctx.Done():
		return nil, ctx.Err() // the attempt ends by itself, or with the program
	case d := <-done:
		if d.err != nil {
			return nil, fmt.Errorf("%s: %w", redacted(p.URL), d.err)
		}
		return &link{conn: d.conn, queue: p.queue(), id: id, url: redacted(p.URL)}, nil
	}
}

func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

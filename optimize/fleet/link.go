package fleet

import (
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// A Place is where a queue is and what opens it.
type Place struct {
	URL   string // nats://host:4222, tls://host:4222
	Token string
	CA    string // file of the authority that vouches for the server; empty: the system's
	Queue string // name of the streams; empty: DefaultQueue
}

// DefaultQueue is the queue's name where nobody chose another.
const DefaultQueue = "ullage"

func (p *Place) queue() string {
	if p.Queue == "" {
		return DefaultQueue
	}
	return p.Queue
}

// What a queue holds, by its name: two streams, each with a subject for every
// run, and one consumer of jobs that all workers share.
func jobStream(queue string) string          { return queue + "-jobs" }
func answerStream(queue string) string       { return queue + "-answers" }
func jobSubject(queue, run string) string    { return queue + ".job." + run }
func answerSubject(queue, run string) string { return queue + ".answer." + run }

const workers = "workers"

// A link is a connection to a queue.
type link struct {
	conn  *nats.Conn
	js    jetstream.JetStream
	queue string
	url   string // without what opens it
}

// dial connects. say is told when the connection is lost, comes back, or is
// refused something; forever waits for a server that is not there yet.
func dial(p Place, forever bool, say func(string), more ...nats.Option) (*link, error) {
	name := strings.ContainsAny(p.queue(), ".*> \t\r\n/\\")
	if name {
		return nil, fmt.Errorf("queue %q: want a name without spaces, dots, slashes and wildcards", p.queue())
	}
	id := worker()
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
	if p.CA != "" {
		options = append(options, nats.RootCAs(p.CA))
	}
	conn, err := nats.Connect(p.URL, options...)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", redacted(p.URL), err)
	}
	js, err := jetstream.New(conn)
	if err != nil {
		conn.Close()
		return nil, err
	}
	return &link{conn, js, p.queue(), redacted(p.URL)}, nil
}

// redacted returns the address without what opens it.
func redacted(url string) string {
	if scheme, rest, ok := strings.Cut(url, "://"); ok {
		if at := strings.LastIndexByte(rest, '@'); at >= 0 {
			return scheme + "://" + rest[at+1:]
		}
	}
	return url
}

// worker returns a name that nobody can guess: replies come to it.
func worker() string {
	var b [8]byte
	_, _ = rand.Read(b[:]) // never fails
	return "w" + hex.EncodeToString(b[:])
}

func inbox(id string) string { return "_INBOX_" + id }

// ReadToken returns the token in a file, which is its first line.
func ReadToken(path string) (string, error) {
	data, err := readFile(path, 4<<10)
	if err != nil {
		return "", err
	}
	token, _, _ := strings.Cut(string(data), "\n")
	if token = strings.TrimSpace(token); len(token) < shortestToken {
		return "", fmt.Errorf("%s: a token of %d characters, want at least %d", path, len(token), shortestToken)
	}
	return token, nil
}

// shortestToken keeps guessing hopeless: 16 characters of base 64 are 96 bits.
const shortestToken = 16

// ServerTLS reads a certificate and its key.
func ServerTLS(cert, key string) (*tls.Config, error) {
	pair, err := tls.LoadX509KeyPair(cert, key)
	if err != nil {
		return nil, fmt.Errorf("%s, %s: %w", cert, key, err)
	}
	return &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}, nil
}

// CheckCA tells whether a file holds certificates.
func CheckCA(path string) error {
	data, err := readFile(path, 16<<20)
	if err != nil {
		return err
	}
	if !x509.NewCertPool().AppendCertsFromPEM(data) {
		return errors.New(path + ": no certificate, want PEM")
	}
	return nil
}

// readFile reads a file that should not be larger than most bytes.
func readFile(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = fmt.Errorf("%s: more than %d bytes, want at most that", path, most)
	}
	return data, err
}

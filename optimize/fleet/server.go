package fleet

import (
	"crypto/subtle"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
)

// MostBytes is the largest job or answer that an embedded server takes: an
// island of some 3 million flights.
const MostBytes = 64 << 20

const mostStored = 16 << 30 // bytes of the store: jobs and answers that wait

// A Server is a queue inside this program.
type Server struct {
	server *server.Server
	store  string
	lead   string // what opens it for this program
}

// Serve starts a queue at addr, as host:port; without a host only this machine
// reaches it. A token is wanted for any other. The store is a folder that may
// not be in use; what is in it is deleted, now and at Close, since nothing in
// a queue is needed to go on.
func Serve(addr, token string, secure *tls.Config, store string) (*Server, error) {
	host, port, err := listening(addr, token)
	if err != nil {
		return nil, err
	}
	if err := os.RemoveAll(store); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(store, 0o700); err != nil {
		return nil, err
	}
	s := &Server{store: store, lead: worker() + worker()}
	s.server, err = server.NewServer(&server.Options{
		ServerName: "ullage", Host: host, Port: port,
		NoLog: true, NoSigs: true,
		JetStream: true, StoreDir: store, JetStreamMaxStore: mostStored, JetStreamMaxMemory: 1 << 20,
		MaxPayload: MostBytes, MaxPending: 4 * MostBytes, MaxSubs: 256,
		TLSConfig: secure, TLSTimeout: 5, AuthTimeout: 5,
		CustomClientAuthentication: &guard{lead: s.lead, token: token},
	})
	if err != nil {
		return nil, fmt.Errorf("serve %s: %w", addr, err)
	}
	go s.server.Start()
	if !s.server.ReadyForConnections(10*time.Second) || !s.server.JetStreamEnabled() {
		s.Close()
		return nil, fmt.Errorf("serve %s: the queue does not start: is the address in use, is %s writable?", addr, store)
	}
	return s, nil
}

// listening splits the address and refuses one that needs a token.
func listening(addr, token string) (host string, port int, err error) {
	host, digits, err := net.SplitHostPort(addr)
	if err != nil {
		return "", 0, fmt.Errorf("address %q: want host:port or :port", addr)
	}
	port, err = strconv.Atoi(digits)
	if err != nil || port < 0 || port > 65535 {
		return "", 0, fmt.Errorf("address %q: want a port of 1 to 65535", addr)
	}
	if port == 0 {
		port = server.RANDOM_PORT
	}
	if host == "" {
		host = "127.0.0.1"
	}
	ip := net.ParseIP(host)
	if alone := host == "localhost" || ip != nil && ip.IsLoopback(); !alone && token == "" {
		return "", 0, fmt.Errorf("address %q: other machines reach it, want a token", addr)
	}
	// A port that is taken is told at once, and by its name.
	probe, err := net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(max(port, 0))))
	if err != nil {
		return "", 0, fmt.Errorf("address %q: %w", addr, errors.Unwrap(err))
	}
	return host, port, probe.Close()
}

// URL returns the address that workers on this machine use.
func (s *Server) URL() string {
	return strings.Replace(s.server.ClientURL(), "0.0.0.0", "127.0.0.1", 1)
}

// Close ends the server and deletes its store.
func (s *Server) Close() error {
	s.server.Shutdown()
	s.server.WaitForShutdown()
	return os.RemoveAll(s.store)
}

// dial connects from inside the program.
func (s *Server) dial(say func(string)) (*link, error) {
	return dial(Place{}, false, say, nats.InProcessServer(s.server), nats.UserInfo("lead", s.lead))
}

// A guard lets workers in and says what they may do: take the next job, tell
// that they are at it or done with it, and answer. They see neither other
// workers' jobs nor answers, and there is nothing else to see.
type guard struct{ lead, token string }

func (g *guard) Check(c server.ClientAuthentication) bool {
	o := c.GetOpts()
	if o.Username == "lead" && equal(o.Password, g.lead) {
		c.RegisterUser(&server.User{Username: "lead"})
		return true
	}
	if !equal(o.Token, g.token) || strings.ContainsAny(o.Name, ".*> \t") || len(o.Name) < 8 {
		return false
	}
	jobs := jobStream(DefaultQueue) + "." + workers
	c.RegisterUser(&server.User{Username: "worker", Permissions: &server.Permissions{
		Publish: &server.SubjectPermission{Allow: []string{
			"$JS.API.CONSUMER.INFO." + jobs,
			"$JS.API.CONSUMER.MSG.NEXT." + jobs,
			"$JS.ACK." + jobs + ".>",
			answerSubject(DefaultQueue, "*"),
		}},
		Subscribe: &server.SubjectPermission{Allow: []string{inbox(o.Name) + ".>"}},
	}})
	return true
}

func equal(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

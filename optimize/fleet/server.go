package fleet

import (
	"crypto/subtle"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"strconv"
	"strings"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
)

const (
	mostWorkers = 256     // connections: each takes a file, and there is no end to those who knock
	mostMessage = 1 << 20 // bytes; parts are far smaller
)

// CheckAddress errs where a server cannot listen at addr, as host:port: without a
// host only this machine reaches it, any other needs a token, and the port must be
// free.
func CheckAddress(addr, token string) error {
	_, _, err := listening(addr, token)
	return err
}

// listening splits the address.
func listening(addr, token string) (host string, port int, err error) {
	host, digits, err := net.SplitHostPort(addr)
	if err != nil {
		return "", 0, fmt.Errorf("address %q: want host:port or :port", addr)
	}
	port, err = strconv.Atoi(digits)
	if err != nil || port < 0 || port > 65535 {
		return "", 0, fmt.Errorf("address %q: want a port of 1 to 65535", addr)
	}
	if host == "" {
		host = "127.0.0.1"
	}
	ip := net.ParseIP(host)
	if alone := host == "localhost" || ip != nil && ip.IsLoopback(); !alone && token == "" {
		return "", 0, fmt.Errorf("address %q: other machines reach it, want a token", addr)
	}
	// A port that is taken is told at once, and by its name.
	probe, err := net.Listen("tcp", net.JoinHostPort(host, digits))
	if err != nil {
		return "", 0, fmt.Errorf("address %q: %w", addr, errors.Unwrap(err))
	}
	return host, port, probe.Close()
}

// A host is a server inside this program.
type host struct {
	server *server.Server
	lead   string // what opens it for this program
}

func newHost(addr, token string, secure *tls.Config) (*host, error) {
	name, port, err := listening(addr, token)
	if err != nil {
		return nil, err
	}
	if port == 0 {
		port = server.RANDOM_PORT
	}
	h := &host{lead: stranger()}
	h.server, err = server.NewServer(&server.Options{
		ServerName: "ullage", Host: name, Port: port,
		NoLog: true, NoSigs: true,
		MaxConn: mostWorkers, MaxSubs: 16, MaxPayload: mostMessage,
		MaxPending: 16 * mostMessage, // of the replies to one worker
		TLSConfig:  secure, TLSTimeout: 5, AuthTimeout: 5,
		CustomClientAuthentication: &guard{lead: h.lead, token: token},
	})
	if err != nil {
		return nil, fmt.Errorf("address %q: %w", addr, err)
	}
	go h.server.Start()
	if !h.server.ReadyForConnections(10 * time.Second) {
		h.close()
		return nil, fmt.Errorf("address %q: the server does not start", addr)
	}
	return h, nil
}

func (h *host) close() {
	h.server.Shutdown()
	h.server.WaitForShutdown()
}

// url returns the address that workers on this machine use.
func (h *host) url() string {
	return strings.Replace(h.server.ClientURL(), "0.0.0.0", "127.0.0.1", 1)
}

// options let this program's own connection in.
func (h *host) options() []nats.Option {
	return []nats.Option{nats.InProcessServer(h.server), nats.UserInfo(leadUser, h.lead)}
}

const leadUser = "lead"

// A guard lets workers in and says what they may do: call the desk, and hear
// its replies to themselves. The desk may do no more than listen and reply.
type guard struct{ lead, token string }

// Check tells who a client is, and what it may do.
func (g *guard) Check(c server.ClientAuthentication) bool {
	o := c.GetOpts()
	if o.Username == leadUser && equal(o.Password, g.lead) {
		c.RegisterUser(may(leadUser, inboxes+">", desk(DefaultQueue), inbox(o.Name)+".>"))
		return true
	}
	if !equal(o.Token, g.token) || strings.ContainsAny(o.Name, ".*> \t") || len(o.Name) < 8 {
		return false
	}
	c.RegisterUser(may("worker", desk(DefaultQueue), inbox(o.Name)+".>"))
	return true
}

// may returns a user who publishes to one subject and hears others.
func may(name, publish string, subscribe ...string) *server.User {
	return &server.User{Username: name, Permissions: &server.Permissions{
		Publish:   &server.SubjectPermission{Allow: []string{publish}},
		Subscribe: &server.SubjectPermission{Allow: subscribe},
	}}
}

func equal(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

package main

import (
	"context"
	"crypto/sha256"
	"crypto/tls"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/urfave/cli/v2"

	"ullage/optimize/fleet"
	"ullage/output/runs"
)

// Flags of who takes part in a fleet.
var (
	tokenFlag = &cli.StringFlag{Name: "token", Usage: "the first line of `FILE` lets workers in"}
	caFlag    = &cli.StringFlag{Name: "tls-ca", Usage: "trust a server that the authority in `FILE`, in PEM, vouches for", DefaultText: "the system's authorities"}
	queueFlag = &cli.StringFlag{Name: "queue", Usage: "`NAME` of the queue at the server", Value: fleet.DefaultQueue}
)

// fleetFlags are those of a command that hands work out.
func fleetFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "serve", Usage: "let workers join at `HOST:PORT`; without a HOST only those on this machine"},
		&cli.StringFlag{Name: "server", Usage: "hand the work out through the NATS server at `URL`, which needs JetStream"},
		&cli.StringFlag{Name: "spool", Usage: "hand the work out as files in `FOLDER`, for \"ullage epoch\" to fly"},
		tokenFlag,
		&cli.StringFlag{Name: "tls-cert", Usage: "with --serve: encrypt with the certificate in `FILE`, in PEM"},
		&cli.StringFlag{Name: "tls-key", Usage: "with --serve: the certificate's key in `FILE`"},
		caFlag, queueFlag,
	}
}

// A party is who flies the work of a run: a desk with its workers, or a spool.
type party struct {
	ask   fleet.Ask
	close func()
}

// inFleet reports whether the work is to be handed out.
func inFleet(c *cli.Context) bool { return c.IsSet("serve") || c.IsSet("server") || c.IsSet("spool") }

// checkFleet tells what is wrong with the flags.
func checkFleet(c *cli.Context) error {
	ways := 0
	for _, name := range []string{"serve", "server", "spool"} {
		if c.IsSet(name) {
			ways++
		}
	}
	if ways > 1 {
		return usage("%s: %d of --serve, --server and --spool, want one", c.Command.Name, ways)
	}
	for _, f := range []struct{ name, with, or string }{
		{"token", "serve", "server"}, {"tls-cert", "serve", "serve"}, {"tls-key", "serve", "serve"}, {"tls-ca", "server", "server"}, {"queue", "server", "server"},
	} {
		if c.IsSet(f.name) && !c.IsSet(f.with) && !c.IsSet(f.or) {
			return usage("--%s: want it with --%s", f.name, f.with)
		}
	}
	if c.IsSet("spool") && c.String("spool") == "" {
		return usage("--spool: no name, want that of a folder")
	}
	if c.IsSet("tls-cert") != c.IsSet("tls-key") {
		return usage("--tls-cert, --tls-key: want both or none")
	}
	return nil
}

// thisProgram is what jobs and workers are compared by.
func thisProgram() fleet.Program {
	build, machine := runs.Build()
	return fleet.Program{Version: fmt.Sprintf("%s (build %.12s)", version(), build), Machine: machine}
}

// gather opens the fleet of a run's folder; as many workers as asked for are in
// this program.
func (s streams) gather(c *cli.Context, dir string, workers int, quiet bool) (*party, error) {
	whole, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	host, _ := os.Hostname()
	sum := sha256.Sum256([]byte(host + "\n" + whole))
	run := hex.EncodeToString(sum[:8])
	if c.IsSet("spool") {
		return s.spooled(c.String("spool"), run, quiet)
	}
	at, err := place(c, c.String("server"))
	if err != nil {
		return nil, err
	}
	if c.IsSet("server") {
		desk, err := fleet.Open(c.Context, at, thisProgram(), run, dir, s.say)
		if err != nil {
			return nil, err
		}
		return s.staffed(c.Context, desk, workers, desk.Close, func(ctx context.Context) error {
			return fleet.Work(ctx, at, thisProgram(), workers, func(string) {})
		}), nil
	}
	return s.served(c, at.Token, run, dir, workers, quiet)
}

func (s streams) say(text string) { fmt.Fprintln(s.err, text) }

// spooled has the jobs flown by others, from files in a folder.
func (s streams) spooled(folder, run string, quiet bool) (*party, error) {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return nil, err
	}
	if !quiet {
		s.say("fly the jobs with: ullage epoch --in " + filepath.Join(folder, "….job"))
	}
	spool := &fleet.Spool{Dir: folder, Program: thisProgram(), Run: run}
	return &party{ask: failing(spool.Ask), close: func() {}}, nil
}

// served starts a server in this program for workers to join.
func (s streams) served(c *cli.Context, token, run, dir string, workers int, quiet bool) (*party, error) {
	var secure *tls.Config
	var err error
	if c.IsSet("tls-cert") {
		if secure, err = fleet.ServerTLS(c.String("tls-cert"), c.String("tls-key")); err != nil {
			return nil, err
		}
	}
	server, err := fleet.Serve(c.String("serve"), token, secure, filepath.Join(dir, "queue"))
	if err != nil {
		return nil, fmt.Errorf("--serve: %w", err)
	}
	desk, err := server.Open(c.Context, thisProgram(), run, dir, s.say)
	if err != nil {
		return nil, errors.Join(err, server.Close())
	}
	if !quiet {
		s.say("workers join with: ullage worker " + invitation(c, server.URL()))
	}
	end := func() {
		desk.Close()
		if err := server.Close(); err != nil {
			s.say(err.Error())
		}
	}
	return s.staffed(c.Context, desk, workers, end, func(ctx context.Context) error {
		return server.Work(ctx, thisProgram(), workers, func(string) {})
	}), nil
}

// invitation returns what a worker is started with.
func invitation(c *cli.Context, url string) string {
	host, _, _ := net.SplitHostPort(c.String("serve"))
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		// Others know this machine by its name.
		name, _ := os.Hostname()
		url = url[:strings.Index(url, "//")+2] + name + url[strings.LastIndexByte(url, ':'):]
	}
	if c.IsSet("token") {
		url += " --token " + c.String("token")
	}
	return url
}

// staffed adds the workers in this program to a desk.
func (s streams) staffed(ctx context.Context, desk *fleet.Desk, workers int, end func(), work func(context.Context) error) *party {
	p := &party{ask: failing(desk.Ask)}
	ctx, cancel := context.WithCancel(ctx)
	var busy sync.WaitGroup
	if workers > 0 {
		busy.Go(func() {
			if err := work(ctx); err != nil && ctx.Err() == nil {
				fmt.Fprintln(s.err, err)
			}
		})
	}
	p.close = func() {
		cancel()
		busy.Wait()
		end()
	}
	return p
}

// failing gives what goes wrong in a fleet its exit code.
func failing(ask fleet.Ask) fleet.Ask {
	return func(ctx context.Context, j fleet.Job, accept func([]byte) error) error {
		err := ask(ctx, j, accept)
		if err != nil && ctx.Err() == nil {
			return coded{err, exitFailed}
		}
		return err
	}
}

// place reads where a queue is.
func place(c *cli.Context, url string) (at fleet.Place, err error) {
	at = fleet.Place{URL: url, CA: c.String("tls-ca"), Queue: c.String("queue")}
	if path := c.String("token"); path != "" {
		if at.Token, err = fleet.ReadToken(path); err != nil {
			return at, err
		}
	}
	if at.CA != "" {
		err = fleet.CheckCA(at.CA)
	}
	return at, err
}

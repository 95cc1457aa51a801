package main

import (
	"context"
	"crypto/sha256"
	"crypto/tls"
	"encoding/hex"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/optimize/fleet"
	"ullage/output/file"
	"ullage/output/runs"
	"ullage/output/text"
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
		&cli.StringFlag{Name: "server", Usage: "hand the work out through the NATS server at `URL`"},
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

// checkFleet tells what is wrong with the flags, before anything is written.
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
	switch {
	case c.IsSet("server"):
		at, err := place(c, c.String("server"))
		if err != nil {
			return err
		}
		return interruptedOr(fleet.Reach(c.Context, at))
	case c.IsSet("serve"):
		return checkServe(c)
	}
	return nil
}

// checkServe tells what keeps a server of this program's own from being opened.
func checkServe(c *cli.Context) error {
	token, err := readToken(c)
	if err != nil {
		return err
	}
	if err := fleet.CheckAddress(c.String("serve"), token); err != nil {
		return usage("--serve: %v", err)
	}
	_, err = encryption(c)
	return err
}

// place reads where a server is, and what opens it.
func place(c *cli.Context, url string) (at fleet.Place, err error) {
	at = fleet.Place{URL: url, Queue: c.String("queue")}
	if err := at.Check(); err != nil {
		return at, usage("%v", err)
	}
	if at.Token, err = readToken(c); err != nil {
		return at, err
	}
	if path := c.String("tls-ca"); path != "" {
		if at.CA, err = fleet.ReadCA(path); err != nil {
			return at, usage("--tls-ca: %v", err)
		}
	}
	return at, nil
}

func readToken(c *cli.Context) (string, error) {
	if c.String("token") == "" {
		return "", nil
	}
	token, err := fleet.ReadToken(c.String("token"))
	if err != nil {
		return "", usage("--token: %v", err)
	}
	return token, nil
}

// encryption reads the certificate of this program's own server, if there is
// one.
func encryption(c *cli.Context) (*tls.Config, error) {
	if !c.IsSet("tls-cert") {
		return nil, nil
	}
	secure, err := fleet.ServerTLS(c.String("tls-cert"), c.String("tls-key"))
	if err != nil {
		return nil, usage("--tls-cert, --tls-key: %v", err)
	}
	return secure, nil
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
	run := fleet.Run{Program: thisProgram(), Name: hex.EncodeToString(sum[:8]), Folder: dir, Write: file.Write, Say: s.say}
	if c.IsSet("spool") {
		return s.spooled(run, c.String("spool"), quiet)
	}
	desk, err := s.desk(c, run, quiet)
	if err != nil {
		return nil, interruptedOr(err)
	}
	desk.Staff(workers)
	return &party{ask: failing(desk.Ask), close: desk.Close}, nil
}

// say prints a line that names a file or repeats what others wrote.
func (s streams) say(line string) { fmt.Fprintln(s.err, text.Plain(line, text.MessageLength)) }

// spooled has the jobs flown by others, from files in a folder.
func (s streams) spooled(run fleet.Run, folder string, quiet bool) (*party, error) {
	if err := file.System.MakeFolders(folder); err != nil {
		return nil, err
	}
	if !quiet {
		s.say("fly the jobs with: ullage epoch --in " + filepath.Join(folder, "….job"))
	}
	return &party{ask: failing(run.Spool(folder)), close: func() {}}, nil
}

// desk opens the desk at a server elsewhere, or at one of this program's own.
func (s streams) desk(c *cli.Context, run fleet.Run, quiet bool) (*fleet.Desk, error) {
	if c.IsSet("server") {
		at, err := place(c, c.String("server"))
		if err != nil {
			return nil, err
		}
		return run.Open(c.Context, at)
	}
	token, err := readToken(c)
	if err != nil {
		return nil, err
	}
	secure, err := encryption(c)
	if err != nil {
		return nil, err
	}
	desk, err := run.Serve(c.String("serve"), token, secure)
	if err != nil {
		return nil, fmt.Errorf("--serve: %w", err)
	}
	if !quiet {
		s.say("workers join with: ullage worker " + invitation(c, desk.URL()))
	}
	return desk, nil
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

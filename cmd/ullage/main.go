// Command ullage settles the numbers of a water rocket before it is built and
// before it flies.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	s := streams{in: os.Stdin, out: os.Stdout, err: os.Stderr}
	code := s.report(run(ctx, os.Args, s))
	stop()
	os.Exit(code)
}

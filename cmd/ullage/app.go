package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
	"ullage/output/text"
)

// Exit codes besides 0, done.
const (
	exitFailed      = 1 // file, disk
	exitUsage       = 2 // bad usage or brief
	exitInfeasible  = 3 // ran, but no design meets the limits, or the flight could not be computed
	exitInterrupted = 130
)

// streams are what a command reads and writes.
type streams struct {
	in  io.Reader
	out io.Writer // results
	err io.Writer // everything else
}

// A coded error chooses the exit code.
type coded struct {
	error
	code int
}

func (c coded) Unwrap() error { return c.error }

func usage(format string, args ...any) error {
	return coded{fmt.Errorf(format, args...), exitUsage}
}

// report prints what went wrong and returns the exit code.
func (s streams) report(err error) int {
	if err == nil {
		return 0
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
		fmt.Fprintln(s.err, indent+text.Plain(line, text.MessageLength))
	}
	var c coded
	if errors.As(err, &c) {
		return c.code
	}
	return exitFailed
}

// visible is standard output through the last gate for text of foreign origin.
type visible struct{ to io.Writer }

func (v visible) Write(data []byte) (int, error) {
	if _, err := v.to.Write(text.Visible(data)); err != nil {
		return 0, err
	}
	return len(data), nil
}

// plainArguments refuses what nobody types and what could pass for a line of
// this program's own in a message that repeats it.
func plainArguments(args []string) error {
	for i, arg := range args {
		if strings.ContainsFunc(arg, func(r rune) bool { return unicode.In(r, unicode.Cc, unicode.Zl, unicode.Zp) }) {
			return usage("argument %d, %s: holds control characters or breaks of a line, want it without", i, text.Plain(arg, text.TitleLength))
		}
	}
	return nil
}

// silence keeps the library from printing its own errors and from exiting:
// both belong to main.
var silence = sync.OnceFunc(func() {
	cli.OsExiter = func(int) {}
	cli.ErrWriter = io.Discard
})

// run is the whole program but for its exit.
func run(ctx context.Context, args []string, s streams) error {
	silence()
	if err := plainArguments(args); err != nil {
		return err
	}
	s.out = visible{s.out}
	app := &cli.App{
		Name:                 "ullage",
		Usage:                "settle the numbers of a water rocket before it is built and before it flies",
		Version:              version(),
		HideHelpCommand:      true,
		Flags:                []cli.Flag{cli.HelpFlag}, // which the library leaves out beside a command of that name
		EnableBashCompletion: true,
		// A comma belongs to the value it stands in.
		DisableSliceFlagSeparator: true,
		Reader:                    s.in,
		Writer:                    s.out,
		ErrWriter:                 s.err,
		Commands:                  []*cli.Command{s.checkCommand(), s.flyCommand(), s.searchCommand(), s.sweepCommand(), s.scatterCommand(), s.effectsCommand(), s.fitCommand(), s.cardCommand(), s.reportCommand(), s.notebookCommand(), s.compareCommand(), s.tableCommand(), s.workerCommand(), s.epochCommand(), s.newCommand(), s.keysCommand(), s.schemaCommand(), s.completionCommand(), s.helpCommand(), s.versionCommand()},
		ExitErrHandler:            func(*cli.Context, error) {},
		OnUsageError:              badUsage,
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return unknownCommand(c.App, c.Args().First())
			}
			return cli.ShowAppHelp(c)
		},
	}
	showExamples(app.Commands)
	for _, command := range app.Commands {
		command.OnUsageError = badUsage
		command.HideHelpCommand = true
	}
	return app.RunContext(ctx, flagsFirst(app, args))
}

func commandNames(app *cli.App) []string {
	var names []string
	for _, command := range app.Commands {
		names = append(names, command.Name)
	}
	return names
}

// badUsage words what the library found wrong with the flags.
func badUsage(c *cli.Context, err error, _ bool) error {
	flag, unknown := strings.CutPrefix(err.Error(), "flag provided but not defined: -")
	if !unknown {
		return usage("%s: %v", c.Command.Name, err)
	}
	return unknownFlag(c.Command, flag)
}

// completion is what the shell's completion script adds behind the words typed
// so far.
const completion = "--generate-bash-completion"

// flagsFirst moves the flags of a command before its arguments: the library
// takes every flag behind the first argument for an argument.
func flagsFirst(app *cli.App, args []string) []string {
	if len(args) < 2 || args[len(args)-1] == completion {
		return args
	}
	command := app.Command(args[1])
	if command == nil {
		return args
	}
	takesValue := map[string]bool{}
	for _, flag := range command.Flags {
		if _, isBool := flag.(*cli.BoolFlag); !isBool {
			for _, name := range flag.Names() {
				takesValue[name] = true
			}
		}
	}
	var flags, rest []string
	for i := 2; i < len(args); i++ {
		arg := args[i]
		switch {
		case arg == "--":
			rest = append(rest, args[i+1:]...)
			i = len(args)
		case len(arg) > 1 && arg[0] == '-':
			if arg == "--help" || arg == "-h" {
				// With arguments the library would look for a topic.
				return []string{args[0], args[1], arg}
			}
			flags = append(flags, arg)
			if !takesValue[strings.TrimLeft(arg, "-")] {
				continue
			}
			if i++; i == len(args) {
				// Nothing may follow, or it would pass for the value.
				return append(args[:2:2], flags...)
			}
			flags = append(flags, args[i])
		default:
			rest = append(rest, arg)
		}
	}
	return slices.Concat(args[:2], flags, []string{"--"}, rest)
}

// version names the build: the module's version, or the commit it was built
// from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	for _, setting := range info.Settings {
		switch {
		case setting.Key == "vcs.revision" && (v == "" || v == "(devel)"):
			v = setting.Value
		case setting.Key == "vcs.modified" && setting.Value == "true" && !strings.HasSuffix(v, "+dirty"):
			v += "+dirty"
		}
	}
	return v
}

// Flags that several commands share.
var (
	setFlag = &cli.StringSliceFlag{
		Name:  "set",
		Usage: "replace a value of the brief by `KEY=VALUE`, as in \"chamber.throat=9 mm\"; a varied key is then fixed",
	}
	formatFlag = &cli.StringFlag{Name: "format", Value: "text", Usage: "print the result as `FORMAT`, text or json"}
)

// oneArgument returns the only argument of a command.
func oneArgument(c *cli.Context, what string) (string, error) {
	if c.NArg() != 1 {
		return "", usage("%s: %d arguments, want one, %s", c.Command.Name, c.NArg(), what)
	}
	return c.Args().First(), nil
}

// wantsJSON reports which of the two formats was asked for.
func wantsJSON(c *cli.Context) (bool, error) {
	switch f := c.String(formatFlag.Name); f {
	case "text", "json":
		return f == "json", nil
	default:
		return false, usage("--format %s: want text or json", f)
	}
}

// readBrief reads the brief that a command names with its --set applied.
func (s streams) readBrief(c *cli.Context) (*brief.Brief, error) {
	name, err := oneArgument(c, "a brief")
	if err != nil {
		return nil, err
	}
	return s.parseInClass(c, name, c.StringSlice(setFlag.Name))
}

// parse reads a brief, "-" being standard input.
func (s streams) parse(ctx context.Context, name string, set []string) (*brief.Brief, error) {
	return s.parseText(ctx, name, "", set)
}

// parseText is parse with the file of a class, "" for that which the brief names.
func (s streams) parseText(ctx context.Context, name, class string, set []string) (*brief.Brief, error) {
	src, err := s.source(ctx, name, brief.MostSource)
	if err != nil {
		return nil, err
	}
	if name == "-" {
		name = "standard input"
	}
	if src, err = withClass(name, src, class); err != nil {
		return nil, err
	}
	b, err := brief.Parse(name, src, set...)
	if err != nil {
		return nil, coded{err, exitUsage}
	}
	return b, nil
}

// readAtMost reads a file, but of one that is larger than most only a byte more:
// enough to be refused as too large, and a device has no end.
func readAtMost(name string, most int64) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	size := most
	if info.Mode().IsRegular() {
		size = info.Size()
	}
	return atMost(f, size, most)
}

// atMost reads what has that size at most, as is thought.
func atMost(r io.Reader, size, most int64) ([]byte, error) {
	data := bytes.NewBuffer(make([]byte, 0, min(size, most)+1+bytes.MinRead))
	_, err := data.ReadFrom(io.LimitReader(r, most+1))
	return data.Bytes(), err
}

// source returns the text of a file, "-" being standard input, as readAtMost
// does, or that the program is interrupted while it waits: for someone to type, or
// for a pipe that nobody writes to. A file is read even then, so that a search
// still leaves its folder.
func (s streams) source(ctx context.Context, name string, most int64) ([]byte, error) {
	read := func() ([]byte, error) { return readAtMost(name, most) }
	if name == "-" {
		name = "standard input"
		read = func() ([]byte, error) { return atMost(s.in, most, most) }
	} else if info, err := os.Stat(name); err == nil && info.Mode().IsRegular() {
		return read()
	}
	var src []byte
	var err error
	done := make(chan struct{})
	go func() {
		src, err = read()
		close(done)
	}()
	select {
	case <-done:
		return src, err
	case <-ctx.Done():
		return nil, coded{fmt.Errorf("%s: interrupted", text.Plain(name, text.MessageLength)), exitInterrupted}
	}
}

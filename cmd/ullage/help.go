package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
)

// examples shows each command at work, as the last lines of its help.
var examples = map[string][]string{
	"check":      {"ullage check rocket.toml", `ullage check runs/rocket --design 3 --set "weighed.mass=925 g"`},
	"fly":        {`ullage fly rocket.toml --set "chamber.fill=600 ml" --path flight.parquet`, "ullage fly runs/rocket --design 3"},
	"search":     {"ullage search rocket.toml", `ullage search runs/rocket --set "chamber.throat=9 mm"`},
	"sweep":      {"ullage sweep rocket.toml --draws 100000 -o runs/night", "ullage sweep rocket.toml --indices 4096"},
	"scatter":    {"ullage scatter runs/rocket --design 3"},
	"effects":    {"ullage effects runs/rocket --design 3"},
	"fit":        {"ullage fit rocket.toml flight1.csv flight2.csv"},
	"card":       {"ullage card runs/rocket --design 3", "ullage card rocket.toml --format text"},
	"report":     {"ullage report runs/rocket"},
	"notebook":   {"ullage notebook runs/rocket"},
	"compare":    {"ullage compare runs/rocket runs/rocket-2", "ullage compare runs/rocket --by chamber.throat"},
	"table":      {"ullage table runs/rocket front.csv"},
	"worker":     {"ullage worker nats://192.168.1.20:4222 --token token.txt"},
	"epoch":      {"ullage epoch --in spool/job.1"},
	"new":        {"ullage new rocket.toml --like field-day", "ullage new --ask"},
	"keys":       {"ullage keys", "ullage keys fins"},
	"schema":     {"ullage schema > brief.schema.json"},
	"completion": {"source <(ullage completion bash)", "ullage completion fish > ~/.config/fish/completions/ullage.fish"},
	"help":       {"ullage help search"},
	"version":    {"ullage version"},
}

// showExamples adds its examples to the help of each command.
func showExamples(commands []*cli.Command) {
	for _, c := range commands {
		if lines := examples[c.Name]; lines != nil {
			c.Description = strings.TrimLeft(c.Description+"\n\nFor example:\n  "+strings.Join(lines, "\n  "), "\n")
		}
	}
}

func (s streams) helpCommand() *cli.Command {
	return &cli.Command{
		Name:      "help",
		Usage:     "show the help of a command",
		ArgsUsage: "[COMMAND]",
		Action: func(c *cli.Context) error {
			name := c.Args().First()
			switch {
			case c.NArg() > 1:
				return usage("help: %d arguments, want at most one, a command", c.NArg())
			case name == "":
				return cli.ShowAppHelp(c)
			case c.App.Command(name) == nil:
				return unknownCommand(c.App, name)
			}
			return cli.ShowCommandHelp(c, name)
		},
	}
}

func (s streams) versionCommand() *cli.Command {
	return &cli.Command{
		Name:  "version",
		Usage: "print the version",
		Action: func(*cli.Context) error {
			_, err := fmt.Fprintln(s.out, "ullage version", version())
			return err
		},
	}
}

// unknownCommand names the command that most likely was meant, or all of them.
func unknownCommand(app *cli.App, name string) error {
	names := commandNames(app)
	if near := brief.NearestWord(name, names); near != "" {
		return usage("command %q: want %s", name, near)
	}
	return usage("command %q: want %s", name, strings.Join(names, ", "))
}

// unknownFlag names the flag that most likely was meant, or all of a command.
func unknownFlag(c *cli.Command, flag string) error {
	var known []string
	for _, f := range c.VisibleFlags() {
		known = append(known, f.Names()[0])
	}
	if near := brief.NearestWord(flag, known); near != "" && len(flag) > 1 {
		known = []string{near}
	}
	return usage("%s --%s: unknown flag, want --%s", c.Name, flag, strings.Join(known, ", --"))
}

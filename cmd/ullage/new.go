package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
	"ullage/output/file"
	"ullage/testdata"
)

func (s streams) newCommand() *cli.Command {
	return &cli.Command{
		Name:      "new",
		Usage:     "begin a brief: a commented example, or one made of the answers to some questions",
		ArgsUsage: "[FILE]",
		Description: "Writes FILE, rocket.toml where none is named, or - to standard output; a file that is there is left alone.\n" +
			"The example has no proof pressure: that is for you to write. With --ask, an empty answer takes what stands in\n" +
			"brackets; answers may be piped, a line each.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "like", Usage: "begin from `NAME`: " + strings.Join(testdata.Briefs(), ", ") + ", or from a design of the RUN in that folder", Value: "bottle"},
			designFlag,
			&cli.BoolFlag{Name: "ask", Usage: "ask for the numbers of the rocket instead", DisableDefaultText: true},
			&cli.BoolFlag{Name: "schema", Usage: "write the JSON Schema beside it too, for editors that complete and check it", DisableDefaultText: true},
		},
		Action: s.begin,
	}
}

func (s streams) begin(c *cli.Context) error {
	if c.NArg() > 1 {
		return usage("new: %d arguments, want at most one, a file", c.NArg())
	}
	if c.Bool("ask") && c.IsSet("like") {
		return usage("--ask: given with --like, want one or the other")
	}
	name := c.Args().First()
	if name == "" {
		name = "rocket.toml"
	}
	schema := ""
	if c.Bool("schema") {
		if name == "-" {
			return usage("--schema: given with standard output, want a file to write it beside")
		}
		schema = strings.TrimSuffix(name, ".toml") + ".schema.json"
	}
	for _, path := range []string{name, schema} {
		if _, err := os.Lstat(path); path != "" && path != "-" && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s: is there already, want another name", path)
		}
	}
	src, fault, err := s.starter(c)
	if err != nil {
		return err
	}
	if schema != "" {
		src = append([]byte("#:schema ./"+filepath.Base(schema)+"\n"), src...)
		if err := file.Write(schema, brief.Schema()); err != nil {
			return err
		}
	}
	if name == "-" {
		if _, err := s.out.Write(src); err != nil {
			return err
		}
		return fault
	}
	if err := file.Write(name, src); err != nil {
		return err
	}
	if _, err := fmt.Fprintf(s.out, "%s is written; next: ullage check %s\n", name, name); err != nil {
		return err
	}
	return fault
}

// starter returns the text of a new brief. The fault says what its answers
// contradict; it is written all the same, to be mended there.
func (s streams) starter(c *cli.Context) (src []byte, fault, err error) {
	if c.Bool("ask") {
		return s.asked(c.Context)
	}
	if isRun(c.String("like")) {
		_, src, err := s.readDesign(c, c.String("like"))
		return src, nil, err
	}
	if c.IsSet("design") {
		return nil, nil, usage("--design: %s is no run, want --like with the folder of one", c.String("like"))
	}
	demo, ok := testdata.Brief(c.String("like"))
	if !ok {
		return nil, nil, usage("--like %s: want %s or the folder of a run", c.String("like"), strings.Join(testdata.Briefs(), ", "))
	}
	fmt.Fprintln(s.err, "chamber.proof is left for you to write: "+untested)
	text := proofLine.ReplaceAll(brief.Commented(demo), []byte("# PROOF: "+untested+"\n# proof$1"))
	if of := brief.ClassFile(text); of != "" { // so that it stands alone
		class, _ := testdata.Class(of)
		text, err = brief.WithClass(c.String("like"), text, filepath.Base(of), class)
	}
	return text, nil, err
}

// untested says why no pressure is taken from an example, or written without a
// test.
const untested = "what this chamber was tested to, full of water, on the gauge. A chamber never tested gets no pressure: it may burst."

var proofLine = regexp.MustCompile(`(?m)^proof( *= *"[^"]*").*$`)

package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/output/terminal"
	"ullage/output/text"
	"ullage/output/wording"
)

func (s streams) checkCommand() *cli.Command {
	return &cli.Command{
		Name:      "check",
		Usage:     "validate a brief and print what follows from it",
		ArgsUsage: "BRIEF|RUN",
		Flags:     []cli.Flag{designFlag, setFlag, classFlag, formatFlag},
		Action: func(c *cli.Context) error {
			asJSON, err := wantsJSON(c)
			if err != nil {
				return err
			}
			b, err := s.readSubject(c)
			if err != nil {
				return err
			}
			return s.check(b, asJSON)
		},
	}
}

func (s streams) check(b *brief.Brief, asJSON bool) error {
	statics, ok := model.Weigh(&b.Rocket, &b.Site)
	if !ok {
		return usage("%s: the parts do not fit: want a chamber, fins and nose within the body", b.Name)
	}
	cautions := append(terminal.BriefCautions(b), wording.Cautions(statics.StoredEnergy, b.Rocket.Chamber.Pressure, b.Rocket.Chamber.Proof)...)
	flight := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
	measure := terminal.MeasureFirst(answers.NewDoubter(b).Doubts(&b.Rocket, &b.Site, &flight))
	if asJSON {
		out, err := terminal.StaticsJSON(statics, cautions, measure)
		if err != nil {
			return err
		}
		_, err = s.out.Write(out)
		return err
	}
	var out strings.Builder
	fmt.Fprintf(&out, "%s\n%s: no faults", text.Plain(b.Title, text.TitleLength), text.Plain(b.Name, text.MessageLength))
	fmt.Fprintf(&out, "; %d quantities varied, %d goals, %s\n", len(b.Vary), len(b.Goals), terminal.CountLimits(b))
	out.WriteString(wording.NotJudged(b))
	out.WriteString(terminal.Statics(statics))
	out.WriteString("\ncautions\n" + text.Folded("  - ", cautions...))
	if len(measure) > 0 {
		out.WriteString("\nmeasure first, to know better what it does\n" + text.Folded("  - ", measure...))
	}
	_, err := fmt.Fprint(s.out, out.String())
	return err
}

// caution repeats them beside the results of a flight or a search.
func (s streams) caution(b *brief.Brief) {
	for _, line := range terminal.BriefCautions(b) {
		fmt.Fprintf(s.err, "%s: %s\n", text.Plain(b.Name, text.MessageLength), line)
	}
}

func (s streams) schemaCommand() *cli.Command {
	return &cli.Command{
		Name:  "schema",
		Usage: "print the JSON Schema of a brief, for editors",
		Action: func(*cli.Context) error {
			_, err := s.out.Write(brief.Schema())
			return err
		},
	}
}

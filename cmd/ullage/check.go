package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/output/text"
)

func (s streams) checkCommand() *cli.Command {
	return &cli.Command{
		Name:      "check",
		Usage:     "validate a brief and print what follows from it",
		ArgsUsage: "BRIEF",
		Flags:     []cli.Flag{setFlag, formatFlag},
		Action: func(c *cli.Context) error {
			asJSON, err := wantsJSON(c)
			if err != nil {
				return err
			}
			b, err := s.readBrief(c)
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
	cautions := append(proofCautions(b), text.Cautions(statics.StoredEnergy, b.Rocket.Chamber.Pressure, b.Rocket.Chamber.Proof)...)
	if asJSON {
		out, err := text.StaticsJSON(statics, cautions)
		if err != nil {
			return err
		}
		_, err = s.out.Write(out)
		return err
	}
	var out strings.Builder
	fmt.Fprintf(&out, "%s\n%s: no faults", b.Title, b.Name)
	fmt.Fprintf(&out, "; %d quantities varied, %d goals, %d limits\n", len(b.Vary), len(b.Goals), len(b.Limits))
	out.WriteString(text.Statics(statics))
	out.WriteString("\ncautions\n" + text.Folded("  - ", cautions...))
	_, err := fmt.Fprint(s.out, out.String())
	return err
}

// proofCautions says where a brief leaves the customary distance between launch
// and proof pressure.
func proofCautions(b *brief.Brief) []string {
	for i := range b.Limits {
		if l := &b.Limits[i]; l.Metric.Key == "proof_ratio" && l.AtLeast < brief.ProofRatio {
			return []string{fmt.Sprintf("This brief lowers the limit proof_ratio to %g. Below %g the chamber has not been tested far enough beyond launch pressure.",
				l.AtLeast, brief.ProofRatio)}
		}
	}
	if b.Rocket.Chamber.Proof < brief.ProofRatio*b.Rocket.Chamber.Pressure*(1-1e-12) {
		return []string{fmt.Sprintf("The proof pressure is below %g times launch pressure: a search refuses such designs.", brief.ProofRatio)}
	}
	return nil
}

// caution repeats them beside the results of a flight or a search.
func (s streams) caution(b *brief.Brief) {
	for _, line := range proofCautions(b) {
		fmt.Fprintf(s.err, "%s: %s\n", b.Name, line)
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

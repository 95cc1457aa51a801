package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/card"
	"ullage/output/file"
	"ullage/output/runs"
	"ullage/output/text"
)

func (s streams) cardCommand() *cli.Command {
	return &cli.Command{
		Name:      "card",
		Usage:     "write the pad card and the build sheet of a design, to print",
		ArgsUsage: "RUN|BRIEF",
		Description: "Writes pad-card.html, pad-card.txt, build-sheet.html and pad.html, a page for the phone. Of a RUN it takes one design of the front, of a BRIEF\n" +
			"the design that it describes. The card's word is GO, \"GO, TIGHT\" or NO-GO, found by flights under scatter; NO-GO is exit code 3.",
		Flags: []cli.Flag{
			&cli.IntFlag{Name: "design", Usage: "take design `N` of the run's front", Value: 1},
			&cli.BoolFlag{Name: "room", Usage: "take the best design of the run that is GO, or one that a short search finds with room to every limit", DisableDefaultText: true},
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write into `FOLDER` (default: RUN/card-N, or card-NAME of a brief's file name)"},
			setFlag, classFlag,
			&cli.BoolFlag{Name: "no-page", Usage: "write no pad.html for the phone: flying its grid takes some seconds", DisableDefaultText: true},
			&cli.StringFlag{Name: "format", Usage: "print the pad card as `FORMAT`, text or json, and write files only with --output"},
		},
		Action: s.card,
	}
}

func (s streams) card(c *cli.Context) error {
	asJSON := false
	if c.IsSet("format") {
		var err error
		if asJSON, err = wantsJSON(c); err != nil {
			return err
		}
	}
	b, of, err := s.cardSubject(c)
	if err != nil {
		return err
	}
	files := !c.IsSet("format") || c.IsSet("output")
	made, err := until(c.Context, of.name, func() (madeCard, error) { return makeCard(c.Context, b, of, files, c.Bool("no-page")) })
	if err != nil {
		return err
	}
	card := &made.card
	if c.IsSet("format") {
		text := []byte(card.PadText())
		if asJSON {
			if text, err = card.JSON(); err != nil {
				return err
			}
		}
		if _, err := s.out.Write(text); err != nil {
			return err
		}
	}
	if files {
		if err := s.writeCard(made.pages, of.folder, !c.IsSet("format")); err != nil {
			return err
		}
	}
	s.caution(at(b, of.x))
	if card.Word() == study.NoGo {
		return coded{fmt.Errorf("%s: NO-GO for %s", of.name, strings.Join(card.Short(), ", ")), exitInfeasible}
	}
	return nil
}

// A madeCard is a card with the files of it.
type madeCard struct {
	card  card.Card
	pages []cardPage
}

type cardPage struct {
	name string
	data []byte
}

// gridName is the page for the phone in the folder of a card.
const gridName = "pad.html"

// makeCard flies a design for its card and, where files are wanted, makes these.
// A card that is NO-GO has no page for the phone.
func makeCard(ctx context.Context, b *brief.Brief, of cardSubject, files, noPage bool) (made madeCard, err error) {
	scratch := model.NewScratch()
	rocket, site := b.At(of.x)
	flight := model.Fly(&rocket, &site, scratch)
	if flight.Outcome != model.Landed {
		return made, coded{fmt.Errorf("%s: no flight to make a card of, %s", of.name, flight.Outcome), exitInfeasible}
	}
	made.card = cardOf(b, of, &flight, scratch)
	if !files {
		return made, nil
	}
	add := func(name string, data []byte, fault error) {
		made.pages, err = append(made.pages, cardPage{name, data}), errors.Join(err, fault)
	}
	padCard, fault := made.card.PadHTML()
	add("pad-card.html", padCard, fault)
	add("pad-card.txt", []byte(made.card.PadText()), nil)
	sheet, fault := made.card.SheetHTML()
	add("build-sheet.html", sheet, fault)
	if !noPage && made.card.Word() != study.NoGo {
		grid, whole := pad.EveningOf(ctx, b, of.x, runtime.NumCPU())
		if !whole {
			return made, ctx.Err()
		}
		page, fault := made.card.GridHTML(&grid)
		add(gridName, page, fault)
	}
	return made, err
}

// writeCard writes the files of a card, and says so where nothing else is printed.
func (s streams) writeCard(pages []cardPage, dir string, say bool) error {
	// A page that was made before must not be found beside another card.
	if err := file.System.Remove(filepath.Join(dir, gridName)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := file.System.MakeFolders(dir); err != nil {
		return err
	}
	for _, page := range pages {
		path := filepath.Join(dir, page.name)
		if err := file.Write(path, page.data); err != nil {
			return err
		}
		if say {
			if _, err := fmt.Fprintln(s.out, path); err != nil {
				return err
			}
		}
	}
	return nil
}

// A cardSubject is the design that a card is made of.
type cardSubject struct {
	number int // in its run, from 1; 0: the brief's own
	x      []float64
	name   string // in words
	folder string // to write to
}

// cardSubject returns the brief that the arguments name and the design.
func (s streams) cardSubject(c *cli.Context) (*brief.Brief, cardSubject, error) {
	name, err := oneArgument(c, "a run or a brief")
	if err != nil {
		return nil, cardSubject{}, err
	}
	of := cardSubject{name: filepath.Base(name), folder: c.String("output")}
	var b *brief.Brief
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		b, err = s.runDesign(c, name, &of)
		return b, of, err
	}
	for _, flag := range []string{"design", "room"} {
		if c.IsSet(flag) {
			return nil, of, usage("--%s: %s is no run, want the folder of one", flag, name)
		}
	}
	if b, err = s.readBrief(c); err != nil {
		return nil, of, err
	}
	of.x = b.Own()
	if of.folder == "" {
		of.folder = "card-" + filepath.Base(runFolder(c, name))
	}
	return b, of, nil
}

// runDesign reads one design of a run's front; what --set gives replaces the
// run's values and the design's.
func (s streams) runDesign(c *cli.Context, dir string, of *cardSubject) (*brief.Brief, error) {
	if c.Bool("room") && c.IsSet("design") {
		return nil, usage("--design: given with --room, want one of them")
	}
	b, r, designs, err := s.runFront(c, dir, c.StringSlice(setFlag.Name))
	if err != nil {
		return nil, err
	}
	if c.Bool("room") {
		return b, s.roomyDesign(c, b, r, dir, designs, of)
	}
	n, err := designNumber(c, dir, designs)
	if err != nil {
		return nil, err
	}
	of.number, of.x = n, designs[n-1]
	of.name = fmt.Sprintf("design %d of %s", n, filepath.Base(filepath.Clean(dir)))
	if of.folder == "" {
		of.folder = filepath.Join(dir, fmt.Sprintf("card-%d", n))
	}
	return b, nil
}

// roomyDesign takes the best design of a run that is GO, or one with room that
// a search from its front finds; that is in no file, so its settings are told.
func (s streams) roomyDesign(c *cli.Context, b *brief.Brief, r runs.Run, dir string, front [][]float64, of *cardSubject) error {
	archive, _, err := r.ReadTable(dir, "archive.parquet")
	if err != nil {
		return err
	}
	designs, err := output.Designs(b, archive)
	if err != nil {
		return fmt.Errorf("read %s: %w", filepath.Join(dir, "archive.parquet"), err)
	}
	base := filepath.Base(filepath.Clean(dir))
	type found struct {
		pad.Roomy
		any bool
	}
	roomy, err := until(c.Context, dir, func() (f found, err error) {
		f.Roomy, f.any = pad.Room(c.Context, b, designs, runtime.NumCPU())
		return f, nil
	})
	switch {
	case err != nil:
		return err
	case !roomy.any:
		return coded{fmt.Errorf("%s: none of its %s is GO, nor was one found near them", dir, text.Count(len(designs), "design")), exitInfeasible}
	}
	of.x = roomy.X
	switch {
	case roomy.At < 0:
		of.name = "a design with room, from " + base
		fmt.Fprintf(s.err, "%s: none of its %s is GO; %d flights with the limits held off found this one: %s\n",
			dir, text.Count(len(designs), "design"), roomy.Flights, strings.Join(settingsOf(b, roomy.X), " "))
	case roomy.At < len(front):
		of.number = roomy.At + 1
		of.name = fmt.Sprintf("design %d of %s", of.number, base)
	default:
		of.name = fmt.Sprintf("design %d of the archive of %s", roomy.At+1, base)
	}
	if of.folder == "" {
		of.folder = filepath.Join(dir, "card-room")
	}
	return nil
}

// settingsOf writes a design as flags that give the brief its values.
func settingsOf(b *brief.Brief, x []float64) []string {
	all := make([]string, len(x))
	for i := range b.Vary {
		all[i] = fmt.Sprintf("--set '%s=%s'", b.Vary[i].Key, b.Vary[i].Text(x[i]))
	}
	return all
}

// cardOf flies a design, whose flight f landed, for its card.
func cardOf(b *brief.Brief, of cardSubject, f *model.Flight, scratch *model.Scratch) card.Card {
	made := card.Of(b, of.number, of.x, f, scratch)
	made.Name, made.Version = of.name, version()
	return made
}

// at returns the brief with a design's rocket and site for its own.
func at(b *brief.Brief, x []float64) *brief.Brief {
	of := *b
	of.Rocket, of.Site = b.At(x)
	return &of
}

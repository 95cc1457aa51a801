package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"ullage/optimize/brief"
	"ullage/output/text"
)

// A question asks for values of keys, parted by semicolons.
type question struct {
	words    string
	keys     []string // of the table of quantities
	instead  []string // other keys, told by their number
	example  string
	fallback string // what an empty answer means
	refusal  string // what may be said instead of a value, "never" or "none"
	choices  []string
}

// never and nothing are the answers that a chamber was not tested and that there
// is no canopy.
const (
	never   = "never"
	nothing = "none"
)

var questions = []question{
	{words: "Body: outside diameter; length from the nose tip to the nozzle exit; length of the nose", keys: []string{"body.diameter", "body.length", "body.nose.length"}, example: "110 mm; 690 mm; 130 mm"},
	{words: "Chamber: volume, or inside diameter; length of its straight part", keys: []string{"chamber.volume"}, instead: []string{"chamber.bore", "chamber.cylinder"}, example: "2 l, or 87 mm; 690 mm"},
	{words: "Mass of the finished rocket, ready to fly but without water", keys: []string{"weighed.mass"}, example: "320 g"},
	{words: "Its balance point then, from the nose tip", keys: []string{"weighed.balance"}, example: "350 mm"},
	{words: "Nozzle: inside diameter; the bare neck of a drinks bottle has some 21.7 mm", keys: []string{"chamber.throat"}, example: "21.7 mm"},
	{words: "Proof: the pressure on the gauge that the chamber, full of water, was tested to", keys: []string{"chamber.proof"}, refusal: never, example: "10 bar"},
	{words: "Launch pressure on the gauge", keys: []string{"chamber.pressure"}},
	{words: "Fins: how many; chord at the body; chord at the tip; span of one; thickness", keys: []string{"fins.count", "fins.root", "fins.tip", "fins.span", "fins.thickness"}, example: "3; 110 mm; 60 mm; 110 mm; 3 mm"},
	{words: "What the fins are cut from", keys: []string{"fins.material"}, choices: brief.QuantityByKey("fins.material").Names},
	{words: "Canopy: diameter spread flat; timer, from release", keys: []string{"recovery.canopy", "recovery.delay"}, refusal: nothing, example: "55 cm; 3.4 s"},
	{words: "Site: length of the launch guide; wind", keys: []string{"site.guide", "site.wind"}, fallback: "1 m; 2 m/s"},
}

// answered is what was answered: as written, and in SI.
type answered struct {
	Title   string
	written map[string]string
	si      map[string]float64
}

// asked asks the questions and returns the brief that the answers make.
func (s streams) asked(ctx context.Context) (src []byte, fault, err error) {
	lines := s.lines()
	a := answered{written: map[string]string{}, si: map[string]float64{}}
	again := isTerminal(s.in)
	for number := 0; number <= len(questions); number++ {
		q := question{words: "Name of the rocket", fallback: "My rocket"}
		if number > 0 {
			q = questions[number-1]
		}
		if slices.Contains(q.keys, "chamber.pressure") {
			if a.si["chamber.proof"] == 0 {
				fmt.Fprintln(s.err, "  No pressure is written: a chamber never tested may burst. Test it first, full of water, to 1.5 times what it will be flown at.")
				continue
			}
			// Common practice, no source; brief.ProofRatio is the limit of a search.
			q.fallback = fmt.Sprintf("%.1f bar", math.Floor(a.si["chamber.proof"]/brief.ProofRatio/1e4+1e-6)/10)
		}
		fmt.Fprintf(s.err, "%d of %d. %s%s: ", number+1, len(questions)+1, q.words, q.hint())
		line, err := next(ctx, lines)
		if err != nil {
			fmt.Fprintln(s.err)
			return nil, nil, fmt.Errorf("question %d, %q: %w", number+1, q.words, err)
		}
		if !again {
			fmt.Fprintln(s.err, text.Plain(line, text.TitleLength))
		}
		if line == "" {
			line = q.fallback
		}
		if number == 0 {
			a.Title = text.Plain(line, text.TitleLength)
			continue
		}
		if err := a.take(&q, line); err != nil {
			if !again {
				return nil, nil, usage("question %d, %q: %v", number+1, q.words, err)
			}
			fmt.Fprintln(s.err, "  "+text.Plain(err.Error(), text.MessageLength))
			number--
		}
	}
	src, fault = composed(&a)
	return src, fault, nil
}

// hint says how a question may be answered.
func (q *question) hint() string {
	var parts []string
	if q.example != "" {
		parts = append(parts, "such as "+q.example)
	}
	if q.refusal != "" {
		parts = append(parts, "or "+q.refusal)
	}
	if q.choices != nil {
		parts = append(parts, strings.Join(q.choices, ", "))
	}
	hint := ""
	if len(parts) > 0 {
		hint = " (" + strings.Join(parts, "; ") + ")"
	}
	if q.fallback != "" {
		hint += " [" + q.fallback + "]"
	}
	return hint
}

// take reads the answer to a question, or says what is wrong with it.
func (a *answered) take(q *question, line string) error {
	if line == "" {
		return errors.New("no answer, want one" + q.hint())
	}
	if q.choices != nil {
		if !slices.Contains(q.choices, line) {
			return fmt.Errorf("%q: want one of %s", line, strings.Join(q.choices, ", "))
		}
		a.written[q.keys[0]] = line
		return nil
	}
	if q.refusal != "" && strings.EqualFold(line, q.refusal) {
		return nil
	}
	parts, keys := strings.Split(line, ";"), q.keys
	if q.instead != nil && len(parts) == len(q.instead) {
		keys = q.instead
	}
	if len(parts) != len(keys) {
		return fmt.Errorf("%q: %d values between semicolons, want %d%s", line, len(parts), len(keys), q.hint())
	}
	for i, part := range parts {
		part = strings.TrimSpace(part)
		quantity := brief.MustQuantity(keys[i])
		v, err := quantity.Read(part)
		if err != nil {
			return err
		}
		a.si[keys[i]] = v
		if strconv.Quote(part) != `"`+part+`"` {
			part = quantity.Text(v)
		}
		a.written[keys[i]] = part
	}
	if proof := a.si["chamber.proof"]; slices.Contains(keys, "chamber.pressure") && a.si["chamber.pressure"] >= proof {
		return fmt.Errorf("%q: want below the proof, %s", line, a.written["chamber.proof"])
	}
	return nil
}

// isTerminal reports whether someone types what is read.
func isTerminal(r io.Reader) bool {
	f, ok := r.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// longestLine is the longest answer, in bytes.
const longestLine = 4096

// lines sends what is read, a line at a time, and ends with it.
func (s streams) lines() <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		scanner := bufio.NewScanner(s.in)
		scanner.Buffer(nil, longestLine)
		for scanner.Scan() {
			lines <- strings.TrimSpace(strings.ToValidUTF8(scanner.Text(), "\uFFFD"))
		}
	}()
	return lines
}

// next returns the next line, or that the program is interrupted while it waits.
func next(ctx context.Context, lines <-chan string) (string, error) {
	select {
	case line, ok := <-lines:
		if !ok {
			return "", usage("no answer, want a line for each question")
		}
		return line, nil
	case <-ctx.Done():
		return "", coded{errors.New("interrupted, nothing is written"), exitInterrupted}
	}
}

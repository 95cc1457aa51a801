package fit

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// mostBefore is how many lines of text a logger may write before the header.
const mostBefore = 200

// A head is where the rows of a log begin, and what they hold.
type head struct {
	found     [kinds]column
	altimeter Altimeter
	delimiter rune
	offset    int // in bytes, of the first row
	line      int // of the file, before the first row
	before    int // lines of text before the header
}

// A textLine is a line that is neither blank nor a comment.
type textLine struct {
	text      []byte
	line      int // from 1
	from, end int // in bytes of the file
}

// textLines returns the lines among which a header may stand, and one more.
func textLines(src []byte) (lines []textLine) {
	number, at := 0, 0
	for whole := range bytes.Lines(src) {
		number++
		from := at
		at += len(whole)
		if text := bytes.TrimSpace(whole); len(text) > 0 && text[0] != '#' {
			if lines = append(lines, textLine{text, number, from, at}); len(lines) > mostBefore {
				break
			}
		}
	}
	return lines
}

// begin finds the header of a log, or its first row of numbers where it has
// none. Of several lines that could be a header it is the first that has numbers
// below it.
//
// An error is worded ": fact, want" or ":line: fact, want".
func (c *Columns) begin(src []byte) (head, error) {
	lines := textLines(src)
	if len(lines) == 0 {
		return head{}, errors.New(": comments only, want a log with a time and a height, a pressure or a thrust")
	}
	var best *head // names the columns, but has no numbers below
	var fault error
	place := lines[0].line
	for i, line := range lines {
		h, sure, err := c.headAt(lines[i:])
		h.before = i
		switch {
		case err == nil && sure:
			return h, c.settle(&h, line.line)
		case err == nil && best == nil:
			best, place = &h, line.line
		case err != nil && best == nil && (fault == nil || aboveNumbers(lines[i:])):
			fault, place = err, line.line
		}
		if areNumbers(line.text) {
			break
		}
	}
	if best != nil {
		return *best, c.settle(best, place)
	}
	return head{}, fmt.Errorf(":%d: %w", place, fault)
}

// settle finds the units of the columns.
func (c *Columns) settle(h *head, line int) error {
	if err := c.setUnits(&h.found); err != nil {
		return fmt.Errorf(":%d: %w", line, err)
	}
	return nil
}

// headAt reads the first of some lines as a header, or as a row of numbers where
// there is none. It is sure of it where there are numbers in the columns.
func (c *Columns) headAt(lines []textLine) (best head, sure bool, err error) {
	for _, d := range delimiters(lines[0].text) {
		cells := split(lines[0].text, d)
		found, fault := c.locate(cells, !areNumbers(lines[0].text))
		if fault != nil {
			if err == nil && best.delimiter == 0 {
				err = fault
			}
			continue
		}
		h := head{found: found, delimiter: d, offset: lines[0].end, line: lines[0].line}
		if h.holds(cells) { // a row, of numbers where they count
			h.offset, h.line = lines[0].from, lines[0].line-1
			h.found, fault = c.locate(cells, false)
			return h, fault == nil, fault
		}
		h.altimeter = saidBy(cells, found[Height].at)
		below := lines[1:]
		if len(below) > 0 && h.takeUnits(split(below[0].text, d)) {
			h.offset, h.line, below = below[0].end, below[0].line, below[1:]
		}
		sure = len(below) > 0 && h.holds(split(below[0].text, d))
		if best, err = h, nil; sure {
			break
		}
	}
	return best, sure, err
}

// holds reports whether a row has numbers in the columns of a time, if there is
// one, and of what is measured.
func (h *head) holds(cells []string) bool {
	any := false
	for _, k := range []Kind{Time, Height, Pressure, Thrust} {
		at := h.found[k].at
		if at < 0 {
			continue
		}
		if at >= len(cells) {
			return false
		}
		if _, ok := number(cells[at], h.delimiter != ','); !ok {
			return false
		}
		any = true
	}
	return any
}

// takeUnits reads a row of units below the header, "s;m" or "[s];[m]", and
// reports whether it is one. What the header says itself stays.
func (h *head) takeUnits(cells []string) bool {
	found, any := h.found, false
	for k := range Kind(kinds) {
		col := &found[k]
		if col.at < 0 || col.at >= len(cells) {
			continue
		}
		unit := unitCell(cells[col.at])
		if unit == "" {
			continue
		}
		if _, _, ok := resolve(k, unit); !ok {
			return false
		}
		if any = true; col.unit == "" {
			col.unit = unit
		}
	}
	if any {
		h.found = found
	}
	return any
}

// delimiters returns the signs that may separate the cells of a line. A comma
// comes last: beside another sign it is a decimal one.
func delimiters(text []byte) (signs []rune) {
	for _, d := range ";\t," {
		if bytes.ContainsRune(text, d) {
			signs = append(signs, d)
		}
	}
	if signs == nil {
		return []rune{','}
	}
	return signs
}

// split returns the cells of one line.
func split(text []byte, delimiter rune) []string {
	r := csv.NewReader(bytes.NewReader(text))
	r.LazyQuotes, r.TrimLeadingSpace, r.Comma = true, true, delimiter
	cells, err := r.Read()
	if err != nil { // an open quote, say
		return strings.Split(string(text), string(delimiter))
	}
	return cells
}

// areNumbers reports whether a line is two numbers or more, and nothing else.
func areNumbers(text []byte) bool {
	d := delimiters(text)[0]
	cells := split(text, d)
	return len(cells) > 1 && !slices.ContainsFunc(cells, func(cell string) bool {
		_, ok := number(cell, d != ',')
		return !ok
	})
}

// aboveNumbers reports whether the first of some lines stands above numbers, a
// row of units apart: where a header would.
func aboveNumbers(lines []textLine) bool {
	below := lines[1:]
	if len(below) > 0 && areUnits(below[0].text) {
		below = below[1:]
	}
	return len(below) > 0 && areNumbers(below[0].text) && !areNumbers(lines[0].text) && !areUnits(lines[0].text)
}

// areUnits reports whether a line is names of units and nothing else.
func areUnits(text []byte) bool {
	any := false
	for _, cell := range split(text, delimiters(text)[0]) {
		switch unit := unitCell(cell); {
		case unit == "":
		case !known(unit):
			return false
		default:
			any = true
		}
	}
	return any
}

// unitCell returns what a cell names as a unit: "[m]" is m, "-" is none.
func unitCell(cell string) string { return strings.Trim(cell, "()[]{}- ") }

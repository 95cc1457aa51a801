package fit

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"ullage/optimize/brief"
)

// A Log is what a logger recorded of one flight, as it stands in its file but
// for the units, which are SI. Rows are in order of time.
type Log struct {
	Name string // of the file
	Hash string // SHA-256 of its bytes, in hex
	Has  [kinds]bool
	Rows [][kinds]float64

	// Altimeter is what the header says of its heights: Unsaid as a rule.
	Altimeter Altimeter
	Notes     []string // what was left out
}

const (
	leastRows = 20
	badShare  = 0.1 // of rows without numbers, above which a file is no log
	mostRows  = 1_000_000
	mostLine  = 8 << 10 // bytes: that of some hundreds of columns
)

// MostLog is the largest log in bytes; it is held in memory.
const MostLog = 64 << 20

// ReadLog reads comma-separated values, or values separated by semicolons or
// tabs, which may then have decimal commas. Lines that begin with # are
// comments. The first line that names the columns, with numbers below it, is the
// header; units stand in it or in a row of their own below it, and what stands
// above it is left out and noted. A log that begins with numbers has no header.
// Rows without a time and a height, pressure or thrust are left out and noted;
// more than a tenth of them is a fault, as are times that go back.
//
// An error is worded "name: fact, want" or "name:line: fact, want".
func ReadLog(name string, src []byte, c Columns) (*Log, error) {
	if len(src) > MostLog {
		return nil, fmt.Errorf("%s: more than %d bytes, want a log of one flight", name, MostLog)
	}
	hash := fmt.Sprintf("%x", sha256.Sum256(src))
	src = bytes.TrimPrefix(src, []byte("\ufeff"))
	if len(bytes.TrimSpace(src)) == 0 {
		return nil, fmt.Errorf("%s: empty, want a log with a time and a height, a pressure or a thrust", name)
	}
	if !utf8.Valid(src) || bytes.IndexByte(src, 0) >= 0 {
		return nil, fmt.Errorf("%s: not text, want comma-separated values", name)
	}
	number := 0
	for line := range bytes.Lines(src) {
		if number++; len(line) > mostLine {
			return nil, fmt.Errorf("%s:%d: a line of %d bytes, want at most %d", name, number, len(line), mostLine)
		}
	}
	r := &reader{log: &Log{Name: name, Hash: hash}, columns: c, last: math.Inf(-1)}
	if err := r.read(src); err != nil {
		return nil, fmt.Errorf("%s%w", name, err)
	}
	return r.log, nil
}

// A reader goes through the rows of a file.
type reader struct {
	log     *Log
	columns Columns
	found   [kinds]column
	comma   bool // decimal

	last          float64 // time of the last row
	bad, firstBad int
	again, rows   int
}

func (r *reader) read(src []byte) error {
	head, err := r.columns.begin(src)
	if err != nil {
		return err
	}
	if head.before > 0 {
		r.log.Notes = append(r.log.Notes, fmt.Sprintf("%s before the header left out", plural(head.before, "line")))
	}
	r.found, r.comma = head.found, head.delimiter != ','
	for k := range r.found {
		r.log.Has[k] = r.found[k].at >= 0
	}
	r.log.Has[Time] = true
	r.log.Altimeter = head.altimeter
	rows := &bounded{from: bytes.NewReader(src[head.offset:]), left: 2 * mostLine}
	lines := csv.NewReader(rows)
	lines.FieldsPerRecord, lines.LazyQuotes, lines.ReuseRecord, lines.TrimLeadingSpace = -1, true, true, true
	lines.Comma, lines.Comment = head.delimiter, '#'
	for {
		row, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf(": %w", err)
		}
		rows.left = 2 * mostLine
		if r.rows++; r.rows > mostRows {
			return fmt.Errorf(": more than %d rows, want fewer", mostRows)
		}
		line, _ := lines.FieldPos(0)
		if err := r.values(row, head.line+line); err != nil {
			return err
		}
	}
	return r.finish()
}

// bounded is what is left of a row, which a quotation mark may spread over many
// lines.
type bounded struct {
	from io.Reader
	left int
}

func (b *bounded) Read(data []byte) (int, error) {
	if b.left <= 0 {
		return 0, fmt.Errorf("a row of more than %d bytes, want every quotation mark closed", mostLine)
	}
	n, err := b.from.Read(data[:min(len(data), b.left)])
	b.left -= n
	return n, err
}

// values takes the numbers of a row.
func (r *reader) values(cells []string, line int) error {
	var values [kinds]float64
	for k := range r.found {
		values[k] = math.NaN()
		col := &r.found[k]
		if col.at < 0 || col.at >= len(cells) {
			continue
		}
		if v, ok := number(cells[col.at], r.comma); ok {
			values[k], _ = brief.ToSI(v*col.times, col.unit, kindInfos[k].si)
		}
	}
	if r.found[Time].at < 0 { // rows are counted
		values[Time] = float64(r.rows-1) / r.columns.Rate
	}
	t := values[Time]
	if math.IsNaN(t) || math.IsNaN(values[Height]) && math.IsNaN(values[Pressure]) && math.IsNaN(values[Thrust]) {
		if r.bad++; r.bad == 1 {
			r.firstBad = line
		}
		return nil
	}
	switch {
	case t < r.last:
		return fmt.Errorf(":%d: time goes back from %s s to %s s, want times that rise", line, clock(r.last), clock(t))
	case t == r.last:
		r.again++
		return nil
	}
	r.last = t
	r.log.Rows = append(r.log.Rows, values)
	return nil
}

// number reads a cell; NaN and infinities are no numbers.
func number(cell string, comma bool) (float64, bool) {
	cell = strings.TrimSpace(cell)
	if comma {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(cell, 64)
	return v, err == nil && !math.IsNaN(v) && math.Abs(v) < mostNumber
}

// mostNumber leaves room for nanoseconds since 1970; beyond it no unit makes
// sense of a number.
const mostNumber = 1e19

// clock writes a time of a log, in s, to the millisecond.
func clock(t float64) string {
	return strconv.FormatFloat(math.Round(t*1e3)/1e3, 'f', -1, 64)
}

func (r *reader) finish() error {
	switch n := len(r.log.Rows); {
	case float64(r.bad) > badShare*float64(r.rows) && r.bad > 1:
		return fmt.Errorf(":%d: the first of %d rows of %d without numbers, want numbers in nine rows of ten", r.firstBad, r.bad, r.rows)
	case n < leastRows:
		return fmt.Errorf(": %s, want at least %d", plural(n, "sample"), leastRows)
	}
	if r.bad > 0 {
		r.log.Notes = append(r.log.Notes, fmt.Sprintf("%s without numbers left out, the first in line %d", plural(r.bad, "row"), r.firstBad))
	}
	if r.again > 0 {
		r.log.Notes = append(r.log.Notes, fmt.Sprintf("%s with the time of the row before left out", plural(r.again, "row")))
	}
	return nil
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

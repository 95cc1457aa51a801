package fit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ullage/optimize/brief"
)

// locate finds the columns of a log whose first row is header; without a
// header that row holds numbers. Units are those of the header.
func (c *Columns) locate(header []string, hasHeader bool) (found [kinds]column, err error) {
	for k := range Kind(kinds) {
		if found[k], err = c.find(k, header, hasHeader); err != nil {
			return found, err
		}
	}
	if found[Time].at < 0 && c.Rate == 0 || found[Height].at < 0 && found[Pressure].at < 0 && found[Thrust].at < 0 {
		return found, fmt.Errorf("columns %s, want a time and a height, a pressure or a thrust, by name or by --column%s", quoted(header), c.rateHint(header, found[Time].at < 0))
	}
	if found[Height].at >= 0 || found[Pressure].at >= 0 {
		found[Thrust].at = -1 // nothing in flight measures it
	}
	if found[Height].at >= 0 && found[Pressure].at >= 0 {
		found[Pressure].at = -1 // the logger made its height of it
		if c.Name[Pressure] != "" && c.Name[Height] == "" {
			return found, fmt.Errorf("both a height and a pressure, want one: name the height's column, or leave the pressure's out")
		}
	}
	return found, nil
}

// rateHint is what to do about a header that numbers its samples instead of
// timing them.
func (c *Columns) rateHint(header []string, timeless bool) string {
	counts := slices.ContainsFunc(header, func(cell string) bool {
		words, _ := label(cell)
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(sampleWords, w) })
	})
	if timeless && counts && c.Rate == 0 {
		return ", or --rate with the samples in a second"
	}
	return ""
}

// setUnits settles the units of all columns.
func (c *Columns) setUnits(found *[kinds]column) error {
	for k := range Kind(kinds) {
		if err := c.setUnit(k, &found[k]); err != nil {
			return err
		}
	}
	return nil
}

// find returns the column of a kind: the one that was named, or the only one
// whose header speaks of it.
func (c *Columns) find(k Kind, header []string, hasHeader bool) (column, error) {
	name := c.Name[k]
	if name != "" {
		if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(header) {
			return columnAt(n-1, header, hasHeader), nil
		}
		for i, cell := range header {
			if hasHeader && called(cell, name) {
				return columnAt(i, header, hasHeader), nil
			}
		}
		return column{}, fmt.Errorf("--column %s=%s: no such column, want one of %s or a number up to %d", k, name, quoted(header), len(header))
	}
	found := column{at: -1}
	if !hasHeader {
		return found, nil
	}
	for i, cell := range header {
		words, _ := label(cell)
		if !c.speaksOf(k, words) || c.taken(k, i, header) {
			continue
		}
		if found.at < 0 {
			found = columnAt(i, header, true)
			continue
		}
		if k == Speed || k == Acceleration { // several axes, say: which is meant is not for us to guess
			return column{at: -1}, nil
		}
		return found, fmt.Errorf("columns %q and %q both look like a %s, want --column %s=NAME", header[found.at], cell, k, k)
	}
	return found, nil
}

// called reports whether a cell of a header goes by a name, with its unit or
// without.
func called(cell, name string) bool {
	bare := cell
	if i := strings.IndexAny(cell, "([{"); i >= 0 {
		bare = cell[:i]
	}
	name = strings.TrimSpace(name)
	return strings.EqualFold(strings.TrimSpace(cell), name) || strings.EqualFold(strings.TrimSpace(bare), name)
}

// speaksOf reports whether the words of a header name a kind. A "pressure
// altitude" is a height.
func (c *Columns) speaksOf(k Kind, words []string) bool {
	names := func(k Kind) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(c.words(k), w) })
	}
	return names(k) && !(k == Pressure && names(Height))
}

// taken reports whether a column was named for another kind.
func (c *Columns) taken(k Kind, i int, header []string) bool {
	for other := range Kind(kinds) {
		name := c.Name[other]
		if other != k && name != "" && (called(header[i], name) || strconv.Itoa(i+1) == name) {
			return true
		}
	}
	return false
}

func columnAt(i int, header []string, hasHeader bool) column {
	col := column{at: i, label: fmt.Sprintf("column %d", i+1)}
	if hasHeader {
		col.label = fmt.Sprintf("column %q", strings.TrimSpace(header[i]))
		_, col.unit = label(header[i])
	}
	return col
}

// setUnit settles the unit of a column.
func (c *Columns) setUnit(k Kind, col *column) error {
	if col.at < 0 {
		return nil
	}
	if k == Time && c.Rate > 0 {
		col.unit, col.times = "s", 1/c.Rate
		return nil
	}
	if c.Unit[k] != "" {
		col.unit = c.Unit[k]
	}
	want := strings.Join(brief.UnitNames(kindInfos[k].si), ", ")
	if col.unit == "" {
		return fmt.Errorf("%s: a %s without a unit, want it in the header or by --unit %s=UNIT, one of %s", col.label, k, k, want)
	}
	unit, times, ok := resolve(k, col.unit)
	if !ok {
		return fmt.Errorf("%s: unit %q, want one of %s", col.label, col.unit, want)
	}
	col.unit, col.times = unit, times
	return nil
}

// quoted lists the cells of a header, the first few of many.
func quoted(cells []string) string {
	var out []string
	for i, cell := range cells {
		if i == 8 {
			out = append(out, "…")
			break
		}
		if cell = strings.TrimSpace(cell); len(cell) > 40 {
			cell = cell[:40] + "…"
		}
		out = append(out, strconv.Quote(cell))
	}
	return strings.Join(out, ", ")
}

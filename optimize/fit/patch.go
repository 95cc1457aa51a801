package fit

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"ullage/optimize/brief"
)

// places returns how many decimals of a value an interval of ± half leaves
// meaning: two digits of it.
func places(half float64) int {
	if half <= 0 {
		return 6
	}
	return min(max(1-int(math.Floor(math.Log10(half))), 0), 6)
}

// written returns a value of the estimate as in a brief, to the digits that its
// interval leaves meaning.
func (e *Estimate) written(v float64) string {
	text := strconv.FormatFloat(v, 'f', places(e.High-e.Low), 64)
	if e.Unit == "1" {
		return text
	}
	return text + " " + e.Unit
}

// toml is written as a value of TOML.
func (e *Estimate) toml(v float64) string {
	if e.Unit == "1" {
		return e.written(v)
	}
	return strconv.Quote(e.written(v))
}

// half of the interval, as in a brief.
func (r *Result) interval(e *Estimate) string { return e.written(r.half * e.Deviation) }

// dayTable is where a brief says what is the same for all flights of a day, as
// an error of the fit is.
const dayTable = "scatter.day"

// Origin says in one line what was fitted to: each log with the start of its
// hash, and each observation.
func (r *Result) Origin() string {
	var names []string
	for _, l := range r.Logs {
		name := strings.Map(func(c rune) rune {
			if unicode.IsControl(c) {
				return '?'
			}
			return c
		}, l.Name)
		names = append(names, fmt.Sprintf("%s (SHA-256 %.12s)", name, l.Hash))
	}
	for i := range r.Observed {
		names = append(names, r.Observed[i].Text)
	}
	return strings.Join(names, ", ")
}

// Patch returns the fitted values and their deviations as lines of a brief,
// table by table, with what was not fitted as comments.
func (r *Result) Patch() string {
	var out strings.Builder
	fmt.Fprintf(&out, "%s%s\n# ± is half of a %g %% interval\n", brief.FittedMark, r.Origin(), 100*Confidence)
	last := ""
	for i := range r.Estimates {
		e := &r.Estimates[i]
		table, name, _ := strings.Cut(e.Key, ".")
		if table != last {
			fmt.Fprintf(&out, "[%s]\n", table)
			last = table
		}
		if e.Fitted {
			fmt.Fprintf(&out, "%s = %s # ± %s, was %s\n", name, e.toml(e.Value), r.interval(e), e.Text(e.Was))
		} else {
			fmt.Fprintf(&out, "# %s stays at %s: %s\n", name, e.Text(e.Was), e.Why)
		}
	}
	if lines := r.scatterLines(); len(lines) > 0 {
		fmt.Fprintf(&out, "\n[%s] # one standard deviation each; instead of the same keys in [scatter]\n", dayTable)
		for _, l := range lines {
			fmt.Fprintf(&out, "%s\n", l.text)
		}
		for _, pair := range r.pairs(firm) {
			fmt.Fprintf(&out, "# %s: drawn one by one, as here, they scatter flights more than the fit leaves open\n", pair)
		}
	}
	return out.String()
}

// A patchLine is a line of a table of a brief.
type patchLine struct{ table, key, text string }

func (r *Result) scatterLines() (lines []patchLine) {
	for i := range r.Estimates {
		if e := &r.Estimates[i]; e.Fitted {
			lines = append(lines, patchLine{dayTable, strconv.Quote(e.Key), fmt.Sprintf("%q = %s", e.Key, e.deviationText())})
		}
	}
	return lines
}

// deviationText is the deviation as a value of TOML, to two digits.
func (e *Estimate) deviationText() string {
	text := strconv.FormatFloat(e.Deviation, 'g', 2, 64)
	if e.Unit == "1" {
		return text
	}
	return strconv.Quote(text + " " + e.Unit)
}

func (r *Result) lines() (lines []patchLine) {
	for i := range r.Estimates {
		e := &r.Estimates[i]
		if !e.Fitted {
			continue
		}
		table, name, _ := strings.Cut(e.Key, ".")
		text := fmt.Sprintf("%s = %s # fitted: ± %s, was %s", name, e.toml(e.Value), r.interval(e), e.Text(e.Was))
		lines = append(lines, patchLine{table, name, text})
	}
	return append(lines, r.scatterLines()...)
}

var tablePattern = regexp.MustCompile(`^\s*\[\s*([A-Za-z0-9_.]+)\s*\]`)

// Apply returns src, the text of the brief called name, with the patch in it: a
// comment with the Origin comes first, the lines of the fitted keys are replaced
// or added, and those of their scatter from flight to flight become comments.
//
// It reads the result again. It errs where src is written in a way that lines cannot be
// replaced in, a table in one line, say; the patch is then for the user to apply.
func (r *Result) Apply(name string, src []byte) ([]byte, error) {
	plain, dos := strings.ReplaceAll(string(src), "\r\n", "\n"), bytes.Contains(src, []byte("\r\n"))
	lines := strings.Split(strings.TrimRight(plain, "\n"), "\n")
	lines = slices.DeleteFunc(lines, func(line string) bool { return strings.HasPrefix(line, brief.FittedMark) })
	top := 0
	if len(lines) > 0 && strings.HasPrefix(lines[0], "#:") { // a directive to editors comes first
		top = 1
	}
	lines = slices.Insert(lines, top, brief.FittedMark+r.Origin())
	for _, l := range r.scatterLines() {
		if i, ok := lineOf(lines, "scatter", l.key); ok {
			lines[i] = "# " + lines[i] + " # replaced by the fit's, in [" + dayTable + "]"
		}
	}
	for _, l := range r.lines() {
		head, hasTable := headOf(lines, l.table)
		at, hasKey := lineOf(lines, l.table, l.key)
		switch {
		case hasKey:
			lines[at] = l.text
		case hasTable:
			lines = slices.Insert(lines, endOf(lines, head), l.text)
		default:
			lines = append(lines, "", "["+l.table+"]", l.text)
		}
	}
	out := []byte(strings.Join(lines, "\n") + "\n")
	if dos {
		out = bytes.ReplaceAll(out, []byte("\n"), []byte("\r\n"))
	}
	return out, r.applied(name, out)
}

// headOf returns the line that begins a table, and whether there is one.
func headOf(lines []string, table string) (int, bool) {
	for i, line := range lines {
		if m := tablePattern.FindStringSubmatch(line); m != nil && m[1] == table {
			return i, true
		}
	}
	return 0, false
}

// endOf returns the line behind the last one of a table that says something.
func endOf(lines []string, head int) int {
	end := head + 1
	for i := head + 1; i < len(lines) && !strings.HasPrefix(strings.TrimSpace(lines[i]), "["); i++ {
		if text := strings.TrimSpace(lines[i]); text != "" && text[0] != '#' {
			end = i + 1
		}
	}
	return end
}

// lineOf returns the line of a key in a table, and whether there is one.
func lineOf(lines []string, table, key string) (int, bool) {
	head, ok := headOf(lines, table)
	if !ok {
		return 0, false
	}
	for i := head + 1; i < len(lines) && !strings.HasPrefix(strings.TrimSpace(lines[i]), "["); i++ {
		if name, _, ok := strings.Cut(lines[i], "="); ok && strings.TrimSpace(name) == key {
			return i, true
		}
	}
	return 0, false
}

// applied reports what keeps a text from being the fitted brief.
func (r *Result) applied(name string, src []byte) error {
	b, err := brief.Parse(name, src)
	if err != nil {
		return fmt.Errorf("%s: the fitted values cannot be put in line by line, want the patch applied by hand: %w", name, err)
	}
	for i := range r.Estimates {
		e := &r.Estimates[i]
		if !e.Fitted {
			continue
		}
		has := e.Quantity.Value(&b.Rocket, &b.Site)
		if e.written(has) != e.written(e.Value) || !slices.ContainsFunc(b.Day, func(s brief.Scatter) bool { return s.Key == e.Key }) {
			return fmt.Errorf("%s: %s does not take its fitted value line by line, want the patch applied by hand", name, e.Key)
		}
	}
	return nil
}

package terminal

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
)

// affectedDecimals is how a change of each of answers.Affected is written: finer
// is not felt in the field. Of acceleration it is in standard gravities.
var affectedDecimals = [len(answers.Affected)]int{1, 2, 2, 1, 1}

// affectedHeads are the headings of their columns.
var affectedHeads = [len(answers.Affected)]string{"apogee", "margin", "landing", "drift", "accel."}

// Effects returns what changes what for a terminal: a line a change.
func Effects(e *output.Effects) string {
	var shown []*answers.Effect
	var still []string
	for i := range e.Changes {
		if c := &e.Changes[i]; felt(c) {
			shown = append(shown, c)
		} else {
			still = append(still, c.Quantity.Key)
		}
	}
	var b strings.Builder
	heading := "as set, and what one change adds"
	if e.Design > 0 {
		heading = fmt.Sprintf("design %d as set, and what one change adds", e.Design)
	}
	first := model.Figures[answers.Affected[answers.FirstAffected(e.Brief)]].Key
	fmt.Fprintf(&b, "%s; largest change of the %s first\n\n", heading, text.Words(first))
	writeRows(&b, effectColumns(e, shown), "", func(i, _ int) string {
		if i > 0 && len(shown[i-1].Missed) > 0 {
			return "*"
		}
		return ""
	}, len(shown)+1)
	if len(e.Missed) > 0 {
		b.WriteString("\n" + text.Folded("", "as set it misses "+strings.Join(e.Missed, ", ")))
	}
	newlyMissed(&b, e, shown)
	if len(still) > 0 {
		b.WriteString("\n" + text.Folded("", "less than these digits show: "+strings.Join(still, ", ")))
	}
	return b.String()
}

// newlyMissed names the limits that changes break.
func newlyMissed(b *strings.Builder, e *output.Effects, shown []*answers.Effect) {
	var lines []string
	for _, c := range shown {
		if len(c.Missed) > 0 {
			lines = append(lines, changeWords(e, c)+": "+strings.Join(c.Missed, ", "))
		}
	}
	if len(lines) > 0 {
		b.WriteString("\n* misses limits that it keeps as set\n" + text.Folded("  ", lines...))
	}
}

// effectColumns returns the words, then the numbers of each of
// answers.Affected: as set in the first row, then by how much they change.
func effectColumns(e *output.Effects, shown []*answers.Effect) []text.Column {
	words := []string{"as set"}
	for _, c := range shown {
		words = append(words, changeWords(e, c))
	}
	width := 0
	for _, w := range words {
		width = max(width, utf8.RuneCountInString(w))
	}
	for i, w := range words {
		words[i] = fmt.Sprintf("%-*s", width, w)
	}
	columns := []text.Column{{Cells: words}}
	for i, id := range answers.Affected {
		show := text.Show(model.Figures[id].Key, model.Figures[id].Unit)
		cells := []string{"-"}
		if v := output.FigureOf(&e.Flight, id); !math.IsNaN(v) {
			cells[0] = text.Decimals(v*show.Scale, affectedDecimals[i])
		}
		for _, c := range shown {
			cells = append(cells, signed(c, i))
		}
		columns = append(columns, text.Column{Head: [3]string{"", affectedHeads[i], show.Unit}, Cells: cells})
	}
	return columns
}

// signed returns the change of answers.Affected[i], "-" where it cannot be told.
func signed(c *answers.Effect, i int) string {
	if math.IsNaN(c.Changes[i]) {
		return "-"
	}
	info := model.Figures[answers.Affected[i]]
	change := text.Decimals(math.Abs(c.Changes[i])*text.Show(info.Key, info.Unit).Scale, affectedDecimals[i])
	switch {
	case strings.Trim(change, "0.") == "":
		return change
	case c.Changes[i] < 0:
		return "-" + change
	}
	return "+" + change
}

// felt reports whether a change shows in the digits of a line.
func felt(c *answers.Effect) bool {
	for i := range c.Changes {
		if strings.Trim(signed(c, i), "0.") != "" {
			return true
		}
	}
	return len(c.Missed) > 0
}

// changeWords says what is done: "fins.span 2 mm more", "body.drag 20 % more,
// not known". Water is measured in millilitres.
func changeWords(e *output.Effects, c *answers.Effect) string {
	if c.Word != "" {
		return c.Quantity.Key + " " + c.Word
	}
	show, by := text.Show(c.Quantity.Key, c.Quantity.Unit), math.Abs(c.Step)
	amount := plainDigits(by*show.Scale) + " " + show.Unit
	if c.Share != 0 {
		amount = plainDigits(100*math.Abs(c.Share)) + " %"
	}
	if c.Quantity.Key == "chamber.fill" {
		rocket, site := e.Brief.At(e.X)
		if of, ok := model.Weigh(&rocket, &site); ok {
			amount = plainDigits(by*of.Volume*1e6) + " ml"
		}
	}
	words := c.Quantity.Key + " " + strings.TrimRight(amount, " ") + " more"
	if c.Step < 0 {
		words = strings.TrimSuffix(words, "more") + "less"
	}
	if c.Doubt {
		words += ", not known"
	}
	return words
}

// plainDigits writes v to three significant figures without zeros at the end.
func plainDigits(v float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 2, 64), 64) // it is a number
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// EffectsJSON returns what Effects shows as a JSON object with a final newline,
// unrounded and in the units of files. Keys are column names. It errs only as
// encoding/json does, which none of its values makes it.
func EffectsJSON(e *output.Effects) ([]byte, error) {
	var o, figures table.Object
	if e.Design > 0 {
		o.Add("number", e.Design)
	}
	o.Add("design", design(e.Brief, e.X))
	for _, id := range answers.Affected {
		info := model.Figures[id]
		figures.Add(table.ColumnName(info.Key, info.Unit), output.FigureOf(&e.Flight, id))
	}
	o.Add("as_set", &figures)
	o.Add("missed", append([]string{}, e.Missed...))
	o.Add("changes", table.Gather(e.Changes, changeJSON))
	return o.Indented()
}

func changeJSON(c answers.Effect) *table.Object {
	var o table.Object
	o.Add("quantity", c.Quantity.Key)
	o.Add("step", output.StepOf(&c))
	o.Add("step_unit", table.Unit(c.Quantity.Unit))
	if c.Word != "" {
		o.Add("word", c.Word)
	}
	o.Add("is_doubt", c.Doubt)
	for i, id := range answers.Affected {
		info := model.Figures[id]
		o.Add(table.ColumnName(info.Key, info.Unit), c.Changes[i])
	}
	o.Add("missed", append([]string{}, c.Missed...))
	return &o
}

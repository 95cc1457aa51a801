package terminal

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"ullage/output/table"
	"ullage/output/text"
)

// writeRows writes columns under their headings, and behind them words that
// have a heading of their own, within a width.
func writeRows(out *strings.Builder, columns []text.Column, heading string, words func(i, width int) string, n int) {
	widths := table.Gather(columns, widthOf)
	for part := range 3 {
		line := ""
		for k, c := range columns {
			line += fmt.Sprintf("%*s  ", widths[k], c.Head[part])
		}
		if part == 1 {
			line += heading
		}
		if line = strings.TrimRight(line, " "); line != "" {
			out.WriteString(line + "\n")
		}
	}
	for i := range n {
		line := ""
		for k, c := range columns {
			line += fmt.Sprintf("%*s  ", widths[k], c.Cells[i])
		}
		line += words(i, text.LineWidth-utf8.RuneCountInString(line))
		out.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// widthOf returns how many columns of a terminal a column takes.
func widthOf(c text.Column) int {
	width := 0
	for _, cell := range slices.Concat(c.Cells, c.Head[:]) {
		width = max(width, utf8.RuneCountInString(cell))
	}
	return width
}

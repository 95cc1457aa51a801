package output

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Folded returns lines of prose for a terminal, each begun with mark and folded
// at its width.
func Folded(mark string, lines []string) string {
	var b strings.Builder
	for _, line := range lines {
		folded(&b, mark, line)
	}
	return b.String()
}

// Cautions returns what everyone who pressurises the rocket must have read,
// one sentence an entry. Energy is that of the gas at launch pressure, in J;
// pressure and proof are gauge pressures, in Pa.
func Cautions(energy, pressure, proof float64) []string {
	bar := display(Quantity{Unit: "Pa"}).number
	return []string{
		fmt.Sprintf("At %s bar the compressed air holds %s J. It is let go all at once if the chamber bursts.", bar(pressure), three(energy)),
		fmt.Sprintf("Test the chamber with water, not air, to at least 1.5 times launch pressure: %s bar here. The proof pressure given is %s bar; never exceed it.",
			atLeast(1.5*pressure*workshop["Pa"].scale, 1), bars(proof)),
		"Fill and release from a distance; never approach or lean over the rocket under pressure. Wear eye protection.",
		"Keep people away at the distance that your range rules state, also from where it comes down, with and without canopy.",
		"Count the pressure cycles. Look at the chamber before every flight; retire it when anything has changed.",
		"Airspace, landowner, range rules and local law come first. These figures replace no test and no licensed judgement.",
	}
}

// folded writes a text after a mark, with the lines that follow indented as
// far.
func folded(b *strings.Builder, mark, text string) {
	for text != "" {
		var first string
		first, text = wrap(text, lineWidth-len(mark))
		b.WriteString(mark + first + "\n")
		mark = strings.Repeat(" ", len(mark))
	}
}

// wrap cuts a text at the last space that leaves at most width columns before
// it.
func wrap(text string, width int) (first, rest string) {
	if utf8.RuneCountInString(text) <= width {
		return text, ""
	}
	head := string([]rune(text)[:width+1])
	at := strings.LastIndexByte(head, ' ')
	if at <= 0 {
		return text, ""
	}
	return text[:at], text[at+1:]
}

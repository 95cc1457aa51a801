package terminal

import (
	"fmt"
	"slices"
	"strings"

	"ullage/optimize/brief"
	"ullage/output/text"
	"ullage/output/wording"
)

// CountLimits says how many limits a brief has, and how many of them it does
// not write.
func CountLimits(b *brief.Brief) string {
	defaults, class := 0, 0
	for i := range b.Limits {
		if b.Limits[i].Default {
			defaults++
		}
		if b.Limits[i].Class {
			class++
		}
	}
	line := fmt.Sprintf("%d limits", len(b.Limits))
	if defaults > 0 {
		line += fmt.Sprintf(", %d of them default", defaults)
	}
	if class > 0 {
		line += fmt.Sprintf(", %d of the class", class)
	}
	return line
}

// Marks stand behind the name of a default limit, or of one of the class, where
// there is no room for the word.
const (
	defaultMark = "*"
	classMark   = "†"
)

// marked returns names of limits as LimitWords has them, with the marks behind
// those of default limits and of the class's.
func marked(b *brief.Brief, names []string) []string {
	all := slices.Clone(names)
	for i, name := range all {
		key := strings.TrimPrefix(name, wording.Misses)
		if slices.ContainsFunc(b.Limits, func(l brief.Limit) bool { return l.Default && l.Metric.Key == key }) {
			all[i] += defaultMark
		}
		if slices.ContainsFunc(b.Limits, func(l brief.Limit) bool { return l.Class && l.Metric.Key == key }) {
			all[i] += classMark
		}
	}
	return all
}

// fitLimits joins names of limits as LimitWords has them within a width in columns;
// that they are missed is said also where none of them has room.
func fitLimits(names []string, width int) string {
	missed := ""
	if len(names) > 0 && strings.HasPrefix(names[0], wording.Misses) {
		missed, names = wording.Misses, slices.Clone(names)
		names[0] = strings.TrimPrefix(names[0], missed)
	}
	return missed + text.Fit(names, width-len(missed), "limits")
}

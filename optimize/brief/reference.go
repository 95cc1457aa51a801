package brief

import (
	"fmt"
	"slices"
	"strings"
)

// Reference returns a line for every key that holds one value: its example,
// its range, its default, what it is; then one for every material of fins, with
// its source.
func Reference() string {
	var b strings.Builder
	line := func(key, example, valid, fallback, doc string) {
		fmt.Fprintf(&b, "%-24s  %-11s  %-30s  %-9s  %s\n", key, example, valid, fallback, doc)
	}
	line("key", "example", "range", "default", "meaning")
	number := func(key string, q *Quantity) {
		fallback := q.fallback
		switch {
		case slices.Contains(optionalTables, parentOf(key)):
			fallback = "no table"
		case fallback == "":
			fallback = "required"
		case fallback != none && fallback != computed:
			fallback = q.Text(mustRead(fallback, q.Unit))
		}
		line(key, q.example, q.rangeText(), fallback, q.Doc)
	}
	for _, q := range singleNumbers() {
		number(q.Key, q)
	}
	for i := range partNumbers {
		number("part."+partNumbers[i].Key, &partNumbers[i])
	}
	for _, w := range words {
		fallback := "required"
		switch {
		case w.fallback > 0:
			fallback = w.names[w.fallback-1]
		case w.fallback == absent:
			fallback = none
		}
		line(w.key, w.names[0], oneOf(w.names), fallback, w.doc)
	}
	for _, c := range counters {
		example, fallback := fmt.Sprint(c.fallback), fmt.Sprint(c.fallback)
		if c.fallback == absent {
			example, fallback = "12", none
		}
		line(c.key, example, fmt.Sprintf("%d to %.3g", c.min, float64(c.max)), fallback, c.doc)
	}
	line(proofDateKey, "2026-03-14", "a date", none, "on which the chamber was tested, shown on the card")
	line("units", unitSystems[0], oneOf(unitSystems), unitSystems[0], "of the pad card; at the top of the brief")
	b.WriteString(materialReference())
	return b.String()
}

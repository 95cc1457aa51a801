package terminal

import (
	"fmt"
	"strings"

	"ullage/optimize/brief"
	"ullage/output/text"
)

// Keys explains keys of a brief for a terminal, a section at a time, and the
// materials that they may name.
func Keys(keys []brief.Key, materials []brief.Material) string {
	var b strings.Builder
	last := ""
	for _, k := range keys {
		if heading := headingOf(k); heading != last {
			fmt.Fprintf(&b, "\n%s\n", heading)
			last = heading
		}
		fmt.Fprintf(&b, "%s\n", k.Name)
		b.WriteString(text.Folded("    ", k.Doc, valuesOf(k)))
	}
	for i, m := range materials {
		if i == 0 || m.Key != materials[i-1].Key {
			fmt.Fprintf(&b, "\n%s, where none was weighed or measured\n", m.Key)
		}
		b.WriteString(text.Folded("    ", `"`+m.Name+`": `+m.Means+"; "+m.Source))
	}
	return strings.TrimPrefix(b.String(), "\n")
}

func headingOf(k brief.Key) string {
	section, _, _ := strings.Cut(k.Name, ".")
	switch {
	case k.IsFigure:
		return "figures, for [goals] and [limits]"
	case section == "part":
		return "[[part]]"
	}
	return "[" + section + "]"
}

// valuesOf says how the value of a key is written.
func valuesOf(k brief.Key) string {
	if k.IsFigure {
		return "such as " + k.Example
	}
	parts := []string{"such as " + k.Example, k.Range, "default " + k.Default}
	if k.Default == "required" || k.Default == "no table" {
		parts[2] = map[string]string{"required": "required", "no table": "required where its table is there"}[k.Default]
	}
	if len(k.Units) > 1 {
		parts = append(parts, "in "+strings.Join(k.Units, ", "))
	}
	return strings.Join(parts, "; ")
}

// Sketch shows where the lengths of a brief are measured.
const Sketch = `
station 0: the tip of the nose; stations count towards the nozzle
|------------------------------ body.length ------------------------------|
                                                            |-- tip --|
                                                            ___________  .
                                                           /          |  |
                                                          /           |  |
                                                         /            |  | span
                                                        /             |  |
                _______________________________________/______________|__|
        __..--''|          .----------------+----------------.            |
  _..--''       |        /                  |                 \           |
<'              |  x    (                   | bore             )=========== throat
  ''--..__      |        \                  |                 /           |
         ''--..||          '----------------+----------------'            |
                '---------------------------------------------------------'
|- nose.length -|       |--|----------- cylinder -----------|--|-- neck --|
                        end                                 end
|-- part.station --|  x: where the part balances by itself
|------------------- fins.station --------------------|-----| rake
                                                      |---- root -----|
`

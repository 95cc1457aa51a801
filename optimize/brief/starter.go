package brief

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

var (
	headerLine = regexp.MustCompile(`^\[\[?([a-z_.]+)\]\]?`)
	keyLine    = regexp.MustCompile(`^([a-z_]+)\s*=\s*`)
)

// headlines say, above the sections that hold keys of others, what they are for.
var headlines = map[string]string{
	"vary":    "What a search may change: from, to and step, or choices. Each key needs a value above too.",
	"goals":   `What is wanted: "highest", "lowest" or { nearest = … } of a figure or a key; at most five.`,
	"limits":  `What must be kept: { at_least = … }, { at_most = … } or both; default limits hold besides, "none" switches one off.`,
	"scatter": "One standard deviation of what differs from flight to flight.",
	"search":  "How to search.",
}

// Commented returns a brief in which each key says what it is, and what might
// also be written stands behind it as a comment: a text to begin from. A line
// that has a comment keeps it. The brief means what it did.
func Commented(src []byte) []byte {
	c := commenter{written: map[string]bool{}}
	lines := strings.Split(strings.TrimRight(string(src), "\n"), "\n")
	for _, line := range lines {
		if m := headerLine.FindStringSubmatch(line); m != nil {
			c.closeSection()
			c.section = m[1]
			c.repeated = c.written[c.section]
			c.written[c.section] = true
			if headlines[c.section] != "" {
				c.out = append(c.out, "# "+headlines[c.section])
			}
		} else if m := keyLine.FindStringSubmatch(line); m != nil {
			line = c.explained(line, m[1])
		}
		c.out = append(c.out, line)
	}
	c.closeSection()
	for _, section := range sections {
		if !c.written[section] && (slices.Contains(optionalTables, section) || section == "scatter") {
			c.absentTable(section)
		}
	}
	return []byte(strings.Join(c.out, "\n") + "\n")
}

type commenter struct {
	out      []string
	section  string
	repeated bool            // a second [[part]]
	written  map[string]bool // sections and full keys
}

// explained returns the line of a key with a comment of what it is, where it has
// none.
func (c *commenter) explained(line, name string) string {
	key := c.section + "." + name
	c.written[key] = true
	if doc := meaning(key); doc != "" && !strings.Contains(line, "#") && !c.repeated {
		return beside(line, doc)
	}
	return line
}

// beside returns a line with a comment, which begins in the same column where it
// can.
func beside(line, comment string) string { return fmt.Sprintf("%-32s # %s", line, comment) }

// meaning says what a key is, or the keys of a table within a section; "" of one
// that is not known.
func meaning(key string) string {
	var parts []string
	for _, k := range allKeys() {
		switch {
		case k.IsFigure:
		case k.Name == key:
			return k.Doc + defaultOf(k)
		case parentOf(k.Name) == key:
			parts = append(parts, lastName(k.Name)+": "+k.Doc)
		}
	}
	return strings.Join(parts, "; ")
}

func defaultOf(k Key) string {
	switch k.Default {
	case "required", "no table", none:
		return ""
	case computed:
		return "; default: worked out"
	}
	return "; default " + k.Default
}

// closeSection adds what else a section may hold, before its last empty lines.
func (c *commenter) closeSection() {
	if c.repeated || headlines[c.section] != "" && c.section != "search" {
		return
	}
	end := len(c.out)
	for end > 0 && c.out[end-1] == "" {
		end--
	}
	c.out = slices.Insert(c.out, end, c.missing(c.section)...)
}

// missing returns the keys of a section that are not written, as comments.
func (c *commenter) missing(section string) (lines []string) {
	for _, k := range allKeys() {
		rest, in := strings.CutPrefix(k.Name, section+".")
		if section == "" { // before the first one
			rest, in = k.Name, !strings.Contains(k.Name, ".")
		}
		if !in || k.IsFigure {
			continue
		}
		name, _, nested := strings.Cut(rest, ".")
		key := strings.TrimPrefix(section+"."+name, ".")
		if c.written[key] {
			continue
		}
		c.written[key] = true
		value := k.Example
		if nested {
			value = exampleTable(key)
		}
		lines = append(lines, beside("# "+name+" = "+value, meaning(key)))
	}
	return lines
}

// exampleTable is a table within a section, on a line.
func exampleTable(key string) string {
	var items []string
	for _, k := range allKeys() {
		if parentOf(k.Name) == key {
			items = append(items, lastName(k.Name)+" = "+k.Example)
		}
	}
	return "{ " + strings.Join(items, ", ") + " }"
}

// absentTable adds a whole section as comments.
func (c *commenter) absentTable(section string) {
	if strings.Contains(section, ".") {
		return // it stands within another
	}
	c.out = append(c.out, "")
	if headlines[section] != "" {
		c.out = append(c.out, "# "+headlines[section])
	}
	c.out = append(c.out, "# ["+section+"]")
	if section == "scatter" {
		c.out = append(c.out, `# "chamber.pressure" = "1.5 %"`, `# "body.drag" = "7 %"`)
		return
	}
	c.out = append(c.out, c.missing(section)...)
}

package brief

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// A Class is a set of limits, and perhaps goals, that an organiser publishes for
// all rockets of a contest. One without a File is none.
type Class struct {
	Title string
	File  string // its name as the brief has it
	Hash  string // SHA-256 of the file
}

// classSection is where the text of a class stands in a brief.
const classSection = "class"

// ClassFile returns the name of the class that a brief names, as in class =
// "club-litre.toml"; "" where it names none, or has the class in it.
func ClassFile(src []byte) string {
	root, _ := readSource(src)
	if root == nil {
		return ""
	}
	if n := root.child(classSection); n != nil && n.kind == text {
		return n.text
	}
	return ""
}

// WithClass returns the brief src with a class in it, which then needs no other
// file; name is the brief's, for errors, file the class's name and class its text.
// The brief's lines keep their numbers. It errs with the faults of the class, and
// where the brief has a class already.
func WithClass(name string, src []byte, file string, class []byte) ([]byte, error) {
	if err := classFaults(file, class); err != nil {
		return nil, err
	}
	lines := bytes.SplitAfter(src, []byte("\n"))
	if root, _ := readSource(src); root != nil {
		if n := root.child(classSection); n != nil {
			if n.kind != text || !bytes.HasPrefix(bytes.TrimSpace(lines[n.at.line-1]), []byte(classSection)) {
				return nil, fmt.Errorf("%s:%d:%d: class: given already, want one class", name, n.at.line, n.at.column)
			}
			lines[n.at.line-1] = slices.Concat([]byte("# "), lines[n.at.line-1])
		}
	}
	out := bytes.Join(lines, nil)
	if !bytes.HasSuffix(out, []byte("\n")) {
		out = append(out, '\n')
	}
	head := fmt.Sprintf("\n[class]\nfile = %q\nsha256 = \"%x\"\n", file, sha256.Sum256(class))
	return slices.Concat(out, []byte(head), below(bytes.TrimPrefix(class, byteOrderMark))), nil
}

// below puts the tables of a class below [class].
func below(class []byte) []byte {
	var p unstable.Parser
	p.Reset(class)
	var out []byte
	done := 0
	for p.NextExpression() {
		e := p.Expression()
		if e.Kind != unstable.Table {
			continue
		}
		key := e.Key()
		key.Next()
		at := int(key.Node().Raw.Offset)
		out = append(append(out, class[done:at]...), classSection+"."...)
		done = at
	}
	return append(out, class[done:]...)
}

// classFaults reports what is wrong with the text of a class by itself.
func classFaults(file string, class []byte) error {
	root, faults := readSource(class)
	if root == nil {
		return joinFaults(file, faults)
	}
	p := &parser{root: root, faults: faults, values: map[string]float64{}, places: map[string]place{}, missed: map[string]bool{}}
	for _, n := range root.items {
		switch known := []string{"title", "limits", "goals"}; {
		case !slices.Contains(known, n.key):
			p.unknown(n.at, n.key, suggest(n.key, known, ""))
		case n.key == "title" && n.kind != text:
			p.fault(n, n.shown(), "a text")
		case n.key != "title" && n.kind != table:
			p.fault(n, n.shown(), "a table")
		}
	}
	if root.child("limits") == nil {
		p.faultAt(root.at, "limits", "missing", "the limits of the class")
	}
	for _, e := range p.entries("limits", append(metricKeys(), gustKey), aMetric) {
		p.limit(e)
	}
	for _, e := range p.entries("goals", metricKeys(), aMetric) {
		metric, _ := MetricByKey(e.key)
		p.goal(e.node, &Goal{Metric: metric})
	}
	return joinFaults(file, p.faults)
}

// class reads whose limits stand below [class].
func (p *parser) class(b *Brief) {
	n := p.root.child(classSection)
	if n == nil {
		return
	}
	if n.kind != table {
		p.fault(n, n.shown()+" is not in the brief's text", "its text in [class]")
		return
	}
	if !p.only(n, "title", "file", "sha256", "limits", "goals") {
		return
	}
	for _, of := range []struct {
		name string
		to   *string
	}{{"title", &b.Class.Title}, {"file", &b.Class.File}, {"sha256", &b.Class.Hash}} {
		if c := n.child(of.name); c != nil && c.kind == text {
			*of.to = c.text
		} else if of.name != "title" || c != nil {
			p.fault(n, "no text "+of.name, "a class as it was put in")
		}
	}
}

// classLimits adds the limits of the class to the brief's own, which may be
// stricter but never looser, and returns their keys.
func (p *parser) classLimits(b *Brief) (keys []string) {
	for _, e := range p.entries(classSection+".limits", append(metricKeys(), gustKey), aMetric) {
		l, ok := p.limit(e)
		if !ok {
			continue
		}
		keys = append(keys, e.key)
		own := p.find("limits." + e.key)
		i := slices.IndexFunc(b.Limits, func(o Limit) bool { return o.Metric.Key == e.key })
		switch {
		case i >= 0:
			p.within(own, &b.Limits[i], &l)
		case slices.Contains(b.NotJudged, e.key):
			p.fault(own, "none, and the class limits it", "a limit as strict as the class's, or no line of its own")
		default:
			b.Limits = append(b.Limits, l.inClass())
		}
	}
	return keys
}

// inClass returns a limit of the class, where a default one is stricter with its
// bounds.
func (l Limit) inClass() Limit {
	least, most := l.AtLeast, l.AtMost
	if d, ok := defaultLimit(&l.Metric); ok {
		l.AtLeast, l.AtMost = max(least, d.AtLeast), min(most, d.AtMost)
	}
	l.Class = l.AtLeast == least && l.AtMost == most
	l.Default = !l.Class
	return l
}

// within holds a limit of the brief to that of the class, and gives it the bounds
// that it leaves out.
func (p *parser) within(n *node, own, class *Limit) {
	show := func(v float64) string {
		if own.Quantity != nil {
			return own.Quantity.Text(v)
		}
		return strings.TrimSuffix(fmt.Sprintf("%g %s", v, own.Unit), " 1")
	}
	if n.child("at_least") != nil && own.AtLeast < class.AtLeast {
		p.fault(n, "looser than the class", "at_least of at least "+show(class.AtLeast))
	}
	if n.child("at_most") != nil && own.AtMost > class.AtMost {
		p.fault(n, "looser than the class", "at_most of at most "+show(class.AtMost))
	}
	own.AtLeast, own.AtMost = max(own.AtLeast, class.AtLeast), min(own.AtMost, class.AtMost)
	if own.AtLeast > own.AtMost {
		p.fault(n, "no value keeps it and the class", "a limit that the class leaves room for")
	}
	own.Class = own.AtLeast == class.AtLeast && own.AtMost == class.AtMost
}

// classGoals adds the goals of the class to the brief's own.
func (p *parser) classGoals(b *Brief) {
	for _, e := range p.entries(classSection+".goals", metricKeys(), aMetric) {
		metric, _ := MetricByKey(e.key)
		g := Goal{Metric: metric}
		if !p.goal(e.node, &g) {
			continue
		}
		i := slices.IndexFunc(b.Goals, func(o Goal) bool { return o.Key == e.key })
		switch {
		case i < 0 && len(b.Goals) == maxGoals:
			p.fault(p.find("goals"), "goal 6 with those of the class", "at most 5")
		case i < 0:
			b.Goals = append(b.Goals, g)
		case b.Goals[i].Sense != g.Sense || b.Goals[i].Target != g.Target:
			p.fault(p.find("goals."+e.key), b.Goals[i].Describe(), g.Describe()+", as the class has it")
		}
	}
}

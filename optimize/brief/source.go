package brief

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// A place is where something was written: in the file, or as a --set argument.
type place struct {
	set          string // the argument as given; "" in the file
	line, column int    // from 1, columns in bytes; in order of the arguments for --set
}

type kind int

const (
	table kind = iota + 1
	list
	text
	number // without a unit
	other  // truth values and dates
)

// A node is one key of the brief with its value and its place, which go-toml
// does not report once a value has been decoded.
type node struct {
	key   string // full dotted path: "vary.fins.span.from", "part[2].mass"
	at    place
	kind  kind
	text  string  // of a text, decoded; of a number or another scalar, as written
	items []*node // of a table or a list, in the order of the file
	depth int     // of the root 0
	was   *node   // what --set replaced
	value extent  // of a text, a number or another scalar, behind the byte order mark
}

// child returns the item of a table with that last name, or nil.
func (n *node) child(name string) *node {
	for _, c := range n.items {
		if n.kind == table && lastName(c.key) == name {
			return c
		}
	}
	return nil
}

// find returns the node at a dotted path below n, or nil.
func (n *node) find(path string) *node {
	for name := range strings.SplitSeq(path, ".") {
		if n = n.child(name); n == nil {
			return nil
		}
	}
	return n
}

// add gives a table a new item and returns it.
func (n *node) add(name string, k kind, at place) *node {
	key := name
	if n.key != "" {
		key = n.key + "." + name
	}
	c := &node{key: key, kind: k, at: at, depth: n.depth + 1}
	n.items = append(n.items, c)
	return c
}

// append gives a list a new element and returns it.
func (n *node) append(k kind, at place) *node {
	c := &node{key: n.key + "[" + strconv.Itoa(len(n.items)+1) + "]", kind: k, at: at, depth: n.depth + 1}
	n.items = append(n.items, c)
	return c
}

// shown is the value as a fault repeats it.
func (n *node) shown() string {
	switch n.kind {
	case table:
		return "a table"
	case list:
		if len(n.items) == 0 {
			return "an empty list"
		}
		return "a list"
	case text:
		return strconv.Quote(n.text)
	}
	return n.text
}

// lastName is the part of a dotted key after its last dot.
func lastName(key string) string { return key[strings.LastIndexByte(key, '.')+1:] }

// parentOf is the part of a dotted key before its last dot.
func parentOf(key string) string { return key[:max(0, strings.LastIndexByte(key, '.'))] }

// A source reads the bytes of a brief into nodes.
type source struct {
	parser unstable.Parser
	faults []fault
	deep   *fault // the first place that nests too deep
}

// MostSource is the largest brief in bytes, some twenty times a full one: the
// place of a key is found by counting lines.
const MostSource = 64 << 10

// byteOrderMark is what some editors begin a file with.
var byteOrderMark = []byte("\xef\xbb\xbf")

// deepest is how deep a brief may nest; no key of one is longer.
const deepest = 8

// readSource returns the root table of a brief. Dots within quoted keys part
// names like dots outside, so "fins.span" and fins.span are the same key. A
// text that is not TOML gives nil and one fault, as does one that is too large
// or nests too deep.
func readSource(src []byte) (*node, []fault) {
	if len(src) > MostSource {
		return nil, []fault{{at: place{line: 1, column: 1}, fact: fmt.Sprintf("more than %d bytes", MostSource), want: "a brief"}}
	}
	src = bytes.TrimPrefix(src, byteOrderMark)
	// The text is read twice, because each half of go-toml does one half of the work.
	// Its decoder alone holds a text to the standard: it refuses a key or a table that
	// is defined again, and whatever else needs more than one line to be seen; but it
	// forgets where everything stood. Its parser alone tells the place of each key; but
	// it takes every line by itself. A third way would be checks of redefinition of
	// our own.
	var any map[string]any
	if err := toml.Unmarshal(src, &any); err != nil {
		at := place{line: 1, column: 1}
		var d *toml.DecodeError
		if errors.As(err, &d) {
			at.line, at.column = d.Position()
		}
		return nil, []fault{{at: at, fact: "not TOML: " + strings.TrimPrefix(err.Error(), "toml: ")}}
	}
	s := &source{}
	s.parser.Reset(src)
	root := &node{kind: table, at: place{line: 1, column: 1}}
	here := root
	for s.parser.NextExpression() {
		e := s.parser.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			here = s.header(root, e)
		case unstable.KeyValue:
			s.keyValue(here, e)
		}
	}
	if s.deep != nil {
		return nil, []fault{*s.deep}
	}
	return root, s.faults
}

// header opens the table or the list element that a header names.
func (s *source) header(root *node, e *unstable.Node) *node {
	keys := s.keys(root, e)
	last := keys[len(keys)-1]
	parent := s.descend(root, keys[:len(keys)-1])
	n := parent.child(last.name)
	switch {
	case e.Kind == unstable.Table && n == nil:
		return parent.add(last.name, table, last.at)
	case e.Kind == unstable.Table && n.kind == table:
		return n
	case e.Kind == unstable.ArrayTable && n == nil:
		return parent.add(last.name, list, last.at).append(table, last.at)
	case e.Kind == unstable.ArrayTable && n.kind == list:
		return n.append(table, last.at)
	}
	s.twice(n.key, last.at)
	return &node{kind: table, key: n.key, at: last.at}
}

func (s *source) keyValue(here *node, e *unstable.Node) {
	keys := s.keys(here, e)
	last := keys[len(keys)-1]
	parent := s.descend(here, keys[:len(keys)-1])
	if n := parent.child(last.name); n != nil {
		s.twice(n.key, last.at)
		return
	}
	n := parent.add(last.name, other, last.at)
	s.value(n, e.Value())
}

func (s *source) value(n *node, v *unstable.Node) {
	if v.Raw.Length > 0 && v.Kind != unstable.Array && v.Kind != unstable.InlineTable {
		n.value = extent{int(v.Raw.Offset), int(v.Raw.Offset + v.Raw.Length)}
	}
	switch v.Kind {
	case unstable.InlineTable:
		n.kind = table
		for it := v.Children(); it.Next(); {
			s.keyValue(n, it.Node())
		}
	case unstable.Array:
		n.kind = list
		if s.tooDeep(n.depth+1, n.at) {
			return
		}
		for it := v.Children(); it.Next(); {
			e := it.Node()
			at := n.at
			if e.Raw.Length > 0 {
				at = s.place(e)
			}
			s.value(n.append(other, at), e)
		}
	case unstable.String:
		n.kind, n.text = text, string(v.Data)
	case unstable.Integer, unstable.Float:
		n.kind, n.text = number, string(v.Data)
	default:
		n.text = string(v.Data)
	}
}

// descend follows names down from n, making tables where there are none; a
// list stands for its last element.
func (s *source) descend(n *node, keys []namedPlace) *node {
	for _, k := range keys {
		c := n.child(k.name)
		if c == nil {
			c = n.add(k.name, table, k.at)
		}
		if c.kind == list && len(c.items) > 0 {
			c = c.items[len(c.items)-1]
		}
		if c.kind != table {
			s.twice(c.key, k.at)
			return &node{kind: table, key: c.key, at: k.at}
		}
		n = c
	}
	return n
}

// twice can only be reached where quoting hid a repeated key from TOML.
func (s *source) twice(key string, at place) {
	s.faults = append(s.faults, fault{at: at, key: key, fact: "given twice", want: "it once"})
}

type namedPlace struct {
	name string
	at   place
}

// keys returns the names of a key below n; of one that goes too deep, the first.
func (s *source) keys(n *node, e *unstable.Node) []namedPlace {
	var keys []namedPlace
	for it := e.Key(); it.Next(); {
		at := s.place(it.Node())
		for name := range strings.SplitSeq(string(it.Node().Data), ".") {
			keys = append(keys, namedPlace{name, at})
		}
	}
	if s.tooDeep(n.depth+len(keys), keys[0].at) {
		return keys[:1]
	}
	return keys
}

// tooDeep notes the first place that nests deeper than a brief may.
func (s *source) tooDeep(depth int, at place) bool {
	if depth <= deepest {
		return false
	}
	if s.deep == nil {
		s.deep = &fault{at: at, fact: fmt.Sprintf("nested deeper than %d", deepest), want: "a brief"}
	}
	return true
}

func (s *source) place(n *unstable.Node) place {
	start := s.parser.Shape(n.Raw).Start
	return place{line: start.Line, column: start.Column}
}

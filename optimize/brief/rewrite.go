package brief

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// An extent is where the value of a key stands in the text of a brief, in bytes.
type extent struct{ from, to int }

// Alone returns the text of a brief that describes the design x of b by itself:
// that of b with x and all that was set written in. What was set is no longer
// varied, nor a goal. It errs where the table of a key that it must add has no
// header of its own, and where an entry of [vary] or [goals] that it must drop
// takes more than a line.
func (b *Brief) Alone(x []float64) ([]byte, error) {
	values, fixed := slices.Clone(b.Set), []string{}
	for _, set := range b.Set {
		key, _, _ := strings.Cut(set, "=")
		fixed = append(fixed, strings.TrimSpace(key))
	}
	for i := range b.Vary {
		values = append(values, b.Vary[i].Setting(x[i]))
		if mass, ok := b.Vary[i].Mass(x[i]); ok {
			values = append(values, QuantityByKey(canopyMass).Setting(mass))
		}
	}
	if b.Rocket.Weighed.Mass > 0 { // what was aboard on the scale, which the brief's own masses may have said
		for _, key := range []string{"weighed.payload", "weighed.ballast", "weighed.canopy"} {
			q := MustQuantity(key)
			if key == "weighed.canopy" && b.Rocket.Recovery.Mass == 0 {
				continue
			}
			values = append(values, q.Setting(q.Value(&b.Rocket, &b.Site)))
		}
	}
	src, err := rewritten(b.Source, values...)
	if err != nil {
		return nil, err
	}
	return settled(src, fixed...)
}

// rewritten returns the text of a brief with values in it, each "key=value" as
// for Parse, where it gives the key or in its table; all else stays as it is. The
// text is one that Parse reads, and so is each of set. It errs where a key's table is
// written in one line, and has no room for another.
func rewritten(src []byte, set ...string) ([]byte, error) {
	for _, arg := range set {
		key, value, _ := strings.Cut(arg, "=")
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		if _, unit, ok := amount(value); !ok || unit != "" {
			value = strconv.Quote(value)
		}
		var err error
		if src, err = rewrittenOnce(src, key, value); err != nil {
			return nil, err
		}
	}
	return src, nil
}

func rewrittenOnce(src []byte, key, value string) ([]byte, error) {
	root, _ := readSource(src)
	if root == nil {
		return nil, fmt.Errorf("%s: the text is no brief", key)
	}
	mark := len(src) - len(bytes.TrimPrefix(src, byteOrderMark))
	if n := root.find(key); n != nil {
		if n.value.to == 0 {
			return nil, fmt.Errorf("%s: %s, want one value", key, n.shown())
		}
		return slices.Concat(src[:mark+n.value.from], []byte(value), src[mark+n.value.to:]), nil
	}
	line := key[strings.LastIndexByte(key, '.')+1:] + " = " + value + "\n"
	section := root.find(parentOf(key))
	if section == nil {
		return slices.Concat(bytes.TrimRight(src, "\n"), []byte("\n\n["+parentOf(key)+"]\n"+line)), nil
	}
	lines := bytes.SplitAfter(src, []byte("\n"))
	at := section.at.line
	if at < 1 || at > len(lines) || !bytes.HasPrefix(bytes.TrimSpace(lines[at-1]), []byte("["+parentOf(key)+"]")) {
		return nil, fmt.Errorf("%s: its table has no header of its own, want one", key)
	}
	head := bytes.Join(lines[:at], nil)
	if !bytes.HasSuffix(head, []byte("\n")) {
		head = append(head, '\n')
	}
	return slices.Concat(head, []byte(line), bytes.Join(lines[at:], nil)), nil
}

// Setting returns "key=value" of a value, in SI, with as many digits as read back
// to the same number.
func (q *Quantity) Setting(v float64) string {
	text := q.Text(v)
	for digits := 7; digits <= 17; digits++ {
		if back, err := q.Read(text); err == nil && back == v {
			break
		}
		text = q.digits(v, digits)
	}
	return q.Key + "=" + text
}

// settled returns the text of a brief in which the keys are no longer varied, nor
// goals: their lines there are comments. A key that was neither changes nothing.
// It errs where such an entry takes more than a line.
func settled(src []byte, keys ...string) ([]byte, error) {
	for _, key := range keys {
		for _, section := range []string{"vary", "goals"} {
			root, _ := readSource(src)
			if root == nil {
				return nil, fmt.Errorf("%s: the text is no brief", key)
			}
			n := root.find(section + "." + key)
			if n == nil {
				continue
			}
			lines := bytes.SplitAfter(src, []byte("\n"))
			header := bytes.HasPrefix(bytes.TrimSpace(lines[n.at.line-1]), []byte("["))
			lines[n.at.line-1] = slices.Concat([]byte("# "), lines[n.at.line-1])
			src = bytes.Join(lines, nil)
			if after, _ := readSource(src); header || after == nil || after.find(n.key) != nil {
				return nil, fmt.Errorf("%s: takes more than a line, want it in one", n.key)
			}
		}
	}
	return src, nil
}

package fit

import (
	"fmt"
	"slices"
	"strings"

	"ullage/optimize/brief"
)

// ReadConditions reads what differed in one flight: a line "KEY = VALUE" each,
// values written as in a brief or without their quotes, comments behind a #. It
// returns them as brief.Parse takes them, "key=value", unchecked.
//
// Error: "name:line: fact, want" for a line without an equals sign, and a text
// larger than a brief may be.
func ReadConditions(name string, src []byte) (set []string, err error) {
	if len(src) > brief.MostSource {
		return nil, fmt.Errorf("%s: more than %d bytes, want lines of KEY = VALUE", name, brief.MostSource)
	}
	line := 0
	for text := range strings.Lines(string(src)) {
		line++
		if text = strings.TrimSpace(text); text == "" || text[0] == '#' {
			continue
		}
		key, value, ok := strings.Cut(text, "=")
		if !ok {
			return nil, fmt.Errorf("%s:%d: %q, want KEY = VALUE", name, line, text)
		}
		set = append(set, strings.TrimSpace(key)+"="+unquote(strings.TrimSpace(value)))
	}
	return set, nil
}

// unquote takes the quotes off a value that is written as in a brief, and the
// comment behind it.
func unquote(value string) string {
	if rest, ok := strings.CutPrefix(value, `"`); ok {
		if text, _, closed := strings.Cut(rest, `"`); closed {
			return text
		}
		return value
	}
	value, _, _ = strings.Cut(value, "#")
	return strings.TrimSpace(value)
}

func keyOf(set string) string {
	key, _, _ := strings.Cut(set, "=")
	return strings.TrimSpace(key)
}

// JoinSets returns all "key=value" in their order; a later value replaces an
// earlier one of the same key.
func JoinSets(sets ...[]string) []string {
	var out []string
	for _, set := range slices.Concat(sets...) {
		out = slices.DeleteFunc(out, func(s string) bool { return keyOf(s) == keyOf(set) })
		out = append(out, set)
	}
	return out
}

// Under returns a brief as it was for one log: own replaces its values, each
// "key=value". What is fitted to all logs, keys, cannot be one log's own.
//
// Error: such a key among own, and every fault that brief.Parse finds.
func Under(b *brief.Brief, own, keys []string) (*brief.Brief, error) {
	for _, key := range keys {
		if slices.ContainsFunc(own, func(s string) bool { return keyOf(s) == key }) {
			return nil, fmt.Errorf("%s is fitted to all logs, want it left out of the conditions, or --fix %s", key, key)
		}
	}
	return brief.Parse(b.Name, b.Source, JoinSets(b.Set, own)...)
}

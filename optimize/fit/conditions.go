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
// It errs, as "name:line: fact, want", for a line without an equals sign, and a text
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

// planKeys name what a day decides and a brief can only plan.
var planKeys = []string{"chamber.fill", "chamber.pressure", "site.wind"}

// Under returns a flight as a brief has it, still without its log: own replaces
// values of the brief, each "key=value". What is fitted to all logs, keys, cannot
// be one log's own. Planned names what neither own nor the brief's overrides
// give: nobody has said that it was measured.
//
// It errs where such a key is among own, and with every fault that brief.Parse
// finds.
func Under(b *brief.Brief, own, keys []string) (Flight, error) {
	for _, key := range keys {
		if given(own, key) {
			return Flight{}, fmt.Errorf("%s is fitted to all logs, want it left out of the conditions, or --fix %s", key, key)
		}
	}
	set := JoinSets(b.Set, own)
	of, err := brief.Parse(b.Name, b.Source, set...)
	if err != nil {
		return Flight{}, err
	}
	f := Flight{Rocket: of.Rocket, Site: of.Site, Doubts: map[string]float64{}}
	for i := range of.Day {
		day := &of.Day[i]
		f.Doubts[day.Key] = day.Sigma(day.Value(&of.Rocket, &of.Site))
	}
	for _, key := range planKeys {
		if !given(set, key) {
			f.Planned = append(f.Planned, key)
		}
	}
	return f, nil
}

// given reports whether some "key=value" are about a key.
func given(set []string, key string) bool {
	return slices.ContainsFunc(set, func(s string) bool { return keyOf(s) == key })
}

package brief

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// A fault is one thing that is wrong with a brief.
type fault struct {
	at              place
	key, fact, want string
}

// text words a fault as "place: key: fact, want".
func (f fault) text(name string) string {
	var b strings.Builder
	if f.at.set != "" {
		fmt.Fprintf(&b, "--set %s: ", f.at.set)
	} else {
		fmt.Fprintf(&b, "%s:%d:%d: ", name, f.at.line, f.at.column)
	}
	if f.key != "" {
		b.WriteString(f.key + ": ")
	}
	b.WriteString(f.fact)
	if f.want != "" {
		b.WriteString(", want " + f.want)
	}
	return b.String()
}

// joinFaults returns all faults as one error in the order of their places,
// those of --set last, or nil.
func joinFaults(name string, faults []fault) error {
	slices.SortStableFunc(faults, func(a, b fault) int {
		if later(a.at, b.at) {
			return 1
		}
		if later(b.at, a.at) {
			return -1
		}
		return 0
	})
	errs := make([]error, len(faults))
	for i, f := range faults {
		// One line each: a key may hold breaks.
		errs[i] = errors.New(breaks.Replace(f.text(name)))
	}
	return errors.Join(errs...)
}

var breaks = strings.NewReplacer("\n", " ", "\r", " ")

// later reports whether a was written after b; --set comes after the file.
func later(a, b place) bool {
	if (a.set != "") != (b.set != "") {
		return a.set != ""
	}
	return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.column, b.column)) > 0
}

// nearest returns the candidate that key most likely was meant to be, or "".
// As a rule of thumb a name of n letters may have (n+1)/3 slips, and any one.
func nearest(key string, candidates []string) string {
	best, slips := "", max(1, (len(lastName(key))+1)/3)+1
	for _, c := range candidates {
		if d := distance(key, c); d < slips {
			best, slips = c, d
		}
	}
	return best
}

// NearestWord returns the candidate that a word most likely was meant to be, or "".
func NearestWord(word string, candidates []string) string { return nearest(word, candidates) }

// distance counts the letters to insert, delete, replace or swap with their
// neighbour to turn a into b (optimal string alignment).
func distance(a, b string) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		before, last, row = last, row, before
		row[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			row[j+1] = min(last[j]+cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
	}
	return row[len(b)]
}

// oneOf words a list of choices: "a", "a or b", "a, b or c".
func oneOf(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

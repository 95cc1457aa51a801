package brief

import "errors"

// Read returns the SI value of a text as a brief would have it, or an error that
// says what is wrong with the text: "fact, want".
func (q *Quantity) Read(s string) (float64, error) {
	n := &node{kind: text, text: s}
	if digits, unit, ok := amount(s); ok && unit == "" {
		n.kind, n.text = number, digits
	}
	p := &parser{root: &node{kind: table}}
	v, ok := p.valid(n, q)
	if !ok {
		f := p.faults[0]
		return 0, errors.New(f.fact + ", want " + f.want)
	}
	return v, nil
}

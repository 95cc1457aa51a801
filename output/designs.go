package output

import "fmt"

// Designs returns the designs of a front or an archive: of each row the values
// of the given quantities, in SI. It refuses a table without one of them.
func (t Table) Designs(varied []Quantity) ([][]float64, error) {
	designs := make([][]float64, t.Rows())
	for _, q := range varied {
		values, ok := t.floats(ColumnName(q.Key, q.Unit))
		if !ok {
			return nil, fmt.Errorf("no column %s of numbers, want one", ColumnName(q.Key, q.Unit))
		}
		for i, v := range values {
			designs[i] = append(designs[i], unwritten(v, q.Unit))
		}
	}
	return designs, nil
}

func (t Table) floats(name string) ([]float64, bool) {
	for _, c := range t.Columns {
		if c.Name == name {
			values, ok := c.Values.([]float64)
			return values, ok
		}
	}
	return nil, false
}

package output

import (
	"fmt"
	"slices"
	"strings"

	"ullage/optimize/brief"
	"ullage/output/table"
)

// A Setting is a number or a word that differs between the designs of a brief: a
// varied quantity, or the mass that comes with one.
type Setting struct {
	*brief.Quantity
	of      func(x []float64) float64
	choices []string // of a word
}

// Of returns the value in a design, in SI; of a word its number.
func (s *Setting) Of(x []float64) float64 { return s.of(x) }

// Written returns the value in a design as files state it: a number or a text.
func (s *Setting) Written(x []float64) any {
	if s.Names != nil {
		return s.Name(s.of(x))
	}
	return table.Written(s.of(x), s.Unit)
}

// Settings returns every varied quantity, in the order of the brief, each with
// what comes with it behind it.
func Settings(b *brief.Brief) []Setting {
	var all []Setting
	for i := range b.Vary {
		v := &b.Vary[i]
		s := Setting{Quantity: v.Quantity, of: func(x []float64) float64 { return x[i] }}
		if v.Names != nil {
			s.choices = table.Gather(v.Choices, v.Name)
		}
		all = append(all, s)
		if v.Masses != nil {
			all = append(all, Setting{Quantity: brief.MustQuantity("recovery.mass"), of: func(x []float64) float64 {
				mass, _ := v.Mass(x[i])
				return mass
			}})
		}
	}
	return all
}

// differs reports whether a key is one of Settings.
func differs(b *brief.Brief, key string) bool {
	return slices.ContainsFunc(Settings(b), func(s Setting) bool { return s.Key == key })
}

// column describes a setting with room for so many values: numbers, of a word
// texts.
func (s *Setting) column(b *brief.Brief, n int) table.Column {
	c := column(b, table.Varied, s.Key, s.Unit, s.Doc)
	c.Values = make([]float64, n)
	if s.Names != nil {
		c.Values = make([]string, n)
		c.Sense = "one of " + strings.Join(s.choices, ", ")
	}
	return c
}

// put writes the value of a design into row i of such a column.
func (s *Setting) put(c *table.Column, i int, x []float64) {
	switch values := c.Values.(type) {
	case []float64:
		values[i] = table.Written(s.of(x), s.Unit)
	case []string:
		values[i] = s.Name(s.of(x))
	}
}

// ReadVaried returns the values of a quantity in a table, in SI; of a word its
// numbers. The reader's error says what is missing, or is none of the words.
func ReadVaried(read *table.Reader, q *brief.Quantity) []float64 {
	name := table.ColumnName(q.Key, q.Unit)
	if q.Names == nil {
		return table.Gather(table.Values[float64](read, name), func(v float64) float64 { return table.SI(v, q.Unit) })
	}
	return table.Gather(table.Values[string](read, name), func(word string) float64 {
		i := slices.Index(q.Names, word)
		if i < 0 && read.Err == nil {
			read.Err = fmt.Errorf("column %s: %q, want one of %s", name, word, strings.Join(q.Names, ", "))
		}
		return float64(i + 1)
	})
}

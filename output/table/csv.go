package table

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
)

// CSV returns what writes tables to w, one below the other, as RFC 4180 has it,
// in UTF-8, with the names of the first one's columns in the first line. What is
// not there is empty, lists are joined by semicolons, and a number has the fewest
// digits that bring it back. The metadata stays behind, for a CSV has no place for
// it.
func CSV(w io.Writer) func(Table) error {
	out := csv.NewWriter(w)
	begun := false
	return func(t Table) error {
		record := Gather(t.Columns, func(c Column) string { return c.Name })
		first := -1
		if begun {
			first = 0
		}
		begun = true
		for row := first; row < t.Rows(); row++ {
			if row >= 0 {
				for i, c := range t.Columns {
					record[i] = plain(c.Values, row)
				}
			}
			if err := out.Write(record); err != nil {
				return err
			}
		}
		out.Flush()
		return out.Error()
	}
}

func encodeCSV(t Table) ([]byte, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err := CSV(&out)(t)
	return out.Bytes(), err
}

// plain writes one value.
func plain(values any, row int) string {
	switch v := values.(type) {
	case []float64:
		return shortest(v[row])
	case Nullable:
		if math.IsNaN(v[row]) {
			return ""
		}
		return shortest(v[row])
	case []int32:
		return strconv.Itoa(int(v[row]))
	case []int64:
		return strconv.FormatInt(v[row], 10)
	case []bool:
		return strconv.FormatBool(v[row])
	case []string:
		return v[row]
	}
	return strings.Join(values.([][]string)[row], ";")
}

func shortest(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
